"""Pins, parked threads and threads held back are there again the next evening."""

from dataclasses import replace
from pathlib import Path

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.notes import Parked
from stitchview.follow.numbering import Numbering
from tests.journeys.boxes import notices
from tests.journeys.effects_at_the_cloth import take_in_hand
from tests.journeys.sofa import Sofa


def test_what_was_noted_is_there_the_next_evening(sofa: Sofa, harbour: Path) -> None:
    """A pin, a parked thread and one held back are seen again, and can still be taken back by undo."""
    sofa.sit_down(harbour)
    number = take_in_hand(sofa)
    square = sofa.canvas.showing.pointers.cursor
    sofa.press("S", "Y")
    sofa.works.cloth.notes.pin((5, 6), "mast", "foot of it")
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert [pin.square for pin in sofa.canvas.showing.signs.pins] == [(5, 6)]
    assert [park.square for park in sofa.canvas.showing.signs.parks] == [square]
    assert sofa.works.cloth.notes.is_held(number)
    sofa.press("Ctrl+Z", "Ctrl+Z", "Ctrl+Z")
    assert tuple(sofa.desk.notes) == ()
    assert not sofa.canvas.showing.signs.any


def test_a_parked_thread_whose_stitch_was_corrected_away_is_told(sofa: Sofa, harbour: Path) -> None:
    """The chart was corrected under a thread that hangs there: opening says so, and the list does."""
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    square = sofa.canvas.showing.pointers.cursor
    sofa.press("S")
    assert square is not None
    assert sofa.get_up()
    chart = read_chart(harbour)
    squares = chart.squares.copy()
    column, row = square
    squares[max(0, row - 2) : row + 3, max(0, column - 2) : column + 3] = 0
    write_chart(replace(chart, squares=squares, parts=Parts(), lines=Lines(), points=Points()), harbour)
    sofa.sit_down(harbour)
    assert any("is parked at a square where it has no stitch" in each for each in notices(sofa))
    notes = sofa.works.cloth.notes
    ((words, _),) = [each for each in notes.listed() if isinstance(each[1], Parked)]
    assert "no stitch any more" in words
    assert words.endswith(f"(column {column + 1}, row {row + 1})")
    notes.use(Numbering.CENTRE)
    assert "of the centre" in notes.listed()[0][0]
