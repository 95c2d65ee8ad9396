"""Calling runs out: the run to work now and the next ones, one key to mark it and go on, one to go back."""

from dataclasses import dataclass

from stitchview.chart.area import Area, spanning
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.follow.callout import CallOut
from stitchview.follow.course import Course
from stitchview.follow.numbering import column_counted, row_counted
from stitchview.follow.runs import Going, Run, RunList, runs_left
from stitchview.follow.runwords import run_words
from stitchview.ui.calls import Calls
from stitchview.ui.marking import Marking
from stitchview.ui.nextstitch import NextStitch
from stitchview.ui.pointer import Square

# So many runs are told beforehand.
AHEAD = 4
# So many runs further on are looked through for one that is still left, after marks made otherwise.
FURTHEST = 500

NO_BAND = "Lay a band with B, V or F: what is left in it is called out run by run."
NO_THREAD = "Take a thread in hand with K, or choose all threads."


@dataclass(frozen=True, slots=True)
class Told:
    """What is called out: the run now, in words, those after it, what is left; or why there is none."""

    now: str
    then: tuple[str, ...] = ()
    left: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class _Basis:
    """What the list of runs is made from; another basis makes another list."""

    lit: Area
    course: Course
    going: Going
    numbers: tuple[int, ...]
    all_threads: bool


