"""Where next on one open chart: going to what is left, told to the actions and to the panels."""

from stitchview.done.change import Change
from stitchview.ui.marking import Marking
from stitchview.ui.nextstitch import NextStitch
from stitchview.ui.preferences import Preferences


class Following:
    """The `FollowWorks` of one sitting."""

    def __init__(self, marking: Marking) -> None:
        self.next = NextStitch(marking.bench, marking.voice)

    def use(self, preferences: Preferences) -> None:
        """Go on with other preferences."""
        self.next.count_as(preferences.numbering)

    def marks_changed(self, change: Change) -> None:
        """Follow the marks."""
        self.next.marks_changed(change)

    def nearest_left(self) -> None:
        """Go to the stitch of the thread in hand left nearest to the place."""
        self.next.nearest_left()

    def next_left(self) -> None:
        """Go to the next square of the thread in hand that is left, in reading order."""
        self.next.next_left()

    def previous_left(self) -> None:
        """Go to the square before of the thread in hand that is left, in reading order."""
        self.next.previous_left()

    def next_block(self, of_thread: bool) -> None:
        """Go to the nearest other block with work left, of the thread in hand or of any."""
        self.next.next_block(of_thread)
