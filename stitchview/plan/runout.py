"""Whether a thread will run short, told early and in words; and what to buy before the first stitch."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from stitchview.chart.problems import counted
from stitchview.done.notebook import Notes
from stitchview.errors import CommandError
from stitchview.plan.interval import Interval
from stitchview.plan.need import Need, ThreadNeed
from stitchview.plan.usednotes import Holding, holding_of

EXACT_UP_TO = 20
"""So many squares are told one by one; more of them in tens or hundreds, away from the middle."""


@dataclass(frozen=True, slots=True)
class RunOut:
    """What becomes of a thread: `uncovered` stitches, and skeins to `buy` so that none are.

    `left_skeins` is what she has now by all that is known. `sure` tells that even the least she may
    use is more than she has.
    """

    need: ThreadNeed
    uncovered: Interval
    left_skeins: Interval
    buy: int
    lot: str = ""

    @property
    def is_short(self) -> bool:
        """Whether stitches may be left uncovered at all."""
        return self.uncovered.high > 0

    @property
    def sure(self) -> bool:
        """Whether it is short even if she uses little."""
        return self.uncovered.low > 0


def run_out(need: ThreadNeed, holding: Holding) -> RunOut:
    """Whether what she has of a thread is enough for what is left; raises `CommandError` below nothing.

    What was used since her last word on it and what is left are reckoned with one factor: checks.md,
    2.5, with an interval instead of a point.
    """
    if not 0 <= holding.skeins < math.inf:
        raise CommandError(f"One cannot have {holding.skeins:g} skeins.", "Give a number from 0 on.")
    left = need.left.reckoned_mm
    since = max(0.0, need.done.reckoned_mm - holding.reckoned_mm)
    reckoned = left + since
    had = holding.skeins * need.skein.strand_mm
    used = need.usage.strand(reckoned)

    def uncovered(strand_mm: float) -> float:
        short = reckoned * (1 - had / strand_mm) if strand_mm > had else 0.0
        return need.left.stitches * min(1.0, short / left) if left > 0 else 0.0

    past = need.usage.strand(since)
    now = Interval(
        *(max(0.0, had - each) / need.skein.strand_mm for each in (past.high, past.likely, past.low))
    )
    missing = max(0.0, used.high - had) if left > 0 else 0.0
    buy = math.ceil(missing / need.skein.strand_mm - 1e-9)
    return RunOut(need, used.mapped(uncovered), now, buy, holding.lot)


def run_outs(need: Need, notes: Notes) -> tuple[RunOut, ...]:
    """All threads that may run short by her notes, the surest first; others are left out."""
    found = [
        run_out(each, holding)
        for each in need.threads
        if not each.is_bead and (holding := holding_of(each, notes)) is not None
    ]
    return tuple(sorted((each for each in found if each.is_short), key=_how_sure))


def warning_words(told: RunOut) -> str:
    """The warning in one sentence; empty where the thread is enough."""
    if not told.is_short:
        return ""
    low, high = _rounded_down(told.uncovered.low), _rounded_up(told.uncovered.high)
    squares = f"about {low:,} to {high:,} squares" if told.sure and low < high else f"up to {high:,} squares"
    verb = "will" if told.sure else "may"
    lot = f" of lot {told.lot}" if told.lot else ""
    squares = squares if high != 1 else "1 square"
    return (
        f"{told.need.name} {verb} run short: {squares} uncovered;"
        f" buy {told.buy:,} more{lot}, before the lot changes."
    )


def shopping_words(need: Need) -> Iterator[str]:
    """What to buy before the first stitch, a sentence for each thread."""
    for each in need.threads:
        if each.is_bead:
            yield f"{each.name}: {counted(each.all.beads, 'bead')}, and some to spare."
        elif each.buy == 1:
            yield f"{each.name}: 1 skein."
        elif each.buy:
            dearly = " Hand-dyed lots differ most." if each.thread.kind == "hand-dyed" else ""
            yield f"{each.name}: {each.buy:,} skeins, all of one dye lot; note it.{dearly}"


def _how_sure(told: RunOut) -> tuple[bool, float]:
    return not told.sure, -told.uncovered.likely / max(1, told.need.left.stitches)


def _grain(count: float) -> int:
    return 1 if count <= EXACT_UP_TO else 10 if count < 1_000 else 100


def _rounded_down(count: float) -> int:
    grain = _grain(count)
    return math.floor(count / grain) * grain


def _rounded_up(count: float) -> int:
    grain = _grain(count)
    return math.ceil(count / grain - 1e-9) * grain
