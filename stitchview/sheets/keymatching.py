"""Match the symbols of a chart with the boxes of its printed key, one to one, by how they look."""

from collections.abc import Mapping
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.keypage import KeyPage
from stitchview.sheets.pairing import best_pairs

Numbers = NDArray[np.float32]

_SIDE = 24
_INSET = 2
_SOFT = 1.1
_SHIFTS = (-2, -1, 0, 1, 2)
_SCALES = (0.72, 0.78, 0.84, 0.89, 0.94, 1.0, 1.06, 1.12, 1.2, 1.28)
LEAST_LIKE = 0.6
_CLEAR_BY = 0.03
_ALLOWED, _POORER = 0.08, 3.5


@dataclass(frozen=True)
class KeyPair:
    """A symbol and the box that it was matched with; ``like`` is how alike they look, 0 to 1.

    ``clear`` is False where another symbol or another box fits nearly as well, so that a person should look.
    """

    symbol: int
    box: int
    like: float
    clear: bool


@dataclass(frozen=True)
class KeyMatch:
    """What of a chart is in its key: the pairs in the key's order, and who found no partner.

    ``symbols`` are numbers of the chart's symbols that no box shows, each with the box it looks most like
    (0 where it looks like none): often a sign that was sorted into two piles. ``boxes`` are numbers of boxes
    whose sign was not found on the chart.
    """

    pairs: tuple[KeyPair, ...]
    symbols: Mapping[int, int]
    boxes: tuple[int, ...]


def match_key(symbols: Mapping[int, NDArray[np.uint8]], page: KeyPage) -> KeyMatch:
    """Match ``symbols``, square grey pictures (255 paper) by number, with the boxes of a key page.

    The signs of a key may be printed larger or smaller in their boxes than in the squares, all by one
    measure; that measure is found on the way.
    """
    numbers = [number for number, picture in symbols.items() if _inked(picture)]
    if not numbers:
        return KeyMatch((), dict.fromkeys(symbols, 0), tuple(box.number for box in page.boxes))
    seen = _inks([symbols[number] for number in numbers])
    alike = _best_measure(seen, _inks([box.cutout for box in page.boxes]))
    places = best_pairs(np.maximum(alike, LEAST_LIKE).astype(np.float64))
    pairs = []
    enough = _enough(alike, places)
    for at, place in enumerate(places.tolist()):
        if place >= 0 and alike[at, place] > enough:
            pairs.append(
                KeyPair(
                    numbers[at], page.boxes[place].number, float(alike[at, place]), _clear(alike, at, place)
                )
            )
    matched, shown = {pair.symbol for pair in pairs}, {pair.box for pair in pairs}
    left = {}
    for number in symbols:
        if number not in matched:
            row = alike[numbers.index(number)] if number in numbers else np.zeros(1)
            left[number] = page.boxes[int(row.argmax())].number if row.max() > enough else 0
    return KeyMatch(
        tuple(sorted(pairs, key=_by_box)),
        left,
        tuple(box.number for box in page.boxes if box.number not in shown),
    )


def _enough(alike: Numbers, places: NDArray[np.intp]) -> float:
    """How alike a pair must be: less where all pairs of a poor picture are less alike."""
    paired = np.flatnonzero(places >= 0)
    typical = float(np.median(alike[paired, places[paired]]))
    return max(LEAST_LIKE, 1 - _ALLOWED - _POORER * (1 - typical))


def _by_box(pair: KeyPair) -> int:
    return pair.box


def _inked(picture: NDArray[np.uint8]) -> bool:
    return bool((picture < 160).any())


def _clear(alike: Numbers, row: int, column: int) -> bool:
    """Whether no other symbol and no other box comes near the pair."""
    others = np.concatenate([np.delete(alike[row], column), np.delete(alike[:, column], row)])
    return bool(alike[row, column] - others.max(initial=0) > _CLEAR_BY)


def _inks(pictures: list[NDArray[np.uint8]]) -> Numbers:
    """(n, SIDE, SIDE) float32 ink, 0 to 1."""
    size = (_SIDE, _SIDE)
    small = [cv2.resize(picture, size, interpolation=cv2.INTER_AREA) for picture in pictures]
    return (255 - np.array(small, np.float32)) / np.float32(255)


def _best_measure(seen: Numbers, boxes: Numbers) -> Numbers:
    """(n, m) how alike each symbol and each box look, the boxes' signs in the measure that fits best."""
    best: Numbers | None = None
    worth = -np.inf
    for scale in _SCALES:
        alike = _likeness(seen, boxes, scale)
        total = float(alike.max(axis=1).sum() + alike.max(axis=0).sum())
        if total > worth:
            best, worth = alike, total
    assert best is not None
    return best


def _likeness(seen: Numbers, boxes: Numbers, scale: float) -> Numbers:
    """The correlation of each symbol with each box at its best shift, grey spread of blurring made alike."""
    middle = (_SIDE - 1) / 2
    best = np.full((len(seen), len(boxes)), -1.0, np.float32)
    here = _lengthened(np.array([_inner(ink) for ink in seen]))
    framed = np.array([_bare(ink) for ink in boxes], np.float32)
    for down in _SHIFTS:
        for across in _SHIFTS:
            turn = np.array(
                [[scale, 0, middle * (1 - scale) + across / 2], [0, scale, middle * (1 - scale) + down / 2]]
            )
            moved = [cv2.warpAffine(ink, turn, (_SIDE, _SIDE), flags=cv2.INTER_LINEAR) for ink in framed]
            there = _lengthened(np.array([_inner(np.asarray(ink, np.float32)) for ink in moved]))
            best = np.maximum(best, here @ there.T)
    return best


def _bare(ink: Numbers) -> Numbers:
    """The box without its frame: the outermost pixels are what is just within them."""
    return cv2.copyMakeBorder(
        np.ascontiguousarray(ink[_INSET:-_INSET, _INSET:-_INSET]), *(_INSET,) * 4, cv2.BORDER_REPLICATE
    ).astype(np.float32)


def _inner(ink: Numbers) -> Numbers:
    soft = cv2.GaussianBlur(ink, (0, 0), _SOFT)
    return np.asarray(soft[_INSET:-_INSET, _INSET:-_INSET].ravel(), np.float32)


def _lengthened(flat: Numbers) -> Numbers:
    """Rows made of length 1, half of their mean taken off: shape counts most, and how black counts too."""
    flat = flat - 0.5 * flat.mean(axis=1, keepdims=True)
    return np.asarray(flat / np.maximum(np.linalg.norm(flat, axis=1, keepdims=True), 0.5), np.float32)
