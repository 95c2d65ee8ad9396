"""What the actions that choose a state must come to: every shape marks as it, and U takes it off again."""

from collections.abc import Iterator

import numpy as np

from stitchview.canvas.touch import Shape
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN
from tests.journeys.effects_of_looking import Scene
from tests.journeys.effects_of_marking import HERE, expected_of
from tests.journeys.sofa import Sofa


def marks_as(state: int) -> Scene:
    """With a state in hand every shape marks as it, other threads are let be where she asks, U unpicks."""

    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.choose("as-mistake" if state != MISTAKE else "as-later")
        sofa.press("U")
        yield
        assert sofa.works.holding.state == state
        assert sofa.works.holding.tool == "mark"
        squares, marks = sofa.desk.chart.squares, sofa.desk.marks
        for shape in Shape:
            sofa.choose(f"shape-{shape.value}")
            sofa.drag((20, 20), (22, 20), (24, 22))
            marked = {(int(column), int(row)) for row, column in np.argwhere(marks.squares == state)}
            assert marked == expected_of(shape, squares)
            assert not np.isin(marks.squares, (OPEN, state), invert=True).any()
            sofa.press("U")
            sofa.drag((20, 20), (22, 20), (24, 22))
            assert not marks.squares.any()
            sofa.choose("undo")
            assert np.count_nonzero(marks.squares == state) == len(marked)
            sofa.choose("undo")
            sofa.press("M")
        sofa.press("]", "]", "O", "3")
        sofa.drag((0, 0), (59, 9))
        assert np.array_equal(marks.squares[:10] == state, squares[:10] == 2)
        sofa.choose("undo")
        sofa.put_pointer(HERE)
        sofa.press("B", "T")
        assert np.array_equal(marks.squares[16:26] == state, squares[16:26] == 2)
        assert np.count_nonzero(marks.squares) == int((squares[16:26] == 2).sum())

    return scene


STATES: dict[str, Scene] = {
    "as-done": marks_as(DONE),
    "as-first-leg": marks_as(FIRST_LEG),
    "as-later": marks_as(LATER),
    "as-mistake": marks_as(MISTAKE),
}
