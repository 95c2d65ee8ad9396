"""How frames of the canvas and of the floor are timed, so that both find the machine in the same state.

What a frame costs depends mostly on where its 8 MB of pixels lie. Found on the machine these figures
come from (32 MiB of third-level cache shared with others): the floor takes 0.26 ms a frame when nothing
but floor frames run, because its picture and the window's memory then stay in the cache; 0.70 ms when
they have to come from memory; and, five frames in turn with five of the canvas, 0.65, 0.50, 0.37, 0.31
and 0.28 ms one after the other. The canvas fares likewise. The middle of floor frames in turn is thus a
half-warm frame, while one canvas frame in five is a cold one, which alone decides what 95 of 100 keep
within. So two plain states are measured instead, each the same for both sides:

- STEADY: many frames of one side, back to back, the first of them not counted. The best that can be:
  on a screen 16 ms lie between two frames, in which other programs use the cache.
- EMPTIED: before every frame of either side 64 MiB elsewhere are rewritten, so that it begins with
  caches that hold nothing of it. The worst that can be, and about what machines with small caches do.
- TURNS: five frames of each in turn, as it was measured until 25 November 2026; to compare with that.
"""

import time
from collections.abc import Callable, Sequence
from enum import Enum
from functools import partial

import numpy as np

from tests.speed.floor import Timing, timing_of

# Frames until a side has its pixels in the cache again.
WARM = 10
TURN = 5
# Twice the largest cache of the machine.
ELSEWHERE_BYTES = 64 << 20

Frame = Callable[[], object]


class Cadence(Enum):
    """The state in which frames find the machine; the value is its name on the command line."""

    STEADY = "steady"
    EMPTIED = "emptied"
    TURNS = "turns"


class Stopwatch:
    """Times frames of one cadence against floor frames of the same; `floors` keeps what those took."""

    def __init__(self, cadence: Cadence, floor: Frame) -> None:
        self.cadence, self._floor = cadence, floor
        self.floors: list[float] = []
        size = ELSEWHERE_BYTES if cadence is Cadence.EMPTIED else 0
        self._elsewhere = np.zeros(size, np.uint8)

    def timing(self, frames: Callable[[int], object], count: int, ready: Frame) -> Timing:
        """Time frames 0 to `count` - 1 in floors; `ready` runs frames like them that are not counted."""
        counted = [partial(frames, number) for number in range(count)]
        if self.cadence is Cadence.STEADY:
            floors, mine = self._steady(counted, ready)
        else:
            floors, mine = self._in_turn(counted, TURN if self.cadence is Cadence.TURNS else 1)
        self.floors += floors
        floor, timing = timing_of(floors).p50, timing_of(mine)
        return Timing(timing.p50 / floor, timing.p95 / floor, timing.max / floor)

    def _steady(self, counted: Sequence[Frame], ready: Frame) -> tuple[list[float], list[float]]:
        # Half of the floor before and half after, because a shared machine drifts.
        floors = self._floors(len(counted) // 2)
        ready()
        mine = [cpu_ms(frame) for frame in counted]
        return floors + self._floors(len(counted) // 2), mine

    def _floors(self, count: int) -> list[float]:
        for _ in range(WARM):
            self._floor()
        return [cpu_ms(self._floor) for _ in range(count)]

    def _in_turn(self, counted: Sequence[Frame], turn: int) -> tuple[list[float], list[float]]:
        floors, mine = [], []
        for number, frame in enumerate(counted):
            if number % turn == 0:
                floors += [self._fresh(self._floor) for _ in range(turn)]
            mine.append(self._fresh(frame))
        return floors, mine

    def _fresh(self, frame: Frame) -> float:
        np.add(self._elsewhere, 1, out=self._elsewhere)
        return cpu_ms(frame)


def cpu_ms(work: Frame) -> float:
    """Give the CPU milliseconds of this process that some work takes."""
    begun = time.process_time_ns()
    work()
    return (time.process_time_ns() - begun) / 1e6
