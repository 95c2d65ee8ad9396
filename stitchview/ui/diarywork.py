"""Opens the diary of the open chart, and lets it follow the marks."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from stitchview.canvas.desk import Desk
from stitchview.done.joining import Piece
from stitchview.done.sittings import Pauses

if TYPE_CHECKING:
    from stitchview.ui.diary.diaryreader import Shot
    from stitchview.ui.diary.diarywindow import DiaryWindow


class DiaryWork:
    """The diary of one sitting; its window stands over the board."""

    def __init__(
        self, desk: Desk, piece: Piece, title: str, board: QWidget, show_new: "Callable[[Shot], None]"
    ) -> None:
        self._desk, self._piece, self._title, self._board = desk, piece, title, board
        self.rate_words: Callable[[float], str]
        self._show_new, self.rate_words = show_new, _nothing_learnt
        self._pauses = Pauses()
        self.window: DiaryWindow | None = None

    def use(self, pauses: Pauses) -> None:
        """Take minutes of quiet otherwise."""
        if pauses != self._pauses:
            self._pauses = pauses
            if self.window is not None:
                self.window.pauses = pauses
                self.window.changed()

    def open(self) -> None:
        """Open the diary as it is now."""
        if self.window is None:
            self.window = self._made()
        self.window.refresh()
        self.window.show()
        self.window.raise_()
        self.window.activateWindow()

    def close(self) -> None:
        """Put the window away with the chart."""
        if self.window is not None:
            self.window.end()

    def changed(self) -> None:
        """Follow other marks."""
        if self.window is not None:
            self.window.changed()

    def _made(self) -> "DiaryWindow":
        # Loaded only now: nobody who opens a chart to stitch waits for plots.
        from stitchview.ui.diary.diarywindow import DiaryWindow

        window = DiaryWindow(self._desk, self._piece, self._title, self._board, self._show_new)
        window.forecast.rate_words, window.pauses = self.rate_words, self._pauses
        return window


def _nothing_learnt(_: float) -> str:
    return ""
