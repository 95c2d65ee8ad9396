"""What actions can do between cloth and chart: measure, find the place, and check a stitch."""

from typing import Protocol

from stitchview.ui.planworks import PlanWorks


class TapeWorks(Protocol):
    """The tape."""

    @property
    def led(self) -> bool:
        """Whether its end follows the pointer."""

    def press(self) -> None:
        """Lay the tape from the pointer, or fix its other end there."""


class FindingWorks(Protocol):
    """Finding the place from the cloth."""

    def open(self) -> None:
        """Ask what is seen on the cloth."""


class NeedleWorks(Protocol):
    """The next needleful."""

    def propose(self) -> None:
        """Propose it from the pointer on."""

    def worked(self) -> None:
        """Mark all of it."""

    def used_up_here(self) -> None:
        """Mark it up to the pointer, where the thread was used up."""


class NoteWorks(Protocol):
    """Pins, parked threads, threads held back."""

    def next_pin(self) -> None:
        """Go to the next pin."""

    def park(self) -> None:
        """Park the thread in hand at the pointer, or take it up there."""

    def hold_back(self) -> None:
        """Hold the thread in hand back, or release it."""


class LastWorks(Protocol):
    """The list of all that is open or later, when little is left."""

    def open(self) -> None:
        """List the last things."""

    def next_thing(self) -> None:
        """Go to the next of them."""


class CountingWorks(Protocol):
    """Counts from the cloth, to find where they depart from the chart."""

    def open(self) -> None:
        """Ask for counts."""


class DifferingWorks(Protocol):
    """Where the cloth differs from the chart."""

    def record(self) -> None:
        """Ask what differs, to keep or unpick it."""

    def open(self) -> None:
        """List where the cloth differs."""


class ClothWorks(Protocol):
    """All that is done between cloth and chart."""

    @property
    def tape(self) -> TapeWorks:
        """The tape."""

    @property
    def finding(self) -> FindingWorks:
        """Finding the place."""

    @property
    def needle(self) -> NeedleWorks:
        """The next needleful."""

    @property
    def notes(self) -> NoteWorks:
        """Pins, parked threads, threads held back."""

    @property
    def plan(self) -> PlanWorks:
        """The plan of the piece."""

    @property
    def last(self) -> LastWorks:
        """The last things of the piece."""

    @property
    def counting(self) -> CountingWorks:
        """Counts from the cloth."""

    @property
    def differing(self) -> DifferingWorks:
        """Where the cloth differs."""

    def pin_here(self) -> None:
        """Ask for the words of a pin at the pointer."""

    def ask_habits(self) -> None:
        """Ask how the next needleful is to be reckoned."""

    def list_notes(self) -> None:
        """List pins, parked threads and threads held back."""

    def held(self) -> bool:
        """Whether the thread in hand is held back."""

    def ask_square(self) -> None:
        """Ask to which column and row to go."""

    def check_stitch(self) -> None:
        """Ask whether a stitch is where it should be, counted from the pointer."""
