"""The chart on the desk: its marks, notes and their history, changed through one door and kept on disk."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from stitchview.canvas.listening import Listening
from stitchview.chart.model import Chart
from stitchview.done.change import Change, Selection
from stitchview.done.counts import Tally
from stitchview.done.differing import touches_differences
from stitchview.done.history import Step
from stitchview.done.ids import time_of
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import Marks, change_to, noting
from stitchview.done.news import news_for
from stitchview.done.notebook import Notes, NotesChange, both
from stitchview.done.strokes import Stroke, StrokeRow
from stitchview.errors import LayerError
from stitchview.follow.parking import unparked_by

IN_MEMORY = "These marks are in memory only and end with the window."


@dataclass(frozen=True, slots=True)
class Keeping:
    """How safe the marks are: strokes not yet on disk, and what stands in the way, if anything does."""

    waiting: int
    trouble: str = ""


class Desk(QObject):
    """Holds one open chart. Listeners must be bound methods, so that Qt lets go of them when they die."""

    _changed = Signal(object)
    _notes_changed = Signal(object)
    _keeping_changed = Signal(object)
    # The keeper's thread speaks through these two, so that its words arrive in the window's thread.
    _kept = Signal(object)
    _failed = Signal(object)

    def __init__(self, opened: OpenedLayer, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._opened = opened
        self._waiting: set[bytes] = set()
        self._trouble = ""
        self._kept.connect(self._take_kept)
        self._failed.connect(self._take_failed)
        self._keeper = Keeper(opened, self._kept.emit, self._failed.emit)
        self._listening = Listening(opened.layer.path, self.take_news, self)

    @property
    def chart(self) -> Chart:
        """The chart as it stands on the cloth; `chart.printed` is the one of the file."""
        return self._opened.marks.chart

    @property
    def marks(self) -> Marks:
        """What is stitched; to be read, never altered from outside."""
        return self._opened.marks

    @property
    def notes(self) -> Notes:
        """Pins, parked threads, threads held back and needlefuls, as they are now."""
        return self._opened.marks.notes

    @property
    def tally(self) -> Tally:
        """Counts by thread, always up to date."""
        return self._opened.marks.tally

    @property
    def place(self) -> dict[str, Any]:
        """The place that was last kept, as it was found at opening."""
        return self._opened.place

    @property
    def notices(self) -> tuple[str, ...]:
        """What had to be said about the layer at opening."""
        return self._opened.notices

    @property
    def keeping(self) -> Keeping:
        """How safe the marks are now."""
        in_memory = "" if self._opened.layer.keeps else IN_MEMORY
        return Keeping(len(self._waiting), self._trouble or in_memory)

    @property
    def keeps(self) -> bool:
        """Whether marks are kept on the disk at all."""
        return self._opened.layer.keeps

    @property
    def copy_trouble(self) -> str:
        """Why no dated copy could be kept at closing, as a sentence; empty while there is nothing to say."""
        return self._keeper.copy_trouble

    @property
    def can_undo(self) -> bool:
        """Whether there is something to undo."""
        return self._opened.history.can_undo

    @property
    def can_redo(self) -> bool:
        """Whether there is something to redo."""
        return self._opened.history.can_redo

    @property
    def latest(self) -> Change | None:
        """What was marked last, to point out where she stopped."""
        return self._opened.history.latest()

    def strokes(self) -> list[StrokeRow]:
        """All strokes in the order of their ids, for the diary; raises `LayerError`."""
        return self._opened.layer.rows()

    @property
    def last_ms(self) -> int:
        """When the last stroke was made, in milliseconds since 1970, UTC; 0 before the first."""
        live = self._opened.history.live
        return time_of(live[-1]) if live else 0

    @property
    def newest(self) -> bytes:
        """The id of the latest stroke that holds, which undoing takes back; no bytes before the first."""
        live = self._opened.history.live
        return live[-1] if live else b""

    def tell(self, listener: Callable[[Change], None]) -> None:
        """Have a bound method told of every change of the marks."""
        self._changed.connect(listener)

    def tell_notes(self, listener: Callable[[NotesChange], None]) -> None:
        """Have a bound method told of every change of the notes, after it is told of the marks."""
        self._notes_changed.connect(listener)

    def tell_keeping(self, listener: Callable[[Keeping], None]) -> None:
        """Have a bound method told when strokes have been kept, or cannot be."""
        self._keeping_changed.connect(listener)

    def mark(self, selection: Selection, state: int, notes: NotesChange | None = None) -> Change | None:
        """Put everything selected into a state, and note what is to be noted with it; None for nothing.

        It is one stroke. Threads that were parked where she goes on now are parked no longer.
        """
        change = change_to(self.marks, selection, state)
        if change is None:
            return self.note(notes)
        unparked = unparked_by(self.chart, self.notes, change)
        return self._make(noting(self.chart, both(notes, unparked), change))

    def note(self, notes: NotesChange | None) -> Change | None:
        """Rewrite notes, as a stroke of its own; None when nothing is rewritten."""
        return self._make(noting(self.chart, notes)) if notes else None

    def make(self, change: Change) -> Change:
        """Make a change that was put together elsewhere, as one stroke."""
        return self._make(change)

    def undo(self) -> Change | None:
        """Take back the last stroke; None when there is none."""
        return self._take_step(self._opened.history.undo())

    def withdraw(self) -> Change | None:
        """Take back the last stroke as one that was never meant, which is not offered again to be redone."""
        found = self._opened.history.withdraw()
        if found is None:
            return None
        change, strokes = found
        self.marks.apply(change)
        for stroke in strokes:
            self._keep(stroke)
        self._announce(change)
        return change

    def redo(self) -> Change | None:
        """Make again the stroke taken back last; None when there is none."""
        return self._take_step(self._opened.history.redo())

    def keep_place(self, place: dict[str, Any]) -> None:
        """Have the place to resume at kept."""
        self._keeper.keep_place(place)

    def flush(self) -> bool:
        """Wait until everything is on disk; False if that cannot be."""
        return self._keeper.flush()

    def close(self) -> LayerError | None:
        """Keep what is left to keep and let go of the file; says what could not be kept."""
        self._listening.stop()
        return self._keeper.close()

    def take_news(self) -> None:
        """Take over what another window on this chart has marked; it is called by itself."""
        try:
            change = news_for(self._opened)
        except LayerError as error:
            self._take_failed(error)
            return
        if change is not None:
            self.marks.apply(change)
            self._announce(change)

    def _make(self, change: Change) -> Change:
        # Recorded first: should that fail, no mark may show that was never kept.
        stroke = self._opened.history.record(change)
        self.marks.apply(change)
        self._keep(stroke)
        self._announce(change)
        return change

    def _take_step(self, step: Step | None) -> Change | None:
        if step is None:
            return None
        self.marks.apply(step.change)
        self._keep(step.stroke)
        self._announce(step.change)
        return step.change

    def _announce(self, change: Change) -> None:
        # A difference that comes or goes alters the chart itself, which is laid out anew with all its marks.
        if change.count and not touches_differences(change.notes):
            self._changed.emit(change)
        if change.notes:
            self._notes_changed.emit(change.notes)

    def _keep(self, stroke: Stroke) -> None:
        if self._opened.layer.keeps:
            self._waiting.add(stroke.id)
        self._keeper.put(stroke)
        self._keeping_changed.emit(self.keeping)

    def _take_kept(self, strokes: tuple[bytes, ...]) -> None:
        self._waiting.difference_update(strokes)
        self._trouble = ""
        self._keeping_changed.emit(self.keeping)

    def _take_failed(self, error: LayerError) -> None:
        self._trouble = str(error)
        self._keeping_changed.emit(self.keeping)
