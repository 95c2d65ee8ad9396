"""Lay a fresh reading on the chart there is: corrections, names, addresses and so the done layer stay."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.codes import allot_codes
from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart, KeyEntry, Sheet, Squares
from stitchview.chart.review import NO_SECOND, ByHand, Decided, Doubts
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.relaying import lines_laid, moved_lines, moved_points, points_laid

Mask = NDArray[np.bool_]
Numbers = NDArray[np.uint16]

_SAME_SHEET = 0.9


@dataclass(frozen=True, eq=False)
class _Laying:
    """Both charts on one ground: how far each is moved (columns, rows), and which squares are read afresh."""

    size: tuple[int, int]
    old_by: tuple[int, int]
    fresh_by: tuple[int, int]
    numbers: Numbers
    fresh_squares: Mask


def laid_onto(old: Chart, fresh: Chart, offset: tuple[int, int], numbers: Sequence[int]) -> Chart:
    """``old`` with what ``fresh`` (a reading of one or more sheets) shows laid over it.

    ``offset`` (columns, rows) is where the fresh top left square lies on the old chart; the chart grows as
    needed and its origin moves so that every square keeps its address. ``numbers`` gives for each fresh key
    entry, in order, the old entry's number, or 0 where it is new. What was decided by hand stays, in squares,
    lines and points, and so does every old line that the fresh reading shows as well. Raises `PaperError`
    when the chart grows too large.
    """
    key, table, pictures = _joined_key(old, fresh, numbers)
    laying = _laying(old, fresh, offset, table)
    sheets, sheet_pictures = _joined_sheets(old, fresh, laying)
    by_hand = _moved_by_hand(old.by_hand, laying.old_by)
    boxes = [_moved(sheet.area, laying.fresh_by) for sheet in fresh.sheets if sheet.read]
    old_lines, fresh_lines = moved_lines(old, laying.old_by), moved_lines(fresh, laying.fresh_by, table)
    old_points, fresh_points = moved_points(old, laying.old_by), moved_points(fresh, laying.fresh_by, table)
    column, row = old.origin[0] - laying.old_by[0], old.origin[1] - laying.old_by[1]
    used = {sheet.picture for sheet in sheets} | {entry.symbol.picture for entry in key}
    dropped = {sheet.picture for sheet in old.sheets} - used
    kept = {name: content for name, content in old.attachments.items() if name not in dropped}
    return replace(
        old,
        squares=_joined_squares(old, fresh, laying),
        key=key,
        origin=(column, row),
        parts=replace(
            old.parts, columns=old.parts.columns + laying.old_by[0], rows=old.parts.rows + laying.old_by[1]
        ),
        lines=lines_laid(old_lines, fresh_lines, by_hand, boxes),
        points=points_laid(old_points, fresh_points, by_hand, boxes),
        sheets=sheets,
        doubts=_joined_doubts(old, fresh, laying),
        by_hand=by_hand,
        attachments=kept | pictures | sheet_pictures,
    )


def squares_by_hand(by_hand: ByHand, size: tuple[int, int]) -> Mask:
    """Which squares of a chart of ``size`` (rows, columns) a person has decided on."""
    mask = np.zeros(size, np.bool_)
    squares = by_hand.kinds == Decided.SQUARES
    x1, y1, x2, y2 = (at[squares] // 2 for at in (by_hand.x1, by_hand.y1, by_hand.x2, by_hand.y2))
    single = (x2 == x1 + 1) & (y2 == y1 + 1)
    mask[y1[single], x1[single]] = True
    boxes = np.stack([x1, y1, x2, y2], axis=1)[~single].tolist()
    for left, top, right, bottom in boxes:
        mask[top:bottom, left:right] = True
    return mask


def _laying(old: Chart, fresh: Chart, offset: tuple[int, int], table: Numbers) -> _Laying:
    left, top = min(0, offset[0]), min(0, offset[1])
    columns = max(old.columns, offset[0] + fresh.columns) - left
    rows = max(old.rows, offset[1] + fresh.rows) - top
    if columns > MOST_COLUMNS or rows > MOST_ROWS:
        raise PaperError(
            f"With this sheet the chart would have {columns:,} x {rows:,} squares, which is too large.",
            "Read it as a chart of its own.",
        )
    old_by, fresh_by = (-left, -top), (offset[0] - left, offset[1] - top)
    shown = np.zeros((rows, columns), np.bool_)
    fresh_read = shown.copy()
    for sheet in fresh.sheets:
        at = _moved(sheet.area, fresh_by).slices()
        shown[at] = True
        fresh_read[at] |= sheet.read
    old_known = _known(old, old_by, (rows, columns))
    decided = np.zeros_like(shown)
    area = _moved(old.area, old_by).slices()
    decided[area] = squares_by_hand(old.by_hand, old.squares.shape[:2])
    parted = np.zeros_like(shown)
    parted[old.parts.rows + old_by[1], old.parts.columns + old_by[0]] = True
    return _Laying(
        (rows, columns), old_by, fresh_by, table, shown & (fresh_read | ~old_known) & ~decided & ~parted
    )


def _known(old: Chart, by: tuple[int, int], size: tuple[int, int]) -> Mask:
    """Which squares the old chart knows: those it has, but for sheets nobody has read."""
    known = np.zeros(size, np.bool_)
    known[_moved(old.area, by).slices()] = True
    for wanted in (False, True):
        for sheet in old.sheets:
            if sheet.read == wanted:
                known[_moved(sheet.area, by).slices()] = wanted
    return known


def _joined_key(
    old: Chart, fresh: Chart, numbers: Sequence[int]
) -> tuple[tuple[KeyEntry, ...], Numbers, dict[str, bytes]]:
    """The old key with what is new after it; the new numbers of fresh entries (0 for none); new pictures."""
    entries = list(old.key)
    pictures: dict[str, bytes] = {}
    table = np.zeros(len(fresh.key) + 1, np.uint16)
    for number, (entry, known) in enumerate(zip(fresh.key, numbers, strict=True), 1):
        if known:
            table[number] = known
            continue
        codes = [each.code for each in entries]
        code = entry.code if entry.code not in codes else allot_codes(1, codes)[0]
        symbol = entry.symbol
        if symbol.picture:
            name = _free_name(symbol.picture, {*old.attachments, *pictures})
            pictures[name] = fresh.attachments[symbol.picture]
            symbol = replace(symbol, picture=name)
        entries.append(replace(entry, code=code, symbol=symbol))
        table[number] = len(entries)
    return tuple(entries), table, pictures


def _free_name(name: str, taken: set[str]) -> str:
    stem, _, ending = name.rpartition(".")
    number = 2
    free = name
    while free in taken:
        free, number = f"{stem}-{number}.{ending}", number + 1
    return free


def _joined_squares(old: Chart, fresh: Chart, laying: _Laying) -> Squares:
    squares = np.zeros(laying.size, np.uint16)
    squares[_moved(old.area, laying.old_by).slices()] = old.squares
    laid = np.zeros(laying.size, np.uint16)
    laid[_moved(fresh.area, laying.fresh_by).slices()] = laying.numbers[fresh.squares]
    return np.where(laying.fresh_squares, laid, squares)


def _joined_doubts(old: Chart, fresh: Chart, laying: _Laying) -> Doubts:
    """Old doubts where the old squares stand, fresh ones where the fresh squares do."""
    rows, columns = old.doubts.rows + laying.old_by[1], old.doubts.columns + laying.old_by[0]
    kept = ~laying.fresh_squares[rows, columns]
    new_rows, new_columns = fresh.doubts.rows + laying.fresh_by[1], fresh.doubts.columns + laying.fresh_by[0]
    new = laying.fresh_squares[new_rows, new_columns]
    unknown = fresh.doubts.seconds == NO_SECOND
    seconds = laying.numbers[np.where(unknown, 0, fresh.doubts.seconds)]
    seconds = np.where(unknown, np.uint16(NO_SECOND), seconds)
    places = np.flatnonzero(kept).tolist()
    extra = {place: old.doubts.extra[at] for place, at in enumerate(places) if at in old.doubts.extra}
    return Doubts(
        np.concatenate([columns[kept], new_columns[new]]).astype(np.int32),
        np.concatenate([rows[kept], new_rows[new]]).astype(np.int32),
        np.concatenate([old.doubts.chances[kept], fresh.doubts.chances[new]]),
        np.concatenate([old.doubts.seconds[kept], seconds[new]]).astype(np.uint16),
        np.concatenate([old.doubts.whys[kept], fresh.doubts.whys[new]]),
        extra,
    )


def _joined_sheets(old: Chart, fresh: Chart, laying: _Laying) -> tuple[tuple[Sheet, ...], dict[str, bytes]]:
    """Old sheets in their order, a fresh one in place of the one it shows again, else after them."""
    sheets = [replace(sheet, area=_moved(sheet.area, laying.old_by)) for sheet in old.sheets]
    pictures: dict[str, bytes] = {}
    for sheet in fresh.sheets:
        name = sheet.picture and _free_name(sheet.picture, {*old.attachments, *pictures})
        if name:
            pictures[name] = fresh.attachments[sheet.picture]
        new = replace(sheet, area=_moved(sheet.area, laying.fresh_by), picture=name)
        again = [at for at, known in enumerate(sheets) if same_sheet(known.area, new.area)]
        if again:
            kept = sheets[again[0]]
            sheets[again[0]] = replace(new, name=kept.name, extra=kept.extra, read=new.read or kept.read)
        else:
            sheets.append(new)
    return tuple(sheets), pictures


def same_sheet(one: Area, two: Area) -> bool:
    """Whether two areas are so much alike that one sheet of paper must be meant."""
    both = one.clipped(two).count
    return both >= _SAME_SHEET * max(one.count, two.count)


def _moved(area: Area, by: tuple[int, int]) -> Area:
    return Area(area.column + by[0], area.row + by[1], area.columns, area.rows)


def _moved_by_hand(by_hand: ByHand, by: tuple[int, int]) -> ByHand:
    return replace(
        by_hand,
        x1=by_hand.x1 + 2 * by[0],
        y1=by_hand.y1 + 2 * by[1],
        x2=by_hand.x2 + 2 * by[0],
        y2=by_hand.y2 + 2 * by[1],
    )
