"""How heavy the symbols of a key look: the share of its square that each inks."""

from stitchview.canvas.glyphs import GlyphPaths
from stitchview.chart.model import Chart

_PITCH = 24
_SIZE = 0.64


def symbol_weights(chart: Chart) -> tuple[float, ...]:
    """For each line of the key the share of a square that its symbol inks, 0 to 1, as the canvas draws it."""
    paths = GlyphPaths(chart.key, chart.attachments)
    ink = paths.coverage(range(len(chart.key)), _PITCH, _SIZE)
    return tuple((ink.reshape(len(chart.key), -1).mean(axis=1) / 255).tolist()) if len(chart.key) else ()
