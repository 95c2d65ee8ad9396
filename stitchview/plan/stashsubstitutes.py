"""Threads of her own that could stand in for one she lacks, nearest in colour first, and how sure that is."""

from collections.abc import Sequence
from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD
from stitchview.plan.likeness import Near, nearest_of
from stitchview.plan.stash import Holding
from stitchview.plan.stashreport import Standing, StashReport
from stitchview.plan.threads import BEAD, BoughtThread

CAUTION = (
    "Colours on a screen are no measure of thread: lamp, sheen and camera change them."
    " Lay the two side by side in daylight, on the cloth, before you decide."
)
# CIEDE2000 steps by which words are chosen: from memory (about 1 is just seen side by side, 2 to 3
# on looking, above 5 plainly different), not measured on thread.
_STEPS = (
    (1.0, "hardly told apart on this screen"),
    (2.5, "close, seen only side by side"),
    (5.0, "near, seen on looking"),
    (10.0, "plainly different, of the same family"),
)
_FAR = "far off, the best there is"
FAR = _STEPS[-1][0]
"""From here on a colour is no substitute, only the nearest there is."""


@dataclass(frozen=True, slots=True)
class Substitute:
    """A thread she owns that could stand in: its rows, its colour, the skeins free of it, how near it is.

    `difference` is CIEDE2000 between the colours as lists and screens tell them; `same_kind` is
    None where her list tells no kind; `enough` whether the free skeins cover the high need.
    """

    holdings: tuple[Holding, ...]
    colour: Colour
    skeins: float
    difference: float
    same_kind: bool | None
    enough: bool

    @property
    def words(self) -> str:
        """How near the colour is, in words."""
        return words_for(self.difference)


@dataclass(frozen=True, slots=True)
class Substitutes:
    """What could stand in for a thread, nearest first, or `why` nothing can be said."""

    standing: Standing
    offers: tuple[Substitute, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class _Offer:
    """One thread of the stash: the rows that tell the same thread, and what of it is free."""

    holdings: tuple[Holding, ...]
    colour: Colour
    skeins: float


def words_for(difference: float) -> str:
    """How near two colours are, in words (steps from memory)."""
    return next((words for limit, words in _STEPS if difference < limit), _FAR)


def substitutes(report: StashReport, most: int = 3) -> tuple[Substitutes, ...]:
    """For each thread of which skeins must be bought, up to `most` threads of her own near in colour.

    What the chart itself needs of a thread is not offered, but one thread may be offered for two;
    a bead only stands in for a bead. Equal colours keep the order of her list.
    """
    wanting = report.to_buy
    told = [standing for standing in wanting if standing.thread.colour != UNTOLD]
    offers = _offers(report)
    beads = [offer for offer in offers if _is_bead(offer)]
    threads = [offer for offer in offers if not _is_bead(offer)]
    by_kind = {
        bead: _nearest([each for each in told if (each.thread.kind == BEAD) == bead], shelf, most)
        for bead, shelf in ((True, beads), (False, threads))
    }
    return tuple(_for(standing, by_kind[standing.thread.kind == BEAD]) for standing in wanting)


def _for(standing: Standing, found: dict[BoughtThread, tuple[Substitute, ...]]) -> Substitutes:
    if standing.thread.colour == UNTOLD:
        return Substitutes(standing, (), "The chart tells no colour for it.")
    offers = found.get(standing.thread, ())
    return Substitutes(
        standing, offers, "" if offers else "Your list tells colours for nothing that is free."
    )


def _nearest(
    standings: Sequence[Standing], shelf: Sequence[_Offer], most: int
) -> dict[BoughtThread, tuple[Substitute, ...]]:
    asked = [standing.thread.colour for standing in standings]
    found = nearest_of(asked, [offer.colour for offer in shelf], most)
    return {
        standing.thread: tuple(_substitute(standing, shelf[near.index], near) for near in each)
        for standing, each in zip(standings, found, strict=True)
    }


def _substitute(standing: Standing, offer: _Offer, near: Near) -> Substitute:
    kind = next((holding.kind for holding in offer.holdings if holding.kind), "")
    return Substitute(
        holdings=offer.holdings,
        colour=offer.colour,
        skeins=offer.skeins,
        difference=near.difference,
        same_kind=kind.strip().casefold() == standing.thread.kind.casefold() if kind else None,
        enough=standing.need is not None and offer.skeins >= standing.need.high,
    )


def _offers(report: StashReport) -> list[_Offer]:
    """What is free, in the order of her list: rows of other threads, and what the chart leaves of its own."""
    grouped: dict[tuple[str, ...], list[Holding]] = {}
    for holding in report.others:
        if holding.colour is not None and holding.skeins:
            told = (holding.range, holding.number, holding.name, holding.kind, holding.colour.hex)
            grouped.setdefault(told, []).append(holding)
    offers = [_offer(rows, sum(row.skeins or 0.0 for row in rows)) for rows in grouped.values()]
    for standing in report.standings:
        rows = [holding for holding in standing.owned if holding.colour is not None]
        if rows and standing.need is not None and standing.spare > 0:
            offers.append(_offer(rows, standing.spare))
    return sorted(offers, key=_by_line)


def _offer(rows: Sequence[Holding], skeins: float) -> _Offer:
    colour = next(row.colour for row in rows if row.colour is not None)
    return _Offer(tuple(rows), colour, skeins)


def _by_line(offer: _Offer) -> int:
    return offer.holdings[0].line


def _is_bead(offer: _Offer) -> bool:
    return any(holding.kind.strip().casefold().removesuffix("s") == BEAD for holding in offer.holdings)
