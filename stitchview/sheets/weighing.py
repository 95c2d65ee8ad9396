"""Weigh all that speaks for and against each square of a sorting, on one scale: chances of being wrong."""

from dataclasses import dataclass, replace

import numpy as np

from stitchview.sheets.doubt import Weighed, most_to_show
from stitchview.sheets.fitteddoubt import CLEAR, CROSSED, PART, PILE, Weights
from stitchview.sheets.likesigns import Faces, faces_of, softened
from stitchview.sheets.mixedsigns import Part, part_numbers, parts_of
from stitchview.sheets.nearness import Numbers
from stitchview.sheets.pilerounds import inner_part
from stitchview.sheets.pilewitness import PileWitness, ink_on_edges, pile_witness
from stitchview.sheets.sorting import Sorting, leads_of, resorted
from stitchview.sheets.squarewitness import Told, square_witness

_LIKELY_PART = np.float32(3)


@dataclass(frozen=True)
class Evidence:
    """All that speaks about a sorting: its piles, its squares, parts of piles that may be signs of their own.

    ``looks`` is what the piles look like.
    """

    looks: Faces
    piles: PileWitness
    parts: list[Part]
    squares: Numbers


def weighed(sorting: Sorting, cutouts: Numbers) -> Sorting:
    """The sorting with its doubts weighed anew; ``cutouts`` (N, side, side) are those it was made from."""
    return weighed_by(sorting, evidence_of(sorting, cutouts))


def weighed_by(sorting: Sorting, evidence: Evidence) -> Sorting:
    """The sorting with its doubts weighed by evidence about it."""
    return resorted(replace(sorting, weighed=weighed_evidence(sorting, evidence)))


def evidence_of(sorting: Sorting, cutouts: Numbers) -> Evidence:
    """What speaks about every pile and square of a sorting."""
    inner = inner_part(cutouts)
    faces, piles = softened(inner), sorting.piles.astype(np.intp)
    looks = faces_of(faces, piles, sorting.count, sorting.clear)
    on_edges = ink_on_edges(cutouts, piles, sorting.count)
    told = Told(sorting.numbers, sorting.means, leads_of(sorting.unlike), sorting.clear)
    return Evidence(
        looks,
        pile_witness(faces, piles, sorting.clear, looks, on_edges),
        parts_of(faces, piles, sorting.clear, looks),
        square_witness(faces, piles, looks, told, sorting.shapes),
    )


def weighed_evidence(sorting: Sorting, evidence: Evidence) -> Weighed:
    """The chances that squares and piles are wrong, from all evidence."""
    numbers = square_numbers(evidence)
    alone = np.where(sorting.clear, CLEAR.chances(numbers), CROSSED.chances(numbers)).astype(np.float32)
    of_pile = PILE.chances(evidence.piles.numbers)
    of_pile[(evidence.looks.counts == 0) | (evidence.piles.like < 0)] = 0
    return Weighed(
        piles=sorting.piles,
        alone=alone,
        of_pile=of_pile,
        like=evidence.piles.like,
        most=most_to_show(evidence.looks.grain),
        joined=np.zeros(len(sorting.piles), np.bool_),
    )


def square_numbers(evidence: Evidence, part_weights: Weights = PART) -> Numbers:
    """What speaks about each square (N, 15): its witnesses, then whether a part of another sign holds it."""
    likely = np.full(len(evidence.squares), -9, np.float32)
    odds = part_weights.odds(part_numbers(evidence.parts, evidence.looks.grain))
    for part, its_odds in zip(evidence.parts, odds, strict=True):
        likely[part.members] = np.maximum(likely[part.members], its_odds)
    surely = np.maximum(likely + _LIKELY_PART, 0)
    return np.concatenate([evidence.squares, likely[:, None], surely[:, None]], axis=1)
