"""Hear of what another window writes into the same done file: at once where the system tells, else soon."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer

# Where the system tells of nothing, as on many drives of a network, the file is looked at so often.
LISTEN_MS = 400
# A transaction touches the file several times; it is read once it has been left alone for so long.
SETTLE_MS = 20


class Listening(QObject):
    """Has `hear`, a bound method of `parent`, called whenever the file may hold something new."""

    def __init__(self, path: Path | None, hear: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._path = "" if path is None else str(path)
        self._again, self._settled = QTimer(self), QTimer(self)
        self._again.setInterval(LISTEN_MS)
        self._settled.setInterval(SETTLE_MS)
        self._settled.setSingleShot(True)
        for timer in (self._again, self._settled):
            timer.timeout.connect(hear)
        self._watch = QFileSystemWatcher(self)
        self._watch.fileChanged.connect(self._stirred)
        if self._path:
            self._watch.addPath(self._path)
            self._again.start()

    def stop(self) -> None:
        """Hear no more."""
        self._again.stop()
        self._settled.stop()
        if self._watch.files():
            self._watch.removePaths(self._watch.files())

    def _stirred(self) -> None:
        if self._path not in self._watch.files():
            # Another file was put in its place.
            self._watch.addPath(self._path)
        self._settled.start()
