"""What the actions that go to what is left must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import numpy as np

from stitchview.chart.area import Area
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


def calls_runs_out(sofa: Sofa) -> Iterator[None]:
    """The strip tells the first run of thread 1 in the band, counted along the row by hand."""
    sofa.put_pointer(HERE)
    sofa.press("B", "]")
    yield
    panel = sofa.window.panels.runs
    assert panel.isVisible()
    column, row, length = first_run(sofa, 1)
    assert panel.now.text == f"Row {row + 1}, from column {column + 1}: {length} shade 1"
    called = sofa.canvas.showing.pointers.called
    assert called == Area(column, row, length, 1)
    sofa.choose("runs")
    assert not panel.isVisible()
    assert sofa.canvas.showing.pointers.called is None


def marks_the_run_and_goes_on(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    sofa.press("B", "]", "C")
    column, row, length = first_run(sofa, 1)
    yield
    assert done_squares(sofa) == {(column + at, row) for at in range(length)}
    called = sofa.canvas.showing.pointers.called
    assert called is not None
    assert called.column > column + length or called.row > row
    assert sofa.desk.can_undo


def unpicks_the_run_and_goes_back(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    sofa.press("B", "]", "C")
    first = sofa.canvas.showing.pointers.called
    sofa.press("PgDown", "PgDown", "PgUp")
    assert done_squares(sofa)
    yield
    assert not done_squares(sofa)
    assert sofa.canvas.showing.pointers.called == first


def calls_out_from_the_pointer(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer(HERE)
    sofa.press("B", "]", "C")
    rows, columns = np.nonzero(sofa.desk.chart.squares[20:24] == 1)
    target = int(columns[0]), int(rows[0]) + 20
    sofa.put_pointer(target)
    yield
    called = sofa.canvas.showing.pointers.called
    assert called is not None
    assert called.holds(*target)


def first_run(sofa: Sofa, number: int) -> tuple[int, int, int]:
    """Column, row and length of the first run of a thread in the band, walked square by square."""
    lit = sofa.works.band.lit
    assert lit is not None
    squares = sofa.desk.chart.squares
    row, column = next(
        (row, column)
        for row in range(lit.row, lit.bottom)
        for column in range(lit.column, lit.right)
        if squares[row, column] == number
    )
    length = 1
    while column + length < lit.right and squares[row, column + length] == number:
        length += 1
    return column, row, length


def done_squares(sofa: Sofa) -> set[tuple[int, int]]:
    return {(int(column), int(row)) for row, column in np.argwhere(sofa.desk.marks.squares == DONE)}


def lists_islands(sofa: Sofa) -> Iterator[None]:
    """The first island listed holds the nearest square; a click on a line goes there."""
    sofa.press("]", "]")
    sofa.put_pointer(HERE)
    yield
    panel = sofa.window.panels.aside
    assert panel.isVisible()
    sofa.qtbot.waitUntil(lambda: panel.list.count() > 0)
    spots = np.argwhere(sofa.desk.chart.squares == 2)
    nearest = ((spots - [HERE[1], HERE[0]]) ** 2).sum(axis=1).min()
    sofa.click_line(panel.list, 0)
    column, row = sofa.canvas.showing.pointers.cursor or HERE
    assert (column - HERE[0]) ** 2 + (row - HERE[1]) ** 2 == nearest
    sofa.choose("aside")
    assert not panel.isVisible()


FOLLOWING: dict[str, Scene] = {
    "nearest-left": goes_to_the_nearest,
    "next-left": goes_along_what_is_left(1),
    "previous-left": goes_along_what_is_left(-1),
    "aside": lists_islands,
    "runs": calls_runs_out,
    "run-done": marks_the_run_and_goes_on,
    "run-back": unpicks_the_run_and_goes_back,
    "runs-here": calls_out_from_the_pointer,
    "next-block": goes_to_the_next_block,
    "next-block-of-thread": goes_to_the_next_block_of_the_thread,
}
