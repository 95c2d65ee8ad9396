"""What actions can do about the plan of a piece: open the planning window at one of its pages."""

from enum import StrEnum
from typing import Protocol


class PlanPlace(StrEnum):
    """The pages of the planning window, in their order; the values are their titles."""

    CLOTH = "Cloth"
    THREAD = "Thread"
    LOTS = "Lots"
    STASH = "Stash"
    CARD = "Card"


class PlanWorks(Protocol):
    """The plan."""

    def open(self, place: PlanPlace) -> None:
        """Open the planning window at a page."""

    def another_thread(self) -> None:
        """Ask what is used in the whole piece instead of the thread in hand."""
