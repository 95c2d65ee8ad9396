"""The doubts of a reading and what was decided by hand in `chart.json`: to tables, and back."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.entries.headmembers import Head
from stitchview.chart.entries.members import Members, is_number, with_unknown
from stitchview.chart.entries.places import addresses, placed
from stitchview.chart.entries.stitchcolumns import Columns, columns_of
from stitchview.chart.entries.stitchrules import check_doubts
from stitchview.chart.model import NO_STITCH
from stitchview.chart.review import NO_SECOND, ByHand, Decided, Doubts, Why

_WHYS = {"symbol": Why.SYMBOL, "sheets": Why.SHEETS}
_DECIDED = {"squares": Decided.SQUARES, "lines": Decided.LINES, "points": Decided.POINTS}
_DOUBT_MEMBERS = frozenset({"at", "chance", "second", "why"})
_BY_HAND_MEMBERS = frozenset({"what", "from", "to"})


def read_doubts(top: Members, numbers: Mapping[str, int], head: Head) -> Doubts:
    """The squares in doubt; `numbers` gives the key number of a code, from 1."""
    rows = columns_of(top, "doubts", "doubt")
    places = _read_places(rows, "at", head, 1)
    whys = rows.numbers("needs “why” to be symbol or sheets, or none", _why_of)
    chances = np.array([_chance_of(row) for row in rows.items], np.float32)
    for index in np.flatnonzero(chances == 0):
        rows.complain(int(index), "needs “chance”: a number above 0 and up to 1")
    known = dict(numbers) | {NO_STITCH: 0}
    seconds = [_second_of(row, known) for row in rows.items]
    for unknown in [index for index, second in enumerate(seconds) if second is None]:
        rows.complain(unknown, "needs “second” to be a code that is in the key or a full stop, or none")
    if places is None or not (whys.all() and chances.all()) or None in seconds:
        return Doubts()
    check_doubts(rows, places)
    columns, lines = places.T.astype(np.int32)
    return Doubts(
        columns,
        lines,
        chances,
        np.array(seconds, np.uint16),
        whys.astype(np.uint8),
        rows.unknown(_DOUBT_MEMBERS),
    )


def read_by_hand(top: Members, head: Head) -> ByHand:
    """The places where a person's word stands, in half squares."""
    rows = columns_of(top, "by_hand", "decision by hand")
    kinds = rows.numbers("needs “what”: squares, lines or points", _decided_of)
    first, last = _read_places(rows, "from", head, 2), _read_places(rows, "to", head, 2)
    if first is None or last is None or not kinds.all():
        return ByHand()
    sides = last - first
    wrong = (kinds != Decided.LINES) & (sides < 0).any(axis=1)
    wrong |= (kinds == Decided.LINES) & (sides == 0).all(axis=1)
    halves = ((first % 2) | (last % 2) | (sides == 0)).any(axis=1)
    wrong |= (kinds == Decided.SQUARES) & halves
    for index in np.flatnonzero(wrong):
        rows.complain(int(index), "goes “from” its top left “to” its bottom right, squares on whole numbers")
    x1, y1 = first.T.astype(np.int32)
    x2, y2 = last.T.astype(np.int32)
    return ByHand(kinds.astype(np.uint8), x1, y1, x2, y2, rows.unknown(_BY_HAND_MEMBERS))


def doubt_members(doubts: Doubts, codes: Sequence[str], origin: tuple[int, int]) -> Iterator[dict[str, Any]]:
    """One JSON object for each square in doubt, in canonical order."""
    names = {why: name for name, why in _WHYS.items()}
    named = [NO_STITCH, *codes]
    at = addresses(doubts.columns, doubts.rows, origin, 1)
    rows = zip(at, doubts.chances.tolist(), doubts.seconds.tolist(), doubts.whys.tolist(), strict=True)
    for index, (place, chance, second, why) in enumerate(rows):
        members: dict[str, Any] = {"at": place, "chance": _short(chance)}
        if second != NO_SECOND:
            members["second"] = named[second]
        if why != Why.SYMBOL:
            members["why"] = names[Why(why)]
        yield with_unknown(members, doubts.extra.get(index))


def by_hand_members(by_hand: ByHand, origin: tuple[int, int]) -> Iterator[dict[str, Any]]:
    """One JSON object for each place decided by hand, in canonical order."""
    names = {kind: name for name, kind in _DECIDED.items()}
    first = addresses(by_hand.x1, by_hand.y1, origin, 2)
    last = addresses(by_hand.x2, by_hand.y2, origin, 2)
    for index, (kind, start, end) in enumerate(zip(by_hand.kinds.tolist(), first, last, strict=True)):
        members = {"what": names[Decided(kind)], "from": start, "to": end}
        yield with_unknown(members, by_hand.extra.get(index))


def _read_places(rows: Columns, name: str, head: Head, steps: int) -> NDArray[np.int64] | None:
    at = rows.pairs(name)
    return None if at is None else placed(rows, at, head, steps)


def _why_of(row: dict[str, Any]) -> int:
    why = row.get("why", "symbol")
    return _WHYS.get(why, 0) if isinstance(why, str) else 0


def _decided_of(row: dict[str, Any]) -> int:
    what = row.get("what")
    return _DECIDED.get(what, 0) if isinstance(what, str) else 0


def _chance_of(row: dict[str, Any]) -> float:
    chance: Any = row.get("chance")
    return (
        max(float(chance), float(np.finfo(np.float32).tiny)) if is_number(chance) and 0 < chance <= 1 else 0.0
    )


def _second_of(row: dict[str, Any], numbers: Mapping[str, int]) -> int | None:
    if "second" not in row:
        return NO_SECOND
    second = row["second"]
    return numbers.get(second) if isinstance(second, str) else None


def _short(chance: float) -> float:
    """The shortest number that gives the same float32 again."""
    return float(str(np.float32(chance)))
