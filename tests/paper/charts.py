"""Invent what is on a printed chart: areas, confetti, blank cloth, back stitch, knots and beads."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.int32]
Steps = NDArray[np.float32]

COMPASS = np.array([(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)], np.float32)
KNIGHTS = np.array([(2, 1), (1, 2), (-1, 2), (-2, 1), (-2, -1), (-1, -2), (1, -2), (2, -1)], np.float32)


@dataclass(frozen=True)
class Content:
    """What a chart says, whatever it is printed on.

    ``codes`` (rows, columns): 0 for a blank square, n for the n-th sign. ``steps`` (n, 4) float32 are the
    single steps of back stitch x1, y1, x2, y2 in squares from the top left corner, all multiples of a half;
    ``dashed`` (n,) bool says how each is drawn. ``knots`` and ``beads`` (n, 2) are points in squares.
    """

    codes: Codes
    steps: Steps
    dashed: NDArray[np.bool_]
    knots: Steps
    beads: Steps


def invented(columns: int, rows: int, signs: int, seed: int, line_share: float = 0.05) -> Content:
    """A chart of ``signs`` different signs; ``line_share`` is the number of back stitch steps a square."""
    random = np.random.default_rng([seed, 23])
    codes = _squares(columns, rows, signs, random)
    steps, dashed = _back_stitch(codes, random, round(columns * rows * line_share))
    knots = _points(codes.shape, random, round(columns * rows * line_share * 0.03))
    beads = _points(codes.shape, random, round(columns * rows * line_share * 0.03))
    return Content(codes, steps, dashed, knots, beads)


def _smooth(shape: tuple[int, ...], size: float, random: np.random.Generator) -> NDArray[np.float32]:
    """Soft hills between 0 and 1, evenly spread, of about ``size`` squares across."""
    noise = random.standard_normal(shape).astype(np.float32)
    hills = cv2.GaussianBlur(noise, (0, 0), size / 2, borderType=cv2.BORDER_REFLECT)
    ranks = hills.ravel().argsort().argsort().reshape(shape)
    return (ranks / max(1, ranks.size - 1)).astype(np.float32)


def _squares(columns: int, rows: int, signs: int, random: np.random.Generator) -> Codes:
    """Areas, each shaded through a few signs, with some confetti, on blank cloth."""
    shape = (rows, columns)
    size = max(6.0, min(columns, rows) / random.uniform(2.5, 6))
    areas = int(random.integers(1, 5))
    area = np.minimum((_smooth(shape, size, random) * areas).astype(int), areas - 1)
    rough = random.uniform(0.003, 0.04) * (_smooth(shape, size, random) > random.uniform(0.2, 0.8))
    codes = np.zeros(shape, np.int32)
    for number in range(areas):
        palette = random.permutation(signs)[: max(1, min(signs, -(-2 * signs // areas)))] + 1
        level = _smooth(shape, size * random.uniform(0.5, 1.2), random) + rough * random.standard_normal(
            shape
        )
        at = np.clip(level * len(palette), 0, len(palette) - 1).astype(np.int32)
        codes = np.where(area == number, palette[at], codes).astype(np.int32)
    confetti = random.random(shape) < random.uniform(0.02, 0.3) * (_smooth(shape, size, random) > 0.7)
    codes[confetti] = random.integers(1, signs + 1, int(confetti.sum()))
    codes[_smooth(shape, size * 1.5, random) < random.uniform(0.0, 0.4)] = 0
    _everyone_at_least(codes, signs, random)
    return codes


def _everyone_at_least(codes: Codes, signs: int, random: np.random.Generator) -> None:
    """Put a few squares of every rare sign in, as a chart has its highlights."""
    wanted = max(1, min(12, codes.size // (signs * 3)))
    for sign in range(1, signs + 1):
        missing = wanted - int((codes == sign).sum())
        if missing > 0:
            codes.ravel()[random.choice(codes.size, missing, replace=False)] = sign


def _back_stitch(codes: Codes, random: np.random.Generator, wanted: int) -> tuple[Steps, NDArray[np.bool_]]:
    """Outlines round areas and free lines such as rigging, until there are about ``wanted`` steps."""
    runs: list[Steps] = []
    dashed: list[NDArray[np.bool_]] = []
    while sum(map(len, runs)) < wanted:
        run = _outline(codes, random) if random.random() < 0.5 else _free_line(codes.shape, random)
        runs.append(run)
        dashed.append(np.full(len(run), random.random() < 0.3))
    if not runs:
        return np.zeros((0, 4), np.float32), np.zeros(0, np.bool_)
    return _once(np.concatenate(runs), np.concatenate(dashed))


def _once(steps: Steps, dashed: NDArray[np.bool_]) -> tuple[Steps, NDArray[np.bool_]]:
    """Every step once, begun at its left or upper end; one that lies on another, longer one is left out."""
    swap = (steps[:, 0] > steps[:, 2]) | ((steps[:, 0] == steps[:, 2]) & (steps[:, 1] > steps[:, 3]))
    steps = np.where(swap[:, None], steps[:, [2, 3, 0, 1]], steps)
    _, first = np.unique(steps, axis=0, return_index=True)
    steps, dashed = steps[np.sort(first)], dashed[np.sort(first)]
    middles = {tuple(step) for step in np.round((steps[:, :2] + steps[:, 2:]) * 4).astype(int).tolist()}
    short = np.abs(steps[:, 2:] - steps[:, :2]).max(axis=1) < 0.75
    covered = np.array(
        [
            bool(is_short) and _lies_on(step, middles)
            for is_short, step in zip(short, steps.tolist(), strict=True)
        ],
        np.bool_,
    )
    return steps[~covered], dashed[~covered]


def _lies_on(step: list[float], middles: set[tuple[int, ...]]) -> bool:
    """Whether either end of a half step is the middle of a whole step, which it may then lie on."""
    x1, y1, x2, y2 = (round(8 * value) for value in step)
    return (x1, y1) in middles or (x2, y2) in middles


def _outline(codes: Codes, random: np.random.Generator) -> Steps:
    """Part of the outline of one area, its stairs sometimes drawn as slopes."""
    rows, columns = codes.shape
    inside = codes == codes[random.integers(rows), random.integers(columns)]
    whole = cv2.morphologyEx(inside.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    contours, _ = cv2.findContours(np.kron(whole, np.ones((2, 2), np.uint8)), 0, cv2.CHAIN_APPROX_NONE)
    longest = max(contours, key=len).reshape(-1, 2) if contours else np.zeros((0, 2), np.int32)
    corners = ((longest + 1) // 2).astype(np.float32)
    corners = (
        corners[np.r_[True, np.abs(np.diff(corners, axis=0)).sum(axis=1) > 0]] if len(corners) else corners
    )
    if len(corners) > 3 and random.random() < 0.5:
        corners = _stairs_cut(corners)
    begin = int(random.integers(max(1, len(corners) - 8)))
    part = corners[begin : begin + int(random.integers(8, 60))]
    steps = np.concatenate([part[:-1], part[1:]], axis=1).astype(np.float32)
    return steps[~_on_the_edge(steps, columns, rows)]


def _on_the_edge(steps: Steps, columns: int, rows: int) -> NDArray[np.bool_]:
    """Which steps run along the chart's own edge, where nobody prints back stitch."""
    upright, level = steps[:, 0] == steps[:, 2], steps[:, 1] == steps[:, 3]
    at_side, at_end = np.isin(steps[:, 0], (0, columns)), np.isin(steps[:, 1], (0, rows))
    return np.asarray((upright & at_side) | (level & at_end), np.bool_)


