"""From all strokes in order to what holds now: which are live, which can be redone, and the marks."""

import bisect
import hashlib
from collections.abc import Iterable

import numpy as np

from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses, FamilyRows
from stitchview.done.change import States
from stitchview.done.marks import open_states
from stitchview.done.strokes import MAKING, UNDO, StrokeRow, numbers_of

MOST_ROWS_AT_ONCE = 4096
NO_STITCHES = (None, None, None, None)

Arrays = tuple[States, States, States, States]


class Timeline:
    """The strokes gone through so far: how many, the `newest`, those `live` and those `undone`.

    `live` lies in the order of the ids; the last of `undone` is the next to be redone. It is
    `straight` when each stroke was made in knowledge of all before it: then the states that a stroke
    found are those that the strokes before it made. It is not after joining, loss, or two windows.
    `noted` holds what strokes noted, as the file does, and `stitchless` those that did nothing else.
    """

    def __init__(self) -> None:
        self.live: list[bytes] = []
        self.count = 0
        self.newest: bytes | None = None
        self.straight = True
        self.noted: dict[bytes, bytes] = {}
        self.stitchless: set[bytes] = set()
        self._undone: dict[bytes, None] = {}

    @property
    def undone(self) -> tuple[bytes, ...]:
        """Ids of the strokes that can be redone."""
        return tuple(self._undone)

    @property
    def notes(self) -> list[bytes]:
        """What the strokes that hold noted, one after the other, as the file holds it."""
        return [self.noted[each] for each in self.live if each in self.noted]

    def take(self, row: StrokeRow) -> None:
        """Go one row further; rows come in the order of their ids."""
        bare = row.kind in MAKING and row.families == NO_STITCHES
        self.add(row.id, row.after, row.kind, row.target)
        if row.notes is not None:
            self.noted[row.id] = row.notes
        elif bare:
            # It makes nothing that could be undone; it only ends what could be redone.
            self.live.pop()
        if bare:
            self.stitchless.add(row.id)

    def add(self, stroke_id: bytes, after: bytes | None, kind: str, target: bytes | None) -> None:
        """Go one stroke further; strokes come in the order of their ids.

        An undo or redo whose target is not there to be undone or redone does nothing.
        """
        self.straight &= after == self.newest
        self.count += 1
        self.newest = stroke_id
        if kind in MAKING:
            self.live.append(stroke_id)
            self._undone.clear()
        elif kind == UNDO and target is not None:
            at = bisect.bisect_left(self.live, target)
            if at < len(self.live) and self.live[at] == target:
                del self.live[at]
                self._undone[target] = None
        elif target in self._undone:
            del self._undone[target]
            bisect.insort(self.live, target)


def timeline_of(rows: Iterable[StrokeRow]) -> Timeline:
    """The timeline after all of the rows, which come in the order of their ids."""
    timeline = Timeline()
    for row in rows:
        timeline.take(row)
    return timeline


def digest_of(ids: Iterable[bytes]) -> bytes:
    """32 bytes that stand for a sequence of ids."""
    digest = hashlib.sha256()
    for stroke_id in ids:
        digest.update(stroke_id)
    return digest.digest()


def fingerprint(chart: Chart) -> bytes:
    """32 bytes that stand for where the chart has stitches and what addresses they have.

    Threads do not count: a mark stays when a thread is corrected.
    """
    digest = hashlib.sha256()
    digest.update(repr((chart.squares.shape, chart.origin)).encode())
    digest.update(np.packbits(chart.squares != 0).tobytes())
    parts, lines, points = chart.parts, chart.lines, chart.points
    for column in (
        *(parts.columns, parts.rows, parts.shapes),
        *(lines.x1, lines.y1, lines.x2, lines.y2, lines.kinds),
        *(points.x, points.y, points.kinds),
    ):
        digest.update(repr(column.shape).encode() + column.tobytes())
    if chart.worked is not None:
        # Where a stitch lies does not tell which one it is: a block may lie where another is printed.
        digest.update(fingerprint(chart.printed) + repr(chart.worked.shifts).encode())
    return digest.digest()


class Replay:
    """The marks that strokes make, one after the other, the last word on a stitch winning.

    Small strokes are gone through many at a time. `finish` gives the states.
    """

    def __init__(self, chart: Chart, addresses: Addresses, start: Arrays | None = None) -> None:
        self._addresses = addresses
        self._states: Arrays = open_states(chart) if start is None else start
        self._waiting: list[FamilyRows] = []
        self._rows = 0

    def add(self, row: StrokeRow) -> None:
        """Go one live stroke further; raises `MalformedStroke` if it cannot be read."""
        numbers = numbers_of(row)
        count = sum(len(each) for each in numbers)
        if self._rows + count > MOST_ROWS_AT_ONCE:
            self._settle()
        self._waiting.append(numbers)
        self._rows += count

    def finish(self) -> Arrays:
        """The states after the last stroke; raises `MalformedStroke` if one cannot be read."""
        self._settle()
        return self._states

    def _settle(self) -> None:
        if not self._waiting:
            return
        squares, parts, lines, points = (np.concatenate(each) for each in zip(*self._waiting, strict=True))
        begins = np.cumsum([0] + [len(numbers[0]) for numbers in self._waiting])
        families = self._addresses.altered((squares, parts, lines, points), begins)
        for states, altered in zip(self._states, families, strict=True):
            states.reshape(-1)[altered.indices] = altered.new
        self._waiting, self._rows = [], 0
