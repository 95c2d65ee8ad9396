"""How much of every thread a chart needs in all, for what is done, and for what is left."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from stitchview.chart.model import Chart, KeyEntry
from stitchview.chart.threadname import ThreadName
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch, pitch_of
from stitchview.plan.interval import Interval
from stitchview.plan.manner import Manner, checked_pitch
from stitchview.plan.reckoning import DONE_AT, LEFT_AT, Reckoned, reckoned
from stitchview.plan.skeins import USUAL_SKEIN, Skein, margin_of, skeins_to_buy
from stitchview.plan.threads import BEAD, BoughtThread, bought_threads
from stitchview.plan.usage import Stretch, Usage, usage_of


@dataclass(frozen=True, slots=True)
class Supply:
    """What is known of skeins and of her use of thread: nothing at first.

    `skeins` go before those of `kinds`, and these before `usual`; so do `margins` (shares, by kind)
    before those of common practice. `stretches` are what she really used (see `plan/usednotes.py`).
    """

    usual: Skein = USUAL_SKEIN
    kinds: Mapping[str, Skein] = field(default_factory=dict)
    skeins: Mapping[ThreadName, Skein] = field(default_factory=dict)
    margins: Mapping[str, float] = field(default_factory=dict)
    stretches: tuple[Stretch, ...] = ()

    def skein_of(self, thread: BoughtThread) -> Skein:
        """The skein in which a thread is bought."""
        return self.skeins.get(thread.identity, self.kinds.get(thread.kind, self.usual))

    def margin_of(self, kind: str) -> float:
        """The reserve for a kind of thread, as a share."""
        return self.margins.get(kind, margin_of(kind))


@dataclass(frozen=True, slots=True)
class Amount:
    """What a thread takes for some stitches: thread in the needle and single strand in metres, skeins.

    The intervals are what she will use; `reckoned_mm` is the single strand by geometry, with
    carries and tails, from which they are made. `starts` says how often the thread begins.
    """

    needle_m: Interval
    strand_m: Interval
    skeins: Interval
    reckoned_mm: float
    carried_mm: float
    tails_mm: float
    starts: float
    stitches: int
    beads: int


@dataclass(frozen=True, slots=True)
class ThreadNeed:
    """The need of one thread; `buy` is how many whole skeins to have for all of it, margin included.

    `buy_left` is that for what is left. For beads both count no skeins but the sewing thread's.
    """

    thread: BoughtThread
    skein: Skein
    usage: Usage
    margin: float
    all: Amount
    done: Amount
    left: Amount
    buy: int
    buy_left: int

    @property
    def name(self) -> str:
        """The thread's name."""
        return self.thread.name

    @property
    def number(self) -> str:
        """The thread's number."""
        return self.thread.number

    @property
    def is_bead(self) -> bool:
        """Whether it is counted rather than measured."""
        return self.thread.kind == BEAD


@dataclass(frozen=True, slots=True)
class Need:
    """The need of a whole chart, thread by thread in the order of the key."""

    threads: tuple[ThreadNeed, ...]
    pitch: Pitch
    manner: Manner

    def of_entry(self, number: int) -> tuple[ThreadNeed, ...]:
        """The threads that go into the needle for key entry `number`, from 1."""
        return tuple(each for each in self.threads if number in each.thread.numbers)

    def of_thread(self, thread: ThreadName) -> ThreadNeed | None:
        """The need of one thread, if the chart uses it."""
        return next((each for each in self.threads if each.thread.identity == thread), None)

    @property
    def skeins_to_buy(self) -> int:
        """All whole skeins, beads left out."""
        return sum(each.buy for each in self.threads if not each.is_bead)


def need(
    chart: Chart,
    done: Marks | None = None,
    cloth: Pitch | None = None,
    habits: Manner | None = None,
    supply: Supply | None = None,
) -> Need:
    """What `chart` needs, as far as it is `done` (None for nothing), on a `cloth` of such a pitch.

    `cloth` None is what the chart suggests, see `clothpitch.pitch_of`. Raises `CommandError` for
    counts on which nobody can stitch. O(chart).
    """
    pitch = checked_pitch(pitch_of(chart.cloth) if cloth is None else cloth)
    manner, known = habits or Manner(), supply or Supply()
    table = _Table(chart, reckoned(chart, done, pitch, manner), manner)
    return Need(tuple(_thread_need(each, table, known) for each in bought_threads(chart)), pitch, manner)


@dataclass(frozen=True, eq=False, slots=True)
class _Table:
    """What was reckoned of a chart, read thread by thread."""

    chart: Chart
    sums: Reckoned
    manner: Manner

    def amount(self, thread: BoughtThread, states: Iterable[int], usage: Usage) -> Amount:
        """What a thread takes for the stitches of these states."""
        needle = strand = carried = tails = starts = 0.0
        stitches = beads = 0
        sums = self.sums
        for share in thread.shares:
            entry, at = self.chart.key[share.number - 1], share.number
            for state in states:
                cross, line = float(sums.cross_mm[state, at]), float(sums.line_mm[state, at])
                needle += cross + line
                strand += share.share * (cross * self._strands(entry) + line * self._back_strands(entry))
                carried += float(sums.carried_mm[state, at])
                tails += float(sums.tails_mm[state, at])
                starts += float(sums.starts[state, at])
                stitches += int(sums.stitches[state, at])
                beads += int(sums.beads[state, at])
        used = usage.strand(strand)
        return Amount(
            used.times(needle / strand / 1000 if strand else 0.0),
            used.times(1 / 1000),
            used,
            strand,
            carried,
            tails,
            starts,
            stitches,
            beads,
        )

    def _strands(self, entry: KeyEntry) -> int:
        return entry.cross_strands if self.manner.strands is None else self.manner.strands

    def _back_strands(self, entry: KeyEntry) -> int:
        return entry.back_strands if self.manner.back_strands is None else self.manner.back_strands


def _thread_need(thread: BoughtThread, table: _Table, supply: Supply) -> ThreadNeed:
    usage = usage_of(thread.identity, thread.kind, supply.stretches)
    skein, margin = supply.skein_of(thread), supply.margin_of(thread.kind)
    every, done, left = (
        _in_skeins(table.amount(thread, states, usage), skein)
        for states in ((LEFT_AT, DONE_AT), (DONE_AT,), (LEFT_AT,))
    )
    buy, buy_left = (_to_have(each, skein, margin) for each in (every, left))
    return ThreadNeed(thread, skein, usage, margin, every, done, left, buy, buy_left)


def _in_skeins(amount: Amount, skein: Skein) -> Amount:
    return replace(amount, skeins=amount.strand_m.times(1000 / skein.strand_mm))


def _to_have(amount: Amount, skein: Skein, margin: float) -> int:
    """Enough for what may be used at most, and for the margin over what stitches take by themselves."""
    return max(
        skeins_to_buy(amount.strand_m.high * 1000, skein), skeins_to_buy(amount.reckoned_mm, skein, margin)
    )
