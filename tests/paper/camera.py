"""Where a point of a printed page falls in a picture: bent paper before a tilted camera with a lens."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Bend:
    """How far paper stands off the table, in shares of its long side.

    ``curl`` is the rise of a parabola along ``way`` (radians), ``saddle`` of one across it; ``waves`` are
    rows of (height, x frequency, y frequency, phase); ``fold`` is (distance from the middle, direction,
    steepness), with 0 for no fold.
    """

    curl: float = 0.0
    way: float = 0.0
    saddle: float = 0.0
    waves: tuple[tuple[float, float, float, float], ...] = ()
    fold: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def height(self, u: Points, v: Points) -> Points:
        """The paper's height above the table at (u, v), which run from about -0.5 to 0.5."""
        along = np.cos(self.way) * u + np.sin(self.way) * v
        across = np.cos(self.way) * v - np.sin(self.way) * u
        total = 4 * (self.curl * along**2 + self.saddle * across**2)
        for high, fu, fv, phase in self.waves:
            total = total + high * np.sin(2 * np.pi * (fu * u + fv * v) + phase)
        off, way, steep = self.fold
        beside = np.cos(way) * u + np.sin(way) * v - off
        return np.asarray(total + steep * np.sqrt(beside**2 + 0.01**2))


@dataclass(frozen=True)
class Camera:
    """A camera over a page of ``page`` (width, height) pixels.

    ``tilt`` are turns about x, y and the line of sight in radians, ``distance`` in long sides of the page,
    ``lens`` the two radial terms at the picture's corner, ``scale`` the picture's pixels per long side in the
    middle, ``middle`` the picture point of the page's middle; ``squeeze`` stretches x (a scanner's feed).
    """

    page: tuple[int, int]
    bend: Bend
    tilt: tuple[float, float, float]
    distance: float
    lens: tuple[float, float]
    scale: float
    middle: tuple[float, float]
    squeeze: float = 1.0

    def placed(self, points: Points) -> Points:
        """Picture points (n, 2) of page points (n, 2), both in pixels with whole numbers at centres."""
        long = max(self.page)
        u = (points[:, 0] + 0.5 - self.page[0] / 2) / long
        v = (points[:, 1] + 0.5 - self.page[1] / 2) / long
        solid = _turn(self.tilt) @ np.stack([u, v, -self.bend.height(u, v)])
        seen = solid[:2] * self.distance / (self.distance + solid[2])
        far = (seen**2).sum(axis=0) / 0.35
        seen = seen * (1 + self.lens[0] * far + self.lens[1] * far**2)
        spread = np.stack([seen[0] * self.squeeze, seen[1]], axis=1)
        return np.asarray(spread * self.scale + np.array(self.middle), np.float64)

    def found(self, points: Points, rounds: int = 12) -> Points:
        """Page points (n, 2) that fall on picture points (n, 2): ``placed`` reversed, by Newton's way."""
        page = (points - np.array(self.middle)) * max(self.page) / self.scale + np.array(self.page) / 2
        step = 2.0
        for _ in range(rounds):
            here = self.placed(page)
            right = (self.placed(page + np.array([step, 0.0])) - here) / step
            down = (self.placed(page + np.array([0.0, step])) - here) / step
            miss = points - here
            size = right[:, 0] * down[:, 1] - right[:, 1] * down[:, 0]
            move = np.stack(
                [
                    (miss[:, 0] * down[:, 1] - miss[:, 1] * down[:, 0]) / size,
                    (right[:, 0] * miss[:, 1] - right[:, 1] * miss[:, 0]) / size,
                ],
                axis=1,
            )
            page = page + move
            if float(np.abs(move).max()) < 1e-3:
                break
        return np.asarray(page, np.float64)


def _turn(tilt: tuple[float, float, float]) -> Points:
    """The rotation: first in the picture's plane, then about y, then about x."""
    turns = ((tilt[2], 0, 1), (tilt[1], 0, 2), (tilt[0], 1, 2))
    whole = np.eye(3)
    for angle, a, b in turns:
        one = np.eye(3)
        one[[a, b], [a, b]] = np.cos(angle)
        one[a, b], one[b, a] = -np.sin(angle), np.sin(angle)
        whole = one @ whole
    return whole


def page_of_every_pixel(camera: Camera, width: int, height: int, every: int = 6) -> NDArray[np.float32]:
    """For each pixel of a picture the page point seen there, (height, width, 2), from a coarse grid."""
    across, down = -(-width // every) + 2, -(-height // every) + 2
    x, y = np.meshgrid(np.arange(across), np.arange(down))
    coarse = ((np.stack([x, y], axis=2) - 0.5) * every - 0.5).astype(np.float64)
    page = camera.found(coarse.reshape(-1, 2)).reshape(down, across, 2).astype(np.float32)
    full = cv2.resize(page, (across * every, down * every), interpolation=cv2.INTER_LINEAR)
    return np.ascontiguousarray(full[every : every + height, every : every + width], np.float32)
