"""What the finishing window does: tells the end of the piece, notes it, and lets others learn from it."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from stitchview.canvas.finishsheet import write_finish
from stitchview.done.deflated import MalformedStroke
from stitchview.done.ledger import Ledger
from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.sittings import Pauses
from stitchview.errors import LayerError
from stitchview.plan.cardpages import Paper
from stitchview.plan.clothsize import Size
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.plan.finishing import Ending, ending_of, finish_note, learnt_from
from stitchview.ui.bench import Bench
from stitchview.ui.finishworks import FinishDoor


class FinishBook:
    """The end of one sitting's piece."""

    def __init__(
        self, bench: Bench, path: Path, title: str, door: FinishDoor, pauses: Callable[[], Pauses]
    ) -> None:
        self._bench, self.path, self.title, self.door = bench, path, title, door
        self._pauses, self._ledger = pauses, Ledger(bench.desk.chart)

    def ending(self) -> Ending:
        """The end of the piece as it is now; raises `StitchviewError` where it cannot be told."""
        desk, piece = self._bench.desk, self._bench.piece
        try:
            rows, told = desk.strokes(), (piece.piece, piece.habits)
            return ending_of(desk.marks, rows, *told, self._ledger, self._pauses())
        except MalformedStroke as error:
            raise LayerError("A stroke makes no sense.", "Close the chart and open it again.") from error

    def note(self, day: date, size: Size | None, carried: bool) -> None:
        """Note that it is finished, and let others learn from it or not; raises `StitchviewError`."""
        desk = self._bench.desk
        note = finish_note(self.ending(), desk.marks, day, size)
        desk.note(desk.notes.putting(note))
        learnt = learnt_from(self.ending(), self._bench.piece.identity) if carried else None
        if learnt is None:
            self.kept.take_out(self._bench.piece.identity)
        else:
            self.kept.put(learnt)

    def renew_lessons(self) -> None:
        """Reckon with other lessons from now on, because she took or refused some."""
        self._bench.piece.renew_lessons()
        self.door.show()

    def write_sheet(self, path: Path, paper: Paper) -> None:
        """Write the finished sheet; raises `StitchviewError`."""
        write_finish(self._bench.desk.marks, self.ending(), path, paper)

    @property
    def kept(self) -> FinishedPieces:
        """The finished pieces others learn from."""
        return FinishedPieces(own_layers_folder())

    @property
    def carried(self) -> bool:
        """Whether others may learn from it by now."""
        return any(each.identity == self._bench.piece.identity for each in self.kept.pieces())
