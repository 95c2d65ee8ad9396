"""A chart as it is printed: its squares, its key and its stitches, never changed once made."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.review import ByHand, Doubts
from stitchview.chart.stitches import Lines, Parts, Points

MOST_COLUMNS = 4096
MOST_ROWS = 4096
MOST_KEY_ENTRIES = 2000
NO_STITCH = "."
UNTOLD = Colour(128, 128, 128)
CREAM = Colour(245, 240, 225)

THREAD_KINDS = ("stranded cotton", "silk", "hand-dyed", "metallic", "wool", "bead", "other")

Squares = NDArray[np.uint16]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Symbol:
    """What is drawn for a key entry: a character, or the name of a picture cut from the paper."""

    text: str = ""
    picture: str = ""


@dataclass(frozen=True)
class Thread:
    """One of the threads blended in a needle; `strands` is how many of it go in."""

    name: str
    number: str = ""
    kind: str = "stranded cotton"
    colour: Colour = UNTOLD
    strands: int = 1
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class KeyEntry:
    """One line of the key: the code of its squares, its symbol, its thread and how it is used.

    `code` is the character that stands for it in `squares.txt`. `blend` is empty for one thread;
    otherwise it names two or more, and `colour` is how the blend looks. `extra` keeps members
    that a newer version wrote and this one does not know.
    """

    code: str
    symbol: Symbol
    name: str
    number: str = ""
    kind: str = "stranded cotton"
    colour: Colour = UNTOLD
    cross_strands: int = 2
    back_strands: int = 1
    blend: tuple[Thread, ...] = ()
    held_back: bool = False
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class UsedEntry(KeyEntry):
    """A line of the key with the threads that she uses; `printed` is the line as the chart has it.

    `lots` are the dye lots of the threads used instead, as far as they are told. Chart files get the
    printed line.
    """

    printed: KeyEntry | None = None
    lots: tuple[str, ...] = ()


@dataclass(frozen=True)
class OwnEntry(KeyEntry):
    """A line that follows the printed ones in the key as it is worked: a thread of her own.

    It is used in so many `areas`, there `instead_of` those threads of the printed key, by their names;
    `lot` is its dye lot, "" if not told. No chart file ever has such a line.
    """

    instead_of: tuple[str, ...] = ()
    areas: int = 1
    lot: str = ""


def printed_entry(entry: KeyEntry) -> KeyEntry:
    """A line of the key as the chart prints it."""
    return entry.printed if isinstance(entry, UsedEntry) and entry.printed is not None else entry


@dataclass(frozen=True)
class Cloth:
    """The cloth the chart suggests: `count` threads to 25.4 mm (or 100 mm), worked over `over` of them."""

    name: str = ""
    count: float = 14.0
    per_100_mm: bool = False
    over: int = 1
    colour: Colour = CREAM
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Sheet:
    """One paper sheet: its name, the squares it shows, and its straightened picture, if there is one.

    Where it is not `read`, its squares all stand for the thread "not read yet" and only the picture tells
    what is to be stitched. `doubts` are sentences about its count of columns and rows.
    """

    name: str
    area: Area
    picture: str = ""
    extra: Mapping[str, Any] = field(default_factory=dict)
    read: bool = True
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shift:
    """A block of the printed chart, and by how many columns (rightwards) and rows (downwards) it lies off."""

    area: Area
    across: int
    down: int

    @property
    def target(self) -> Area:
        """Where the block lies."""
        return replace(self.area, column=self.area.column + self.across, row=self.area.row + self.down)


@dataclass(frozen=True, eq=False)
class Worked:
    """What ties a chart as it stands on the cloth to the `printed` one, by which files name its stitches.

    `shifts` overlap nowhere, neither where their blocks are printed nor where they lie; a printed square
    under another's block is not on the cloth. `parts`, `lines` and `points` tell for each stitch of the
    chart which one of the printed it is, shape (n,), rising; None where they are the same.
    """

    printed: "Chart"
    shifts: tuple[Shift, ...] = ()
    parts: Ints | None = None
    lines: Ints | None = None
    points: Ints | None = None

    def on_cloth(self, flat: Ints) -> tuple[Ints, NDArray[np.bool_]]:
        """Where squares that are printed at `flat` lie, and which of them lie on the cloth at all."""
        there = np.ones(len(flat), np.bool_)
        moved = flat.copy()
        for shift, rows, columns in self._met(flat):
            mine = _inside(shift.area, rows, columns)
            there &= mine | ~_inside(shift.target, rows, columns)
            moved[mine] += shift.down * self.printed.columns + shift.across
        return moved, there

    def as_printed(self, flat: Ints) -> Ints:
        """Where the stitches of the squares `flat` on the cloth are printed."""
        named = flat.copy()
        for shift, rows, columns in self._met(flat):
            mine = _inside(shift.target, rows, columns)
            named[mine] -= shift.down * self.printed.columns + shift.across
        return named

    def _met(self, flat: Ints) -> Iterator[tuple[Shift, Ints, Ints]]:
        """The shifts that some of the squares may touch, and the rows and columns of all squares."""
        if not len(flat) or not self.shifts:
            return
        rows, columns = np.divmod(flat, self.printed.columns)
        first, last = rows.min(), rows.max()
        for shift in self.shifts:
            reach = shift.area.joined(shift.target)
            if reach.row <= last and first < reach.bottom:
                yield shift, rows, columns


def _inside(area: Area, rows: Ints, columns: Ints) -> NDArray[np.bool_]:
    inside: NDArray[np.bool_] = (rows >= area.row) & (rows < area.bottom)
    inside &= (columns >= area.column) & (columns < area.right)
    return inside


@dataclass(frozen=True, eq=False)
class Chart:
    """A whole chart; `squares` has shape (rows, columns), 0 for no stitch, n for `key[n - 1]`.

    Everything in memory counts columns and rows from 0 at the top left square. `origin` is the
    (column, row) address of that square: when a sheet is added at the left or the top, it grows
    negative, and every square keeps the address that files name it by.
    `attachments` maps names inside the container (`pictures/...` and unknown ones) to their bytes.
    `worked` is None for a chart as it is printed; only such a one is ever written to a chart file.
    """

    squares: Squares
    key: tuple[KeyEntry, ...]
    title: str = ""
    notes: str = ""
    identity: str = ""
    origin: tuple[int, int] = (0, 0)
    cloth: Cloth | None = None
    parts: Parts = field(default_factory=Parts)
    lines: Lines = field(default_factory=Lines)
    points: Points = field(default_factory=Points)
    sheets: tuple[Sheet, ...] = ()
    doubts: Doubts = field(default_factory=Doubts)
    by_hand: ByHand = field(default_factory=ByHand)
    attachments: Mapping[str, bytes] = field(default_factory=dict)
    extra: Mapping[str, Any] = field(default_factory=dict)
    worked: Worked | None = None

    def __post_init__(self) -> None:
        if self.squares.ndim != 2 or self.squares.dtype != np.uint16:
            raise ValueError("squares must be a two-dimensional array of uint16")
        self.squares.setflags(write=False)

    @property
    def printed(self) -> "Chart":
        """The chart as it is printed: this one, unless it stands as it is worked on the cloth."""
        return self if self.worked is None else self.worked.printed

    @property
    def columns(self) -> int:
        """How many squares wide the chart is."""
        return int(self.squares.shape[1])

    @property
    def rows(self) -> int:
        """How many squares high the chart is."""
        return int(self.squares.shape[0])

    @property
    def area(self) -> Area:
        """All squares of the chart."""
        return Area(0, 0, self.columns, self.rows)
