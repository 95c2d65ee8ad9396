"""A chart against her stash: of each thread what she has, what is short, and what must be bought."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from stitchview.chart.threadname import ThreadName
from stitchview.plan.interval import Interval
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashmatch import Found, matching
from stitchview.plan.threads import BoughtThread

# What is smaller than this is rounding, not thread.
_CRUMB = 1e-9


class Verdict(Enum):
    """How a thread stands: enough, probably enough, some but short, none, or its need is not known."""

    HAVE = "have"
    PROBABLY = "probably enough"
    SHORT = "short"
    BUY = "must buy"
    OPEN = "need not known"


@dataclass(frozen=True, slots=True)
class LotHeld:
    """The skeins of one dye lot; "" where the list tells no lot."""

    lot: str
    skeins: float


@dataclass(frozen=True, slots=True)
class Standing:
    """One thread: its `need` in skeins (None if not known), and what the stash surely holds of it.

    `skeins` are those her list tells, `untold` rows of it do not. `buy` is how many whole skeins
    make up the high end of the need, `buy_one_lot` how many do so without those she has.
    """

    thread: BoughtThread
    need: Interval | None
    verdict: Verdict
    skeins: float
    buy: int
    owned: tuple[Holding, ...] = ()
    perhaps: tuple[Holding, ...] = ()

    @property
    def untold(self) -> int:
        """How many rows name the thread but tell no skeins."""
        return sum(holding.skeins is None for holding in self.owned)

    @property
    def lots(self) -> tuple[LotHeld, ...]:
        """What is held of each dye lot, the most first."""
        return lots_of(self.owned)

    @property
    def buy_one_lot(self) -> int:
        """Whole skeins for all of it, so that one dye lot does the whole piece."""
        return 0 if self.need is None else _whole(self.need.high)

    @property
    def one_lot_does(self) -> bool:
        """Whether a single dye lot that she has covers the high end of the need."""
        lots = [held.skeins for held in self.lots if held.lot]
        return self.need is not None and bool(lots) and lots[0] >= self.need.high - _CRUMB

    @property
    def spare(self) -> float:
        """Skeins that the chart surely does not need of it."""
        return max(0.0, self.skeins - (self.need.high if self.need else 0.0))


@dataclass(frozen=True, slots=True)
class StashReport:
    """All threads of a chart in its own order, and the rows of her list that it has no use for."""

    standings: tuple[Standing, ...]
    others: tuple[Holding, ...]

    def of(self, *verdicts: Verdict) -> tuple[Standing, ...]:
        """The threads that stand so."""
        return tuple(standing for standing in self.standings if standing.verdict in verdicts)

    @property
    def to_buy(self) -> tuple[Standing, ...]:
        """The threads of which skeins must be bought to be sure."""
        return tuple(standing for standing in self.standings if standing.buy)


def against_stash(
    threads: Sequence[BoughtThread], stash: Stash, needs: Mapping[ThreadName, Interval]
) -> StashReport:
    """How the threads of a chart stand against a stash, `needs` being the skeins of each.

    Threads without a need (beads, which are counted) are listed with what she has. O(threads + rows).
    """
    found = matching(threads, stash.holdings)
    standings = tuple(_standing(each, needs.get(each.thread.identity)) for each in found.found)
    return StashReport(standings, found.others)


def lots_of(holdings: Iterable[Holding]) -> tuple[LotHeld, ...]:
    """Skeins by dye lot, the most first; rows that tell none of a lot count as one lot without a name."""
    lots: dict[str, float] = {}
    for holding in holdings:
        if holding.skeins:
            lots[holding.lot] = lots.get(holding.lot, 0.0) + holding.skeins
    return tuple(LotHeld(lot, skeins) for lot, skeins in sorted(lots.items(), key=_most_first))


def _standing(found: Found, need: Interval | None) -> Standing:
    skeins = math.fsum(holding.skeins or 0.0 for holding in found.owned)
    buy = 0 if need is None else _whole(need.high - skeins)
    return Standing(
        found.thread, need, _verdict(skeins, need), skeins, buy, owned=found.owned, perhaps=found.perhaps
    )


def _verdict(skeins: float, need: Interval | None) -> Verdict:
    if need is None:
        return Verdict.OPEN
    if skeins >= need.high - _CRUMB:
        return Verdict.HAVE
    if skeins >= need.likely - _CRUMB:
        return Verdict.PROBABLY
    return Verdict.SHORT if skeins > 0 else Verdict.BUY


def _whole(skeins: float) -> int:
    return max(0, math.ceil(skeins - _CRUMB))


def _most_first(held: tuple[str, float]) -> tuple[float, str]:
    return -held[1], held[0]
