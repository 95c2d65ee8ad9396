"""The water: waves, the sky and everything else mirrored in them, and the sun's broken path."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.chance import Noise
from stitchview.chart.harbour.easel import Painting, Patch, Stuff
from stitchview.chart.harbour.field import Field
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.view import View, bands

Reals = NDArray[np.float64]

NEAR_TINT = np.array([22.0, 40.0, 78.0])
FAR_TINT = np.array([236.0, 176.0, 140.0])
CREST = np.array([168.0, 140.0, 176.0])
GLITTER = np.array([255.0, 214.0, 132.0])
WAVE_LEVELS = 127


def pour_water(painting: Painting, view: View) -> None:
    """Fill everything below the horizon with water that mirrors the sky."""
    noise = Noise(view.chance("waves").salt())
    field = Field(
        (view.horizon, view.rows),
        view.columns,
        view.unit,
        lambda across, down: _waves(across, down, view, noise),
    )
    for rows in bands(view.horizon, view.rows, view.columns):
        waves = field.at(rows)
        painting.waves[rows[:, 0] - view.horizon] = np.rint(waves * WAVE_LEVELS)
        _mirror_sky(painting, view, rows, waves)
    painting.stuff[view.horizon :] = Stuff.WATER


def gild(painting: Painting, view: View) -> None:
    """Lay the sun's path over the open water; what floats nearer covers it later."""
    for rows in bands(view.horizon, view.rows, view.columns):
        _glitter(painting, view, rows, _wave_heights(painting, rows))


def mirror(painting: Painting, patch: Patch, waterline: int, strength: float = 0.78) -> None:
    """Mirror a patch about a row of the picture, shaken and broken by the waves."""
    area = patch.area
    height = waterline - area.row
    last = min(waterline + int(height * 1.15), painting.area.rows)
    for rows in bands(max(waterline, painting.horizon), last, area.columns):
        _mirror_rows(painting, patch, rows, (waterline, strength))


def ripple(painting: Painting, view: View) -> None:
    """A few short lines of foam on the near waves."""
    chance = view.chance("foam")
    for _ in range(int(view.columns * (view.rows - view.horizon) / 900)):
        share = chance.share() ** 0.6
        row = view.below_horizon(0.15 + 0.83 * share)
        length = max(1.5, (0.008 + 0.022 * share) * view.unit * chance.between(0.5, 1.5))
        x = chance.share() * (view.columns - length)
        inside = 0 <= int(x) < view.columns and 0 <= row < view.rows
        if inside and painting.stuff[row, int(x)] == Stuff.WATER:
            y = float(row)
            painting.needlework.back((x, y), (x + length / 2, y), Ink.FOAM)
            painting.needlework.back((x + length / 2, y), (x + length, y + 0.5), Ink.FOAM)


def _waves(across: Reals, down: Reals, view: View, noise: Noise) -> Reals:
    """The height of the waves from -1 to 1, long and flat far off, larger nearer to the eye."""
    depth = (down - view.horizon) / max(view.rows - view.horizon, 1)
    length = np.maximum(view.unit * (0.022 + 0.085 * depth), 3.0)
    # Rows crowd together towards the horizon: so many waves lie between it and this row.
    crests = min(44.0, view.rows * 0.2) * np.log1p(9 * depth) / np.log(10)
    middle = (across - view.columns / 2) / length
    swell = noise.at(middle + 200, crests + 100)
    chop = noise.at(middle * 2.3 + 300, crests * 2.4 + 50)
    return np.asarray(np.clip((0.62 * swell + 0.38 * chop - 0.5) * 3.2, -1, 1))


