"""Scan or photograph a printed test page, and say where each of its points fell in the picture."""

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.paperpicture import PaperPicture
from tests.paper.camera import Bend, Camera, page_of_every_pixel
from tests.paper.charts import Content
from tests.paper.lighting import Light, Room, light_on, noise, table
from tests.paper.printing import Page


@dataclass(frozen=True)
class Condition:
    """How a picture is taken; pairs are the least and the most of what chance chooses.

    ``square`` pixels a square (less where the picture would exceed ``most`` pixels), ``tilt`` and ``turn`` in
    degrees out of and in the picture's plane, ``curl``, ``fold`` and ``waves`` in shares of the page's long
    side, ``blur`` and ``sharpen`` of the picture in pixels and strength, ``grain`` grey levels.
    """

    square: tuple[float, float]
    tilt: tuple[float, float]
    turn: tuple[float, float]
    curl: tuple[float, float]
    fold: tuple[float, float]
    waves: tuple[float, float]
    lens: tuple[float, float]
    blur: tuple[float, float]
    sharpen: tuple[float, float]
    grain: tuple[float, float]
    falloff: tuple[float, float]
    hand: tuple[float, float]
    paper: tuple[float, float]
    jpeg: tuple[int, int]
    around: float
    flat: bool = False
    most: float = 12.2e6


CONDITIONS = {
    "scan": Condition(
        square=(35.5, 37.5), tilt=(0, 0), turn=(0.05, 0.9), curl=(0, 0), fold=(0, 0), waves=(0, 0.0),
        lens=(0, 0), blur=(0.4, 0.8), sharpen=(0, 0.5), grain=(1.0, 3.0), falloff=(0, 0.02), hand=(0, 0),
        paper=(242, 254), jpeg=(88, 97), around=0.0, flat=True, most=200e6,
    ),
    "careful": Condition(
        square=(22, 28), tilt=(1, 5), turn=(0.2, 2.5), curl=(0.002, 0.02), fold=(0, 0), waves=(0, 0.0006),
        lens=(0.003, 0.015), blur=(0.5, 0.8), sharpen=(0.3, 1.0), grain=(1.5, 4.0), falloff=(0.05, 0.25),
        hand=(0, 0), paper=(205, 238), jpeg=(88, 95), around=0.025,
    ),
    "poor": Condition(
        square=(12, 14), tilt=(6, 14), turn=(1, 6), curl=(0.015, 0.045), fold=(0.03, 0.1),
        waves=(0.0005, 0.0015), lens=(0.006, 0.03), blur=(0.6, 0.95), sharpen=(0.2, 0.9),
        grain=(3.0, 6.0), falloff=(0.2, 0.45), hand=(0.25, 0.5), paper=(180, 220), jpeg=(72, 86), around=0.06,
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Photograph:
    """A picture of one page and its truth.

    ``nodes`` (rows + 1, columns + 1, 2) float32 are picture points of the crossings, nodes[0, 0] being the
    top left one as the sheet is read. ``content`` is what the sheet shows (codes, back stitch in squares,
    points). ``camera`` and ``turns`` tell where any other point of the page fell (``placed``).
    """

    picture: PaperPicture
    nodes: NDArray[np.float32]
    content: Content
    page: Page
    camera: Camera
    turns: int = 0

    @property
    def lattice(self) -> Lattice:
        """The true nodes and heavy lines, as a finder would hand them on."""
        return Lattice(self.nodes, self.page.heavy_columns, self.page.heavy_rows)


def photographed(page: Page, condition: str | Condition, seed: int, turns: int = 0) -> Photograph:
    """The page scanned or photographed; ``turns`` quarter turns anticlockwise of the whole picture."""
    chosen = CONDITIONS[condition] if isinstance(condition, str) else condition
    picture, camera = picture_of(page.pixels, page.pitch, chosen, seed)
    name = f"{condition if isinstance(condition, str) else 'picture'}-{seed}"
    colour = np.ascontiguousarray(np.rot90(picture, turns))
    nodes = placed(page.nodes, camera, turns, (picture.shape[1], picture.shape[0]))
    return Photograph(in_memory(colour, name), nodes, page.content, page, camera, turns)


def in_memory(colour: NDArray[np.uint8], name: str) -> PaperPicture:
    """Pixels (H, W, 3) RGB as a picture of paper."""
    return PaperPicture(name, 1, colour, np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY), np.uint8))


def placed(
    points: NDArray[np.float64], camera: Camera, turns: int, size: tuple[int, int]
) -> NDArray[np.float32]:
    """Picture points of page points (..., 2); ``size`` is the picture's width and height before the turns."""
    found = camera.placed(points.reshape(-1, 2))
    width, height = size
    for _ in range(turns % 4):
        found = np.stack([found[:, 1], width - 1 - found[:, 0]], axis=1)
        width, height = height, width
    return np.asarray(found.reshape(points.shape), np.float32)


def picture_of(
    pixels: NDArray[np.uint8], pitch: int, condition: Condition, seed: int
) -> tuple[NDArray[np.uint8], Camera]:
    """The page's pixels as seen in the picture, and the camera that took it."""
    random = np.random.default_rng([seed, 53])
    camera, size = _set_up(pixels, pitch, condition, random)
    scene = _scene(pixels, camera, size, condition, random)
    room = Room(
        random.uniform(*condition.falloff),
        0.0 if condition.flat else random.uniform(0.3, 0.9),
        random.uniform(*condition.hand),
        0.1 if condition.flat else random.uniform(0, 1),
    )
    light = light_on(room, camera, size, random)
    return _developed(scene, light, condition, random), camera


