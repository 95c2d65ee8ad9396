"""Lay the boxes of a key page in order: which way is up, its columns, and boxes whose frame is broken."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.keyframes import Frames

Points = NDArray[np.float64]

_LINKED = 4.5
_BESIDE = 0.5
_SAME_COLUMN = 1.5
_WORDS = (0.15, 2.0)
_BEFORE = (0.2, 0.5)
_BARE = 0.6
_TOLD = 1.25
_FAINT, _NAMED = 0.5, 0.5
_TRIES = (-0.06, 0.0, 0.06)


@dataclass(frozen=True)
class Page:
    """Which way a key page lies: ``right`` and ``down`` are unit steps, ``told`` whether words say so."""

    right: Points
    down: Points
    told: bool


@dataclass(frozen=True)
class Layout:
    """The boxes in order, down each column and then the next: ``corners`` (n, 4, 2), clockwise from top left.

    ``found`` (n,) is False where the frame is too faint and the box was placed by its neighbours.
    """

    corners: Points
    found: NDArray[np.bool_]
    page: Page


def laid_out(darkness: NDArray[np.uint8], frames: Frames) -> Layout:
    """The boxes of the page in order; ``frames`` are those that were seen (at least one)."""
    page = _page(darkness, frames)
    sight = _Sight(darkness, _strokes(darkness, frames), _resized(darkness, frames, page), page)
    middles: list[Points] = []
    found: list[NDArray[np.bool_]] = []
    for column in (_ordered(each, page) for each in _columns(sight.frames, page)):
        more = _between(column, page)
        more = sight.moved(more) if len(more) else more
        more = more[sight.shown(more)] if len(more) else more
        whole = _lengthened(sight, np.concatenate([column.middles, more]))
        order = np.argsort(whole @ page.down)
        middles.append(whole[order])
        found.append(order < len(column))
    return Layout(_corners(np.concatenate(middles), sight.frames, page), np.concatenate(found), page)


class _Sight:
    """The picture, its strokes, the frames seen in it, and how strong a frame and a name are there."""

    def __init__(
        self, darkness: NDArray[np.uint8], strokes: NDArray[np.uint8], frames: Frames, page: Page
    ) -> None:
        self.darkness, self.strokes, self.frames, self.page = darkness, strokes, frames, page
        self._frame = float(np.median(_frame_strengths(darkness, frames.middles, frames, page)))
        self._name = float(np.median(_words(strokes, frames.middles, frames, page.right)))

    def moved(self, middles: Points) -> Points:
        """Each middle moved to where the frame about it is clearest, by at most a quarter of a side."""
        offs = np.arange(-3, 4) * 0.08 * float(np.median(self.frames.sides))
        tries = np.array([(across, down) for across in offs for down in offs]) @ np.array(
            [self.page.right, self.page.down]
        )
        every = (middles[:, None] + tries).reshape(-1, 2)
        strengths = _frame_strengths(self.darkness, every, self.frames, self.page).reshape(len(middles), -1)
        return np.asarray(middles + tries[strengths.argmax(axis=1)])

    def shown(self, middles: Points) -> NDArray[np.bool_]:
        """Whether there is a box about each middle: a frame, even a faint one, and a name beside it."""
        frames = _frame_strengths(self.darkness, middles, self.frames, self.page) / max(self._frame, 12.0)
        return np.asarray((frames > _FAINT) & self.named(middles))

    def named(self, middles: Points) -> NDArray[np.bool_]:
        """Whether something is written beside each middle."""
        names = _words(self.strokes, middles, self.frames, self.page.right)
        return np.asarray(names > _NAMED * max(self._name, 1.0))


def like_a_chart(frames: Frames) -> bool:
    """Whether the squares touch each other on all sides, as those of a chart do and boxes of a key do not."""
    if len(frames) < 12:
        return False
    side = float(np.median(frames.sides))
    apart = np.linalg.norm(frames.middles[:, None] - frames.middles[None], axis=2)
    return bool(np.median((apart < 1.25 * side).sum(axis=1) - 1) >= 3)


def _page(darkness: NDArray[np.uint8], frames: Frames) -> Page:
    """Boxes stand close in columns, and the words stand to their right."""
    way = float(np.median(frames.ways))
    axes = np.array([[np.cos(way), np.sin(way)], [-np.sin(way), np.cos(way)]])
    if len(frames) > 1:
        steps = frames.middles[None] - frames.middles[:, None]
        apart = np.linalg.norm(steps, axis=2) + np.eye(len(frames)) * 1e9
        near = steps[np.arange(len(frames)), apart.argmin(axis=1)]
        along = np.abs(near @ axes.T)
        column = int(np.median(along[:, 1] - along[:, 0]) > 0)
        ways = [axes[1 - column], -axes[1 - column]]
    else:
        ways = [axes[0], axes[1], -axes[0], -axes[1]]
    strokes = _strokes(darkness, frames)
    words = [float(_words(strokes, frames.middles, frames, right).mean()) for right in ways]
    best = int(np.argmax(words))
    told = words[best] > _TOLD * max(each for at, each in enumerate(words) if at != best) + 1
    right = ways[best]
    before = float(_words(strokes, frames.middles, frames, -right, _BEFORE).mean())
    return Page(right, np.array([-right[1], right[0]]), told and before < _BARE * words[best])


def _strokes(darkness: NDArray[np.uint8], frames: Frames) -> NDArray[np.uint8]:
    """Only what is thin, as writing is: no shadow and no table beside the page."""
    wide = max(3, round(float(np.median(frames.sides)) / 3)) | 1
    opened = cv2.morphologyEx(darkness, cv2.MORPH_OPEN, np.ones((wide, wide), np.uint8))
    return np.asarray(cv2.subtract(darkness, opened), np.uint8)


def _words(
    strokes: NDArray[np.uint8],
    middles: Points,
    frames: Frames,
    right: Points,
    reach: tuple[float, float] = _WORDS,
) -> NDArray[np.float32]:
    """How much ink there is on one side of each middle, where a name would begin: (n,)."""
    down = np.array([-right[1], right[0]])
    across, up = np.linspace(*reach, 24) + 0.5, np.linspace(-0.35, 0.35, 9)
    steps = (across[None, :, None] * right + up[:, None, None] * down) * np.median(frames.sides)
    return np.asarray(_taken(strokes, middles[:, None] + steps.reshape(1, -1, 2)).mean(axis=1))


def _taken(darkness: NDArray[np.uint8], places: Points) -> NDArray[np.float32]:
    """The darkness at places (..., 2) of the picture, 0 beyond it."""
    flat = places.reshape(1, -1, 2).astype(np.float32)
    across, down = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
    if across.shape[1] > 32_000:
        half = len(places) // 2
        return np.concatenate([_taken(darkness, places[:half]), _taken(darkness, places[half:])])
    taken = cv2.remap(darkness, across, down, cv2.INTER_LINEAR, borderValue=0)
    return taken.reshape(places.shape[:-1]).astype(np.float32)


def _columns(frames: Frames, page: Page) -> list[Frames]:
    """The columns from left to right; a square that stands with no other is none of the key's."""
    groups = _linked(frames, page)
    rows = frames.middles @ page.down
    kept = [
        group
        for group in groups
        if len(groups) == 1 or len(group) > 1 or _in_a_row(rows, group, float(np.median(frames.sides)))
    ]
    merged: list[NDArray[np.intp]] = []
    for group in sorted(kept or groups, key=len, reverse=True):
        for at, other in enumerate(merged):
            if _one_column(frames.of(other), frames.of(group), page):
                merged[at] = np.concatenate([other, group])
                break
        else:
            merged.append(group)
    columns = [frames.of(group) for group in merged]
    places = [float(np.mean(column.middles @ page.right)) for column in columns]
    return [columns[at] for at in np.argsort(places)]


