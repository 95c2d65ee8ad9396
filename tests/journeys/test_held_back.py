"""Threads held back are none of what is next."""

from pathlib import Path

import numpy as np

from tests.journeys.sofa import Sofa


def test_a_block_with_only_held_back_threads_is_passed_over(sofa: Sofa, harbour: Path) -> None:
    """With all but one thread held back, the next block is one in which that one is left."""
    sofa.sit_down(harbour)
    squares = sofa.desk.chart.squares
    blocks = {(column // 10, row // 10) for row, column in np.argwhere(squares == 1).tolist()}
    home = (blocks - {(0, 0)}).pop()
    for row, column in np.argwhere(squares == 1).tolist():
        if (column // 10, row // 10) not in ((0, 0), home):
            sofa.mark((column, row))
    for number in range(2, len(sofa.desk.chart.key) + 1):
        sofa.works.cloth.notes.set_held(number, True)
    sofa.put_pointer((0, 0))
    sofa.press("J")
    cursor = sofa.canvas.showing.pointers.cursor
    assert cursor is not None
    assert (cursor[0] // 10, cursor[1] // 10) == home


def test_undoing_a_held_back_thread_leaves_the_view(sofa: Sofa, harbour: Path) -> None:
    """A choice about a thread lies nowhere on the chart, so taking it back moves nothing."""
    sofa.sit_down(harbour)
    for _ in range(8):
        sofa.press("+")
    before = sofa.canvas.view
    sofa.works.cloth.notes.set_held(1, True)
    sofa.press("Ctrl+Z")
    assert not sofa.desk.notes.held_back
    assert sofa.canvas.view == before


def test_what_is_held_back_stands_back_on_the_chart(sofa: Sofa, harbour: Path) -> None:
    """Held back, its squares turn pale at once; taken back, and taken in hand, they are as before."""
    sofa.sit_down(harbour)
    row, column = np.argwhere(sofa.desk.chart.squares == 1)[0].tolist()
    place = sofa.place_of((column, row))

    def colour() -> int:
        return sofa.canvas.grab().toImage().pixel(place.x(), place.y())

    before = colour()
    sofa.works.cloth.notes.set_held(1, True)
    assert sofa.canvas.showing.held_back == {1}
    assert colour() != before
    sofa.press("Ctrl+Z")
    assert sofa.canvas.showing.held_back == frozenset()
    assert colour() == before