def _mirror_sky(painting: Painting, view: View, rows: NDArray[np.int64], waves: Reals) -> None:
    depth = (rows + 0.5 - view.horizon) / max(view.rows - view.horizon, 1)
    reach = view.horizon / max(view.rows - view.horizon, 1)
    shake = waves * (0.015 + 0.16 * depth) * view.unit
    source_rows = view.horizon - 1 - (rows - view.horizon) * reach * 0.92 + shake
    source_columns = np.arange(view.columns)[None, :] + 0.35 * shake
    colours = _picked(painting.colours, source_rows, source_columns, view.horizon - 1)
    tint = FAR_TINT + (NEAR_TINT - FAR_TINT) * np.clip(depth * 1.35, 0, 1)[..., None]
    colours += (tint - colours) * (0.22 + 0.40 * depth)[..., None]
    crest = np.clip((waves - 0.45) * 2.2, 0, 1) * (0.15 + 0.40 * depth)
    colours += (CREST - colours) * crest[..., None]
    colours *= 1 - (np.clip(-waves - 0.25, 0, 1) * 0.42)[..., None]
    painting.colours[rows[:, 0]] = _as_bytes(colours)


def _glitter(painting: Painting, view: View, rows: NDArray[np.int64], waves: Reals) -> None:
    depth = (rows + 0.5 - view.horizon) / max(view.rows - view.horizon, 1)
    width = view.unit * (0.035 + 0.13 * depth)
    aside = (np.arange(view.columns)[None, :] + 0.5 - view.sun[0]) / width
    nearness = np.exp(-(aside**2)) * (1 - 0.45 * depth)
    bright = np.clip((waves + 1.75 * nearness - 0.85) * 2.4, 0, 1) * np.clip(nearness * 3, 0, 1)
    place = rows[:, 0]
    water = painting.stuff[place] == Stuff.WATER
    colours = painting.colours[place].astype(np.float64)
    colours += (GLITTER - colours) * (bright * 0.94 * water)[..., None]
    painting.colours[place] = _as_bytes(colours)
    stuff = painting.stuff[place]
    stuff[water & (bright > 0.995) & (waves > 0.52)] = Stuff.GOLD
    painting.stuff[place] = stuff


def _mirror_rows(painting: Painting, patch: Patch, rows: NDArray[np.int64], how: tuple[int, float]) -> None:
    waterline, strength = how
    area = patch.area
    height = max(waterline - area.row, 1)
    waves = _wave_heights(painting, rows)[:, area.column : area.right]
    below = rows + 0.5 - waterline
    shake = waves * (0.6 + 0.10 * below)
    source_rows = np.rint((waterline - area.row) - 0.5 - below / 1.12 + shake * 0.8).astype(np.int64)
    source_columns = np.rint(np.arange(area.columns)[None, :] + 0.55 * shake).astype(np.int64)
    seen = (source_rows >= 0) & (source_rows < area.rows)
    seen &= (source_columns >= 0) & (source_columns < area.columns)
    safe_rows, safe_columns = np.where(seen, source_rows, 0), np.where(seen, source_columns, 0)
    seen &= patch.labels[safe_rows, safe_columns] > 0
    place = (rows, np.arange(area.column, area.right)[None, :])
    seen &= painting.stuff[place] == Stuff.WATER
    fading = strength * (1 - 0.45 * below / height) * np.where(waves > 0.42 - 0.1 * below / height, 0.4, 1.0)
    colours = painting.colours[place].astype(np.float64)
    mirrored = patch.colours[safe_rows, safe_columns] * np.array([0.80, 0.84, 0.96])
    colours += (mirrored - colours) * (np.clip(fading, 0, 1) * seen)[..., None]
    painting.colours[place] = _as_bytes(colours)


def _wave_heights(painting: Painting, rows: NDArray[np.int64]) -> Reals:
    return np.asarray(painting.waves[rows[:, 0] - painting.horizon] / WAVE_LEVELS, np.float64)


def _picked(colours: NDArray[np.uint8], rows: Reals, columns: Reals, last_row: int) -> Reals:
    safe_rows = np.clip(np.rint(rows), 0, last_row).astype(np.int64)
    safe_columns = np.clip(np.rint(columns), 0, colours.shape[1] - 1).astype(np.int64)
    return colours[safe_rows, safe_columns].astype(np.float64)


def _as_bytes(colours: Reals) -> NDArray[np.uint8]:
    return np.clip(np.rint(colours), 0, 255).astype(np.uint8)
