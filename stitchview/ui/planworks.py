"""What actions can do about the plan of a piece: open the planning window at one of its pages."""

from enum import IntEnum
from typing import Protocol


class PlanPlace(IntEnum):
    """The pages of the planning window, in their order."""

    CLOTH = 0
    THREAD = 1
    LOTS = 2
    STASH = 3
    CARD = 4


class PlanWorks(Protocol):
    """The plan."""

    def open(self, place: PlanPlace) -> None:
        """Open the planning window at a page."""
