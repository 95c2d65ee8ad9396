"""Reckons for the diary in a thread beside the window, so that no hand waits, however long the diary is."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from stitchview.errors import StitchviewError


@dataclass(frozen=True, eq=False)
class _Answer:
    """What came of an asking: its kind and number, and the result or what hindered."""

    kind: str
    number: int
    result: object = None
    trouble: StitchviewError | None = None


class Reckoning(QObject):
    """One thing after the other; of one kind only what was asked last is told.

    `told` and `failed` are called in the window's thread. After `stop` nothing is told any more, and no
    thread is left; what is asked then begins anew.
    """

    _answered = Signal(object)

    def __init__(self, failed: Callable[[StitchviewError], None], parent: QObject) -> None:
        super().__init__(parent)
        self._failed = failed
        self._pool: ThreadPoolExecutor | None = None
        self._last: dict[str, int] = {}
        self._listeners: dict[str, Callable[[object], None]] = {}
        self._number = 0
        self._answered.connect(self._take)

    @property
    def rests(self) -> bool:
        """Whether all that was asked has been told."""
        return not self._last

    def ask(self, kind: str, work: Callable[[], object], told: Callable[[object], None]) -> None:
        """Have `work` done in the thread, and `told` called with what it gives."""
        if self._pool is None:
            self._pool = ThreadPoolExecutor(1, "stitchview diary")
        self._number += 1
        self._last[kind], self._listeners[kind] = self._number, told
        self._pool.submit(self._run, kind, self._number, work)

    def stop(self) -> None:
        """Tell nothing of what was asked, and wait until the thread has ended."""
        self._last.clear()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _run(self, kind: str, number: int, work: Callable[[], object]) -> None:
        if self._last.get(kind) != number:
            return
        try:
            answer = _Answer(kind, number, work())
        except StitchviewError as error:
            answer = _Answer(kind, number, trouble=error)
        except MemoryError:
            trouble = StitchviewError("There is too little memory for the diary.", "Close other programs.")
            answer = _Answer(kind, number, trouble=trouble)
        self._answered.emit(answer)

    def _take(self, answer: _Answer) -> None:
        # Something newer may have been asked while this was on its way from the thread.
        if self._last.get(answer.kind) != answer.number:
            return
        del self._last[answer.kind]
        if answer.trouble is not None:
            self._failed(answer.trouble)
        else:
            self._listeners[answer.kind](answer.result)
