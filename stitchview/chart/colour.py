"""sRGB colours, and the contrast between two of them by the WCAG 2.x formula."""

import re
from dataclasses import dataclass

_HEX = re.compile(r"#[0-9A-Fa-f]{6}\Z")


@dataclass(frozen=True, slots=True, order=True)
class Colour:
    """An sRGB colour (IEC 61966-2-1), each part a whole number from 0 to 255."""

    red: int
    green: int
    blue: int

    @classmethod
    def from_hex(cls, text: str) -> "Colour":
        """Read `#RRGGBB`; raises `ValueError` for anything else."""
        if not _HEX.match(text):
            raise ValueError(f"{text!r} is not a colour written as #RRGGBB")
        return cls(int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16))

    @property
    def hex(self) -> str:
        """The colour as `#RRGGBB` in capitals."""
        return f"#{self.red:02X}{self.green:02X}{self.blue:02X}"

    @property
    def luminance(self) -> float:
        """Relative luminance, 0 (black) to 1 (white), as WCAG 2.2 defines it."""
        red, green, blue = (_linear(part) for part in (self.red, self.green, self.blue))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    def mixed(self, other: "Colour", share: float) -> "Colour":
        """This colour with `share` (0 to 1) of `other` laid over it, each sRGB part weighed as it stands."""
        return Colour(
            round(self.red + (other.red - self.red) * share),
            round(self.green + (other.green - self.green) * share),
            round(self.blue + (other.blue - self.blue) * share),
        )


BLACK = Colour(0, 0, 0)
WHITE = Colour(255, 255, 255)


def contrast(first: Colour, second: Colour) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    lighter, darker = sorted((first.luminance, second.luminance), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def ink_on(ground: Colour) -> Colour:
    """Black or white, whichever stands out more from `ground`; always at least 4.58 : 1."""
    return max((BLACK, WHITE), key=lambda ink: contrast(ink, ground))


def _linear(part: int) -> float:
    share = part / 255
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)
