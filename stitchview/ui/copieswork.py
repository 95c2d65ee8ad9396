"""The kept copies of the open chart's marks: listed, compared with what is there, brought back, undone."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from stitchview.canvas.desk import Desk
from stitchview.done.copyloss import Loss, loss_of
from stitchview.done.joining import Piece
from stitchview.done.keptcopies import KeptCopy
from stitchview.done.restoring import copies_kept_of, restore
from stitchview.done.sittings import day_words
from stitchview.errors import LayerError, StitchviewError
from stitchview.ui.messages import NoticeBar, say_error

if TYPE_CHECKING:
    from stitchview.ui.copiesdialog import CopiesDialog

IN_MEMORY = "The marks of this chart are in memory only, so no copy can be brought back."
NOT_KEPT = "Some marks are not on the disk yet, so no copy can be brought back now."


class CopiesWork(QObject):
    """One dialog over the board; bringing back is one press, and undone by one press on its notice."""

    def __init__(self, desk: Desk, piece: Piece, notices: NoticeBar, board: QWidget) -> None:
        super().__init__(board)
        self._desk, self._piece, self._notices, self._board = desk, piece, notices, board
        self._lost: KeptCopy | None = None
        self._back: int | None = None
        self.dialog: CopiesDialog | None = None

    def open(self) -> None:
        """Show the copies there are."""
        # Loaded only now: few evenings ask for a copy.
        from stitchview.ui.copiesdialog import CopiesDialog

        self._desk.flush()
        self.dialog = CopiesDialog(self, self._board)
        self.dialog.open()

    def copies(self) -> tuple[KeptCopy, ...]:
        """The copies that are kept, the newest first."""
        return copies_kept_of(self._piece)

    def loss_of(self, copy: KeptCopy) -> Loss:
        """What bringing a copy back would lose; raises `LayerError`."""
        return loss_of(self._piece, copy.number)

    def offer(self, lost: KeptCopy) -> None:
        """Offer the newest copy where the chart's own marks were gone at opening."""
        self._lost = lost
        made = lost.made.astimezone()
        self._notices.say(
            "The marks of this chart are not beside it any more. A copy of"
            f" {day_words(made)}, {made:%H:%M} with {lost.strokes:,} strokes is kept.",
            "Bring them back",
            self._bring_lost_back,
        )

    def bring_back(self, copy: KeptCopy) -> bool:
        """Bring a copy back in the place of what is there, which is kept as a copy; whether it was."""
        before = self._replace(copy.number)
        if before is None:
            return False
        made = copy.made.astimezone()
        self._back = before or None
        told = f"What was done on {day_words(made)}, {made:%H:%M} is there again."
        if self._back is None:
            self._notices.say(told)
        else:
            self._notices.say(f"{told} What was there is copy {before}.", "Undo", self._undo)
        return True

    def _replace(self, number: int) -> int | None:
        """Bring a copy back; gives the number of the copy of what was there (0 for nothing), else None."""
        try:
            if not self._desk.keeps:
                raise LayerError(IN_MEMORY, "Move the chart to a folder you can write to.")
            if not self._desk.flush():
                raise LayerError(NOT_KEPT, "Wait until “kept” is said, and try again.")
            newest = next(iter(self.copies()), None)
            had = bool(self._desk.strokes())
            restored = restore(self._piece, number)
        except StitchviewError as error:
            say_error(self._board, error)
            return None
        self._desk.take_news()
        if restored.kept is not None:
            return restored.kept.number
        # Just what was there is the newest copy already.
        return newest.number if newest is not None and had else 0

    def _bring_lost_back(self) -> None:
        if self._lost is not None:
            self.bring_back(self._lost)

    def _undo(self) -> None:
        if self._back is not None and self._replace(self._back) is not None:
            self._notices.say("It is as it was before the copy was brought back.")