def _linked(frames: Frames, page: Page) -> list[NDArray[np.intp]]:
    """Squares that stand close below each other, as groups of numbers."""
    steps = frames.middles[None] - frames.middles[:, None]
    side = float(np.median(frames.sides))
    below = np.abs(steps @ page.down)
    near = (np.abs(steps @ page.right) < _BESIDE * side) & (below < _LINKED * side)
    group = np.arange(len(frames))
    while True:
        least = np.where(near, group[None, :], len(frames)).min(axis=1)
        if np.array_equal(least, group):
            break
        group = least
    return [np.flatnonzero(group == number) for number in np.unique(group)]


def _in_a_row(rows: Points, group: NDArray[np.intp], side: float) -> bool:
    others = np.delete(rows, group)
    return bool(np.abs(others - rows[group[0]]).min(initial=np.inf) < _BESIDE * side)


def _one_column(long: Frames, short: Frames, page: Page) -> bool:
    """Whether a group of squares goes on where another one leads to."""
    down, across = long.middles @ page.down, long.middles @ page.right
    slope, place = np.polyfit(down, across, 1) if len(long) > 3 else (0.0, float(across.mean()))
    there = short.middles @ page.down
    away = np.abs(short.middles @ page.right - (slope * there + place))
    return bool(np.median(away) < _SAME_COLUMN * float(np.median(long.sides)))


