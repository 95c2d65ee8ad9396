"""Who is told of a sitting, and the chart laid out anew soon after a recorded difference came or went."""

from typing import Protocol

from PySide6.QtCore import QObject, QTimer

from stitchview.done.differing import touches_differences
from stitchview.done.notebook import NotesChange


class SittingListener(Protocol):
    """Who shows what can be done now."""

    def sitting_changed(self) -> None:
        """Take over what can be done now, and what is switched on."""

    def cloth_differs(self) -> None:
        """Lay the chart out anew as it stands on the cloth now."""


class LayingOut(QObject):
    """Asks for it a moment later: who made the change still works with the sitting that is closed for it."""

    def __init__(self, listener: SittingListener, parent: QObject) -> None:
        super().__init__(parent)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(listener.cloth_differs)

    def follow(self, change: NotesChange) -> None:
        """Follow a change of the notes."""
        if touches_differences(change):
            self._soon.start()

    def stop(self) -> None:
        """Ask for nothing any more."""
        self._soon.stop()
