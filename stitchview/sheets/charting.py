"""From sheets that were read and joined to a chart: squares, key, lines, dots, pictures and doubts."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.limits import MOST_LABEL, MOST_SHEET_DOUBTS
from stitchview.chart.model import (
    MOST_COLUMNS,
    MOST_KEY_ENTRIES,
    MOST_ROWS,
    UNTOLD,
    Chart,
    KeyEntry,
    Sheet,
    Squares,
    Symbol,
)
from stitchview.chart.review import NO_SECOND, Doubts, Why
from stitchview.chart.stitches import LineKind, Lines, PointKind, Points
from stitchview.sheets.cutouts import bytes_a_sheet, sheet_picture, symbol_pictures
from stitchview.sheets.joining import Joined
from stitchview.sheets.laidedges import edge_doubt
from stitchview.sheets.linework import joined_lines
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.sheetreading import NO_PILE, SheetReading

UNREAD_CODE = "?"
UNREAD_NAME = "Not read yet"
_DIFFERING = 0.5


@dataclass(frozen=True)
class Named:
    """What is known of a pile's thread, from the key page or from a person."""

    name: str
    number: str = ""
    colour: Colour = UNTOLD


@dataclass(frozen=True, eq=False)
class Reading:
    """Everything that was read: the sheets, where they lie, and the names of piles, where they are known."""

    sheets: tuple[SheetReading, ...]
    joined: Joined
    names: Mapping[int, Named] = field(default_factory=dict)
    title: str = ""


@dataclass(frozen=True, eq=False)
class _Laid:
    """All sheets laid together, (rows, columns): piles, ``NO_PILE`` where no sheet lies or none was read."""

    piles: NDArray[np.int32]
    second: NDArray[np.int32]
    doubt: NDArray[np.float32]
    shown: NDArray[np.bool_]
    differing: NDArray[np.bool_]
    unread: NDArray[np.bool_]


@dataclass
class _Key:
    """The key as it grows: its entries and its pictures."""

    entries: list[KeyEntry]
    pictures: dict[str, bytes]

    def add(self, name: str, symbol: Symbol, code: str = "", kind: str = "stranded cotton") -> int:
        """One more entry; gives its key number."""
        (free,) = allot_codes(1, [UNREAD_CODE, *(entry.code for entry in self.entries)])
        self.entries.append(KeyEntry(code or free, symbol, name, kind=kind))
        return len(self.entries)


def chart_of(reading: Reading) -> Chart:
    """The chart that was read, ready to be written; every square of an unread sheet is “not read yet”.

    Raises `PaperError` when it is larger than a chart can be.
    """
    joined = reading.joined
    if joined.columns > MOST_COLUMNS or joined.rows > MOST_ROWS:
        raise PaperError(
            f"The sheets make a chart of {joined.columns:,} x {joined.rows:,} squares, which is too large.",
            "Read fewer sheets into one chart.",
        )
    laid = _laid(reading)
    key = _Key([], {})
    numbers = _pile_entries(reading, laid, key)
    squares = numbers[laid.piles]
    if laid.unread.any():
        squares[laid.unread] = key.add(UNREAD_NAME, Symbol(UNREAD_CODE), UNREAD_CODE)
    lines, points = _lines(reading, key), _points(reading, key)
    sheets, pictures = _sheets(reading)
    return Chart(
        squares=squares,
        key=tuple(key.entries),
        title=reading.title,
        identity=str(uuid.uuid4()),
        lines=lines,
        points=points,
        sheets=sheets,
        doubts=_doubts(laid, numbers, squares),
        attachments=key.pictures | pictures,
    )


def _laid(reading: Reading) -> _Laid:
    """Each square from the sheet that is surest of it; what another reads differently becomes the second."""
    size = reading.joined.rows, reading.joined.columns
    laid = _Laid(
        np.full(size, NO_PILE, np.int32),
        np.full(size, NO_PILE, np.int32),
        np.full(size, 2, np.float32),
        np.zeros(size, np.bool_),
        np.zeros(size, np.bool_),
        np.zeros(size, np.bool_),
    )
    for sheet, place in zip(reading.sheets, reading.joined.places, strict=True):
        at = Area(*place, sheet.columns, sheet.rows).slices()
        if sheet.read:
            _lay(laid, at, sheet)
        else:
            laid.unread[at] = True
    laid.unread[laid.piles != NO_PILE] = False
    return laid


def _lay(laid: _Laid, at: tuple[slice, slice], sheet: SheetReading) -> None:
    before = laid.piles[at].copy()
    differs = (before != NO_PILE) & (before != sheet.piles)
    better = sheet.doubt < laid.doubt[at]
    laid.second[at] = np.where(
        differs,
        np.where(better, before, sheet.piles),
        np.where(better, sheet.second, laid.second[at]),
    )
    laid.differing[at] |= differs
    laid.piles[at] = np.where(better, sheet.piles, before)
    laid.shown[at] = np.where(better, sheet.shown, laid.shown[at]) | differs
    laid.doubt[at] = np.where(better, sheet.doubt, laid.doubt[at])


