"""Where next on one open chart: going to what is left and calling runs out, told to actions and panels."""

from dataclasses import replace

from stitchview.canvas.looks import Look
from stitchview.done.change import Change
from stitchview.follow.runs import Going
from stitchview.ui.calling import Calling
from stitchview.ui.calls import Calls
from stitchview.ui.chips import Chips
from stitchview.ui.display import Panels
from stitchview.ui.handling import Door
from stitchview.ui.marking import Marking
from stitchview.ui.messages import announce
from stitchview.ui.nextstitch import NextStitch
from stitchview.ui.preferences import Preferences


class Following:
    """The `FollowWorks` of one sitting, and the listener of its panels."""

    def __init__(self, marking: Marking, panels: Panels, door: Door) -> None:
        self._bench, self._voice, self._panels, self._door = marking.bench, marking.voice, panels, door
        self.next = NextStitch(marking.bench, marking.voice)
        self._calling = Calling(self.next, marking)
        self._look, self._chips = Look(), Chips(pictures=self._bench.desk.chart.attachments)
        panels.runs.set_listener(self)

    def use(self, preferences: Preferences) -> None:
        """Go on with other preferences."""
        self.next.count_as(preferences.numbering)

    def restore(self, calls: Calls) -> None:
        """Call out as it was when the chart was closed."""
        self._calling.choose(calls)

    @property
    def kept(self) -> Calls:
        """How runs are called out, and where she is in them."""
        run = self._calling.current
        at = run.squares[0] if run is not None else self._calling.kept.at
        return replace(self._calling.kept, at=at)

    def marks_changed(self, change: Change) -> None:
        """Follow the marks."""
        self.next.marks_changed(change)
        self._calling.marks_changed()

    def show(self, look: Look) -> None:
        """Show what is called out as it is now, in the look of the chart."""
        if look != self._look:
            self._look, self._chips = look, Chips(look, self._bench.desk.chart.attachments)
        calling, panel, chart = self._calling, self._panels.runs, self._bench.desk.chart
        calling.refresh()
        pointers = self._bench.canvas.showing.pointers
        if pointers.called != calling.area:
            self._bench.canvas.set_pointers(replace(pointers, called=calling.area))
        if calling.on:
            told = calling.told
            panel.show_calls(calling.kept, self._bench.band.upright)
            panel.show_told(told, chart.key[told.number - 1] if told.number else None, self._chips)
        panel.setVisible(calling.on)

    def clear(self) -> None:
        """Let the panels forget the chart."""
        self._panels.runs.set_listener(None)

    # Going

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

    # Calling out

    @property
    def runs_called(self) -> bool:
        """Whether runs are called out."""
        return self._calling.on

    def switch_runs(self) -> None:
        """Call runs out, or call no more."""
        kept = self._calling.kept
        self._calling.choose(replace(kept, on=not kept.on))
        self._called("")

    def runs_from_here(self) -> None:
        """Go on calling out from the run at the pointer."""
        found = self._calling.begin_at(self._bench.pointer.square_or_middle)
        self._called("" if found else "No run that is called out lies at the pointer.")

    def step_run(self) -> None:
        """Mark the run called out and move on."""
        self._called(self._calling.step())

    def run_back(self) -> None:
        """Unpick the run before and be there again."""
        self._called(self._calling.back())

    def _called(self, trouble: str) -> None:
        if trouble:
            self._voice.hint(trouble)
        self._calling.refresh()
        area = self._calling.area
        if area is not None:
            self._bench.canvas.reveal(area)
        if self._calling.on and not trouble:
            announce(self._bench.canvas, self._calling.told.now)

    # What the strip under the chart tells

    def call_otherwise(self, going: Going, all_threads: bool) -> None:
        """Call out another way, or other threads."""
        self._calling.choose(replace(self._calling.kept, going=going, all_threads=all_threads))
        self._called("")
        self._door.show()

    def run_done(self) -> None:
        """Mark the run and move on; the view follows a band that moved."""
        band = self._bench.band.band
        self.step_run()
        if self._bench.band.band != band:
            self._bench.going.follow_band()
        self._door.show()

    def run_undone(self) -> None:
        """Unpick the run before and be there again."""
        self.run_back()
        self._door.show()

    def stop_calling(self) -> None:
        """Call no more runs out."""
        self._calling.choose(replace(self._calling.kept, on=False))
        self._door.show()
