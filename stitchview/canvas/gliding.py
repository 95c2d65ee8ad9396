"""Let the chart glide on for a moment after a quick drag, and come to rest by itself."""

import math
from collections import deque

GLIDE_STEP_MS = 16
# Speed halves about every eighth of a second, so that a glide is over in about one.
_HALF_LIFE_MS = 125.0
_SLOWEST = 0.04
_LOOKED_BACK_MS = 90.0
_FASTEST = 8.0


class Glide:
    """Measures a drag and gives the steps of the glide after it; positions in pixels, times in ms."""

    def __init__(self) -> None:
        self._trail: deque[tuple[float, float, float]] = deque(maxlen=32)
        self._speed = (0.0, 0.0)
        self._rest = (0.0, 0.0)

    def drag(self, x: float, y: float, time: float) -> None:
        """Take note of where the hand was at `time`."""
        self._trail.append((x, y, time))

    def release(self, time: float) -> bool:
        """Let go; says whether the hand was quick enough for a glide."""
        recent = [point for point in self._trail if time - point[2] <= _LOOKED_BACK_MS]
        self._trail.clear()
        self._rest = (0.0, 0.0)
        if len(recent) < 2 or recent[-1][2] <= recent[0][2]:
            self._speed = (0.0, 0.0)
            return False
        lasted = max(time - recent[0][2], 1.0)
        (x0, y0, _), (x1, y1, _) = recent[0], recent[-1]
        self._speed = _bounded((x1 - x0) / lasted), _bounded((y1 - y0) / lasted)
        return self.moving

    def stop(self) -> None:
        """Come to rest at once."""
        self._trail.clear()
        self._speed = (0.0, 0.0)

    @property
    def moving(self) -> bool:
        """Whether the glide is still to be seen."""
        return math.hypot(*self._speed) >= _SLOWEST

    def step(self, elapsed: float) -> tuple[int, int]:
        """Give how many whole pixels to move after `elapsed` ms; the fractions are carried on."""
        across = self._speed[0] * elapsed + self._rest[0]
        down = self._speed[1] * elapsed + self._rest[1]
        whole = round(across), round(down)
        self._rest = across - whole[0], down - whole[1]
        slower = 0.5 ** (elapsed / _HALF_LIFE_MS)
        self._speed = self._speed[0] * slower, self._speed[1] * slower
        return whole


def _bounded(speed: float) -> float:
    return min(max(speed, -_FASTEST), _FASTEST)
