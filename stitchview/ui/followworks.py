"""What can be asked about where to go next on the chart at hand, as the actions see it."""

from typing import Protocol


class FollowWorks(Protocol):
    """Going to what is left, calling runs out, and the panels about islands and blocks."""

    def nearest_left(self) -> None:
        """Go to the stitch of the thread in hand left nearest to the place."""

    def next_left(self) -> None:
        """Go to the next square of the thread in hand that is left, in reading order."""

    def previous_left(self) -> None:
        """Go to the square before of the thread in hand that is left, in reading order."""

    @property
    def listed_aside(self) -> bool:
        """Whether islands, stragglers or a block's threads are listed beside the chart."""

    def switch_aside(self) -> None:
        """List islands, stragglers or a block's threads, or no more."""

    @property
    def runs_called(self) -> bool:
        """Whether runs are called out."""

    def switch_runs(self) -> None:
        """Call runs out, or call no more."""

    def runs_from_here(self) -> None:
        """Go on calling out from the run at the pointer."""

    def step_run(self) -> None:
        """Mark the run called out and move on."""

    def run_back(self) -> None:
        """Unpick the run before and be there again."""

    def next_block(self, of_thread: bool) -> None:
        """Go to the nearest other block with work left, of the thread in hand or of any."""
