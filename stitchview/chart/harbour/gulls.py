"""Gulls over the harbour."""

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.easel import Coat, Painting, Patch, lay
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import Point
from stitchview.chart.harbour.view import View

FEATHERS = Coat(Colour.from_hex("#EADFDF"), down=-0.25)
WING = Coat(Colour.from_hex("#B9AEC4"), down=-0.2)


def release_gulls(painting: Painting, view: View) -> None:
    """Lay a flock of gulls, larger ones to the front."""
    chance = view.chance("gulls")
    room = view.columns * view.horizon / 200
    for _ in range(int(min(5 + 3 * view.columns / view.unit, max(room, 1)))):
        x = chance.between(0.19, 0.72) * view.columns
        y = chance.between(0.30, 0.72) * view.horizon
        span = max(1.5, chance.between(0.012, 0.034) * view.unit)
        area = Area(int(x - span - 1), int(y - span), int(2 * span) + 3, int(2 * span) + 2)
        patch = painting.patch(area)
        _gull(patch, (x, y), span * (1 if chance.happens(0.5) else -1))
        lay(painting, patch)


def _gull(patch: Patch, middle: Point, span: float) -> None:
    x, y = middle
    size = abs(span)
    near: list[Point] = [(x, y), (x - span * 0.45, y - size * 0.42), (x - span, y - size * 0.12)]
    far: list[Point] = [(x, y), (x + span * 0.40, y - size * 0.50), (x + span * 0.85, y - size * 0.38)]
    if size >= 6:
        patch.polygon([*far, (x + span * 0.36, y - size * 0.26)], WING)
        patch.polygon([*near, (x - span * 0.42, y - size * 0.16)], FEATHERS)
        body: list[Point] = [(x - span * 0.16, y + size * 0.02), (x + span * 0.05, y - size * 0.10)]
        body += [(x + span * 0.24, y + size * 0.04), (x + span * 0.02, y + size * 0.13)]
        patch.polygon(body, FEATHERS)
        patch.needlework.outline(body)
    else:
        patch.box(Area(int(x), int(y), 1, 1), FEATHERS)
    for start, end in (near[:2], near[1:], far[:2], far[1:]):
        patch.needlework.straight(start, end, Ink.GULL)
    if size >= 4:
        patch.needlework.knot((x + span * 0.2, y), Ink.OUTLINE)
