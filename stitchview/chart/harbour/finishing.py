"""Lines, knots and beads of the picture in threads of the key, none of them twice."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.needlework import Ink, Needlework
from stitchview.chart.harbour.oklab import to_oklab
from stitchview.chart.harbour.palette import Palette
from stitchview.chart.stitches import Lines, PointKind, Points

Wholes = NDArray[np.int64]

WISHES = {
    Ink.OUTLINE: (0x24, 0x1B, 0x36),
    Ink.RIGGING: (0x33, 0x28, 0x4A),
    Ink.FRAME: (0x9A, 0x62, 0x4C),
    Ink.RAY: (0xFF, 0xD3, 0x6B),
    Ink.FOAM: (0xC9, 0xB4, 0xCC),
    Ink.GULL: (0xF4, 0xEC, 0xEC),
    Ink.WINDOW: (0xFF, 0xE0, 0x8A),
    Ink.LANTERN: (0xFF, 0xB8, 0x3D),
    Ink.PORT: (0xE0, 0x33, 0x3F),
    Ink.STARBOARD: (0x38, 0xB2, 0x7A),
    Ink.STAR: (0xFF, 0xF7, 0xDC),
}
SHINING = {Ink.RAY: 0, Ink.STAR: 1, Ink.FRAME: 2}


def thread_lines(needlework: Needlework, palette: Palette, places: Wholes, size: tuple[int, int]) -> Lines:
    """The lines that lie on a chart of `size` (columns, rows) squares, in reading order."""
    threads = _line_threads(palette)
    table = needlework.lines.copy()
    table = table[_on_chart(table[:, 0], table[:, 1], size) & _on_chart(table[:, 2], table[:, 3], size)]
    backwards = (table[:, 1] > table[:, 3]) | ((table[:, 1] == table[:, 3]) & (table[:, 0] > table[:, 2]))
    table[backwards, :4] = table[backwards][:, [2, 3, 0, 1]]
    table[:, 5] = places[threads[table[:, 5]]]
    table = np.unique(table[:, [1, 0, 3, 2, 4, 5]], axis=0)
    y1, x1, y2, x2 = (np.ascontiguousarray(table[:, at], np.int32) for at in range(4))
    return Lines(x1, y1, x2, y2, table[:, 4].astype(np.uint8), table[:, 5].astype(np.uint16))


def thread_points(needlework: Needlework, palette: Palette, places: Wholes, size: tuple[int, int]) -> Points:
    """The knots and beads that lie on the chart, one at a place, in reading order."""
    table = needlework.points[_on_chart(needlework.points[:, 0], needlework.points[:, 1], size)]
    _, first = np.unique(table[:, [1, 0]], axis=0, return_index=True)
    table = table[first]
    as_beads = _bead_threads(palette)[table[:, 3]]
    as_knots = _line_threads(palette)[table[:, 3]]
    beads = (table[:, 2] == PointKind.BEAD) & (as_beads >= 0)
    kinds = np.where(beads, PointKind.BEAD, PointKind.KNOT)
    keys = places[np.where(beads, as_beads, as_knots)]
    x, y = (np.ascontiguousarray(table[:, at], np.int32) for at in (0, 1))
    return Points(x, y, kinds.astype(np.uint8), keys.astype(np.uint16))


def _line_threads(palette: Palette) -> Wholes:
    """The thread for each ink: a metallic where it should shine and there is one, else the nearest."""
    plain = np.array([thread for thread in range(palette.plain) if thread != palette.bare])
    wishes = to_oklab(np.array([WISHES[ink] for ink in Ink]))
    distances = ((wishes[:, None, :] - palette.lab[plain][None, :, :]) ** 2).sum(axis=2)
    threads = plain[distances.argmin(axis=1)]
    for ink, at in SHINING.items():
        if at < len(palette.metallics):
            threads[ink] = palette.metallics[at]
    return np.asarray(threads)


def _bead_threads(palette: Palette) -> Wholes:
    """The bead for each ink, the nearest in colour; -1 when the key has no beads."""
    if not len(palette.beads):
        return np.full(len(Ink), -1)
    wishes = to_oklab(np.array([WISHES[ink] for ink in Ink]))
    distances = ((wishes[:, None, :] - palette.lab[palette.beads][None, :, :]) ** 2).sum(axis=2)
    return np.asarray(palette.beads[distances.argmin(axis=1)])


def _on_chart(x: Wholes, y: Wholes, size: tuple[int, int]) -> NDArray[np.bool_]:
    return np.asarray((x >= 0) & (y >= 0) & (x <= 2 * size[0]) & (y <= 2 * size[1]))
