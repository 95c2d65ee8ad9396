"""Skeins: how much thread is in one, and how many to buy."""

import math
from dataclasses import dataclass

from stitchview.errors import CommandError

MOST_SKEIN_M = 10_000.0
MOST_SKEIN_STRANDS = 100
MOST_SKEINS = 10_000.0

USUAL_MARGIN = 0.10
"""The reserve of common practice (checks.md, 2.4)."""
MARGINS = {"hand-dyed": 0.20, "silk": 0.15, "metallic": 0.20}
"""More where the next lot differs, or the thread frays (common practice, estimates)."""


@dataclass(frozen=True, slots=True)
class Skein:
    """One skein: its length and of how many strands it is; `grams` is its full weight, 0 if unknown.

    8 m of six strands are common practice for stranded cotton, not for all threads. Raises
    `CommandError` for what cannot be bought.
    """

    length_m: float = 8.0
    strands: int = 6
    grams: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.length_m <= MOST_SKEIN_M:
            raise CommandError(
                f"A skein of {self.length_m:g} m cannot be.", "Give the metres that its band names."
            )
        if not 1 <= self.strands <= MOST_SKEIN_STRANDS:
            raise CommandError(
                f"A thread of {self.strands} strands cannot be.", "Give the strands it can be split into."
            )
        if not 0 <= self.grams < math.inf:
            raise CommandError(f"A skein of {self.grams:g} g cannot be.", "Give its full weight, or 0.")

    @property
    def strand_mm(self) -> float:
        """How much single strand it holds."""
        return self.length_m * 1000 * self.strands


USUAL_SKEIN = Skein()


def margin_of(kind: str) -> float:
    """The reserve for a kind of thread, as a share of what is likely to be used."""
    return MARGINS.get(kind, USUAL_MARGIN)


def skeins_to_buy(strand_mm: float, skein: Skein, margin: float = 0.0) -> int:
    """Whole skeins that hold so much strand and the margin: checks.md, 2.4. Raises `CommandError`."""
    if not 0 <= strand_mm < math.inf or not 0 <= margin < 10:
        raise CommandError(
            "So much thread cannot be bought.", "Check the count of the cloth and the strands."
        )
    return math.ceil(strand_mm * (1 + margin) / skein.strand_mm - 1e-9)


def checked_skeins(skeins: float) -> float:
    """A number of skeins that one can have; raises `CommandError` for others."""
    if not 0 <= skeins <= MOST_SKEINS:
        raise CommandError(f"One cannot have {skeins:g} skeins.", "Give a number from 0 on.")
    return skeins


def skeins_by_weight(grams: float, skein: Skein) -> float:
    """How many skeins weigh so much; raises `CommandError` where the weight of a full one is unknown."""
    if skein.grams <= 0:
        raise CommandError("The weight of a full skein is not known.", "Weigh a full one first.")
    return checked_skeins(grams / skein.grams)
