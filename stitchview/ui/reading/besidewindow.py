"""One thing at a time in a thread beside the window; what was stopped or overtaken is not told."""

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QObject, Qt, Signal

UNFORESEEN = (
    "Something went wrong that should not. Nothing was lost or written; try again, or another picture."
)


@dataclass(frozen=True, eq=False)
class Fault:
    """What ended the work though nobody foresaw it."""

    cause: BaseException


class BesideWindow(QObject):
    """Whoever inherits begins work with `_begin`, and is told in the window's thread by `_tell`.

    A fault that nobody foresaw ends the work too, is told by `_tell_fault` and raised in the window's thread.
    """

    _finished = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._stop: threading.Event | None = None
        # Quick work may have ended before it is waited for, and is told of later all the same.
        self._finished.connect(self._end, Qt.ConnectionType.QueuedConnection)

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
        thread = ThreadPoolExecutor(1, name)
        thread.submit(work, stop).add_done_callback(partial(self._ended, stop))
        thread.shutdown(wait=False)

    def _ended(self, stop: threading.Event, run: Future[object]) -> None:
        """Runs in the thread; nothing is told once the window has gone on."""
        if not stop.is_set():
            fault = run.exception()
            self._finished.emit(stop, run.result() if fault is None else Fault(fault))

    def _end(self, stop: threading.Event, outcome: object) -> None:
        if stop is not self._stop:
            return
        self._stop = None
        if isinstance(outcome, Fault):
            self._tell_fault()
            raise outcome.cause
        self._tell(outcome)

    def _tell(self, outcome: object) -> None:
        """Tell the window what came of the work."""
        raise NotImplementedError

    def _tell_fault(self) -> None:
        """Tell the window that nothing came of the work."""
        raise NotImplementedError
