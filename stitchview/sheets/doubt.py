"""Turn the chances of squares and piles into each square's doubt, and choose the few to show."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float32]

_LIKELY_WRONG, _LIKELY_TIMES = 0.2, 3
_GRAINS = (-9.9, -9.4, -8.5, -8.0, -6.4, -5.9)
_MOST = (0.008, 0.02, 0.02, 0.08, 0.08, 0.03)


@dataclass(frozen=True)
class Calibration:
    """How a lead of the best pile turns into a chance of being wrong.

    For squares that a person's answers sent to another pile: their evidence was weighed for the pile before.
    The numbers are set by hand. The chance is logistic in: a constant, the logarithm of the lead, and how
    badly the square fits its own pile (logarithm). One row is for clear squares, one for crossed ones.
    """

    clear: tuple[float, float, float] = (1.0, -2.6, 1.0)
    crossed: tuple[float, float, float] = (1.0, -1.6, 1.0)


def chances_of_wrong(
    lead: Numbers, fit: Numbers, clear: NDArray[np.bool_], calibration: Calibration
) -> Numbers:
    """The chance (N,) that a square's pile is wrong.

    ``lead`` (N,) is how much more unlike the next pile is than the best, ``fit`` (N,) how unlike the
    square is to its own pile where 1 is usual, ``clear`` (N,) whether no line crosses it.
    """
    lead_size = np.log1p(np.nan_to_num(np.maximum(lead, 0), posinf=1e6))
    misfit = np.log(np.maximum(fit, 1))
    chances = np.empty(len(lead), np.float32)
    for row, of_these in ((calibration.clear, clear), (calibration.crossed, ~clear)):
        score = row[0] + row[1] * lead_size[of_these] + row[2] * misfit[of_these]
        chances[of_these] = 1 / (1 + np.exp(-np.clip(score, -30, 30)))
    return chances


@dataclass(frozen=True)
class Weighed:
    """What the weighing of all evidence said of a sorting.

    ``piles`` (N,) is where the squares were then and ``alone`` (N,) each one's own chance of being wrong.
    ``of_pile`` (K,) is the chance that a whole pile is another pile's sign, or no sign of its own, ``like``
    (K,) the pile it is likest to (-1 for none). ``most`` is the share of squares that may be shown.
    ``joined`` (N,) are squares of piles that a person has made one since.
    """

    piles: NDArray[np.int32]
    alone: Numbers
    of_pile: Numbers
    like: NDArray[np.intp]
    most: float
    joined: NDArray[np.bool_]

    def with_merged(self, kept: int, other: int) -> "Weighed":
        """A person said that two piles are one sign: neither is asked about as a whole any more.

        What made their squares doubtful may have been the likeness of the two.
        """
        joined = self.joined | np.isin(self.piles, [kept, other])
        piles = np.where(self.piles == other, kept, self.piles).astype(np.int32)
        of_pile = self.of_pile.copy()
        of_pile[[kept, other]] = 0
        like = np.where(self.like == other, kept, self.like)
        like[[kept, other]] = -1
        return replace(self, piles=piles, of_pile=of_pile, like=like, joined=joined)

    def with_new_pile(self) -> "Weighed":
        """One more pile, which a person founded: it is not doubted as a whole."""
        of_pile = np.append(self.of_pile, np.float32(0))
        return replace(self, of_pile=of_pile, like=np.append(self.like, np.intp(-1)))

    def doubts(self, piles: NDArray[np.int32], moved: Numbers) -> Numbers:
        """The chance (N,) that each square is wrong in ``piles`` (N,).

        ``moved`` (N,) is what its lead alone says, for squares that moved and for those of joined piles.
        """
        alone = np.where(self.joined, np.minimum(self.alone, moved), self.alone)
        chance = 1 - (1 - alone) * (1 - self.of_pile[piles])
        return np.where(piles == self.piles, chance, np.maximum(self.alone, moved)).astype(np.float32)


def most_to_show(grain: float) -> float:
    """The share of squares that a person may be shown, by how grainy the picture is.

    ``grain`` is the variance of a pixel of one square around its sign's look. On printed test sheets its
    logarithm was -10.7 to -9.4 for flat scans, -9.6 to -8.5 for careful photographs and -7.9 to -6.8 for poor
    ones; two old plates set from worn type had -5.6 to -5.3, from the print and not from the picture. A clean
    picture leaves few squares unsure, so that what is shown beyond is looked at for nothing.
    """
    return float(np.interp(np.log(max(grain, 1e-9)), _GRAINS, _MOST))


def worth_showing(
    doubt: Numbers, missed: float = 0.002, least: float = 0.02, most: float = 0.05
) -> NDArray[np.bool_]:
    """The most doubtful squares (N,), so many that the rest holds ``missed`` of all wrong ones by estimate.

    Squares whose own chance is below ``least`` are never shown, because a person would look for nothing; on
    the test sheets these held none of the wrong ones. No more are shown than the share ``most`` of all, but
    for squares of which one in five is wrong or more: of these up to three times as many, for a bad sheet.
    """
    order = np.argsort(-doubt, kind="stable")
    held = np.cumsum(doubt[order], dtype=np.float64)
    count = int(np.searchsorted(held, (1 - missed) * held[-1])) + 1 if len(doubt) else 0
    likely = min(int((doubt >= _LIKELY_WRONG).sum()), int(_LIKELY_TIMES * most * len(doubt)))
    shown = np.zeros(len(doubt), np.bool_)
    shown[order[: min(count, max(likely, int(most * len(doubt))))]] = True
    return shown & (doubt >= least)
