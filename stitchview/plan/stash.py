"""What she owns: one holding for each line of her list, kept whole whatever could be made of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from stitchview.chart.colour import Colour

MOST_SKEINS = 10_000


@dataclass(frozen=True, slots=True)
class Holding:
    """One line of her list; "" and None stand for what it does not tell.

    `line` is its row in the list as a spreadsheet counts them, headings being row 1. `skeins` may
    be a part of one. `other` holds the cells of columns that this program does not use, `unread`
    those that it could not read, by the use of their column; both are written back as they stood.
    """

    name: str = ""
    number: str = ""
    range: str = ""
    kind: str = ""
    colour: Colour | None = None
    skeins: float | None = None
    lot: str = ""
    line: int = 0
    other: Mapping[str, str] = field(default_factory=dict)
    unread: Mapping[str, str] = field(default_factory=dict)

    @property
    def called(self) -> str:
        """What to call it: range, number and name, as far as they are told."""
        told = (text for text in (self.range, self.number, self.name) if text)
        return ", ".join(told) or f"row {self.line}"


@dataclass(frozen=True, slots=True)
class Stash:
    """All holdings in the order of the list, and the headings of columns that are only kept."""

    holdings: tuple[Holding, ...] = ()
    other_headings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RowFault:
    """A cell of her list that cannot be so: its row, and what is wrong, as a clause."""

    line: int
    what: str

    def __str__(self) -> str:
        return f"Row {self.line:,}: {self.what}."
