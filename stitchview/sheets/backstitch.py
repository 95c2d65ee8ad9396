"""Find back stitch over the symbols of a sheet: which smallest steps are inked, and the runs they make."""

from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.backstitchsteps import CORE, Cover, Way, covers, strip
from stitchview.sheets.inkleft import HALF, PITCH, InkLeft
from stitchview.sheets.linework import joined_lines, single_steps
from stitchview.sheets.sheetreading import FoundLines

Floats = NDArray[np.float32]
Point = tuple[int, int]
Step = tuple[int, int, int, int]

_LEAST, _LEAST_HIDDEN, _LEAST_EDGE = 0.42, 0.18, 0.55
_LEFT_OVER, _OWN_SHARE = 0.31, 0.5
_WHOLLY_INKED = 0.7
_GAP_STEPS, _HIDDEN, _GAP_COVER = 4, 0.3, 0.35
_DASH_GAP, _DASHED = 0.45, 0.11


@dataclass(frozen=True, eq=False)
class _Run:
    """Steps of one way in a row: their first points, how well each is covered, and the length in squares."""

    way: Way
    points: list[Point]
    values: list[float]

    @property
    def length(self) -> float:
        return len(self.points) * float(np.hypot(*self.way)) / 2

    @property
    def mean(self) -> float:
        return sum(self.values) / len(self.values)

    @property
    def weight(self) -> float:
        return sum(value - 0.3 for value in self.values) * float(np.hypot(*self.way))


@dataclass(eq=False)
class _Drawing:
    """What has been found so far: steps with the run each belongs to, and the pixels they account for."""

    ink: InkLeft
    taken: Floats
    steps: dict[Step, _Run] = field(default_factory=dict)


def find_lines(ink: InkLeft) -> FoundLines:
    """All back stitch of a sheet, as runs that are as long as they can be, solid and dashed ones apart.

    Where a line's own width is already black (over a filled square, or a bold line as wide as itself) it
    cannot be seen; such a gap is closed only between two seen pieces of one run.
    """
    found = covers(ink)
    drawing = _Drawing(ink, np.zeros_like(ink.left))
    for run in sorted(_runs(found), key=_weight, reverse=True):
        for piece in _own_pieces(run, drawing):
            _draw(piece, drawing)
    _bridge(drawing, found)
    _prune(drawing)
    return _told(drawing, found)


def _weight(run: _Run) -> float:
    return run.weight


def _runs(found: dict[Way, Cover]) -> list[_Run]:
    """All unbroken runs of covered steps of every way."""
    runs = []
    for way, cover in found.items():
        value = cover.covered - 0.8 * np.clip(cover.beside, 0, 1)
        value -= _misjudged_bold(value, way)
        hidden = np.clip((0.35 - cover.seen) / 0.12, 0, 1)
        inked = value > _LEAST + _LEAST_HIDDEN * hidden
        if way == (1, 0):
            inked[[0, -1]] &= value[[0, -1]] > _LEAST_EDGE
        if way == (0, 1):
            inked[:, [0, -1]] &= value[:, [0, -1]] > _LEAST_EDGE
        inked &= _stays_on_the_sheet(way, inked.shape)
        rows, columns = np.nonzero(inked)
        starts = dict(
            zip(zip(columns.tolist(), rows.tolist(), strict=True), value[inked].tolist(), strict=True)
        )
        runs += [_run_from(point, way, starts) for point in starts if _behind(point, way) not in starts]
    return runs


def _stays_on_the_sheet(way: Way, size: tuple[int, ...]) -> NDArray[np.bool_]:
    """From which first points a step of this way ends on the sheet too."""
    rows, columns = np.arange(size[0]) + way[1], np.arange(size[1]) + way[0]
    down, across = (rows >= 0) & (rows < size[0]), (columns >= 0) & (columns < size[1])
    return np.asarray(down[:, None] & across[None], np.bool_)


def _misjudged_bold(value: Floats, way: Way) -> Floats:
    """What to take off along lattice lines that are half dark from end to end: bold lines taken for thin."""
    if way not in ((1, 0), (0, 1)):
        return np.zeros((1, 1), np.float32)
    usual = np.median(value, axis=1 if way == (1, 0) else 0, keepdims=True)
    return np.asarray(np.where(usual < _WHOLLY_INKED, np.maximum(usual, 0), 0), np.float32)


def _behind(point: Point, way: Way) -> Point:
    return point[0] - way[0], point[1] - way[1]


def _run_from(point: Point, way: Way, starts: dict[Point, float]) -> _Run:
    run = _Run(way, [], [])
    while point in starts:
        run.points.append(point)
        run.values.append(starts[point])
        point = point[0] + way[0], point[1] + way[1]
    return run


def _own_pieces(run: _Run, drawing: _Drawing) -> list[_Run]:
    """The pieces of a run whose ink no stronger run accounts for already."""
    own = [_is_own(point, run.way, drawing) for point in run.points]
    pieces, at = [], 0
    while at < len(own):
        end = at
        while end < len(own) and own[end]:
            end += 1
        if end > at:
            piece = _Run(run.way, run.points[at:end], run.values[at:end])
            if piece.length >= 0.9 or piece.mean > 0.6:
                pieces.append(piece)
        at = max(end, at + 1)
    return pieces


