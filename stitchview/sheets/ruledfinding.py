"""Find the lattice of a ruled chart in a picture: seeds, growth, edges, nodes and bold lines in turn."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.rulededges import Extent, extents
from stitchview.sheets.ruledgrowing import STEP, Mesh, grown
from stitchview.sheets.ruledmesh import completed, nodes_of
from stitchview.sheets.rulednodes import refined
from stitchview.sheets.ruledplacing import placed
from stitchview.sheets.ruledseeds import Seed, darkness_of, seeds
from stitchview.sheets.ruledsides import Blocks, blocks, pulled_straight

_SQUARE = 14.0
_BEYOND = 2
_DARK_REACH = 3.0
NOWHERE = Extent(0, 0, 0.0, 0.0)


@dataclass(frozen=True)
class Sighting:
    """A lattice seen in a picture, somewhat wider than the chart, with what tells where the chart ends.

    ``nodes`` (rows + 1, columns + 1, 2) are pixels of the ``darkness`` picture, which is ``shrink`` (across,
    down) times as large as the ``grey`` one. ``across`` and ``down`` are the chart's edges in it; ``upright``
    and ``level`` what is drawn; ``torn`` the share of neighbouring measurements that contradict each other,
    ``faint`` the share of them whose lines are hardly seen.
    """

    grey: NDArray[np.uint8]
    darkness: NDArray[np.uint8]
    nodes: NDArray[np.float64]
    across: Extent
    down: Extent
    upright: Blocks
    level: Blocks
    torn: float
    faint: float = 0.0

    @property
    def shrink(self) -> NDArray[np.float64]:
        """How many pixels of the darkness picture make one of the grey one, across and down."""
        return np.asarray(np.array(self.darkness.shape[::-1]) / np.array(self.grey.shape[::-1]), np.float64)

    def original(self, nodes: NDArray[np.float64]) -> NDArray[np.float64]:
        """Pixels of the darkness picture as pixels of the grey one."""
        return np.asarray((nodes + 0.5) / self.shrink - 0.5)

    def chart_nodes(self) -> NDArray[np.float64]:
        """The nodes of the chart alone, moved onto its lines."""
        part = self.nodes[self.down.first : self.down.last + 1, self.across.first : self.across.last + 1]
        return np.asarray((placed(self.grey, self.original(part)) + 0.5) * self.shrink - 0.5)


def sight(grey: NDArray[np.uint8]) -> Sighting | None:
    """The largest lattice of ruled squares in the picture; None where nothing repeats like one."""
    found = seeds(grey)
    if not found:
        return None
    shrink = min(1.0, _SQUARE / found[0].size)
    darkness = _shrunk_darkness(grey, shrink, found[0].size)
    mesh = _largest(darkness, [_shrunk(seed, shrink) for seed in found])
    if min(mesh.place.shape[:2]) < 2:
        return None
    return _looked_at(grey, darkness, mesh)


def _shrunk(seed: Seed, shrink: float) -> Seed:
    return Seed((seed.place + 0.5) * shrink - 0.5, seed.basis * shrink, seed.sure)


def _shrunk_darkness(grey: NDArray[np.uint8], shrink: float, square: float) -> NDArray[np.uint8]:
    if shrink < 1:
        size = (round(grey.shape[1] * shrink), round(grey.shape[0] * shrink))
        grey = np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), np.uint8)
    return darkness_of(grey, _DARK_REACH * square * shrink)


def _largest(darkness: NDArray[np.uint8], found: list[Seed]) -> Mesh:
    """The mesh with most points; a further seed is grown only where no mesh has been yet."""
    best: Mesh | None = None
    covered = np.empty((0, 2))
    for seed in found:
        near = np.linalg.norm(covered - seed.place, axis=1).min(initial=np.inf)
        if near < 2 * STEP * seed.size:
            continue
        mesh = grown(darkness, seed.place, seed.basis)
        covered = np.concatenate([covered, mesh.place[mesh.found]])
        if best is None or mesh.found.sum() > best.found.sum():
            best = mesh
    assert best is not None
    return best


def _looked_at(grey: NDArray[np.uint8], darkness: NDArray[np.uint8], mesh: Mesh) -> Sighting:
    """The mesh as nodes, with the chart's edges found in it."""
    whole = completed(mesh, _BEYOND + 1)
    columns = np.arange(STEP, STEP * (whole.place.shape[1] - 1) - STEP + 1.0) + whole.first[0] * STEP
    rows = np.arange(STEP, STEP * (whole.place.shape[0] - 1) - STEP + 1.0) + whole.first[1] * STEP
    nodes = refined(darkness, nodes_of(whole, columns, rows), 1)
    straight = pulled_straight(darkness, nodes)
    upright, level = blocks(straight), blocks(np.ascontiguousarray(straight.T))
    return with_counts(
        Sighting(grey, darkness, nodes, NOWHERE, NOWHERE, upright, level, mesh.torn, mesh.faint)
    )


def with_counts(sighting: Sighting, columns: int | None = None, rows: int | None = None) -> Sighting:
    """The same sighting with the chart's edges looked for again, as many columns and rows apart as given."""
    high, wide = sighting.darkness.shape
    middles = (sighting.nodes[1:, 1:] + sighting.nodes[:-1, :-1]) / 2
    seen = np.asarray(((middles >= 0) & (middles <= (wide - 1, high - 1))).all(axis=2), np.bool_)
    across, down = extents(sighting.upright, sighting.level, seen, columns, rows)
    return replace(sighting, across=across, down=down)
