"""Where next on one open chart: going to what is left and calling runs out, told to actions and panels."""

from dataclasses import replace

from PySide6.QtCore import QTimer

from stitchview.canvas.looks import Look
from stitchview.done.change import Change
from stitchview.follow.runs import Going
from stitchview.ui.asidelines import listed
from stitchview.ui.asidepanel import Aside, Line
from stitchview.ui.calling import Calling
from stitchview.ui.calls import Follow
from stitchview.ui.chips import Chips
from stitchview.ui.display import Panels
from stitchview.ui.handling import Door
from stitchview.ui.marking import Marking
from stitchview.ui.messages import announce
from stitchview.ui.nextstitch import NextStitch
from stitchview.ui.preferences import Preferences
from stitchview.ui.speech import Speech

# What takes longer than a frame waits until hands and view have rested so long.
REST_MS = 150


class Following:
    """The `FollowWorks` of one sitting, and the listener of its panels."""

    def __init__(self, marking: Marking, panels: Panels, door: Door) -> None:
        self._bench, self._voice, self._panels, self._door = marking.bench, marking.voice, panels, door
        self.next = NextStitch(marking.bench, marking.voice)
        self._calling, self._speech = Calling(self.next, marking), Speech()
        self._aside, self._listed_aside = Aside.NEAREST, False
        self._rest = QTimer(self._bench.canvas)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.show_rest)
        self._look, self._chips = Look(), Chips(pictures=self._bench.desk.chart.attachments)
        panels.runs.set_listener(self)
        panels.aside.set_listener(self)

    def use(self, preferences: Preferences) -> None:
        """Go on with other preferences."""
        self.next.count_as(preferences.numbering)
        self._speech.want(preferences.speaks)

    def restore(self, kept: Follow) -> None:
        """Call out and list as it was when the chart was closed."""
        self._calling.choose(kept.calls)
        self._aside, self._listed_aside = kept.aside, kept.listed

    @property
    def kept(self) -> Follow:
        """How runs are called out and where she is in them, and what is listed."""
        run = self._calling.current
        at = run.squares[0] if run is not None else self._calling.kept.at
        return Follow(replace(self._calling.kept, at=at), self._aside, self._listed_aside)

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
            told, looks = calling.told, self._bench.looks
            seen_upright = self._bench.band.upright != looks.turn.lies
            panel.show_calls(calling.kept, seen_upright, looks.left_handed)
            panel.show_told(told, chart.key[told.number - 1] if told.number else None, self._chips)
        panel.setVisible(calling.on)
        self._panels.aside.setVisible(self._listed_aside)
        self.follow()

    def follow(self) -> None:
        """Follow pointer and view, when these have rested for a moment."""
        self._rest.start()

    def show_rest(self) -> None:
        """Show what takes a look at all of the chart: what is left of the thread in hand, and the list."""
        bench, number = self._bench, self._bench.holding.thread
        work, lit, area = self.next.work, bench.band.lit, bench.canvas.view.area
        words = ""
        if number:
            counts = [f"{work.left_in(area, number).total:,} in view", f"{work.left(number).total:,} in all"]
            if lit is not None:
                counts.insert(0, f"{work.left_in(lit, number).total:,} in the band")
            words = f"Left of {self.next.names[number - 1]}: {', '.join(counts)}"
        self._panels.keys.show_hand(words)
        if self._listed_aside:
            lines = listed(self.next, self._aside, number)
            self._panels.aside.show_listed(self._aside, lines, bench.desk.chart.key, self._chips)

    def clear(self) -> None:
        """Let the panels forget the chart."""
        self._rest.stop()
        self._speech.stop()
        self._panels.aside.set_listener(None)
        self._panels.keys.show_hand("")
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

    # The list beside the chart

    @property
    def listed_aside(self) -> bool:
        """Whether islands, stragglers or a block's threads are listed beside the chart."""
        return self._listed_aside

    def switch_aside(self) -> None:
        """List islands, stragglers or a block's threads, or no more."""
        self._listed_aside = not self._listed_aside

    def list_aside(self, aside: Aside) -> None:
        """List something else."""
        self._aside = aside
        self._door.show()

    def aside_chosen(self, line: Line) -> None:
        """Go to the square of a line, or take its thread in hand."""
        if line.square is not None:
            self.next.go_to(line.square)
        elif line.number:
            self._bench.holding.take(line.number)
        self._door.show()

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
            words = self._calling.told.now
            announce(self._bench.canvas, words)
            self._speech.say(words)

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
