"""How the chart is made to look: paper or colour, cleared or worked, day or night, and how dim."""

from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.colour import BLACK, WHITE, Colour, contrast, ink_on

FADED_SHARE = 0.78
WORKED_PALE_SHARE = 0.5
RECEDED_SHARE = 0.82
# How much of its colour a stitch still to do has where the piece is shown as it looks on the cloth.
REST_SHARE = 0.12
# How much of it one has that was stitched before, where what is new is shown.
EARLIER_SHARE = 0.4
CLEARED_LINE_SHARE = 0.6
OPEN_LINE_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class Ground:
    """The colours around and under the stitches; every pair that carries meaning is held by tests.

    `edge` and `pointer` are drawn beside `paper`, and stand at 9 : 1 to it: whatever lies under them,
    one of the two then stands at 3 : 1 to that.
    """

    desk: Colour
    paper: Colour
    ink: Colour
    faded_ink: Colour
    thin: Colour
    bold: Colour
    border: Colour
    edge: Colour
    pointer: Colour
    dim: Colour


DAY = Ground(
    desk=Colour(0xD9, 0xD5, 0xCE),
    paper=WHITE,
    ink=BLACK,
    faded_ink=Colour(0x8E, 0x8E, 0x8E),
    thin=Colour(0xC9, 0xC5, 0xBD),
    bold=Colour(0x4A, 0x47, 0x44),
    border=Colour(0x22, 0x20, 0x1E),
    edge=Colour(0x00, 0x48, 0x80),
    pointer=Colour(0x83, 0x2A, 0x00),
    dim=Colour(0x8D, 0x8B, 0x88),
)
NIGHT = Ground(
    desk=Colour(0x14, 0x15, 0x18),
    paper=Colour(0x26, 0x28, 0x2D),
    ink=Colour(0xF0, 0xEE, 0xE8),
    faded_ink=Colour(0x80, 0x82, 0x86),
    thin=Colour(0x40, 0x43, 0x49),
    bold=Colour(0x9C, 0x9E, 0xA2),
    border=Colour(0xC8, 0xC9, 0xCC),
    edge=Colour(0x92, 0xD5, 0xFA),
    pointer=Colour(0xFF, 0xC2, 0x72),
    dim=Colour(0x12, 0x13, 0x15),
)


class Shown(StrEnum):
    """What is shown of a chart that was read from paper; the values are what is kept."""

    SYMBOLS = "symbols"
    PICTURE = "picture"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Look:
    """What she chose: `paper` for black symbols on white, `worked` for small crosses on done squares.

    `dim` is how much of the dimming colour lies over everything outside the band (0 to 1).
    `symbol_size` is the height of a symbol in squares, `line_weight` the width of back stitch in squares.
    `shown` is whether the symbols show, the straightened picture of the paper, or both laid over each other.
    """

    paper: bool = False
    worked: bool = False
    night: bool = False
    dim: float = 0.6
    symbol_size: float = 0.64
    line_weight: float = 0.15
    shown: Shown = Shown.SYMBOLS

    @property
    def ground(self) -> Ground:
        """The colours of day or night."""
        return NIGHT if self.night else DAY

    def open_fill(self, thread: Colour) -> Colour:
        """Give the fill of a square that is still to do."""
        if self.paper:
            return self.ground.paper
        if self.worked:
            return thread.mixed(self.ground.paper, WORKED_PALE_SHARE)
        return thread

    def open_ink(self, fill: Colour) -> Colour:
        """Give the ink of a symbol on `fill`, at least 4.5 : 1 (WCAG 2.2, 1.4.3)."""
        own = self.ground.ink
        return own if contrast(own, fill) >= 7 else ink_on(fill)

    def faded_ink(self, fill: Colour) -> Colour:
        """Give the ink of a symbol that steps back on `fill`, still at least 3 : 1 (WCAG 2.2, 1.4.11)."""
        steps = (self.ground.faded_ink.mixed(self.ground.ink, step / 16) for step in range(16))
        return next((ink for ink in steps if contrast(ink, fill) >= 3), ink_on(fill))

    def cleared_fill(self, thread: Colour) -> Colour:
        """Give the fill of a done square in the cleared look."""
        if self.paper:
            return self.ground.paper.mixed(self.ground.ink, 0.05)
        return thread.mixed(self.ground.paper, FADED_SHARE)

    def far_colour(self, thread: Colour, done: bool) -> Colour:
        """Give the one colour of a square too small for its symbol."""
        if done:
            return thread if self.worked else thread.mixed(self.ground.paper, FADED_SHARE)
        return thread.mixed(self.ground.paper, WORKED_PALE_SHARE) if self.worked else thread

    def line_colour(self, thread: Colour, done: bool) -> Colour:
        """Give the colour of a line, a knot or a bead: too thin to be made as pale as a square to do."""
        if self.worked:
            return thread if done else thread.mixed(self.ground.paper, OPEN_LINE_SHARE)
        return thread.mixed(self.ground.paper, CLEARED_LINE_SHARE) if done else thread
