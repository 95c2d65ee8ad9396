"""What is chosen to be marked, and what a stroke alters, as arrays of indices."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.done.notebook import NO_NOTES, NotesChange

OPEN, DONE, FIRST_LEG, LATER, MISTAKE = range(5)
"""A first leg is half a cross; later is left open on purpose; a mistake is stitched, and wrong."""
STATES = 5
"""How many states this version knows; a state is a small number, never a yes or no."""
FIRST_STATES = 2
"""How many of them there were at first: a file that names others is of a later format."""

FAMILIES = ("squares", "parts", "lines", "points")
"""The four families of stitches, in the order in which everything here lists them."""
SQUARES = 0
"""Where among them the whole crosses stand; only they have first legs."""

KEPT: dict[int, tuple[int, ...]] = {FIRST_LEG: (DONE,), LATER: (DONE, FIRST_LEG, MISTAKE)}
"""What a hand that marks as one state leaves as it is: nobody makes half a cross of a whole one."""

Indices = NDArray[np.int64]
States = NDArray[np.uint8]


def no_indices() -> Indices:
    """An empty array of indices."""
    return np.zeros(0, np.int64)


def no_states() -> States:
    """An empty array of states."""
    return np.zeros(0, np.uint8)


@dataclass(frozen=True, eq=False, slots=True)
class Selection:
    """Stitches to be marked: per family sorted, unique int64 indices.

    `squares` are flat (row * columns + column), the others count the chart's stitch tables.
    `Selection.of` sorts; the plain constructor trusts its caller.
    """

    squares: Indices = field(default_factory=no_indices)
    parts: Indices = field(default_factory=no_indices)
    lines: Indices = field(default_factory=no_indices)
    points: Indices = field(default_factory=no_indices)

    @classmethod
    def of(
        cls,
        squares: Indices | None = None,
        parts: Indices | None = None,
        lines: Indices | None = None,
        points: Indices | None = None,
    ) -> "Selection":
        """A selection from indices in any order, with repeats."""
        given = (squares, parts, lines, points)
        return cls(*(no_indices() if each is None else np.unique(each.astype(np.int64)) for each in given))

    @property
    def families(self) -> tuple[Indices, Indices, Indices, Indices]:
        """The indices in the order of `FAMILIES`."""
        return self.squares, self.parts, self.lines, self.points

    @property
    def count(self) -> int:
        """How many stitches are chosen."""
        return sum(len(indices) for indices in self.families)

    @property
    def empty(self) -> bool:
        """Whether nothing is chosen."""
        return self.count == 0

    def joined(self, other: "Selection") -> "Selection":
        """Everything that this or the other selection holds."""
        pairs = zip(self.families, other.families, strict=True)
        return Selection(*(np.union1d(mine, theirs) for mine, theirs in pairs))


@dataclass(frozen=True, eq=False, slots=True)
class Altered:
    """n stitches of one family whose state alters: `indices` (n,) int64, `old` and `new` (n,) uint8."""

    indices: Indices = field(default_factory=no_indices)
    old: States = field(default_factory=no_states)
    new: States = field(default_factory=no_states)

    def __len__(self) -> int:
        return len(self.indices)

    def inverse(self) -> "Altered":
        """The way back."""
        return Altered(self.indices, self.new, self.old)


@dataclass(frozen=True, eq=False, slots=True)
class Change:
    """All that one stroke alters: stitches, and what is noted beside them.

    `area` bounds every square altered, touched by a line or point, or named by a note; it is empty
    where there is none, as when a thread is held back.
    """

    area: Area
    squares: Altered = field(default_factory=Altered)
    parts: Altered = field(default_factory=Altered)
    lines: Altered = field(default_factory=Altered)
    points: Altered = field(default_factory=Altered)
    notes: NotesChange = field(default=NO_NOTES, kw_only=True)

    @property
    def families(self) -> tuple[Altered, Altered, Altered, Altered]:
        """What alters, in the order of `FAMILIES`."""
        return self.squares, self.parts, self.lines, self.points

    @property
    def count(self) -> int:
        """How many stitches alter."""
        return sum(len(altered) for altered in self.families)

    @property
    def weight(self) -> int:
        """Bytes that the arrays take, for whoever must bound memory."""
        arrays = sum(each.indices.nbytes + each.old.nbytes + each.new.nbytes for each in self.families)
        return arrays + self.notes.weight

    def inverse(self) -> "Change":
        """The change that takes this one back."""
        return Change(
            self.area, *(altered.inverse() for altered in self.families), notes=self.notes.inverse()
        )

    def selection(self) -> Selection:
        """The stitches that alter."""
        return Selection(*(altered.indices for altered in self.families))
