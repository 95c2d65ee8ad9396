"""Tell which piles may be one sign: by how alike they look, and by squares that two sheets show."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.joining import Joined
from stitchview.sheets.overlap import shared
from stitchview.sheets.sheetreading import NO_PILE, SheetReading

Table = NDArray[np.int32]

_ALIKE, _AKIN = 0.8, 0.7
_LEAST_PAIRS = 3
_MOVES = 2


def alikeness(pictures: NDArray[np.uint8]) -> NDArray[np.float32]:
    """How alike pictures (K, side, side) are, (K, K), up to 1: correlation at the best move of two pixels."""
    inner = [cv2.GaussianBlur(255 - picture, (0, 0), 0.8).astype(np.float32) for picture in pictures]
    side = slice(_MOVES, -_MOVES)
    plain = _unit(np.array([picture[side, side] for picture in inner]))
    best = np.full((len(inner), len(inner)), -1, np.float32)
    for down in range(-_MOVES, _MOVES + 1):
        for right in range(-_MOVES, _MOVES + 1):
            moved = np.array([np.roll(picture, (down, right), (0, 1))[side, side] for picture in inner])
            best = np.maximum(best, plain @ _unit(moved).T)
    return np.asarray(np.maximum(best, best.T), np.float32)


def loose_piles(alike: NDArray[np.float32]) -> Table:
    """For every pile number of a sheet (0 blank, n + 1 for picture n) the first pile that looks like it.

    Loose enough that one sign never stands in two; only for finding where sheets overlap.
    """
    table = np.arange(len(alike) + 1, dtype=np.int32)
    for one, two in np.argwhere(np.triu(alike > _ALIKE, 1)).tolist():
        table[table == table[two + 1]] = table[one + 1]
    return table


def loosened(sheet: SheetReading, table: Table) -> SheetReading:
    """The sheet with its piles looked up in the table."""
    return replace(sheet, piles=np.where(sheet.piles < 0, NO_PILE, table[sheet.piles]).astype(np.int32))


def merged_by_overlap(
    sheets: Sequence[SheetReading], joined: Joined, alike: NDArray[np.float32]
) -> list[SheetReading]:
    """The sheets with piles made one that stand for each other on the squares two sheets show.

    Paper prints a repeated square with the same sign, so two piles that meet there again and again, and look
    akin, are one sign that was seen differently.
    """
    met: Counter[tuple[int, int]] = Counter()
    for one in range(len(sheets)):
        for two in range(one + 1, len(sheets)):
            offset = tuple(b - a for a, b in zip(joined.places[one], joined.places[two], strict=True))
            here, there = shared(sheets[one].piles, sheets[two].piles, (offset[0], offset[1]))
            first, second = sheets[one].piles[here].ravel(), sheets[two].piles[there].ravel()
            met.update(map(_ordered, zip(first.tolist(), second.tolist(), strict=True)))
    table = np.arange(len(alike) + 1, dtype=np.int32)
    for (one, two), count in met.most_common():
        # One sign in two piles meets the other pile more often than its own.
        often = count >= _LEAST_PAIRS and count >= met[one, one] + met[two, two]
        if one != two and one > 0 and often and alike[one - 1, two - 1] > _AKIN:
            table[table == table[two]] = table[one]
    return [replace(loosened(sheet, table), second=_second(sheet, table)) for sheet in sheets]


def _ordered(pair: tuple[int, int]) -> tuple[int, int]:
    return min(pair), max(pair)


def _second(sheet: SheetReading, table: Table) -> Table:
    second = np.where(sheet.second < 0, NO_PILE, table[sheet.second])
    return np.where(second == table[np.maximum(sheet.piles, 0)], NO_PILE, second).astype(np.int32)


def _unit(pictures: NDArray[np.float32]) -> NDArray[np.float32]:
    """Pictures as rows of length 1 about their mean; an even one stays 0."""
    flat = pictures.reshape(len(pictures), -1)
    flat = flat - flat.mean(axis=1, keepdims=True)
    length = np.linalg.norm(flat, axis=1, keepdims=True)
    return np.asarray(np.where(length > 100, flat / np.maximum(length, 1), 0), np.float32)