def _pile_entries(reading: Reading, laid: _Laid, key: _Key) -> Squares:
    """Give every pile that is used an entry; the table gives key numbers by pile, 0 for blank and none."""
    used = sorted(set(np.unique(laid.piles).tolist()) - {NO_PILE, 0})
    if len(used) > MOST_KEY_ENTRIES - 5:
        raise PaperError(
            f"The sheets seem to hold {len(used):,} different symbols, which no key can list.",
            "Photograph them closer and in better light.",
        )
    pictures = symbol_pictures(reading.sheets, used)
    most = max((int(sheet.piles.max()) for sheet in reading.sheets), default=0)
    # One place more, so that NO_PILE (-1) finds 0 at the end.
    numbers = np.zeros(most + 2, np.uint16)
    for pile in used:
        named = reading.names.get(pile, Named(f"Symbol {pile}"))
        name = f"pictures/symbols/{pile}.png"
        number = key.add(named.name[:MOST_LABEL], Symbol(picture=name))
        entry = replace(key.entries[-1], number=named.number[:MOST_LABEL], colour=named.colour)
        key.entries[-1] = entry
        key.pictures[name] = pictures[pile]
        numbers[pile] = number
    return numbers


def _lines(reading: Reading, key: _Key) -> Lines:
    found: list[tuple[NDArray[np.int32], int]] = []
    for dashed, name, sign in ((False, "Back stitch", "—"), (True, "Back stitch, dashed", "╌")):
        ends = [
            sheet.lines.ends[sheet.lines.dashed == dashed] + np.array([*place, *place], np.int32) * 2
            for sheet, place in zip(reading.sheets, reading.joined.places, strict=True)
        ]
        joined = joined_lines(np.concatenate(ends).tolist())
        if len(joined):
            found.append((joined, key.add(name, Symbol(sign))))
    if not found:
        return Lines()
    every = np.concatenate([ends for ends, _ in found])
    numbers = np.concatenate([np.full(len(ends), number, np.uint16) for ends, number in found])
    x1, y1, x2, y2 = every.T.copy()
    return Lines(x1, y1, x2, y2, np.full(len(every), LineKind.BACK, np.uint8), numbers)


def _points(reading: Reading, key: _Key) -> Points:
    found: list[tuple[NDArray[np.int32], PointKind, int]] = []
    for is_open, name, sign in ((False, "Knots", "●"), (True, "Beads", "○")):
        places = [
            sheet.dots.places[sheet.dots.open == is_open] + np.array(place, np.int32) * 2
            for sheet, place in zip(reading.sheets, reading.joined.places, strict=True)
        ]
        once = np.unique(np.concatenate(places), axis=0)
        if len(once):
            kind = PointKind.BEAD if is_open else PointKind.KNOT
            number = key.add(name, Symbol(sign), kind="bead" if is_open else "stranded cotton")
            found.append((once, kind, number))
    if not found:
        return Points()
    x, y = np.concatenate([places for places, _, _ in found]).T.copy()
    kinds = np.concatenate([np.full(len(places), kind, np.uint8) for places, kind, _ in found])
    numbers = np.concatenate([np.full(len(places), number, np.uint16) for places, _, number in found])
    return Points(x, y, kinds, numbers)


def _sheets(reading: Reading) -> tuple[tuple[Sheet, ...], dict[str, bytes]]:
    most = bytes_a_sheet(len(reading.sheets))
    sheets, pictures = [], {}
    for number, (sheet, place) in enumerate(zip(reading.sheets, reading.joined.places, strict=True), 1):
        name = f"pictures/sheets/{number}.jpg"
        pictures[name] = sheet_picture(sheet.straight, most)
        told = [*_edge_doubts(reading, number - 1), *sheet.doubts][:MOST_SHEET_DOUBTS]
        doubts = tuple(doubt[:MOST_LABEL] for doubt in told)
        area = Area(*place, sheet.columns, sheet.rows)
        title = sheet.name[:MOST_LABEL] or f"Sheet {number}"
        sheets.append(Sheet(title, area, name, read=sheet.read, doubts=doubts))
    return tuple(sheets), pictures


def _edge_doubts(reading: Reading, sheet: int) -> list[str]:
    """What is doubtful of a sheet because only a person's hand says where it belongs."""
    return [edge_doubt(reading.sheets[one]) for one, two in reading.joined.as_laid if two == sheet]


def _doubts(laid: _Laid, numbers: Squares, squares: Squares) -> Doubts:
    rows, columns = np.nonzero(laid.shown & ~laid.unread & (laid.piles != NO_PILE))
    differing = laid.differing[rows, columns]
    chances = np.clip(laid.doubt[rows, columns], 1e-4, 1)
    chances = np.where(differing, np.maximum(chances, _DIFFERING), chances)
    second = laid.second[rows, columns]
    known = (second == 0) | (numbers[second] > 0)
    seconds = np.where(known, numbers[second], NO_SECOND)
    seconds = np.where(seconds == squares[rows, columns], NO_SECOND, seconds)
    return Doubts(
        columns.astype(np.int32),
        rows.astype(np.int32),
        chances.astype(np.float32),
        seconds.astype(np.uint16),
        np.where(differing, Why.SHEETS, Why.SYMBOL).astype(np.uint8),
    )
