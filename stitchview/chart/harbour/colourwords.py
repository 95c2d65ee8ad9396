"""Plain words for a colour, such as “slate blue” or “pale apricot”."""

import numpy as np

from stitchview.chart.colour import Colour
from stitchview.chart.harbour.oklab import to_oklab

# Where each family of hues ends on the OKLCH circle (degrees), and its dark, middle and light word.
FAMILIES = (
    (12.0, ("wine", "raspberry", "rose")),
    (38.0, ("claret", "brick red", "coral")),
    (62.0, ("chestnut", "rust", "apricot")),
    (86.0, ("peat brown", "ochre", "honey")),
    (112.0, ("olive brown", "mustard", "straw")),
    (158.0, ("moss green", "leaf green", "apple green")),
    (196.0, ("bottle green", "sea green", "mint")),
    (238.0, ("petrol blue", "harbour blue", "aqua")),
    (276.0, ("navy", "slate blue", "sky blue")),
    (302.0, ("indigo", "bluebell", "lavender")),
    (342.0, ("plum", "mauve", "lilac")),
    (360.0, ("mulberry", "heather", "pink")),
)
GREYS = ((0.18, "black"), (0.42, "charcoal"), (0.62, "pebble grey"), (0.82, "gull grey"), (0.95, "mist"))
GREY_BELOW = 0.022
DUSKY_BELOW = 0.050
MIDDLE_FROM, LIGHT_FROM = 0.44, 0.68


def colour_words(colour: Colour) -> str:
    """The words for a colour, from its lightness, strength and hue in OKLCH."""
    lightness, a, b = to_oklab(np.array([colour.red, colour.green, colour.blue])).tolist()
    strength = float(np.hypot(a, b))
    if strength < GREY_BELOW:
        return next((word for limit, word in GREYS if lightness < limit), "white")
    hue = float(np.degrees(np.arctan2(b, a))) % 360
    words = next(words for limit, words in FAMILIES if hue < limit or limit == FAMILIES[-1][0])
    word = words[int(lightness >= MIDDLE_FROM) + int(lightness >= LIGHT_FROM)]
    return f"{_before(lightness, strength)}{word}"


def _before(lightness: float, strength: float) -> str:
    if lightness >= 0.88:
        return "pale "
    if lightness < 0.26:
        return "dark "
    return "dusky " if strength < DUSKY_BELOW else ""
