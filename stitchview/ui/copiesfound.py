"""Looks beside an open chart for marks of it that a file-sync service left, and offers to join them."""

import threading

from PySide6.QtCore import QObject, QTimer, Signal

from stitchview.canvas.desk import Desk
from stitchview.done.conflicts import Offer, join_copies, offer_for
from stitchview.done.joining import Piece
from stitchview.errors import StitchviewError
from stitchview.ui.messages import NoticeBar

# The chart is there before anything else is looked for.
WAIT_MS = 1500


class CopiesFound(QObject):
    """One search in a thread of its own; what it finds is told as a notice, with a button to join it."""

    _found = Signal(object)

    def __init__(self, desk: Desk, piece: Piece, notices: NoticeBar, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._piece, self._notices = desk, piece, notices
        self._offer: Offer | None = None
        self._closed = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_MS)
        self._soon.timeout.connect(self._begin)
        self._found.connect(self._tell)

    def look_soon(self) -> None:
        """Look a moment from now."""
        self._soon.start()

    def stop(self) -> None:
        """Tell nothing any more."""
        self._closed = True
        self._soon.stop()

    def join(self) -> None:
        """Join the copies that were offered; the marks show at once."""
        if self._offer is None or self._closed:
            return
        try:
            join_copies(self._piece, self._offer.copies)
        except StitchviewError as error:
            self._notices.say(str(error))
            return
        self._desk.take_news()

    def _begin(self) -> None:
        threading.Thread(target=self._look, name="stitchview copies", daemon=True).start()

    def _look(self) -> None:
        try:
            offer = offer_for(self._piece)
        except (StitchviewError, OSError):
            # Another program's copies are no reason to trouble her; her own layer was opened well.
            return
        if offer is not None and not self._closed:
            self._found.emit(offer)

    def _tell(self, offer: Offer) -> None:
        if not self._closed:
            self._offer = offer
            self._notices.say(offer.sentence, offer.action, self.join)
