"""One thing at a time in a thread beside the window; what was stopped or overtaken is not told."""

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal


class BesideWindow(QObject):
    """Whoever inherits begins work with `_begin`, and is told in the window's thread by `_tell`."""

    _finished = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._stop: threading.Event | None = None
        self._finished.connect(self._end)

    @property
    def busy(self) -> bool:
        """Whether something is under way."""
        return self._stop is not None

    def stop(self) -> None:
        """Stop what is under way; nothing more is heard of it."""
        if self._stop is not None:
            self._stop.set()
            self._stop = None

    def _begin(self, work: Callable[[threading.Event], object], name: str) -> None:
        """Do `work` in a thread of that name, in place of what is under way; its event says when to stop."""
        self.stop()
        self._stop = stop = threading.Event()
        threading.Thread(target=self._run, args=(work, stop), name=name).start()

    def _run(self, work: Callable[[threading.Event], object], stop: threading.Event) -> None:
        """Runs in the thread; nothing is told once the window has gone on."""
        outcome = work(stop)
        if not stop.is_set():
            self._finished.emit(stop, outcome)

    def _end(self, stop: threading.Event, outcome: object) -> None:
        if stop is self._stop:
            self._stop = None
            self._tell(outcome)

    def _tell(self, outcome: object) -> None:
        """Tell the window what came of the work."""
        raise NotImplementedError
