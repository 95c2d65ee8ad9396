"""What actions can do between cloth and chart: measure, find the place, and check a stitch."""

from typing import Protocol


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


class ClothWorks(Protocol):
    """All that is done between cloth and chart."""

    @property
    def tape(self) -> TapeWorks:
        """The tape."""

    @property
    def finding(self) -> FindingWorks:
        """Finding the place."""

    def check_stitch(self) -> None:
        """Ask whether a stitch is where it should be, counted from the pointer."""
