"""The way back through changes of a whole chart, bounded by the memory it takes and not by their number."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from stitchview.chart.model import Chart

MOST_BYTES = 256 << 20
"""Some 8 corrections of the largest chart there can be, and thousands of a usual one."""


class WayBack:
    """Charts as they were, to go back to, and forth again; what they share is held once and counted once."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self._most = most_bytes
        self._back: list[tuple[Chart, int]] = []
        self._forth: list[tuple[Chart, int]] = []

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._back)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change taken back that can be made again."""
        return bool(self._forth)

    @property
    def before(self) -> Chart:
        """The chart as it was before the last change; asked for only where there is one."""
        return self._back[-1][0]

    @property
    def after(self) -> Chart:
        """The chart as it was before the last change was taken back; asked for only where there is one."""
        return self._forth[-1][0]

    def remember(self, before: Chart, after: Chart) -> None:
        """Remember a change; the oldest are forgotten where all take too much memory, the last one never."""
        self._forth.clear()
        self._back.append((before, _bytes_beside(before, after)))
        while len(self._back) > 1 and sum(size for _, size in self._back) > self._most:
            del self._back[0]

    def go_back(self, now: Chart) -> None:
        """Note that `before` is the chart again, which was `now`."""
        chart, _ = self._back.pop()
        self._forth.append((now, _bytes_beside(now, chart)))

    def go_forth(self, now: Chart) -> None:
        """Note that `after` is the chart again, which was `now`."""
        chart, _ = self._forth.pop()
        self._back.append((now, _bytes_beside(now, chart)))

    def clear(self) -> None:
        """Forget the way back and forth."""
        self._back.clear()
        self._forth.clear()


def _bytes_beside(chart: Chart, other: Chart) -> int:
    """How many bytes a chart takes beside another, whose arrays and pictures it may share."""
    shared = {id(part) for part in _parts(other)}
    return sum(
        part.nbytes if isinstance(part, np.ndarray) else len(part)
        for part in _parts(chart)
        if id(part) not in shared
    )


def _parts(chart: Chart) -> Iterator[Any]:
    """Whatever of a chart can be large."""
    yield chart.squares
    for table in (chart.parts, chart.lines, chart.points, chart.doubts, chart.by_hand):
        yield from (
            value
            for name in table.__dataclass_fields__
            if isinstance(value := getattr(table, name), np.ndarray)
        )
    yield from chart.attachments.values()