def _is_own(point: Point, way: Way, drawing: _Drawing) -> bool:
    core = strip(way, CORE, inset=1.0)
    y, x = PITCH + point[1] * HALF + core.y, PITCH + point[0] * HALF + core.x
    untaken = 1 - drawing.taken[y, x]
    free = core.weights * (1 - drawing.ink.known[y, x])
    seen = float(free.sum())
    over = float((drawing.ink.left[y, x] * untaken * core.weights).sum())
    enough = over > _LEFT_OVER * max(seen, 0.06 * float(core.weights.sum()))
    return enough and float((untaken * free).sum()) > _OWN_SHARE * seen


def _draw(piece: _Run, drawing: _Drawing) -> None:
    broad = strip(piece.way, CORE + 1.6, inset=-1.5)
    for x, y in piece.points:
        drawing.steps[x, y, x + piece.way[0], y + piece.way[1]] = piece
        there = PITCH + y * HALF + broad.y, PITCH + x * HALF + broad.x
        drawing.taken[there] = np.maximum(drawing.taken[there], broad.weights)


def _bridge(drawing: _Drawing, found: dict[Way, Cover]) -> None:
    """Close gaps of a few hidden steps between two pieces of one run."""
    for x1, y1, x2, y2 in list(drawing.steps):
        way = x2 - x1, y2 - y1
        gap = _gap_after((x2, y2), way, drawing, found[way])
        if gap:
            bridge = _Run(way, gap, [0.6] * len(gap))
            for x, y in gap:
                drawing.steps[x, y, x + way[0], y + way[1]] = bridge


def _gap_after(point: Point, way: Way, drawing: _Drawing, cover: Cover) -> list[Point]:
    gap: list[Point] = []
    for _ in range(_GAP_STEPS + 1):
        x, y = point
        if (x, y, x + way[0], y + way[1]) in drawing.steps:
            return gap
        if not (0 <= y < cover.seen.shape[0] and 0 <= x < cover.seen.shape[1]):
            break
        if cover.seen[y, x] >= _HIDDEN and cover.covered[y, x] < _GAP_COVER:
            break
        gap.append(point)
        point = x + way[0], y + way[1]
    return []


def _prune(drawing: _Drawing) -> None:
    """Leave out short pieces that hang on nothing, again and again, because others may have hung on them."""
    while True:
        ends = Counter(end for x1, y1, x2, y2 in drawing.steps for end in ((x1, y1), (x2, y2)))
        loose = [step for step, run in drawing.steps.items() if _is_loose(step, run, ends)]
        if not loose:
            return
        for step in loose:
            del drawing.steps[step]


def _is_loose(step: Step, run: _Run, ends: Counter[Point]) -> bool:
    before, after = ends[step[:2]] > 1, ends[step[2:]] > 1
    if run.length < 0.95:
        return not (before and after) and not ((before or after) and run.mean > 0.75)
    alone = not (before or after)
    return alone and ((run.length < 1.9 and run.mean < 0.5) or (run.length < 1.1 and run.mean < 0.7))


def _told(drawing: _Drawing, found: dict[Way, Cover]) -> FoundLines:
    """The steps as runs; a run is dashed when it has gaps wherever it can be seen."""
    solid: list[list[int]] = []
    dashed: list[list[int]] = []
    gaps = {step: _gap_share(step, drawing.ink) for step in drawing.steps}
    for line in joined_lines(drawing.steps).tolist():
        steps = [step for step in single_steps([line]) if step in gaps]
        seen = sum(gaps[step][1] for step in steps)
        share = sum(gaps[step][0] for step in steps) / max(seen, 1.0)
        (dashed if seen >= HALF // 2 and share > _DASHED else solid).append(line)
    ends = np.array(solid + dashed, np.int32).reshape(-1, 4)
    strengths = [_strength(line, found) for line in ends.tolist()]
    is_dashed = np.arange(len(ends)) >= len(solid)
    return FoundLines(ends, is_dashed, np.array(strengths, np.float32))


def _gap_share(step: Step, ink: InkLeft) -> tuple[int, int]:
    """Of the places along a step's middle: how many are bare, and how many can be seen."""
    way = step[2] - step[0], step[3] - step[1]
    count = round(float(np.hypot(*way)) * HALF)
    along = (np.arange(count) + 0.5) / count
    x = np.rint(PITCH + (step[0] + along * way[0]) * HALF - 0.5).astype(np.intp)
    y = np.rint(PITCH + (step[1] + along * way[1]) * HALF - 0.5).astype(np.intp)
    seen = ink.known[y, x] < 0.5
    bare = seen & (ink.left[y, x] < _DASH_GAP * (1 - ink.known[y, x]))
    return int(bare.sum()), int(seen.sum())


def _strength(line: list[int], found: dict[Way, Cover]) -> float:
    values = [float(found[x2 - x1, y2 - y1].covered[y1, x1]) for x1, y1, x2, y2 in single_steps([line])]
    return sum(values) / len(values)
