"""Draw pictures that are no charts: holiday photographs, floors, houses, text, tables and knitting."""

from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Pixels = NDArray[np.uint8]
WIDE, HIGH = 1400, 1050
WORDS = (
    "harbour", "dusk", "thread", "the", "of", "and", "quay", "lamp", "a", "row", "boats", "square", "were",
    "by", "slow", "to", "evening", "with", "water", "grey", "in", "needle", "light", "that", "fell", "upon",
)  # fmt: skip


def _rough(random: np.random.Generator, coarsest: int = 9) -> NDArray[np.float32]:
    """Noise of all sizes between -1 and 1, as leaves, clouds and stone have it, (HIGH, WIDE)."""
    total = np.zeros((HIGH, WIDE), np.float32)
    for power in range(1, coarsest):
        step = 2**power
        small = random.normal(0, 1, (HIGH // step + 2, WIDE // step + 2)).astype(np.float32)
        total += cv2.resize(small, (WIDE, HIGH), interpolation=cv2.INTER_CUBIC) * step**0.5
    return np.asarray(total / np.abs(total).max(), np.float32)


def _taken(scene: NDArray[np.float32], random: np.random.Generator) -> Pixels:
    """The scene with a lens's softness, uneven light and a sensor's grain."""
    y, x = np.mgrid[0:HIGH, 0:WIDE].astype(np.float32)
    light = 1 - 0.25 * (((x / WIDE - 0.5) ** 2 + (y / HIGH - 0.5) ** 2) * 2)
    soft = np.asarray(cv2.GaussianBlur(scene, (0, 0), 0.8), np.float32) * light[..., None]
    grain = random.normal(0, 3, scene.shape).astype(np.float32)
    return np.asarray(np.clip(soft + grain, 0, 255), np.uint8)


def _slanted(
    flat: NDArray[np.float32], random: np.random.Generator, lean: float = 0.12
) -> NDArray[np.float32]:
    """A flat thing seen from aside; what lies beyond it is its edge colour."""
    corners = np.array([(0, 0), (WIDE, 0), (WIDE, HIGH), (0, HIGH)], np.float32)
    moved = corners + random.uniform(-lean, lean, (4, 2)).astype(np.float32) * (WIDE, HIGH)
    matrix = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
    return np.asarray(
        cv2.warpPerspective(flat, matrix, (WIDE, HIGH), borderMode=cv2.BORDER_REPLICATE), np.float32
    )


def coast(random: np.random.Generator) -> Pixels:
    """Sky, sea with waves, sand, and bushes in front."""
    rough = _rough(random)
    y = np.linspace(0, 1, HIGH, dtype=np.float32)[:, None, None]
    sky = np.array([120, 170, 225], np.float32) + 90 * y
    sea = np.array([30, 90, 120], np.float32) + 40 * np.sin(y * 400 + rough[..., None] * 9) * y
    sand = np.array([205, 185, 145], np.float32) + 25 * rough[..., None]
    leaves = np.array([50, 95, 35], np.float32) + 70 * np.roll(rough, 300, 1)[..., None]
    scene = np.where(y < 0.4, sky + 20 * np.maximum(rough[..., None], 0), np.where(y < 0.6, sea, sand))
    bush = y > 0.8 + 0.25 * np.roll(rough, 700, 1)[..., None]
    return _taken(np.where(bush, leaves, scene).astype(np.float32), random)


def foliage(random: np.random.Generator) -> Pixels:
    """A hedge that fills the picture, every leaf lit in its own way."""
    scene = np.array([45, 85, 35], np.float32) + 60 * _rough(random, 6)[..., None]
    image = scene.copy()
    for _ in range(4500):
        x, y = int(random.integers(WIDE)), int(random.integers(HIGH))
        size = (int(random.integers(6, 22)), int(random.integers(3, 9)))
        shade = random.uniform(0.4, 1.5)
        colour = tuple(float(part) for part in np.array([60, 110, 45]) * shade)
        cv2.ellipse(image, (x, y), size, float(random.uniform(0, 180)), 0, 360, colour, -1, cv2.LINE_AA)
    return _taken(image, random)


def houses(random: np.random.Generator) -> Pixels:
    """House fronts with rows of windows that have bars, seen from aside."""
    scene = np.full((HIGH, WIDE, 3), (150, 185, 225), np.float32)
    left = 0
    while left < WIDE:
        wide = int(random.integers(350, 700))
        top = int(random.integers(100, 450))
        wall = random.uniform(110, 220, 3).astype(np.float32)
        scene[top:, left : left + wide] = wall
        step, floor = int(random.integers(55, 100)), int(random.integers(90, 150))
        for y in range(top + 40, HIGH - floor, floor):
            for x in range(left + 25, left + wide - step, step):
                window = scene[y : y + floor * 3 // 5, x : x + step * 3 // 5]
                window[:] = random.uniform(30, 110)
                window[:: max(1, window.shape[0] // 3)] = 235
                window[:, :: max(1, window.shape[1] // 2)] = 235
        left += wide
    return _taken(_slanted(scene + 8 * _rough(random)[..., None], random), random)


def tiled_floor(random: np.random.Generator) -> Pixels:
    """A kitchen floor of square tiles with dark joints, seen from aside."""
    tile = int(random.integers(60, 110))
    stone = _rough(random)[..., None] * 25
    rows, columns = -(-HIGH // tile), -(-WIDE // tile)
    each = random.normal(190, 12, (rows, columns, 1)).astype(np.float32) * np.array(
        [1, 0.95, 0.88], np.float32
    )
    scene = np.kron(each, np.ones((tile, tile, 1), np.float32))[:HIGH, :WIDE] + stone
    joint = max(3, tile // 14)
    for start in range(joint):
        scene[start::tile] = scene[:, start::tile] = 95 + 12 * random.random()
    return _taken(_slanted(scene.astype(np.float32), random, 0.2), random)


def text_page(random: np.random.Generator) -> Pixels:
    """A page of a book, closely printed."""
    image = Image.new("RGB", (WIDE, HIGH), (246, 243, 236))
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(26)
    for line in range((HIGH - 130) // 38):
        text = " ".join(random.choice(WORDS, 24))
        draw.text((120, 70 + line * 38), text[:84], fill=(25, 22, 20), font=font)
    return _taken(_slanted(np.asarray(image, np.float32), random, 0.03), random)


def table_of_numbers(random: np.random.Generator) -> Pixels:
    """A ruled table of sums, its fields wide and low, its columns of several widths."""
    image = Image.new("RGB", (WIDE, HIGH), (252, 252, 250))
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(22)
    edges = np.cumsum([150, *random.integers(90, 260, 9)])
    edges = edges[edges < WIDE - 100]
    rows = (HIGH - 200) // 40
    for row in range(rows + 1):
        y = 120 + row * 40
        draw.line([(int(edges[0]), y), (int(edges[-1]), y)], fill=(90, 90, 90), width=2)
        if row < rows:
            for x in edges[1:]:
                number = f"{random.uniform(0, 900):.2f}"
                draw.text((int(x) - 10, y + 6), number, fill=(20, 20, 20), font=font, anchor="ra")
    for x in edges:
        draw.line([(int(x), 120), (int(x), 120 + rows * 40)], fill=(90, 90, 90), width=2)
    return _taken(_slanted(np.asarray(image, np.float32), random, 0.03), random)


def knitting(random: np.random.Generator) -> Pixels:
    """Plain knitting from near: columns of slanting loops."""
    wide, high = int(random.integers(26, 40)), int(random.integers(20, 30))
    y, x = np.mgrid[0:HIGH, 0:WIDE].astype(np.float32)
    rough = _rough(random)
    x, y = x + 10 * rough, y + 10 * np.roll(rough, 200, 0)
    across = np.abs((x / wide) % 1 - 0.5) * 2
    phase = (y / high - across * 0.9) % 1
    strand = np.sin(np.pi * phase) * (0.55 + 0.45 * np.sin(np.pi * np.clip(across, 0.05, 0.95)))
    scene = (40 + 150 * strand + 14 * rough)[..., None] * np.array([0.85, 0.35, 0.4], np.float32)
    return _taken(scene.astype(np.float32), random)


def blank_page(random: np.random.Generator) -> Pixels:
    """An empty sheet on a table."""
    scene = np.full((HIGH, WIDE, 3), (120, 85, 60), np.float32) + 30 * _rough(random)[..., None]
    scene[120:-120, 200:-200] = (238, 236, 230)
    return _taken(_slanted(scene, random, 0.04), random)


def ruled_notebook(random: np.random.Generator) -> Pixels:
    """Lined paper with handwriting-like strokes."""
    scene = np.full((HIGH, WIDE, 3), 244, np.float32)
    for y in range(90, HIGH, 48):
        scene[y : y + 2] = (150, 170, 215)
        points = np.cumsum(np.stack([random.uniform(2, 9, 180), random.normal(0, 6, 180)], 1), axis=0)
        points = points * (1, 0.35) + (150, y - 14)
        cv2.polylines(scene, [points.astype(np.int32)], False, (40, 40, 95), 2, cv2.LINE_AA)
    return _taken(_slanted(scene, random, 0.04), random)


OTHER_PICTURES: dict[str, Callable[[np.random.Generator], Pixels]] = {
    "coast": coast, "foliage": foliage, "houses": houses, "tiled floor": tiled_floor, "text": text_page,
    "table": table_of_numbers, "knitting": knitting, "blank page": blank_page, "notebook": ruled_notebook,
}  # fmt: skip
