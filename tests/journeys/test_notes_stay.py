"""Pins, parked threads and threads held back are there again the next evening."""

from pathlib import Path

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