def _set_up(
    pixels: NDArray[np.uint8], pitch: int, condition: Condition, random: np.random.Generator
) -> tuple[Camera, tuple[int, int]]:
    """A camera that sees the whole page, and the size of its picture."""
    height, width = pixels.shape[:2]
    tilt = np.radians(random.uniform(*condition.tilt)) * _unit(random)
    turn = np.radians(random.uniform(*condition.turn)) * random.choice([-1, 1])
    camera = Camera(
        page=(width, height),
        bend=_bend(condition, random),
        tilt=(float(tilt[0]), float(tilt[1]), float(turn)),
        distance=1e9 if condition.flat else random.uniform(1.1, 1.6),
        lens=tuple(random.uniform(*condition.lens) * np.array([-1.0, 0.3])),
        scale=random.uniform(*condition.square) / pitch * max(width, height),
        middle=(0.0, 0.0),
        squeeze=random.uniform(0.998, 1.002) if condition.flat else 1.0,
    )
    first, size = _bounds(camera, condition.around)
    if size[0] * size[1] > condition.most:
        less = float(np.sqrt(condition.most / (size[0] * size[1])))
        camera = replace(camera, scale=camera.scale * less)
        first, size = _bounds(camera, condition.around)
    return replace(camera, middle=(float(-first[0]), float(-first[1]))), size


def _unit(random: np.random.Generator) -> NDArray[np.float64]:
    way = random.uniform(0, 2 * np.pi)
    return np.array([np.cos(way), np.sin(way)])


def _bounds(camera: Camera, around: float) -> tuple[NDArray[np.float64], tuple[int, int]]:
    """The first corner and the size of a picture that holds the page and ``around`` of table beside it."""
    width, height = camera.page
    u, v = np.meshgrid(np.linspace(0, width, 20), np.linspace(0, height, 20))
    seen = camera.placed(np.stack([u.ravel(), v.ravel()], axis=1))
    beside = around * float(np.ptp(seen, axis=0).max())
    first = seen.min(axis=0) - beside
    size = np.ceil(np.ptp(seen, axis=0) + 2 * beside).astype(int)
    return first, (int(size[0]), int(size[1]))


def _bend(condition: Condition, random: np.random.Generator) -> Bend:
    waves = tuple(
        (random.uniform(*condition.waves), *random.uniform(-3, 3, 2).tolist(), random.uniform(0, 6.3))
        for _ in range(3)
    )
    upright = random.choice([0.0, np.pi / 2])
    return Bend(
        curl=random.uniform(*condition.curl) * random.choice([-1, 1]),
        way=random.uniform(0, np.pi),
        saddle=random.uniform(*condition.curl) * random.uniform(-0.3, 0.3),
        waves=waves,
        fold=(
            random.uniform(-0.15, 0.15),
            upright + random.uniform(-0.03, 0.03),
            random.uniform(*condition.fold),
        ),
    )


def _scene(
    pixels: NDArray[np.uint8],
    camera: Camera,
    size: tuple[int, int],
    condition: Condition,
    random: np.random.Generator,
) -> NDArray[np.uint8]:
    """The page on its table, before light and lens."""
    smaller = max(camera.page) / camera.scale
    where = page_of_every_pixel(camera, *size)
    soft = cv2.GaussianBlur(pixels, (0, 0), 0.45 * math.sqrt(max(0.05, smaller**2 - 1)))
    # Two maps and not one of two channels: with that one, OpenCV 5.0 takes wrong pixels when linear.
    x, y = cv2.split(where)
    scene = cv2.remap(soft, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(255,) * 3)
    if not condition.flat:
        width, height = camera.page
        inside = (x > -0.5) & (y > -0.5) & (x < width - 0.5) & (y < height - 0.5)
        shadow = cv2.GaussianBlur(inside.astype(np.float32), (0, 0), 9)[..., None]
        under = table(size, random) * (1 - 0.6 * shadow)
        scene = np.where(inside[..., None], scene, under.astype(np.uint8))
    return np.asarray(scene, np.uint8)


def _developed(
    scene: NDArray[np.uint8], light: Light, condition: Condition, random: np.random.Generator
) -> NDArray[np.uint8]:
    """Light, lens blur, grain, the camera's own sharpening and the loss of JPEG."""
    white, black = random.uniform(*condition.paper), random.uniform(4, 40 if condition.flat else 30)
    lit = (scene.astype(np.float32) * ((white - black) / 255) + black) * light
    lit = np.asarray(cv2.GaussianBlur(lit, (0, 0), random.uniform(*condition.blur)), np.float32)
    fine = random.uniform(*condition.grain)
    lit += noise(lit.shape, fine, 0.0 if condition.flat else fine * 0.6, random)
    strength = random.uniform(*condition.sharpen)
    lit = lit + strength * (lit - np.asarray(cv2.GaussianBlur(lit, (0, 0), 1.4), np.float32))
    developed = np.clip(lit, 0, 255).astype(np.uint8)
    quality = int(random.integers(*condition.jpeg))
    _, packed = cv2.imencode(".jpg", developed[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    unpacked = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR), np.uint8)
    return np.ascontiguousarray(unpacked[..., ::-1])
