"""What a person decides of a chart read from paper: names of piles, piles that are one, doubts answered."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, KeyEntry
from stitchview.chart.review import NO_SECOND, ByHand, Decided, Doubts

Places = NDArray[np.intp]


def piles_of(chart: Chart) -> list[int]:
    """The key numbers whose symbols were cut from paper, those with most squares first."""
    counts = np.bincount(chart.squares.ravel(), minlength=len(chart.key) + 1)
    piles = [number for number, entry in enumerate(chart.key, 1) if entry.symbol.picture]
    return sorted(piles, key=lambda number: (-int(counts[number]), number))


def named(chart: Chart, number: int, entry: KeyEntry) -> Chart:
    """The chart with another entry of the key under a number; its code and symbol stay as they were."""
    before = chart.key[number - 1]
    key = list(chart.key)
    key[number - 1] = replace(entry, code=before.code, symbol=before.symbol)
    return replace(chart, key=tuple(key))


def merged(chart: Chart, gone: int, into: int) -> Chart:
    """The chart with all of one entry given to another (0 for none), and the entry taken out of the key."""
    if gone == into:
        return chart
    table = np.arange(len(chart.key) + 1, dtype=np.uint16)
    table[gone] = into
    table[table > gone] -= 1
    entry = chart.key[gone - 1]
    key = (*chart.key[: gone - 1], *chart.key[gone:])
    used = {each.symbol.picture for each in key}
    squares = table[chart.squares]
    doubts, known = chart.doubts, chart.doubts.seconds != NO_SECOND
    seconds = np.where(known, table[np.where(known, doubts.seconds, 0)], np.uint16(NO_SECOND))
    # A doubt between the two is none any more; what is left of it is that nothing else was thought of.
    same = seconds == squares[doubts.rows, doubts.columns]
    seconds = np.where(same, np.uint16(NO_SECOND), seconds).astype(np.uint16)
    return replace(
        chart,
        squares=squares,
        key=key,
        parts=replace(chart.parts, keys=table[chart.parts.keys]),
        lines=replace(chart.lines, keys=table[chart.lines.keys]),
        points=replace(chart.points, keys=table[chart.points.keys]),
        doubts=replace(doubts, seconds=seconds),
        attachments={
            name: content
            for name, content in chart.attachments.items()
            if name != entry.symbol.picture or name in used
        },
    )


def answered(chart: Chart, doubts: Sequence[int] | Places, number: int) -> Chart:
    """The chart with some of its doubts answered: their squares are of entry ``number``, 0 for no stitch.

    The answers are noted as decided by hand, so that no other reading alters them.
    """
    which = np.asarray(doubts, np.intp)
    return decided(chart, places_of(chart, which), number)


def decided(chart: Chart, places: Places, number: int) -> Chart:
    """The chart with squares (places in rows * columns) of entry ``number``, as a person says; 0 for none.

    They are in doubt no longer, and no other reading alters them.
    """
    squares = chart.squares.copy()
    squares.ravel()[places] = number
    rows, columns = np.divmod(places, chart.columns)
    left = ~np.isin(places_of(chart), places)
    return replace(
        chart,
        squares=squares,
        doubts=those_doubts(chart.doubts, left),
        by_hand=_with_squares(chart.by_hand, columns.astype(np.int32), rows.astype(np.int32)),
    )


def places_of(chart: Chart, doubts: Places | slice = slice(None)) -> Places:
    """Where the squares of some doubts, or all, stand in rows * columns."""
    rows, columns = chart.doubts.rows[doubts], chart.doubts.columns[doubts]
    return np.asarray(rows.astype(np.intp) * chart.columns + columns, np.intp)


def all_the_same(chart: Chart, number: int) -> Chart:
    """The chart with every doubtful square of an entry said to be right."""
    return answered(chart, doubts_of(chart, number), number)


def doubts_of(chart: Chart, number: int) -> Places:
    """Which doubts are on squares of an entry."""
    return np.flatnonzero(chart.squares[chart.doubts.rows, chart.doubts.columns] == number)


def those_doubts(doubts: Doubts, left: NDArray[np.bool_]) -> Doubts:
    """Those of the doubts where `left` (n,) is true."""
    places = np.flatnonzero(left).tolist()
    return Doubts(
        doubts.columns[left],
        doubts.rows[left],
        doubts.chances[left],
        doubts.seconds[left],
        doubts.whys[left],
        {place: doubts.extra[at] for place, at in enumerate(places) if at in doubts.extra},
    )


def _with_squares(by_hand: ByHand, columns: NDArray[np.int32], rows: NDArray[np.int32]) -> ByHand:
    kinds = np.full(len(columns), Decided.SQUARES, np.uint8)
    return ByHand(
        np.concatenate([by_hand.kinds, kinds]),
        np.concatenate([by_hand.x1, columns * 2]).astype(np.int32),
        np.concatenate([by_hand.y1, rows * 2]).astype(np.int32),
        np.concatenate([by_hand.x2, columns * 2 + 2]).astype(np.int32),
        np.concatenate([by_hand.y2, rows * 2 + 2]).astype(np.int32),
        by_hand.extra,
    )
