"""Clears rubbish in the window's thread only: no other may take apart what is left of closed windows."""

import gc

from PySide6.QtCore import QObject, QTimer

# Often enough that little gathers, and between two things that hands do rather than amid one.
LOOK_MS = 250
# So many more things made than let go, and so many smaller clearings, as Python itself has them (gc module).
NEW_THINGS = 700
CLEARINGS = 10


class Rubbish(QObject):
    """Python's collector on a timer of the window's thread; else any thread may do its work.

    From now until `stop` nothing is collected but here.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.clear)
        self._timer.start()

    def clear(self) -> None:
        """Clear as much as Python would by now: the youngest things, more seldom the older ones."""
        young, middle, old = gc.get_count()
        if young < NEW_THINGS:
            return
        gc.collect(2 if old > CLEARINGS else 1 if middle > CLEARINGS else 0)

    def stop(self) -> None:
        """Let Python collect by itself again; no thread may be left that works beside the window's."""
        self._timer.stop()
        gc.enable()
