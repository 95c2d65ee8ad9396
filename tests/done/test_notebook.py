"""What is noted beside the marks: a value that is put together, rewritten and taken back."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.marks import Marks, noting
from stitchview.done.notebook import MOST_PINS, NO_NOTES, Notes, NotesChange, Rewritten, both
from stitchview.done.notes import (
    MOST_NAME_LETTERS,
    MOST_NOTE_LETTERS,
    HeldBack,
    NeedlefulEnd,
    Note,
    Parked,
    Pin,
)
from stitchview.errors import CommandError
from tests.done.evenings import NOTES

MAST = Pin("p1", 3, 4, "Mast", "count again here")
SAIL = Pin("p2", 1, 1, "Sail")


def test_notes_are_found_in_a_fixed_order() -> None:
    """Pins and needlefuls lie in the order in which they came, parked threads as one reads."""
    ends = [NeedlefulEnd(name, "a", 40, 2, 2, True, 370.0, 380.0) for name in ("n1", "n2")]
    parked = [Parked("b", 5, 1), Parked("a", 9, 1), Parked("a", 0, 2)]
    notes = Notes.of([*reversed(ends), SAIL, *reversed(parked), MAST, HeldBack("b", True)])
    assert notes.pins == (MAST, SAIL)
    assert notes.parked == tuple(parked)
    assert notes.needlefuls == tuple(ends)
    assert notes == Notes.of(reversed(list(notes)))


def test_a_new_pin_comes_after_those_before() -> None:
    """Pins put in one after the other are different ones, listed in that order."""
    pins = [Pin.new(1, 1, "Same") for _ in range(20)]
    assert len({pin.id for pin in pins}) == 20
    assert [pin.id[:12] for pin in pins] == sorted(pin.id[:12] for pin in pins)


def test_putting_in_what_is_there_is_nothing() -> None:
    """A note that is there just so already, or is not there to be taken off, rewrites nothing."""
    notes = Notes.of([MAST])
    assert notes.putting(MAST) is None
    assert notes.putting() is None
    assert notes.removing(SAIL) is None
    renamed = notes.putting(Pin("p1", 3, 4, "Main mast"))
    assert renamed is not None
    assert renamed.rewritten == (Rewritten(MAST, Pin("p1", 3, 4, "Main mast")),)
    assert notes.after(renamed).pins == (Pin("p1", 3, 4, "Main mast"),)


def test_taking_off_needs_only_the_subject() -> None:
    """A pin is taken off by its id, however it is called meanwhile."""
    notes = Notes.of([MAST, SAIL])
    change = notes.removing(Pin("p1", 0, 0, "another name"))
    assert change is not None
    assert change.rewritten == (Rewritten(MAST, None),)
    assert notes.after(change) == Notes.of([SAIL])
    assert notes.after(change).after(change.inverse()) == notes


@given(st.lists(NOTES), st.lists(NOTES))
def test_the_way_between_any_notes_and_back(some: list[Note], others: list[Note]) -> None:
    """Between any two states of the notes there is a change, and its inverse leads back."""
    one, other = Notes.of(some), Notes.of(others)
    change = one.towards(other)
    assert one.after(change) == other
    assert other.after(change.inverse()) == one
    assert bool(change) == (one != other)


def test_the_area_is_what_the_notes_name() -> None:
    """The squares to look at are those of the notes before and now; a choice names none."""
    change = NotesChange((Rewritten(MAST, Pin("p1", 9, 2, "Mast")), Rewritten(None, HeldBack("a", True))))
    assert change.area == Area(3, 2, 7, 3)
    assert NotesChange((Rewritten(None, HeldBack("a", True)),)).area.empty
    assert len(change.about(HeldBack)) == 1
    assert change.about(Parked) == ()


def test_a_change_looks_only_at_the_chart(small_chart: Callable[[], Chart]) -> None:
    """A note off the chart does not make anyone look there."""
    chart = small_chart()
    notes = Notes().putting(MAST, Pin("off", -5, 400, "Off"))
    assert notes is not None
    change = noting(chart, notes)
    assert change.area == Area(0, 4, 4, 6)
    assert change.count == 0
    assert change.weight > 0
    marks = Marks(chart)
    marks.apply(change)
    assert len(marks.notes.pins) == 2
    marks.apply(change.inverse())
    assert marks.notes == Notes()


def test_two_changes_at_once() -> None:
    """What the hand says goes before what follows by itself; the rest of both holds."""
    notes = Notes.of([MAST, SAIL])
    first, second = notes.removing(MAST), notes.removing(MAST, SAIL)
    joined = both(first, second)
    assert [each.note for each in joined.rewritten] == [MAST, SAIL]
    assert both(None, None) == NO_NOTES
    assert not NO_NOTES


def test_texts_that_cannot_be_kept_are_refused() -> None:
    """A name or note that is far too long, or holds half a letter, gets a sentence."""
    with pytest.raises(CommandError, match="200 letters"):
        Pin.new(1, 1, "x" * (MOST_NAME_LETTERS + 1))
    with pytest.raises(CommandError, match="2,000 letters"):
        Pin.new(1, 1, "Mast", "x" * (MOST_NOTE_LETTERS + 1))
    with pytest.raises(CommandError, match="half a letter"):
        Pin.new(1, 1, "Mast \ud83d")


def test_pins_have_an_end() -> None:
    """No more than a thousand pins; with more from elsewhere they can still be renamed and taken off."""
    pins = [Pin(f"{number:05}", 1, 1, "") for number in range(MOST_PINS + 5)]
    with pytest.raises(CommandError, match="1,000 pins"):
        Notes.of(pins[:MOST_PINS]).putting(pins[-1])
    many = Notes.of(pins)
    assert many.putting(Pin("00001", 2, 2, "moved")) is not None
    with pytest.raises(CommandError):
        many.putting(Pin("one more", 2, 2, ""))
    assert many.removing(pins[0]) is not None


@pytest.mark.parametrize("square", [(1 << 30, 0), (0, -(1 << 30))])
def test_squares_out_of_all_bounds_are_refused(square: tuple[int, int]) -> None:
    """Nothing is noted where no chart can ever be."""
    with pytest.raises(ValueError, match="out of all bounds"):
        Notes().putting(Parked("a", *square))


@pytest.mark.parametrize("numbers", [(-1, 1.0, 1.0), (1, -1.0, 1.0), (1, 1.0, float("nan"))])
def test_needlefuls_that_cannot_be_are_refused(numbers: tuple[int, float, float]) -> None:
    """No needleful covers or takes less than nothing."""
    stitches, reckoned, used = numbers
    with pytest.raises(ValueError, match="needleful"):
        NeedlefulEnd("n", "a", stitches, 0, 0, True, reckoned, used)
    with pytest.raises(ValueError, match="neither was nor is"):
        _ = Rewritten(None, None).note
