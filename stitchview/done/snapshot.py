"""The state after so many strokes, kept as a cache so that opening need not go through all of them."""

import sqlite3
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stitchview.chart.model import Chart
from stitchview.done.change import FIRST_LEG, STATES
from stitchview.done.deflated import MalformedStroke, inflate
from stitchview.done.marks import Marks
from stitchview.done.schema import transaction
from stitchview.done.timeline import Arrays, digest_of, fingerprint

COMPRESSION = 1


@dataclass(frozen=True, eq=False, slots=True)
class Snapshot:
    """The `states` of a chart after the first `strokes` of the live strokes."""

    strokes: int
    states: Arrays


def write_snapshot(connection: sqlite3.Connection, marks: Marks, live: Sequence[bytes]) -> None:
    """Keep the state that the `live` strokes have led to, unless just that is kept already."""
    digest, chart = digest_of(live), fingerprint(marks.chart)
    if connection.execute("SELECT digest, chart FROM snapshot").fetchone() == (digest, chart):
        return
    states = zlib.compress(b"".join(each.tobytes() for each in marks.families), COMPRESSION)
    with transaction(connection):
        connection.execute(
            "INSERT OR REPLACE INTO snapshot (one, strokes, digest, chart, states) VALUES (1, ?, ?, ?, ?)",
            (len(live), digest, chart, states),
        )


def read_snapshot(connection: sqlite3.Connection, chart: Chart, live: Sequence[bytes]) -> Snapshot | None:
    """The snapshot, if it is of this very chart and of the first of the `live` strokes."""
    row = connection.execute("SELECT strokes, digest, chart, states FROM snapshot").fetchone()
    if row is None:
        return None
    strokes, digest, kept_chart, content = row
    if not 0 < strokes <= len(live) or digest != digest_of(live[:strokes]):
        return None
    if kept_chart != fingerprint(chart):
        return None
    states = _states(content, chart)
    return None if states is None else Snapshot(strokes, states)


def _states(content: bytes, chart: Chart) -> Arrays | None:
    sizes = (chart.squares.size, len(chart.parts), len(chart.lines), len(chart.points))
    try:
        flat = np.frombuffer(bytearray(inflate(content, sum(sizes))), np.uint8)
    except MalformedStroke:
        return None
    if len(flat) != sum(sizes) or flat.max(initial=0) >= STATES:
        return None
    squares, parts, lines, points = np.split(flat, np.cumsum(sizes[:-1]))
    grid = squares.reshape(chart.squares.shape)
    if grid[chart.squares == 0].any() or (flat[squares.size :] == FIRST_LEG).any():
        return None
    return grid, parts, lines, points
