"""The light on a photographed page: fall-off, the paper's own shade, a hand's shadow, the table and noise."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.paper.camera import Camera

Light = NDArray[np.float32]
_COARSE = 24


@dataclass(frozen=True)
class Room:
    """``falloff`` is how much darker the far side is, ``shade`` how strongly slopes of the paper show,
    ``hand`` how deep a hand's shadow is (0 for none), ``warm`` how yellow the lamp is (0 to 1)."""

    falloff: float
    shade: float
    hand: float
    warm: float


def light_on(room: Room, camera: Camera, size: tuple[int, int], random: np.random.Generator) -> Light:
    """How bright each pixel is lit, (height, width, 3) float32, about 1 where it is brightest."""
    width, height = size
    small = (width // _COARSE + 2, height // _COARSE + 2)
    y, x = np.mgrid[0 : small[1], 0 : small[0]].astype(np.float64)
    u, v = x / small[0] - 0.5, y / small[1] - 0.5
    way = random.uniform(0, 2 * np.pi)
    bright = 1 - room.falloff * (0.5 + np.cos(way) * u + np.sin(way) * v) * 0.8
    bright = bright - room.falloff * 0.35 * (u**2 + v**2) * 2
    bright = bright * (1 + room.shade * _slope(camera, x, y, way))
    if room.hand:
        bright = bright * (1 - room.hand * _hand(small, random))
    tint = np.array([1.0, 1 - 0.05 * room.warm, 1 - 0.16 * room.warm])
    return np.asarray(cv2.resize((bright[..., None] * tint).astype(np.float32), size), np.float32)


def _slope(camera: Camera, x: NDArray[np.float64], y: NDArray[np.float64], way: float) -> NDArray[np.float64]:
    """How steeply the paper rises towards the lamp at coarse picture points."""
    page = camera.found(np.stack([x.ravel(), y.ravel()], axis=1) * _COARSE)
    long = max(camera.page)
    u = np.clip((page[:, 0] - camera.page[0] / 2) / long, -0.6, 0.6)
    v = np.clip((page[:, 1] - camera.page[1] / 2) / long, -0.6, 0.6)
    tiny = 0.004
    rise = camera.bend.height(u + tiny * np.cos(way), v + tiny * np.sin(way)) - camera.bend.height(u, v)
    return np.asarray((rise / tiny).reshape(x.shape))


def _hand(small: tuple[int, int], random: np.random.Generator) -> NDArray[np.float32]:
    """A soft shadow of an arm, a palm and fingers that reaches in from one side, between 0 and 1."""
    width, height = small
    dark = np.zeros((height, width), np.uint8)
    reach = random.uniform(0.3, 0.6)
    palm = np.array([width * random.uniform(0.25, 0.75), height * (1 - reach)])
    size = max(3, round(width * random.uniform(0.07, 0.12)))
    arm = (round(palm[0] + width * random.uniform(-0.3, 0.3)), height + size)
    cv2.line(dark, _whole(palm), arm, 255, round(size * 1.5))
    cv2.circle(dark, _whole(palm), size, 255, -1)
    for spread in np.radians([-125, -105, -88, -70]):
        tip = palm + size * random.uniform(1.9, 2.5) * np.array([np.cos(spread), np.sin(spread)])
        cv2.line(dark, _whole(palm), _whole(tip), 255, max(1, size // 2))
    soft = cv2.GaussianBlur(dark, (0, 0), max(0.8, size * random.uniform(0.12, 0.4)))
    return np.asarray(np.rot90(soft, 2 if random.random() < 0.5 else 0) / 255, np.float32)


def _whole(point: NDArray[np.float64]) -> tuple[int, int]:
    return round(float(point[0])), round(float(point[1]))


def table(size: tuple[int, int], random: np.random.Generator) -> NDArray[np.uint8]:
    """What the page lies on: wood with its grain or plain cloth, (height, width, 3) uint8."""
    width, height = size
    base = np.array(random.choice([(122, 88, 58), (70, 52, 40), (196, 178, 150), (96, 104, 112)]), np.float32)
    small = random.standard_normal((height // 4 + 1, width // 4 + 1)).astype(np.float32)
    long = random.uniform(6, 30)
    grain = cv2.GaussianBlur(small, (0, 0), sigmaX=long, sigmaY=0.8) * np.sqrt(long)
    texture = cv2.resize(grain, size, interpolation=cv2.INTER_LINEAR)
    return np.asarray(np.clip(base + texture[..., None] * 9, 0, 255), np.uint8)


def noise(shape: tuple[int, ...], fine: float, coarse: float, random: np.random.Generator) -> Light:
    """A camera's noise: ``fine`` grain in every pixel and ``coarse`` blotches of colour, grey levels."""
    height, width = shape[:2]
    grain = fine * random.standard_normal(shape, np.float32)
    if coarse:
        blotches = coarse * random.standard_normal((height // 3 + 1, width // 3 + 1, 3), np.float32)
        grain += cv2.resize(blotches, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(grain, np.float32)
