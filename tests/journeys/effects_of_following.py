"""What the actions that go to what is left must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import numpy as np

from stitchview.done.change import DONE
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa

HERE = (20, 20)


def goes_to_the_nearest(sofa: Sofa) -> Iterator[None]:
    """Nearer than where it went lies nothing of thread 2, looked for square by square."""
    sofa.press("]", "]")
    sofa.put_pointer(HERE)
    yield
    spots = np.argwhere(sofa.desk.chart.squares == 2)
    away = ((spots - [HERE[1], HERE[0]]) ** 2).sum(axis=1)
    row, column = spots[away == away.min()][0]
    assert sofa.canvas.showing.pointers.cursor == (column, row)
    sofa.press("1", "Return")
    assert sofa.desk.marks.squares[row, column] == DONE
    sofa.press("G")
    spots = np.array([spot for spot in spots.tolist() if spot != [row, column]])
    away = ((spots - [row, column]) ** 2).sum(axis=1)
    found = sofa.canvas.showing.pointers.cursor
    assert found is not None
    assert (found[0] - column) ** 2 + (found[1] - row) ** 2 == away.min()


def goes_along_what_is_left(way: int) -> Scene:
    """Pressed as often as there are squares left it comes round to where it began."""

    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.press("]", "]", "]")
        sofa.put_pointer(HERE)
        flat = np.flatnonzero(sofa.desk.chart.squares == 3)
        here = HERE[1] * sofa.desk.chart.columns + HERE[0]
        ahead = flat[flat > here] if way > 0 else flat[flat < here][::-1]
        yield
        assert sofa.canvas.showing.pointers.cursor == (ahead[0] % 60, ahead[0] // 60)
        sofa.press("." if way > 0 else ",")
        assert sofa.canvas.showing.pointers.cursor == (ahead[1] % 60, ahead[1] // 60)

    return scene


def goes_to_the_next_block(sofa: Sofa) -> Iterator[None]:
    """All of the block above is done, so the next nearest with work is that to the left."""
    sofa.put_pointer((21, 21))
    sofa.press("3")
    for corners in (((20, 10), (29, 19)),):
        sofa.drag(*corners)
    sofa.put_pointer((21, 21))
    yield
    column, row = sofa.canvas.showing.pointers.cursor or HERE
    assert (column // 10, row // 10) == (1, 2)


def goes_to_the_next_block_of_the_thread(sofa: Sofa) -> Iterator[None]:
    sofa.press("]", "]")
    sofa.put_pointer((25, 25))
    yield
    column, row = sofa.canvas.showing.pointers.cursor or HERE
    assert (column // 10, row // 10) != (2, 2)
    assert sofa.desk.chart.squares[row, column] == 2


FOLLOWING: dict[str, Scene] = {
    "nearest-left": goes_to_the_nearest,
    "next-left": goes_along_what_is_left(1),
    "previous-left": goes_along_what_is_left(-1),
    "next-block": goes_to_the_next_block,
    "next-block-of-thread": goes_to_the_next_block_of_the_thread,
}
