"""Reckons for the diary in a thread beside the window, so that no hand waits, however long the diary is."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QCoreApplication, QObject, Signal

from stitchview.errors import StitchviewError

# How the kind of each task begins, so that each is a kind of its own.
TASK = "task "


@dataclass(frozen=True, eq=False)
class _Answer:
    """What came of an asking: its kind and number, and the result or what hindered."""

    kind: str
    number: int
    result: object = None
    trouble: StitchviewError | None = None
    unforeseen: BaseException | None = None


class Reckoning(QObject):
    """One thing after the other; of one kind only what was asked last is told, but each task is done.

    `told` and `failed` are called in the window's thread. After `forget` nothing of what was asked is
    told any more, tasks excepted; after `stop` all tasks are done and told and no thread is left either.
    What is asked then begins anew.
    """

    _answered = Signal(object)

    def __init__(self, failed: Callable[[StitchviewError], None], parent: QObject) -> None:
        super().__init__(parent)
        self._failed = failed
        self._pool: ThreadPoolExecutor | None = None
        self._last: dict[str, int] = {}
        self._listeners: dict[str, Callable[[object], None]] = {}
        self._number = 0
        self._stopping = False
        self._answered.connect(self._take)

    @property
    def rests(self) -> bool:
        """Whether all that was asked has been told."""
        return not self._last

    def ask(self, kind: str, work: Callable[[], object], told: Callable[[object], None]) -> None:
        """Have `work` done in the thread, and `told` called with what it gives."""
        if self._stopping:
            return
        if self._pool is None:
            self._pool = ThreadPoolExecutor(1, "stitchview diary")
        self._number += 1
        self._last[kind], self._listeners[kind] = self._number, told
        running = self._pool.submit(self._run, kind, self._number, work)
        running.add_done_callback(partial(self._tell_unforeseen, kind, self._number))

    def see_to(self, work: Callable[[], object], told: Callable[[object], None]) -> None:
        """Have a task done, as writing a file, whatever else is asked or forgotten."""
        self.ask(f"{TASK}{self._number + 1}", work, told)

    def forget(self) -> None:
        """Tell nothing of what was asked, tasks excepted, and wait for nothing."""
        for kind in [each for each in self._last if not each.startswith(TASK)]:
            del self._last[kind]

    def stop(self) -> None:
        """Tell nothing of what was asked but of tasks; wait until they are done and the thread has ended."""
        self.forget()
        if self._pool is not None:
            self._pool.shutdown(wait=True)
            self._pool = None
        # What the thread has told of them still waits for the window; what that asks for comes too late.
        self._stopping = True
        QCoreApplication.sendPostedEvents(self)
        self._stopping = False
        self._last.clear()
        self._listeners.clear()

    def _run(self, kind: str, number: int, work: Callable[[], object]) -> None:
        answer = _Answer(kind, number)
        if self._last.get(kind) == number:
            try:
                answer = _Answer(kind, number, work())
            except StitchviewError as error:
                # Without its trace, which holds on to all that the thread had in hand.
                answer = _Answer(kind, number, trouble=error.with_traceback(None))
            except MemoryError:
                trouble = StitchviewError(
                    "There is too little memory for the diary.", "Close other programs."
                )
                answer = _Answer(kind, number, trouble=trouble)
        self._answered.emit(answer)

    def _tell_unforeseen(self, kind: str, number: int, run: Future[None]) -> None:
        """Have a fault that nobody foresaw raised in the window's thread; the pool would keep it."""
        if not run.cancelled() and (fault := run.exception()) is not None:
            self._answered.emit(_Answer(kind, number, unforeseen=fault))

    def _take(self, answer: _Answer) -> None:
        # Something newer may have been asked while this was on its way from the thread.
        if self._last.get(answer.kind) != answer.number:
            return
        del self._last[answer.kind]
        told = self._listeners.pop(answer.kind)
        if answer.unforeseen is not None:
            raise answer.unforeseen
        if answer.trouble is not None:
            self._failed(answer.trouble)
        else:
            told(answer.result)
