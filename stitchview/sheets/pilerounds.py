"""Sort squares into groups without knowing any sign: describe, gather, cut anew, repeat."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import SIDE, at_side, squares, without_light, without_lines
from stitchview.sheets.crossings import AROUND_LINES
from stitchview.sheets.describing import described, shortened
from stitchview.sheets.gathering import gather, turned_to_tell
from stitchview.sheets.nearness import Labels, Numbers, gathered, grouped, spread_out
from stitchview.sheets.shifts import Field, cut_anew, found_shifts
from stitchview.sheets.straightening import Straight

_LENGTH = 100
_FIRST_GROUPS = 300
_SEEDED_FROM = 30_000


@dataclass(frozen=True)
class Cleaned:
    """Sheets as ink without light (``lit`` keeps the grid lines) and how far their squares lie beside."""

    lit: tuple[Numbers, ...]
    fields: tuple[Field, ...]

    def cutouts(self) -> Numbers:
        """All squares of all sheets (N, side, side) with AROUND_LINES pixels around, lines taken off."""
        parts = []
        for lit, field in zip(self.lit, self.fields, strict=True):
            ink = without_lines(cut_anew(lit, field) if field.any() else lit)
            cut = squares(ink, AROUND_LINES)
            parts.append(cut.reshape(-1, *cut.shape[2:]))
        return np.concatenate(parts)

    @property
    def shapes(self) -> tuple[tuple[int, int], ...]:
        """(rows, columns) of each sheet."""
        return tuple((field.shape[0], field.shape[1]) for field in self.fields)


def without_paper(sheets: list[Straight]) -> Cleaned:
    """The sheets' ink, nothing yet known of how their squares lie."""
    return Cleaned(
        tuple(without_light(at_side(sheet)) for sheet in sheets),
        tuple(np.zeros((sheet.rows, sheet.columns, 3), np.float32) for sheet in sheets),
    )


def inner_part(cutouts: Numbers) -> Numbers:
    """The cut-outs (N, SIDE, SIDE) without what lies around them."""
    return cutouts[:, AROUND_LINES : AROUND_LINES + SIDE, AROUND_LINES : AROUND_LINES + SIDE]


def first_groups(numbers: Numbers, random: np.random.Generator) -> Labels:
    """Groups (N,) of squares from their numbers (N, D), before anything is known."""
    return gather(numbers, _many_groups(numbers, _FIRST_GROUPS, random))


def later_groups(numbers: Numbers, known: Labels, random: np.random.Generator) -> Labels:
    """Groups (N,) found in the measure that earlier groups ``known`` (N,) give."""
    groups = grouped(numbers, known)
    turned = turned_to_tell(numbers, groups, 48)
    count = int(np.clip(2.5 * (groups.counts >= 6).sum(), 40, _FIRST_GROUPS))
    return gather(numbers, _many_groups(turned, count, random))


def numbers_of(cutouts: Numbers) -> Numbers:
    """The shortened description (N, D) of cut-outs."""
    return shortened(described(inner_part(cutouts)), _LENGTH)


def moved_by(cleaned: Cleaned, cutouts: Numbers, of: Labels) -> Cleaned:
    """The sheets with the shifts found by comparing each square with its group's mean picture."""
    inner = inner_part(cutouts)
    groups = grouped(inner.reshape(len(inner), -1), of)
    pictures = groups.means.reshape(-1, SIDE, SIDE)
    fields, first = [], 0
    for field in cleaned.fields:
        shape = (field.shape[0], field.shape[1])
        part = slice(first, first + shape[0] * shape[1])
        first = part.stop
        fields.append(field + found_shifts(inner[part], pictures[groups.of[part]], shape))
    return Cleaned(cleaned.lit, tuple(fields))


def _many_groups(numbers: Numbers, count: int, random: np.random.Generator) -> NDArray[np.intp]:
    """More groups than there can be signs, so that no group needs to hold two."""
    few = numbers
    if len(numbers) > _SEEDED_FROM:
        few = numbers[np.sort(random.choice(len(numbers), _SEEDED_FROM, replace=False))]
    means = gathered(few, spread_out(few, count, random), 8).means
    return gathered(numbers, means, 2).of