def _ordered(column: Frames, page: Page) -> Frames:
    return column.of(np.argsort(column.middles @ page.down))


def _between(column: Frames, page: Page) -> Points:
    """Where boxes are missing in the even list of a column: (m, 2)."""
    if len(column) < 3:
        return np.zeros((0, 2))
    steps = np.diff(column.middles @ page.down)
    apart = steps[steps > 0.5 * float(np.median(column.sides))]
    if not len(apart):
        return np.zeros((0, 2))
    usual = float(np.median(apart[apart <= 1.5 * apart.min()]))
    missing = []
    for at, gaps in enumerate(np.rint(steps / usual).astype(int).tolist()):
        first, last = column.middles[at], column.middles[at + 1]
        missing += [first + (last - first) * step / gaps for step in range(1, gaps)]
    return np.array(missing, np.float64).reshape(-1, 2)


def _lengthened(sight: _Sight, middles: Points) -> Points:
    """The column with boxes at its ends whose frames are too broken to be found by themselves."""
    if len(middles) < 2:
        return middles
    for upwards in (False, True):
        middles = middles[np.argsort(middles @ sight.page.down)]
        if upwards:
            middles = middles[::-1]
        while len(more := _next(sight, middles)):
            middles = np.concatenate([middles, more])
    return middles


def _next(sight: _Sight, middles: Points) -> Points:
    """The box that follows the last one, with one unseen between them where the next but one is seen."""
    back = min(4, len(middles) - 1)
    step = (middles[-1] - middles[-1 - back]) / back
    place = sight.moved(middles[-1][None] + step)
    if sight.shown(place)[0]:
        return place
    far = sight.moved(middles[-1][None] + 2 * step)
    between = (middles[-1][None] + far) / 2
    if sight.shown(far)[0] and sight.named(between)[0]:
        return np.concatenate([between, far])
    return np.zeros((0, 2))


def _resized(darkness: NDArray[np.uint8], frames: Frames, page: Page) -> Frames:
    """The frames with their sides measured to the middle of their lines, where the picture is darkest."""
    tries = np.linspace(0.76, 1.12, 19)
    strengths = []
    for size in tries.tolist():
        tried = replace(frames, sides=frames.sides * size)
        strengths.append(float(np.mean(_frame_strengths(darkness, frames.middles, tried, page))))
    best = float(tries[int(np.argmax(np.convolve(np.pad(strengths, 1, mode="edge"), (1, 2, 1), "valid")))])
    return replace(frames, sides=frames.sides * best)


def _frame_strengths(
    darkness: NDArray[np.uint8], middles: Points, frames: Frames, page: Page
) -> NDArray[np.float32]:
    """How dark the faintest side of a frame is about each middle, by the paper just outside it: (n,)."""
    corners = _corners(middles, frames, page)
    share = np.linspace(0.08, 0.92, 24)[:, None]
    sides = []
    for at in range(4):
        first, last = corners[:, at, None], corners[:, (at + 1) % 4, None]
        edge = first + (last - first) * share
        out = (corners[:, at] + corners[:, (at + 1) % 4]) / 2 - middles
        on = [_taken(darkness, edge + out[:, None] * off).mean(axis=1) for off in _TRIES]
        beside = _taken(darkness, edge + out[:, None] * 0.35).mean(axis=1)
        sides.append(np.max(on, axis=0) - beside)
    return np.asarray(np.min(sides, axis=0), np.float32)


def _corners(middles: Points, frames: Frames, page: Page) -> Points:
    """The corners (n, 4, 2) of boxes about their middles, by how size and turn change over the page."""
    terms = np.column_stack([np.ones(len(frames)), frames.middles])
    here = np.column_stack([np.ones(len(middles)), middles])
    turns = frames.ways - np.median(frames.ways)
    sides, ways = np.median(frames.sides) * np.ones(len(middles)), np.zeros(len(middles))
    if len(frames) >= 6:
        held = np.diag([1e-6, 1e4, 1e4])
        normal = terms.T @ terms + held
        mean = float(np.median(frames.sides))
        sides = mean + here @ np.linalg.solve(normal, terms.T @ (frames.sides - mean))
        ways = here @ np.linalg.solve(normal, terms.T @ turns)
    cos, sin = np.cos(ways)[:, None], np.sin(ways)[:, None]
    right = (page.right * cos + page.down * sin) * sides[:, None] / 2
    down = (page.down * cos - page.right * sin) * sides[:, None] / 2
    return np.stack(
        [middles - right - down, middles + right - down, middles + right + down, middles - right + down], 1
    )
