"""What bringing back a kept copy would lose and give, told before anything is done."""

from collections.abc import Sequence
from dataclasses import dataclass

from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.counts import Progress, Tally, in_halves
from stitchview.done.deflated import MalformedStroke
from stitchview.done.joining import Piece
from stitchview.done.keptcopies import KeptCopy, copies_folder, kept_copies
from stitchview.done.looking import look_into, refuse_unreadable
from stitchview.done.noterows import notes_after
from stitchview.done.restoring import layer_of
from stitchview.done.sittings import day_words
from stitchview.done.strokes import StrokeRow
from stitchview.done.timeline import Replay, timeline_of
from stitchview.errors import LayerError


@dataclass(frozen=True, slots=True)
class Held:
    """How far the strokes of a layer lead: what is done, and how many notes there are."""

    progress: Progress
    notes: int


@dataclass(frozen=True, slots=True)
class Loss:
    """What is there `now` and in the copy (`then`); so many strokes would go, and so many come back."""

    copy: KeptCopy
    now: Held
    then: Held
    going: int
    coming: int

    @property
    def words(self) -> str:
        """Sentences for her, before she says yes."""
        made = self.copy.made.astimezone()
        told = [f"Copy {self.copy.number}, of {day_words(made)}, {made:%H:%M}."]
        done, then = self.now.progress.worked, self.then.progress.worked
        if not self.going and not self.coming:
            return f"{told[0]} It holds just what is there now."
        if self.going:
            told.append(f"{_strokes(self.going)} made since would be lost: {_fewer(done, then)}.")
        else:
            told.append(f"Nothing would be lost: {_fewer(done, then)}.")
        if self.coming:
            told.append(f"{_strokes(self.coming)} would come back.")
        if self.now.notes != self.then.notes:
            told.append(f"Notes: {self.then.notes:,} instead of {self.now.notes:,}.")
        told.append("What is there now is kept as a copy first, so that this can be undone.")
        return " ".join(told)


def loss_of(piece: Piece, number: int) -> Loss:
    """Compare the piece's layer with copy `number`; nothing is altered.

    Raises `LayerError` in one sentence where there is no such copy, or it gives nothing.
    """
    layer = layer_of(piece)
    copies = kept_copies(copies_folder(layer, piece.chart.identity))
    chosen = next((copy for copy in copies if copy.number == number), None)
    if chosen is None:
        raise LayerError(f"There is no copy {number}.", "Choose one of those that are listed.")
    copy = look_into(chosen.path)
    refuse_unreadable(copy)
    present = look_into(layer) if layer.exists() else None
    rows = present.rows if present is not None else ()
    ids = {row.id for row in rows}
    going, coming = len(ids - copy.ids), len(copy.ids - ids)
    return Loss(chosen, _held(piece.chart, rows), _held(piece.chart, copy.rows), going, coming)


def _held(chart: Chart, rows: Sequence[StrokeRow]) -> Held:
    ordered = sorted(rows, key=lambda row: row.id)
    timeline = timeline_of(ordered)
    live = set(timeline.live)
    replay = Replay(chart, Addresses(chart))
    try:
        for row in ordered:
            if row.id in live:
                replay.add(row)
        notes = notes_after(timeline.notes, chart.origin)
        return Held(Tally(chart, replay.finish()).total(), sum(1 for _ in notes))
    except MalformedStroke as error:
        raise LayerError("A stroke makes no sense.", "Close the chart and open it again.") from error


def _fewer(done: float, then: float) -> str:
    if done == then:
        return f"as many stitches are done as now, {in_halves(then)}"
    more = "fewer" if then < done else "more"
    instead = f"{in_halves(then)} instead of {in_halves(done)}"
    return f"{in_halves(abs(done - then))} stitches {more} are done, {instead}"


def _strokes(count: int) -> str:
    return "1 stroke" if count == 1 else f"{count:,} strokes"
