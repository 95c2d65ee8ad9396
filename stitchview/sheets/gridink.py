"""The ink of the printed grid alone: each line as its kind is drawn, where it runs on bent paper."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

REACH = 7
"""Pixels looked at on each side of a line."""
_AROUND = 4
_BOLD_EVERY = 10
_PLACES = (np.arange(2 * REACH) - REACH + 0.5).astype(np.float32)
_FLANKS = [0, 1, -2, -1]


def grid_ink(ink: Floats, columns: int, rows: int, pitch: int) -> Floats:
    """The grid's share of ``ink`` (with one square of margin), same shape.

    A line is drawn as the middle of all lines of its kind, thin or bold, moved to where it runs nearby: its
    own ink is not trusted, because back stitch may lie on it for a long way.
    """
    found = np.zeros_like(ink)
    for turned, lines, length in ((False, columns + 1, rows), (True, rows + 1, columns)):
        there = found.T if turned else found
        drawn = _drawn(_strips(ink.T if turned else ink, lines, length, pitch))
        long = np.repeat(drawn, pitch, axis=0)
        # The outermost squares' lines go on a little, to where the edge ends.
        long = np.concatenate([long[:1].repeat(REACH, 0), long, long[-1:].repeat(REACH, 0)])
        along = slice(pitch - REACH, pitch * (length + 1) + REACH)
        for line in range(lines):
            across = slice(pitch * (line + 1) - REACH, pitch * (line + 1) + REACH)
            there[along, across] = np.maximum(there[along, across], long[:, line])
    return found


def _strips(ink: Floats, lines: int, length: int, pitch: int) -> Floats:
    """Across each upright line, square by square, the middle ink: (length, lines, 2 * REACH)."""
    body = ink[pitch : pitch * (length + 1)]
    near = np.stack(
        [body[:, pitch * (n + 1) - REACH : pitch * (n + 1) + REACH] for n in range(lines)], axis=1
    )
    return np.median(near.reshape(length, pitch, lines, 2 * REACH), axis=1).astype(np.float32)


def _drawn(strips: Floats) -> Floats:
    """Strips of the same shape with nothing in them but the line."""
    usual = _usual(strips)
    bold = bold_lines(usual)
    nearby = _nearby(strips)
    drawn = np.zeros_like(strips)
    last = strips.shape[1] - 1
    for kind in (bold, ~bold):
        inner = [line for line in np.flatnonzero(kind).tolist() if line not in (0, last)]
        for group in (inner, *([edge] for edge in (0, last) if kind[edge])):
            if group:
                drawn[:, group] = _moved(_typical(usual[group]), nearby[:, group])
    return drawn


def _usual(strips: Floats) -> Floats:
    """Each line's middle over the third of its squares that are lightest beside it: (lines, 2 * REACH)."""
    flanks = strips[..., _FLANKS].max(axis=2)
    lightest = np.argsort(flanks, axis=0)[: max(3, len(strips) // 3)]
    return np.median(np.take_along_axis(strips, lightest[:, :, None], axis=0), axis=0).astype(np.float32)


def bold_lines(usual: Floats) -> NDArray[np.bool_]:
    """Which lines are bold: clearly more ink than most; every tenth, where most of those are, others not."""
    beyond = np.maximum(usual - usual[:, _FLANKS].max(axis=1, keepdims=True), 0)
    mass = beyond[:, 2:-2].sum(axis=1)
    bold = mass > 1.35 * np.median(mass[1:-1] if len(mass) > 2 else mass)
    inner = np.arange(1, len(mass) - 1)
    for first in range(_BOLD_EVERY):
        tenth = inner % _BOLD_EVERY == first
        enough = tenth.sum() >= 2 and (~tenth).any()
        if enough and bold[inner[tenth]].mean() >= 0.6 and bold[inner[~tenth]].mean() < 0.15:
            bold[inner] = tenth
    return np.asarray(bold, np.bool_)


def _nearby(strips: Floats) -> Floats:
    """Each square's strip with those of four squares before and behind, the lighter ones of them."""
    padded = np.pad(strips, ((_AROUND, _AROUND), (0, 0), (0, 0)), mode="edge")
    windows = np.stack([padded[at : at + len(strips)] for at in range(2 * _AROUND + 1)])
    return np.asarray(np.partition(windows, 3, axis=0)[3], np.float32)


def _middles(strips: Floats) -> Floats:
    """Where the ink's middle lies, in pixels from the lattice line, for strips (..., 2 * REACH)."""
    above = np.maximum(strips - 0.06 - strips[..., _FLANKS].max(axis=-1, keepdims=True), 0)
    above = above * (np.abs(_PLACES) < 5)
    return np.asarray((above * _PLACES).sum(axis=-1) / np.maximum(above.sum(axis=-1), 0.2), np.float32)


def _typical(usual: Floats) -> Floats:
    """The middle of lines of one kind after each is moved to the lattice line."""
    centred = [
        np.interp(_PLACES + middle, _PLACES, line)
        for middle, line in zip(_middles(usual), usual, strict=True)
    ]
    typical = np.median(centred, axis=0)
    typical[(np.abs(_PLACES) > 5.5) | (typical < 0.03)] = 0
    return np.asarray(typical, np.float32)


def _believed(nearby: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Where each line runs nearby, and where that is clear; elsewhere it is where the line mostly is."""
    middles = np.clip(_middles(nearby), -2.5, 2.5)
    clear = nearby[..., _FLANKS].max(axis=2) < 0.12
    mostly = np.array(
        [
            np.median(column[seen]) if seen.sum() > 3 else 0.0
            for column, seen in zip(middles.T, clear.T, strict=True)
        ],
        np.float32,
    )
    believed = np.where(clear, np.clip(middles, mostly - 0.8, mostly + 0.8), mostly)
    return believed.astype(np.float32), clear


def _moved(typical: Floats, nearby: Floats) -> Floats:
    """The typical line at each square (length, lines), moved and made darker as the strips nearby are.

    Only strips with paper beside the line are believed; elsewhere the line is where it mostly is.
    """
    middles, clear = _believed(nearby)
    darker = np.clip(nearby.sum(axis=2) / max(float(typical.sum()), 1e-3), 0.9, 1.2)
    darker = np.where(clear, darker, 1)
    at = np.clip(_PLACES - middles[..., None] + REACH - 0.5, 0, 2 * REACH - 1)
    low = np.floor(at).astype(np.intp)
    share = (at - low).astype(np.float32)
    moved = typical[low] * (1 - share) + typical[np.minimum(low + 1, 2 * REACH - 1)] * share
    return np.asarray(moved * darker[..., None], np.float32)
