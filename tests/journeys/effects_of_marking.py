"""What the actions on band, marks and threads must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import numpy as np

from stitchview.canvas.touch import Shape
from stitchview.done.change import DONE
from stitchview.follow.band import Band, band_of_columns, band_of_rows
from stitchview.follow.span import Span
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa

HERE = (20, 20)


def lays(expected: Band) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.put_pointer(HERE)
        yield
        assert sofa.works.band.band == expected
        assert sofa.canvas.showing.lit == expected.inside(sofa.desk.chart.area)
        assert "17–26" in sofa.window.panels.line.band.text

    return scene


def takes_the_band_away(sofa: Sofa) -> Iterator[None]:
    sofa.press("B")
    yield
    assert sofa.works.band.band is None
    assert sofa.canvas.showing.lit is None


def moves_rows(first: int, count: int = 10) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.put_pointer(HERE)
        sofa.press("B")
        yield
        assert sofa.works.band.band == band_of_rows(first, count)

    return scene


def moves_columns(first: int, count: int = 10) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.put_pointer(HERE)
        sofa.press("V")
        yield
        assert sofa.works.band.band == band_of_columns(first, count)

    return scene


def snaps_to_tens(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    yield
    sofa.press("B")
    assert sofa.works.band.band == band_of_rows(20, 10)
    sofa.press("Ctrl+Down")
    assert sofa.works.band.band == band_of_rows(30, 10)


def steps_on(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    yield
    sofa.press("B", "3")
    sofa.put_pointer((0, 16))
    sofa.press("Return")
    sofa.put_pointer((59, 25))
    assert sofa.works.band.band == band_of_rows(16, 10)
    sofa.press("Return")
    assert sofa.works.band.band == band_of_rows(26, 10)


def takes_up(tool: str) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.press("U" if tool != "unpick" else "M")
        yield
        assert sofa.works.holding.tool == tool
        sofa.press("+", "+", "+", "+", "+", "+")
        before, (column, row) = sofa.canvas.view, stitched(sofa)
        if tool == "unpick":
            sofa.mark((column, row))
        sofa.drag((column, row), (column + 1, row))
        assert (sofa.desk.marks.squares[row, column] == DONE) == (tool == "mark")
        assert (sofa.canvas.view != before) == (tool == "look")

    return scene


def marks_with(shape: Shape) -> Scene:
    """A drag from a square must mark what the shape means, counted without our shapes."""

    def scene(sofa: Sofa) -> Iterator[None]:
        yield
        assert sofa.works.holding.shape is shape
        assert sofa.works.holding.tool == "mark"
        sofa.drag((20, 20), (22, 20), (24, 22))
        marked = {(int(column), int(row)) for row, column in np.argwhere(sofa.desk.marks.squares == DONE)}
        assert marked == expected_of(shape, sofa.desk.chart.squares)

    return scene


def expected_of(shape: Shape, squares: np.ndarray) -> set[tuple[int, int]]:
    """The squares that a drag over (20, 20), (22, 20), (24, 22) means, walked square by square."""
    stitched = {(int(column), int(row)) for row, column in np.argwhere(squares)}
    thread = int(squares[20, 20])
    same = {(int(column), int(row)) for row, column in np.argwhere(squares == thread)} if thread else set()
    match shape:
        case Shape.SINGLE:
            return {(20, 20)} & stitched
        case Shape.SWEEP:
            return {(20, 20), (21, 20), (22, 20), (23, 21), (24, 22)} & stitched
        case Shape.RECTANGLE:
            return {(column, row) for column in range(20, 25) for row in range(20, 23)} & stitched
        case Shape.RUN:
            return _grown((20, 20), same, ((1, 0), (-1, 0)))
        case Shape.PATCH:
            return _grown((20, 20), same, ((1, 0), (-1, 0), (0, 1), (0, -1)))


def _grown(
    start: tuple[int, int], ground: set[tuple[int, int]], ways: tuple[tuple[int, int], ...]
) -> set[tuple[int, int]]:
    found, open_ones = set(), [start] if start in ground else []
    while open_ones:
        here = open_ones.pop()
        if here not in found:
            found.add(here)
            neighbours = ((here[0] + across, here[1] + down) for across, down in ways)
            open_ones += [each for each in neighbours if each in ground]
    return found


def marks_the_thread_in_the_band(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    sofa.press("B", "]", "]")
    yield
    rows = sofa.desk.chart.squares[16:26]
    assert sofa.desk.tally.total().done == int((rows == 2).sum())
    assert (sofa.desk.marks.squares[16:26][rows == 2] == DONE).all()


def marks_at_the_pointer(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(stitched(sofa))
    sofa.press("1")
    yield
    column, row = stitched(sofa)
    assert sofa.desk.marks.squares[row, column] == DONE
    assert sofa.desk.tally.total().done == 1


def unpicks_at_the_pointer(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(stitched(sofa))
    sofa.press("1", "Return")
    assert sofa.desk.tally.total().done == 1
    yield
    assert sofa.desk.tally.total().done == 0


def leaves(name: str) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        assert getattr(sofa.works.holding.takes, name)
        yield
        assert not getattr(sofa.works.holding.takes, name)
        sofa.choose(f"takes-{name}")
        assert getattr(sofa.works.holding.takes, name)

    return scene


def takes_back(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(stitched(sofa))
    sofa.press("1", "Return")
    yield
    assert sofa.desk.tally.total().done == 0
    assert sofa.desk.can_redo


def makes_again(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(stitched(sofa))
    sofa.press("1", "Return", "Ctrl+Z")
    yield
    assert sofa.desk.tally.total().done == 1


def marks_only_the_thread_in_hand(sofa: Sofa) -> Iterator[None]:
    sofa.press("]")
    yield
    sofa.press("3", "M")
    sofa.drag((0, 0), (59, 9))
    rows = sofa.desk.chart.squares[:10]
    assert sofa.desk.tally.total().done == int((rows == 1).sum())


def takes_the_thread_in_hand(sofa: Sofa) -> Iterator[None]:
    column, row = stitched(sofa)
    sofa.put_pointer((column, row))
    yield
    number = int(sofa.desk.chart.squares[row, column])
    assert sofa.works.holding.thread == number
    assert sofa.canvas.showing.in_hand == number
    assert sofa.desk.chart.key[number - 1].name in sofa.window.panels.line.sentence


def puts_the_thread_down(sofa: Sofa) -> Iterator[None]:
    sofa.press("]")
    yield
    assert sofa.works.holding.thread == 0
    assert sofa.canvas.showing.in_hand == 0


def takes_thread(*expected: int) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        yield
        assert sofa.works.holding.thread == expected[0]

    return scene


def stitched(sofa: Sofa) -> tuple[int, int]:
    """A square with a stitch, not far from the middle."""
    row, column = np.argwhere(sofa.desk.chart.squares[20:, 20:])[0] + 20
    return int(column), int(row)


MARKING: dict[str, Scene] = {
    "band-rows": lays(band_of_rows(16, 10)),
    "band-columns": lays(band_of_columns(16, 10)),
    "band-frame": lays(Band(Span(16, 10), Span(16, 10))),
    "band-none": takes_the_band_away,
    "band-up": moves_rows(15),
    "band-down": moves_rows(17),
    "band-left": moves_columns(15),
    "band-right": moves_columns(17),
    "band-jump-up": moves_rows(6),
    "band-jump-down": moves_rows(26),
    "band-jump-left": moves_columns(6),
    "band-jump-right": moves_columns(26),
    "band-shorter": moves_rows(16, 9),
    "band-taller": moves_rows(16, 11),
    "band-narrower": moves_columns(16, 9),
    "band-wider": moves_columns(16, 11),
    "band-snaps": snaps_to_tens,
    "band-steps-on": steps_on,
    "look": takes_up("look"),
    "mark": takes_up("mark"),
    "unpick": takes_up("unpick"),
    **{f"shape-{shape.value}": marks_with(shape) for shape in Shape},
    "thread-in-band": marks_the_thread_in_the_band,
    "mark-here": marks_at_the_pointer,
    "unpick-here": unpicks_at_the_pointer,
    "takes-crosses": leaves("crosses"),
    "takes-lines": leaves("lines"),
    "takes-points": leaves("points"),
    "undo": takes_back,
    "redo": makes_again,
    "only": marks_only_the_thread_in_hand,
    "take-thread": takes_the_thread_in_hand,
    "put-thread-down": puts_the_thread_down,
    "thread-before": takes_thread(6),
    "thread-after": takes_thread(1),
}
