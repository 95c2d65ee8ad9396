"""Threads of her own that could be used instead of one: the nearest in colour first."""

from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import THREAD_KINDS, UNTOLD
from stitchview.plan.likeness import nearest_of
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashsubstitutes import words_for
from stitchview.plan.stashwords import skeins_words

MOST_OFFERS = 40


@dataclass(frozen=True, slots=True)
class InsteadOffer:
    """One row of her list, and how far its colour is from the printed one (CIEDE2000; None if not told)."""

    holding: Holding
    difference: float | None = None

    @property
    def words(self) -> str:
        """The row in a line: "Sample cotton, 18: close, seen only side by side; 2 skeins"."""
        skeins = "skeins not told" if self.holding.skeins is None else skeins_words(self.holding.skeins)
        lot = f", lot {self.holding.lot}" if self.holding.lot else ""
        near = "" if self.difference is None else f": {words_for(self.difference)}"
        return f"{self.holding.called}{near}; {skeins}{lot}"


def instead_offers(colour: Colour, stash: Stash, most: int = MOST_OFFERS) -> tuple[InsteadOffer, ...]:
    """Rows of the list of which something is there, those with colours first, the nearest before.

    Where the printed `colour` is not told, all in the order of the list.
    """
    there = [each for each in stash.holdings if each.skeins is None or each.skeins > 0]
    if colour == UNTOLD:
        return tuple(InsteadOffer(each) for each in there[:most])
    told = [each for each in there if each.colour is not None]
    near = nearest_of([colour], [each.colour or UNTOLD for each in told], most)[0]
    offers = [InsteadOffer(told[each.index], each.difference) for each in near]
    untold = (InsteadOffer(each) for each in there if each.colour is None)
    return (*offers, *untold)[:most]


def kind_of(holding: Holding, usual: str) -> str:
    """The kind of a row of her list as charts name kinds; `usual` where it tells none of them."""
    plain = holding.kind.strip().casefold()
    return plain if plain in THREAD_KINDS else usual
