"""What the finishing window opens besides itself."""

from typing import Protocol


class FinishDoor(Protocol):
    """What else the end of a piece opens."""

    def open_last_things(self) -> None:
        """List the last things."""

    def open_thread_plan(self) -> None:
        """Open the page about thread."""

    def show(self) -> None:
        """Show everything as it is now."""