class Calling:
    """Where she is in the runs of the band. Ask `refresh` after anything has altered."""

    def __init__(self, next_stitch: NextStitch, marking: Marking) -> None:
        self._next, self._marking, self._bench = next_stitch, marking, marking.bench
        self.kept = Calls()
        self._basis: _Basis | None = None
        self._call: CallOut | None = None
        self._stepped: list[tuple[Run, Selection]] = []
        self._stale = self._own = False

    @property
    def on(self) -> bool:
        """Whether runs are called out."""
        return self.kept.on

    @property
    def current(self) -> Run | None:
        """The run to work now."""
        return self._call.current if self._call is not None else None

    def choose(self, kept: Calls) -> None:
        """Call out otherwise: on or off, another way, other threads."""
        self.kept = kept

    def marks_changed(self) -> None:
        """Take note that marks have changed; only what a step marked is expected."""
        self._stale = self._stale or not self._own

    def refresh(self) -> None:
        """Bring the runs into line with band, thread and marks."""
        basis = self._basis_now
        if basis is None:
            self._basis, self._call = None, None
        elif basis != self._basis or self._stale or self._call is None:
            runs = runs_left(
                self._next.work,
                basis.lit,
                basis.numbers,
                basis.going,
                basis.course,
            )
            self._call, self._basis = self._found_again(runs), basis
        self._stale = False

    def step(self) -> str:
        """Mark the run and move on, at the end bring the band further; what hinders that, or nothing."""
        if self._call is None:
            return self.told.now
        run = self._call.current
        if run is None:
            return self._band_on()
        selection = self._call.selection
        self._own = True
        self._marking.mark_all(selection, DONE)
        self._own = False
        self._stepped.append((run, selection))
        self._call = self._call.after_step()
        return ""

    def back(self) -> str:
        """Unpick the run marked last by a step, and be there again; what hinders that, or nothing."""
        if not self._stepped:
            return "No run was marked by calling out before this one; Ctrl+Z takes back earlier strokes."
        run, selection = self._stepped[-1]
        here = self._call
        if here is None or here.position == 0 or here.before().current != run:
            self._marking.mark_all(selection, OPEN)
            return ""
        self._own = True
        self._marking.mark_all(selection, OPEN)
        self._own = False
        self._stepped.pop()
        self._call = here.before()
        return ""

    def begin_at(self, square: Square) -> bool:
        """Go on from the run that holds a square; whether there is one."""
        there = self._held(self._call, square) if self._call is not None else None
        self._call = there or self._call
        return there is not None

    @property
    def area(self) -> Area | None:
        """The squares of the run to work now."""
        run = self.current
        return None if run is None else spanning(run.squares[0], run.squares[-1])

    @property
    def told(self) -> Told:
        """What is called out now, in words."""
        if self._bench.band.lit is None:
            return Told(NO_BAND)
        if self._call is None:
            return Told(NO_THREAD)
        run, runs = self._call.current, self._call.runs
        if run is None:
            return Told(self._end_words)
        first = self._call.position
        then = tuple(self._words(runs[at]) for at in range(first + 1, min(first + 1 + AHEAD, len(runs))))
        count, stitches = len(runs) - first, self._call.stitches_left
        left = f"{count:,} run{'s'[: count != 1]}, {stitches:,} stitch{'es'[: 2 * (stitches != 1)]} left"
        left = f"{self._line(run)} · {left}"
        # The first words say the line also in the middle of it, where she begins or comes back.
        return Told(self._words(run, whole=not self._stepped), then, left, run.number)

    @property
    def _basis_now(self) -> _Basis | None:
        lit, kept, thread = self._bench.band.lit, self.kept, self._bench.holding.thread
        if not kept.on or lit is None or not (thread or kept.all_threads):
            return None
        numbers = self._next.open_work.numbers if kept.all_threads else (thread,)
        course = self._bench.looks.course(self._bench.band.upright)
        return _Basis(lit, course, kept.going, numbers, kept.all_threads)

    @property
    def _end_words(self) -> str:
        basis = self._basis
        one = basis.numbers[0] if basis is not None and not basis.all_threads else None
        whose = "everything" if one is None else self._next.names[one - 1]
        work = self._next.open_work if one is None else self._next.work
        left = work.left_in(basis.lit, one) if basis is not None else None
        if left is not None and left.total:
            return f"Crosses of {whose} are done in the band; only lines, knots or beads are left."
        return f"Here {whose} is done. The same key brings the band further."

    def _line(self, run: Run) -> str:
        chart, numbering = self._bench.desk.chart, self._next.numbering
        if run.down:
            name, counted = "Column", column_counted(run.column, chart.columns, numbering)
        else:
            name, counted = "Row", row_counted(run.row, chart.rows, numbering)
        if counted.side == "centre":
            return f"{name} on centre"
        return f"{name} {counted.number} {counted.side}".rstrip()

    def _words(self, run: Run, whole: bool = False) -> str:
        chart, numbering = self._bench.desk.chart, self._next.numbering
        if whole and not run.begins_line:
            run = Run(
                run.column, run.row, run.length, run.number, run.shape, 0, True, run.down, run.backwards
            )
        words = run_words(run, chart, numbering, self._next.names, self._bench.looks.turn)
        return words[:1].upper() + words[1:]

    def _band_on(self) -> str:
        band, before = self._bench.band, self._bench.band.band
        course = self._bench.looks.course(band.upright)
        on = -1 if course.from_last else 1
        band.move_on(*((on, 0) if course.down else (0, on)))
        return "The band is at the end of the chart." if band.band == before else ""

    def _found_again(self, runs: RunList) -> CallOut:
        """Where she goes on in a new list: at a run she took back, else where she was, else at the first."""
        fresh = CallOut(runs)
        back = None
        while self._stepped and (there := self._held(fresh, self._stepped[-1][0].squares[0])):
            back = there
            self._stepped.pop()
        if back is not None:
            return back
        old = self._call
        if old is None:
            there = self._held(fresh, self.kept.at) if self.kept.at is not None else None
            return there or fresh
        for at in range(old.position, min(old.position + FURTHEST, len(old.runs))):
            there = self._held(fresh, old.runs[at].squares[0])
            if there is not None and there.runs.numbers[there.position] == old.runs.numbers[at]:
                return there
        return fresh

    def _held(self, call: CallOut | None, square: Square) -> CallOut | None:
        there = call.at_square(*square) if call is not None else None
        run = there.current if there is not None else None
        return there if run is not None and square in run.squares else None
