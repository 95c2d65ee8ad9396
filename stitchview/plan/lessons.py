"""What finished pieces teach a new one: how its cloth comes out, her use of thread, and her rate."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from stitchview.chart.threadname import identity_of
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.finishedpieces import FinishedPiece
from stitchview.plan.usage import Stretch

SAME_CLOTH_LOOSE, OTHER_CLOTH_LOOSE = 0.02, 0.05
"""How much her use of thread differs from piece to piece, on cloth alike and on other (estimates)."""


@dataclass(frozen=True, slots=True)
class SizeLesson:
    """Real by foretold size on this cloth, across and down, and the pieces it was learnt from."""

    ratios: tuple[float, float]
    pieces: tuple[FinishedPiece, ...]


@dataclass(frozen=True, slots=True)
class RateLesson:
    """Stitches an hour, and the pieces they were learnt from."""

    rate: float
    pieces: tuple[FinishedPiece, ...]

    def hours_for(self, stitches: float) -> float:
        """How many hours so many stitches take at that rate."""
        return stitches / self.rate


@dataclass(frozen=True, slots=True)
class Lessons:
    """What may be learnt for a piece: pieces she has not refused, never the piece itself."""

    pieces: tuple[FinishedPiece, ...] = ()

    @classmethod
    def for_piece(cls, pieces: Sequence[FinishedPiece], identity: str) -> "Lessons":
        """The lessons for the piece of such an identity."""
        return cls(tuple(each for each in pieces if each.taken and each.identity != identity))

    def on(self, count: ClothCount) -> tuple[FinishedPiece, ...]:
        """The pieces on cloth of the same count, worked over as many threads."""
        return tuple(each for each in self.pieces if _alike(each.count, count))

    def size(self, count: ClothCount) -> SizeLesson | None:
        """How cloth of this count came out: the geometric mean; None where none was measured."""
        measured = [each for each in self.on(count) if each.ratios is not None]
        ratios = [each.ratios for each in measured if each.ratios is not None]
        if not ratios:
            return None
        across, down = (
            math.exp(math.fsum(math.log(each[way]) for each in ratios) / len(ratios)) for way in (0, 1)
        )
        return SizeLesson((across, down), tuple(measured))

    def stretches(self, count: ClothCount) -> tuple[Stretch, ...]:
        """What she used of every thread, for `usage_of`: on other cloth it says less."""
        return tuple(
            Stretch(
                identity_of(thread.name, thread.number),
                thread.kind,
                thread.reckoned_mm,
                thread.used_mm,
                SAME_CLOTH_LOOSE if _alike(piece.count, count) else OTHER_CLOTH_LOOSE,
            )
            for piece in self.pieces
            for thread in piece.threads
        )

    def taught_thread(self, kind: str) -> tuple[FinishedPiece, ...]:
        """The pieces that say something of a kind of thread."""
        return tuple(each for each in self.pieces if any(thread.kind == kind for thread in each.threads))

    def rate(self, count: ClothCount) -> RateLesson | None:
        """Stitches an hour on cloth of this count, else on all; None where no piece tells."""
        for pieces in (self.on(count), self.pieces):
            told = tuple(each for each in pieces if each.rate)
            if told:
                rate = sum(each.stitches for each in told) / sum(each.hours for each in told)
                return RateLesson(rate, told)
        return None


def from_words(pieces: Sequence[FinishedPiece]) -> str:
    """Where a lesson comes from; of several pieces the one finished last is named."""
    if not pieces:
        return ""
    more = len(pieces) - 1
    others = "" if not more else " and one more" if more == 1 else f" and {more:,} more"
    return f"from {pieces[0].from_words}{others}"


def _alike(one: ClothCount, other: ClothCount) -> bool:
    if one.over != other.over:
        return False
    return all(
        math.isclose(mine, theirs, rel_tol=0.005)
        for mine, theirs in zip(one.per_inch, other.per_inch, strict=True)
    )
