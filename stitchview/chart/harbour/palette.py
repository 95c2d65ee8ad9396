"""Which threads the picture is worked in: how many of each kind, and in which colours."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.clusters import chosen, two_nearest
from stitchview.chart.harbour.easel import Painting, Stuff
from stitchview.chart.harbour.oklab import from_oklab, to_oklab
from stitchview.chart.harbour.view import bands

Reals = NDArray[np.float64]
Wholes = NDArray[np.int64]
Pairs = tuple[tuple[int, int], ...]

SHARES = {Stuff.SKY: 0.29, Stuff.LAND: 0.37, Stuff.WATER: 0.26, Stuff.LIGHT: 0.08}
# From how large a key on there is one, its colour, and what it is called.
METALLICS = ((10, "#E6BC5C", "gold"), (30, "#D6DAE8", "silver"), (70, "#C98560", "copper"))
BEADS = (
    (8, "#F6AE3C", "amber"),
    (18, "#C92E45", "ruby"),
    (48, "#2F9C74", "emerald"),
    (48, "#F3EBDC", "pearl"),
)
CELL_BITS = 6
CELLS = 1 << (3 * CELL_BITS)
FEWEST_APART = 6
BARE_UP_TO = 3
# Even at a corner of the colour cube, 17 x 17 x 17 places are more than a key can need.
FARTHEST_MOVE = 16


@dataclass(frozen=True, slots=True)
class Allotment:
    """How many threads of each kind a key of so many entries holds."""

    plain: dict[Stuff, int]
    metallics: int
    beads: int
    blends: int


@dataclass(frozen=True, eq=False)
class Palette:
    """The threads by number from 0: plain ones, then blends, metallics and beads.

    `lab` (threads, 3) are their OKLab colours, `rgb` the same in sRGB bytes. `choices` names, for
    each material, the threads its squares may take; `blends` the two threads of each blend.
    `bare` is the thread that stands for no stitch at all, or -1.
    """

    lab: Reals
    rgb: NDArray[np.uint8]
    choices: dict[Stuff, Wholes]
    blends: Pairs
    metallics: Wholes
    beads: Wholes
    bare: int

    @property
    def plain(self) -> int:
        """How many threads are plain."""
        return len(self.lab) - len(self.blends) - len(self.metallics) - len(self.beads)


@dataclass(frozen=True, eq=False)
class Cells:
    """The colours of the picture in coarse cells: number, material, OKLab middle, and squares in each."""

    numbers: Wholes
    stuff: Wholes
    lab: Reals
    counts: Wholes


def allot(threads: int) -> Allotment:
    """Share out `threads` key entries; a small key has plain threads only, all for everything."""
    metallics = sum(threads >= least for least, _, _ in METALLICS)
    beads = sum(threads >= least for least, _, _ in BEADS)
    blends = min(6, threads // 18)
    rest = threads - metallics - beads - blends
    if rest < FEWEST_APART:
        return Allotment({Stuff.SKY: rest}, metallics, beads, 0)
    plain = {stuff: max(1, round(rest * share)) for stuff, share in SHARES.items()}
    plain[Stuff.LAND] += rest - sum(plain.values())
    return Allotment(plain, metallics, beads, blends)


def simplify_stuff(painting: Painting, allotment: Allotment) -> None:
    """Give materials that have no threads of their own to those that have."""
    table = np.arange(len(Stuff), dtype=np.uint8)
    if len(allotment.plain) == 1:
        table[:] = Stuff.SKY
    if not allotment.metallics:
        table[Stuff.GOLD] = table[Stuff.WATER]
    if allotment.metallics < 2:
        table[Stuff.SILVER] = table[Stuff.LIGHT]
    painting.stuff = table[painting.stuff]


def cell_numbers(painting: Painting, rows: NDArray[np.int64]) -> Wholes:
    """The cell of each square in these rows, shape (rows, columns)."""
    coarse = (painting.colours[rows[:, 0]] >> (8 - CELL_BITS)).astype(np.int64)
    number = (coarse[..., 0] << 2 * CELL_BITS) | (coarse[..., 1] << CELL_BITS) | coarse[..., 2]
    return np.asarray(number + painting.stuff[rows[:, 0]] * np.int64(CELLS))


def gather_cells(painting: Painting) -> Cells:
    """All cells that occur in the picture."""
    counts = np.zeros(CELLS * len(Stuff), np.int64)
    for rows in bands(0, painting.area.rows, painting.area.columns):
        counts += np.bincount(cell_numbers(painting, rows).ravel(), minlength=len(counts))
    numbers = np.flatnonzero(counts)
    cell, mask = numbers % CELLS, (1 << CELL_BITS) - 1
    parts = np.stack([cell >> 2 * CELL_BITS, (cell >> CELL_BITS) & mask, cell & mask], axis=1)
    middles = parts * (1 << (8 - CELL_BITS)) + (1 << (7 - CELL_BITS)) - 0.5
    return Cells(numbers, numbers // CELLS, to_oklab(middles), counts[numbers])


def choose_threads(cells: Cells, allotment: Allotment) -> Palette:
    """The threads for a picture of these colours."""
    groups: list[Reals] = []
    choices: dict[Stuff, Wholes] = {}
    first = 0
    total = sum(allotment.plain.values())
    bare = total <= BARE_UP_TO
    for stuff, count in allotment.plain.items():
        count += bare  # noqa: PLW2901 (the palest colour is then left to the cloth)
        own = cells.stuff == stuff
        if not own.any():
            own[:] = True
        groups.append(chosen(cells.lab[own], _weights(cells, own), count))
        choices[stuff] = np.arange(first, first + count)
        first += count
    lab = np.concatenate(groups)
    blends = _pairs(cells, lab, choices, allotment.blends)
    special = [*METALLICS[: allotment.metallics], *BEADS[: allotment.beads]]
    fixed = np.array([[int(text[at : at + 2], 16) for at in (1, 3, 5)] for _, text, _ in special])
    lab = np.concatenate([lab, *(lab[list(pair)].mean(axis=0)[None] for pair in blends)])
    metallics = np.arange(len(lab), len(lab) + allotment.metallics)
    beads = np.arange(len(lab), len(lab) + allotment.beads) + allotment.metallics
    lab = np.concatenate([lab, to_oklab(fixed)]) if special else lab
    shining = zip((Stuff.GOLD, Stuff.SILVER), metallics.tolist(), strict=False)
    choices |= {stuff: np.array([thread]) for stuff, thread in shining}
    pale = int(lab[:, 0].argmax()) if bare else -1
    return Palette(lab, _distinct(from_oklab(lab)), choices, blends, metallics, beads, pale)


def _weights(cells: Cells, own: NDArray[np.bool_]) -> Reals:
    """Small bright touches count for more than their squares, or every mixture would turn grey."""
    strength = np.hypot(cells.lab[own, 1], cells.lab[own, 2])
    return np.asarray(cells.counts[own] ** 0.45 * (0.02 + strength) ** 1.5)


def _pairs(cells: Cells, lab: Reals, choices: dict[Stuff, Wholes], count: int) -> Pairs:
    """Much used neighbours in sky and land to be blended; each blend joins its material's choices."""
    pairs: list[tuple[int, int]] = []
    first = len(lab)
    for number in range(count):
        stuff = (Stuff.SKY, Stuff.LAND)[number % 2]
        own = cells.stuff == stuff
        plain = choices[stuff][choices[stuff] < first]
        one, two = two_nearest(cells.lab[own], lab[plain])
        low, high = np.minimum(one, two), np.maximum(one, two)
        use = np.bincount(low * len(plain) + high, cells.counts[own], len(plain) ** 2)
        for pick in np.argsort(-use, kind="stable"):
            pair = (int(plain[pick // len(plain)]), int(plain[pick % len(plain)]))
            if pair[0] != pair[1] and pair not in pairs:
                choices[stuff] = np.append(choices[stuff], first + len(pairs))
                pairs.append(pair)
                break
    return tuple(pairs)


def _distinct(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The same colours, those that occur twice moved by as little as tells them apart."""
    if len(np.unique(rgb, axis=0)) == len(rgb):
        return rgb
    steps = np.arange(-FARTHEST_MOVE, FARTHEST_MOVE + 1)
    moves = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    moves = moves[np.argsort((moves**2).sum(axis=1), kind="stable")]
    seen: set[tuple[int, ...]] = set()
    for colour in rgb:
        near = (tuple(int(part) for part in colour.astype(int) + move) for move in moves)
        free = next(moved for moved in near if moved not in seen and _is_colour(moved))
        seen.add(free)
        colour[:] = free
    return rgb


def _is_colour(parts: tuple[int, ...]) -> bool:
    return min(parts) >= 0 and max(parts) <= 255
