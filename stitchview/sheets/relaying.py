"""Lay the lines and dots of a fresh reading on those there are, so that what was decided by hand stays."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.review import ByHand, Decided
from stitchview.chart.stitches import Lines, Points
from stitchview.sheets.linework import joined_lines, lines_within, lines_without, single_steps

Numbers = NDArray[np.uint16]
Mask = NDArray[np.bool_]

_SHOWN_AGAIN = 0.5


def moved_lines(chart: Chart, by: tuple[int, int], table: Numbers | None = None) -> Lines:
    """The chart's lines moved by columns and rows, their key numbers looked up in ``table``."""
    lines, x, y = chart.lines, 2 * by[0], 2 * by[1]
    keys = lines.keys if table is None else table[lines.keys]
    return replace(lines, x1=lines.x1 + x, y1=lines.y1 + y, x2=lines.x2 + x, y2=lines.y2 + y, keys=keys)


def moved_points(chart: Chart, by: tuple[int, int], table: Numbers | None = None) -> Points:
    """The chart's knots and beads moved likewise."""
    points = chart.points
    keys = points.keys if table is None else table[points.keys]
    return replace(points, x=points.x + 2 * by[0], y=points.y + 2 * by[1], keys=keys)


def lines_laid(old: Lines, fresh: Lines, by_hand: ByHand, boxes: Sequence[Area]) -> Lines:
    """Old lines that lie elsewhere, were decided by hand or are shown again; then what is new.

    ``boxes`` are the squares that were read afresh.
    """
    decided = list(_decided_ways(by_hand))
    decided_steps = single_steps(decided)
    fresh_steps = single_steps(_ends(fresh))
    kept = np.zeros(len(old), np.bool_)
    for at, line in enumerate(_ends(old)):
        here = single_steps(part for box in boxes for part in lines_within([line], _halves(box)).tolist())
        again = len(here & (fresh_steps | decided_steps))
        kept[at] = not here or again >= _SHOWN_AGAIN * len(here)
    lying = [line for line, keep in zip(_ends(old), kept.tolist(), strict=True) if keep]
    new: list[tuple[NDArray[np.int32], int, int]] = []
    for key, kind in sorted({*zip(fresh.keys.tolist(), fresh.kinds.tolist(), strict=True)}):
        mine = (fresh.keys == key) & (fresh.kinds == kind)
        ends = [line for line, is_mine in zip(_ends(fresh), mine.tolist(), strict=True) if is_mine]
        new.append((joined_lines(lines_without(ends, [*lying, *decided]).tolist()), key, kind))
    every = np.concatenate([np.array(lying, np.int32).reshape(-1, 4), *(ends for ends, _, _ in new)])
    kinds = [old.kinds[kept], *(np.full(len(ends), kind, np.uint8) for ends, _, kind in new)]
    keys = [old.keys[kept], *(np.full(len(ends), key, np.uint16) for ends, key, _ in new)]
    x1, y1, x2, y2 = every.T.copy()
    return Lines(x1, y1, x2, y2, np.concatenate(kinds), np.concatenate(keys), _extra(old.extra, kept))


def points_laid(old: Points, fresh: Points, by_hand: ByHand, boxes: Sequence[Area]) -> Points:
    """Old points that lie elsewhere, were decided by hand or are shown again; then what is new."""
    shown = {*zip(fresh.x.tolist(), fresh.y.tolist(), strict=True)}
    places = list(zip(old.x.tolist(), old.y.tolist(), strict=True))
    read = [_halves(box) for box in boxes]
    stays = [
        place in shown or _decided_point(by_hand, place) or not any(_in_box(place, box) for box in read)
        for place in places
    ]
    kept = np.array(stays, np.bool_)
    known = {place for place, stay in zip(places, stays, strict=True) if stay}
    new = np.array(
        [
            place not in known and not _decided_point(by_hand, place)
            for place in zip(fresh.x.tolist(), fresh.y.tolist(), strict=True)
        ],
        np.bool_,
    )
    return Points(
        np.concatenate([old.x[kept], fresh.x[new]]),
        np.concatenate([old.y[kept], fresh.y[new]]),
        np.concatenate([old.kinds[kept], fresh.kinds[new]]),
        np.concatenate([old.keys[kept], fresh.keys[new]]),
        _extra(old.extra, kept),
    )


def _extra(extra: dict[int, dict[str, Any]], kept: Mask) -> dict[int, dict[str, Any]]:
    """Unknown members by their new index."""
    return {place: extra[at] for place, at in enumerate(np.flatnonzero(kept).tolist()) if at in extra}


def _ends(lines: Lines) -> list[list[int]]:
    ends: list[list[int]] = np.stack([lines.x1, lines.y1, lines.x2, lines.y2], axis=1).tolist()
    return ends


def _halves(area: Area) -> tuple[int, int, int, int]:
    return 2 * area.column, 2 * area.row, 2 * area.right, 2 * area.bottom


def _boxes_by_hand(by_hand: ByHand, kind: Decided) -> Iterator[list[int]]:
    mine = by_hand.kinds == kind
    yield from np.stack([by_hand.x1, by_hand.y1, by_hand.x2, by_hand.y2], axis=1)[mine].tolist()


def _decided_ways(by_hand: ByHand) -> Iterator[list[int]]:
    yield from _boxes_by_hand(by_hand, Decided.LINES)


def _decided_point(by_hand: ByHand, place: tuple[int, int]) -> bool:
    return any(_in_box(place, box) for box in _boxes_by_hand(by_hand, Decided.POINTS))


def _in_box(place: tuple[int, int], box: Sequence[int]) -> bool:
    return box[0] <= place[0] <= box[2] and box[1] <= place[1] <= box[3]
