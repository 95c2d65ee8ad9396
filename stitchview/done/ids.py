"""Time-ordered ids for strokes: UUIDs of version 7 (RFC 9562), never running backwards."""

import secrets
import time
from collections.abc import Callable

from stitchview.errors import LayerError

TAIL_BITS = 74
LATEST_MS = 1 << 47
"""Milliseconds since 1970 from which an id is taken for damage (the year 6429), so that ids can go on."""

Clock = Callable[[], int]
"""Gives the time as whole milliseconds since 1970, UTC."""


def now_ms() -> int:
    """The time of this computer as whole milliseconds since 1970, UTC."""
    return time.time_ns() // 1_000_000


def compose(ms: int, tail: int) -> bytes:
    """The 16 bytes of a version 7 UUID: 48 bits of `ms`, then `tail` of 74 bits round version and variant.

    Source: RFC 9562, section 5.7; checked against its appendix A.6.
    """
    high, low = tail >> 62, tail & ((1 << 62) - 1)
    return (ms << 80 | 7 << 76 | high << 64 | 2 << 62 | low).to_bytes(16, "big")


def time_of(stroke_id: bytes) -> int:
    """The milliseconds since 1970 in an id."""
    return int.from_bytes(stroke_id[:6], "big")


def is_stroke_id(value: object) -> bool:
    """Whether `value` is 16 bytes that can be the id of a stroke."""
    if not isinstance(value, bytes) or len(value) != 16:
        return False
    return value[6] >> 4 == 7 and value[8] >> 6 == 2 and time_of(value) < LATEST_MS


def new_name(clock: Clock = now_ms) -> str:
    """A name for something that must not be taken for another's anywhere: an id in 32 letters."""
    return compose(clock(), secrets.randbits(TAIL_BITS)).hex()


def made_at(name: str) -> int:
    """When a `new_name` was made, in milliseconds since 1970; 0 of a name that is none of ours."""
    try:
        found = bytes.fromhex(name)
    except ValueError:
        return 0
    return time_of(found) if is_stroke_id(found) else 0


class Ids:
    """Makes ids that rise from one to the next, and stand above `after`, whatever the clock does.

    When the clock stands still or is set back, the last time is kept and the random tail grows by a
    random step: RFC 9562, section 6.2, method 2.
    """

    def __init__(self, after: bytes | None = None, clock: Clock = now_ms) -> None:
        self._clock = clock
        self._ms, self._tail = (0, 0) if after is None else _split(after)

    def next(self) -> bytes:
        """A new id, greater than all before."""
        now = self._clock()
        if now > self._ms:
            self._ms, self._tail = now, secrets.randbits(TAIL_BITS - 1)
        else:
            self._tail += 1 + secrets.randbits(32)
            if self._tail >> TAIL_BITS:
                self._ms, self._tail = self._ms + 1, secrets.randbits(TAIL_BITS - 1)
        if self._ms >= LATEST_MS:
            raise LayerError("The clock of this computer is wrong by thousands of years.", "Set it right.")
        return compose(self._ms, self._tail)


def _split(stroke_id: bytes) -> tuple[int, int]:
    number = int.from_bytes(stroke_id, "big")
    return number >> 80, (number >> 64 & 0xFFF) << 62 | number & ((1 << 62) - 1)
