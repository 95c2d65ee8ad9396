"""The sky at dusk: its gradient, banks of cloud lit from below, the low sun, a young moon and stars."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Noise, middles
from stitchview.chart.harbour.easel import Coat, Painting, Stuff, lay
from stitchview.chart.harbour.field import Field
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import disc
from stitchview.chart.harbour.view import View, bands

Reals = NDArray[np.float64]

LIT_EDGE = 0.016
HEIGHTS = (0.0, 0.22, 0.42, 0.58, 0.72, 0.84, 0.93, 1.0)
SKY = ("#1F2552", "#38427D", "#6A6499", "#A5749C", "#D98489", "#F3A274", "#FBC47C", "#FDDF98")
CLOUD_SHADOW = ("#2B2D5C", "#3D3F73", "#5B4C7E", "#7C5683", "#9C5F80", "#B87078", "#D08C74", "#E0A57A")
CLOUD_LIGHT = ("#5D5B93", "#8A6FA0", "#C8809C", "#F0918A", "#FBA97C", "#FEC583", "#FEDA96", "#FFE9B4")
SUN = Coat(Colour.from_hex("#FFF3C4"), Stuff.LIGHT, down=-0.06)
MOON = Coat(Colour.from_hex("#F1EEDC"), Stuff.SILVER)


def paint_sky(painting: Painting, view: View) -> None:
    """Fill everything above the horizon with sky."""
    clouds = Clouds(view)
    reach = round(LIT_EDGE * view.unit) + 1
    field = Field((0, view.horizon + reach), view.columns, view.unit, clouds.thickness)
    across = middles(0, view.columns)[None, :]
    for rows in bands(0, view.horizon, view.columns):
        painting.colours[rows[:, 0]] = _as_bytes(_sky(across, rows, view, field))
    _hang_sun(painting, view)
    _hang_moon(painting, view)
    _scatter_stars(painting, view)


class Clouds:
    """How thick the cloud is anywhere in the sky."""

    def __init__(self, view: View) -> None:
        chance = view.chance("clouds")
        self._banks, self._wisps = Noise(chance.salt()), Noise(chance.salt())
        self._view = view

    def thickness(self, across: Reals, down: Reals) -> Reals:
        """From 0 (clear) to 1 (thick)."""
        unit = self._view.unit
        octaves = int(np.clip(np.log2(unit) - 2, 2, 6))
        slope = down + 0.05 * across
        banks = self._banks.layered(across / (0.42 * unit), slope / (0.085 * unit), octaves)
        wisps = self._wisps.layered(across / (0.30 * unit), slope / (0.022 * unit), max(octaves - 2, 1))
        height = down / self._view.horizon
        wanted = 0.50 + 0.10 * np.cos(height * 9.0) + 0.16 * np.clip(height - 0.88, 0, 1) / 0.12
        return _ramp(0.74 * banks + 0.26 * wisps, wanted, wanted + 0.22)


def _sky(across: Reals, rows: NDArray[np.int64], view: View, clouds: Field) -> Reals:
    down = rows + 0.5
    height = down / view.horizon
    away = np.hypot((across - view.sun[0]) * 0.62, (down - view.sun[1]) * 1.25) / view.unit
    glow = np.exp(-((away / 0.30) ** 2))
    tone = np.clip(height + 0.10 * glow - 0.04 * np.clip(away - 0.35, 0, 1), 0, 1)
    clear = _toned(tone, SKY)
    thickness = clouds.at(rows)
    # The under edge of a cloud, with clear sky below it, catches the sun.
    under_edge = thickness - clouds.at(rows + max(1, round(LIT_EDGE * view.unit)))
    lit = np.clip(under_edge * 1.6 + 0.25, 0, 1) * np.clip(0.45 + 0.8 * glow, 0, 1)
    cloud = _mixed(_toned(tone, CLOUD_SHADOW), _toned(tone, CLOUD_LIGHT), lit[..., None])
    colours = _mixed(clear, cloud, (0.9 * thickness)[..., None])
    halo = np.exp(-((away / 0.115) ** 2))[..., None]
    return _mixed(colours, np.array([255.0, 226.0, 150.0]), 0.62 * halo)


def _hang_sun(painting: Painting, view: View) -> None:
    x, y = view.sun
    radius = max(view.sun_radius, 0.8)
    patch = painting.patch(_around(x, y, 4 * radius))
    patch.disc((x, y), radius, SUN)
    for turn in np.arange(0, 2 * np.pi, np.pi / 12):
        near, far = (1.35, 2.3) if round(turn / (np.pi / 12)) % 2 else (1.35, 1.8)
        aim = (float(np.cos(turn)), float(np.sin(turn)))
        if radius >= 2:
            start = (x + aim[0] * radius * near, y + aim[1] * radius * near)
            end = (x + aim[0] * radius * far, y + aim[1] * radius * far)
            if max(start[1], end[1]) > view.horizon - 0.5:
                continue
            patch.needlework.straight(start, end, Ink.RAY)
    if radius >= 2:
        patch.needlework.outline(disc((x, y), radius, radius, 24), Ink.RAY)
    lay(painting, patch)


def _hang_moon(painting: Painting, view: View) -> None:
    x, y = view.across(0.60), 0.17 * view.horizon
    radius = max(0.027 * view.unit, min(3.6, 0.06 * view.unit))
    patch = painting.patch(_around(x, y, 2 * radius))
    patch.disc((x, y), radius, MOON)
    patch.labels[_bite(patch.area, x + 0.50 * radius, y - 0.28 * radius, 0.92 * radius)] = 0
    lay(painting, patch)


def _bite(area: Area, x: float, y: float, radius: float) -> NDArray[np.bool_]:
    across = area.column + 0.5 + np.arange(area.columns)[None, :] - x
    down = area.row + 0.5 + np.arange(area.rows)[:, None] - y
    return np.asarray(np.hypot(across, down) < radius)


def _scatter_stars(painting: Painting, view: View) -> None:
    chance = view.chance("stars")
    room = view.columns * view.horizon / 60
    for number in range(int(min(6 + 10 * view.columns / view.unit + view.unit / 20, room))):
        x = chance.between(0.02, 0.98) * view.columns
        y = 0.42 * view.horizon * chance.share() ** 1.6
        place = (np.floor(x) + 0.5, np.floor(y) + 0.5)
        arm = max(1.0, np.floor(0.003 * view.unit)) if number % 3 == 0 else 0.0
        if arm and view.unit > 40:
            for across, down in ((arm, 0), (0, arm)):
                start, end = (place[0] - across, place[1] - down), (place[0] + across, place[1] + down)
                painting.needlework.straight(start, end, Ink.STAR)
        painting.needlework.knot(place, Ink.STAR)


def _around(x: float, y: float, reach: float) -> Area:
    left, top, size = int(x - reach), int(y - reach), int(2 * reach) + 2
    return Area(left, top, size, size)


def _toned(tone: Reals, stops: tuple[str, ...]) -> Reals:
    colours = np.array([(c.red, c.green, c.blue) for c in map(Colour.from_hex, stops)], np.float64)
    parts = [np.interp(tone, HEIGHTS, colours[:, part]) for part in range(3)]
    return np.stack(parts, axis=-1)


def _mixed(first: Reals, second: Reals, share: Reals) -> Reals:
    return np.asarray(first + (second - first) * share)


def _ramp(value: Reals, low: Reals, high: Reals) -> Reals:
    share = np.clip((value - low) / (high - low), 0, 1)
    return np.asarray(share * share * (3 - 2 * share))


def _as_bytes(colours: Reals) -> NDArray[np.uint8]:
    return np.clip(np.rint(colours), 0, 255).astype(np.uint8)
