"""Counting: a tape between two squares or points, and how far a square lies from centre and edges."""

from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.area import Area
from stitchview.follow.clothpitch import INCH_MM, Pitch


class LengthUnit(StrEnum):
    """What lengths on the cloth are told in; the values are what settings hold."""

    MILLIMETRES = "mm"
    CENTIMETRES = "cm"
    INCHES = "in"


@dataclass(frozen=True, slots=True)
class Tape:
    """From one place to another: `columns` rightwards and `rows` downwards, below 0 the other way.

    From square to square these are the steps to count, the first square not being counted; between
    points of the lattice they are squares and half squares.
    """

    columns: float
    rows: float
    pitch: Pitch

    @property
    def diagonal(self) -> float:
        """How many squares the way goes cornerwise before it runs straight on."""
        return min(abs(self.columns), abs(self.rows))

    @property
    def straight_on(self) -> float:
        """How many squares are left to go straight on after the cornerwise ones."""
        return max(abs(self.columns), abs(self.rows)) - self.diagonal

    @property
    def across_mm(self) -> float:
        """How far it leads across the cloth, in millimetres."""
        return abs(self.columns) * self.pitch.across_mm

    @property
    def down_mm(self) -> float:
        """How far it leads down or up the cloth, in millimetres."""
        return abs(self.rows) * self.pitch.down_mm

    @property
    def mm(self) -> float:
        """The straight way on the cloth, in millimetres."""
        return self.pitch.apart(self.columns, self.rows)


def between_squares(first: tuple[int, int], last: tuple[int, int], pitch: Pitch) -> Tape:
    """The tape from the middle of a square (column, row) to that of another."""
    return Tape(last[0] - first[0], last[1] - first[1], pitch)


def between_points(first: tuple[int, int], last: tuple[int, int], pitch: Pitch) -> Tape:
    """The tape between two points of the lattice, (x, y) in half squares."""
    return Tape((last[0] - first[0]) / 2, (last[1] - first[1]) / 2, pitch)


@dataclass(frozen=True, slots=True)
class Bearings:
    """Where a square lies on the chart.

    `left`, `right`, `top` and `bottom` count the squares between it and the edges. `across` and
    `down` lead from the centre lines to its middle, in squares: below 0 left of or above them, 0 on
    them (the centre found by halving both counts: checks.md, H2).
    """

    left: int
    right: int
    top: int
    bottom: int
    across: float
    down: float
    pitch: Pitch

    @property
    def left_mm(self) -> float:
        """Millimetres from the chart's left edge to the near side of the square."""
        return self.left * self.pitch.across_mm

    @property
    def right_mm(self) -> float:
        """Millimetres from the chart's right edge to the near side of the square."""
        return self.right * self.pitch.across_mm

    @property
    def top_mm(self) -> float:
        """Millimetres from the chart's top edge to the near side of the square."""
        return self.top * self.pitch.down_mm

    @property
    def bottom_mm(self) -> float:
        """Millimetres from the chart's bottom edge to the near side of the square."""
        return self.bottom * self.pitch.down_mm

    @property
    def centre_mm(self) -> float:
        """Millimetres from where the centre lines cross to the middle of the square."""
        return self.pitch.apart(self.across, self.down)


def bearings_of(chart: Area, column: int, row: int, pitch: Pitch) -> Bearings:
    """The bearings of a square of a chart that covers `chart` from (0, 0); below 0 squares off it."""
    return Bearings(
        left=column,
        right=chart.columns - 1 - column,
        top=row,
        bottom=chart.rows - 1 - row,
        across=column + 0.5 - chart.columns / 2,
        down=row + 0.5 - chart.rows / 2,
        pitch=pitch,
    )


def length_words(mm: float, unit: LengthUnit) -> str:
    """A length on the cloth in words, rounded to the nearest 0.1 mm, 0.01 cm or 0.01 in."""
    if unit is LengthUnit.INCHES:
        return f"{mm / INCH_MM:,.2f} in"
    if unit is LengthUnit.CENTIMETRES:
        return f"{mm / 10:,.2f} cm"
    return f"{mm:,.1f} mm"


def tape_words(tape: Tape, unit: LengthUnit) -> str:
    """The tape in words: the way to count, the cornerwise way, and the length on the cloth."""
    if tape.columns == 0 and tape.rows == 0:
        return "The same place."
    told = [_steps(tape.columns, "column", ("left", "right")), _steps(tape.rows, "row", ("up", "down"))]
    way = ", ".join(each for each in told if each)
    if tape.columns and tape.rows:
        way += f"; {_counted(tape.diagonal, 'square')} diagonal"
        way += f" and {_counted(tape.straight_on, 'square')} straight on" if tape.straight_on else ""
        parts = f" ({length_words(tape.across_mm, unit)} × {length_words(tape.down_mm, unit)})"
    else:
        parts = ""
    return f"{way}; {length_words(tape.mm, unit)} on the cloth{parts}."


def _steps(count: float, noun: str, ways: tuple[str, str]) -> str:
    if count == 0:
        return ""
    way = ways[0] if count < 0 else ways[1]
    return f"{_counted(abs(count), noun)} {way}"


def _counted(count: float, noun: str) -> str:
    told = f"{count:,.0f}" if count == int(count) else f"{count:,.1f}"
    return f"{told} {noun}{'' if count == 1 else 's'}"