def _stairs_cut(corners: NDArray[np.float32]) -> NDArray[np.float32]:
    """Two steps round a corner become one diagonal step."""
    kept = [corners[0]]
    at = 0
    while at + 1 < len(corners):
        far = corners[min(at + 2, len(corners) - 1)] - corners[at]
        at += 2 if at + 2 < len(corners) and np.abs(far).tolist() == [1.0, 1.0] else 1
        kept.append(corners[at])
    return np.array(kept, np.float32)


def _free_line(shape: tuple[int, ...], random: np.random.Generator) -> Steps:
    """A line that keeps its way for some steps and then bends; now and then by half squares or a knight's."""
    here = np.round(random.random(2) * np.array(shape[::-1])).astype(np.float32)
    way, steps = int(random.integers(8)), []
    scale = 0.5 if random.random() < 0.2 else 1.0
    kind = KNIGHTS if random.random() < 0.3 else COMPASS
    for _ in range(int(random.integers(4, 40))):
        if random.random() < 0.25:
            way = (way + int(random.choice([-1, 1]))) % 8
        there = here + kind[way] * scale
        if not (0 <= there[0] <= shape[1] and 0 <= there[1] <= shape[0]):
            break
        steps.append((*here, *there))
        here = there
    found = np.array(steps, np.float32).reshape(-1, 4)
    return found[~_on_the_edge(found, shape[1], shape[0])]


def _points(shape: tuple[int, ...], random: np.random.Generator, count: int) -> Steps:
    """Points on crossings and half points, each at least a square from the next."""
    found: list[tuple[float, float]] = []
    for x, y in (random.random((4 * count, 2)) * np.array(shape[::-1])).tolist():
        point = (max(0.5, round(2 * x) / 2), max(0.5, round(2 * y) / 2))
        if all(max(abs(point[0] - a), abs(point[1] - b)) >= 1 for a, b in found) and len(found) < count:
            found.append(point)
    return np.array(found, np.float32).reshape(-1, 2)
