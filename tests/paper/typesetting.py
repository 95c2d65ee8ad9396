"""Print plates as set by hand from type: each square a crooked little piece, no line drawn between."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.paper.charts import invented
from tests.paper.looks import Look
from tests.paper.photographing import Condition
from tests.paper.printing import Page
from tests.paper.symbols import FINE, Sign, drawn_signs

TYPE_PITCH = 60
"""Pixels a square of the printed plate before it is scanned."""
TYPE_FAMILIES = ("shapes", "strokes", "dots", "hatchings", "reversed")

PLATE = Condition(
    square=(17, 26), tilt=(0, 0), turn=(0.0, 0.5), curl=(0, 0), fold=(0, 0), waves=(0, 0), lens=(0, 0),
    blur=(0.3, 0.6), sharpen=(0.5, 1.5), grain=(0.5, 2.0), falloff=(0, 0.02), hand=(0, 0),
    paper=(250, 255), jpeg=(75, 95), around=0.0, flat=True, most=200e6,
)  # fmt: skip
"""A plate scanned as books are: flat, hard, and small."""


@dataclass(frozen=True)
class Typecase:
    """How badly type is set and printed; lengths are shares of a square.

    ``gap`` between pieces, ``frame`` line round most pieces, ``crooked`` how far each piece lies off its
    place and ``turned`` degrees it is turned, ``line_shift`` how far a whole line of type slips sideways,
    ``wobble`` the slow bending of the whole plate. ``flecks`` specks a square, ``clogging`` between 0 and 1
    how much ink fills gaps in some areas, ``framed`` share of hatched signs that have a frame.
    """

    gap: float = 0.1
    frame: float = 0.07
    crooked: float = 0.02
    turned: float = 1.0
    line_shift: float = 0.03
    wobble: float = 0.12
    flecks: float = 0.25
    clogging: float = 0.5
    framed: float = 0.75


def typecase_by_chance(seed: int) -> Typecase:
    """A typecase as some printer may have had it."""
    random = np.random.default_rng([seed, 83])
    return Typecase(
        gap=random.uniform(0.08, 0.14),
        frame=random.uniform(0.05, 0.1),
        crooked=random.uniform(0.008, 0.025),
        turned=random.uniform(0.3, 1.5),
        line_shift=random.uniform(0.0, 0.05),
        wobble=random.uniform(0.04, 0.15),
        flecks=random.uniform(0.05, 0.5),
        clogging=random.uniform(0.2, 0.8),
        framed=random.uniform(0.55, 0.95),
    )


def typeset_plate(columns: int, rows: int, signs: int, seed: int, case: Typecase | None = None) -> Page:
    """A plate of ``signs`` signs besides the open square (code 0), without numbers or bold lines.

    Its nodes lie in the middle between the pieces about them, save for each piece's own crookedness.
    """
    random = np.random.default_rng([seed, 97])
    case = case or typecase_by_chance(seed)
    content = invented(columns, rows, signs, seed, line_share=0.0)
    pieces = _pieces(drawn_signs(signs, seed, TYPE_FAMILIES), case, random)
    margin = TYPE_PITCH
    nodes = _wobbling(columns, rows, case, random) * TYPE_PITCH + margin - 0.5
    ink = np.zeros((rows * TYPE_PITCH + 2 * margin, columns * TYPE_PITCH + 2 * margin), np.uint8)
    slips = random.normal(0, case.line_shift, rows)
    for row, column in np.ndindex(rows, columns):
        corners = nodes[row : row + 2, column : column + 2].reshape(4, 2)
        middle = corners.mean(axis=0) + random.normal(0, case.crooked, 2) * TYPE_PITCH
        middle[0] += slips[row] * TYPE_PITCH
        turn = float(np.degrees(np.arctan2(*(corners[1] - corners[0])[::-1]))) + random.normal(0, case.turned)
        _set_piece(ink, pieces[content.codes[row, column]], middle, turn)
    pixels = cv2.cvtColor(255 - _pressed(ink, case, random), cv2.COLOR_GRAY2RGB)
    plate = np.asarray(pixels, np.uint8)
    beside = np.concatenate([slips[:1], (slips[1:] + slips[:-1]) / 2, slips[-1:]])
    nodes[..., 0] += beside[:, np.newaxis] * TYPE_PITCH
    return Page(plate, nodes, content, (0, 0), (), (), Look(title="", arrows=False), TYPE_PITCH)


def _pieces(signs: list[Sign], case: Typecase, random: np.random.Generator) -> list[NDArray[np.uint8]]:
    """One piece of type for each code, ink 255; code 0 is the open square, always framed."""
    side = round(TYPE_PITCH * (1 - case.gap))
    frame = max(2, round(case.frame * TYPE_PITCH))
    pieces = [_framed(np.zeros((side, side), np.uint8), frame)]
    for sign in signs:
        full = sign.family in ("hatchings", "reversed")
        inner = sign.ink if full else sign.ink[FINE // 16 : -FINE // 16, FINE // 16 : -FINE // 16]
        piece = np.asarray(cv2.resize(inner, (side, side), interpolation=cv2.INTER_AREA), np.uint8)
        piece = np.asarray(cv2.dilate(piece, np.ones((3, 3), np.uint8)), np.uint8)  # type is cut strong
        bare = sign.family == "hatchings" and random.random() > case.framed
        pieces.append(piece if bare else _framed(piece, frame))
    return pieces


def _framed(piece: NDArray[np.uint8], frame: int) -> NDArray[np.uint8]:
    framed = piece.copy()
    for edge in (framed[:frame], framed[-frame:], framed[:, :frame], framed[:, -frame:]):
        edge[:] = 255
    return framed


def _wobbling(columns: int, rows: int, case: Typecase, random: np.random.Generator) -> NDArray[np.float64]:
    """Lattice points in squares that wander slowly by ``wobble``: (rows + 1, columns + 1, 2)."""
    nodes = np.stack(np.meshgrid(np.arange(columns + 1.0), np.arange(rows + 1.0)), axis=2)
    for axis in range(2):
        hills = cv2.GaussianBlur(
            random.standard_normal((rows + 1, columns + 1)), (0, 0), 6, borderType=cv2.BORDER_REFLECT
        )
        moved = np.asarray(hills, np.float64) * (case.wobble / max(1e-9, float(np.std(hills))))
        nodes[..., axis] = nodes[..., axis] + moved
    return nodes


def _set_piece(
    ink: NDArray[np.uint8], piece: NDArray[np.uint8], middle: NDArray[np.float64], turn: float
) -> None:
    """Print one piece with its middle at a page point, turned clockwise by ``turn`` degrees, in place."""
    reach = TYPE_PITCH * 3 // 4
    left, top = (round(float(value)) - reach for value in middle)
    matrix = cv2.getRotationMatrix2D(((piece.shape[1] - 1) / 2, (piece.shape[0] - 1) / 2), -turn, 1.0)
    home = np.array([left + (piece.shape[1] - 1) / 2, top + (piece.shape[0] - 1) / 2])
    matrix[:, 2] = matrix[:, 2] + (middle - home)
    turned = cv2.warpAffine(piece, matrix, (2 * reach, 2 * reach), flags=cv2.INTER_LINEAR)
    window = ink[top : top + 2 * reach, left : left + 2 * reach]
    np.maximum(window, turned, out=window)


def _pressed(ink: NDArray[np.uint8], case: Typecase, random: np.random.Generator) -> NDArray[np.uint8]:
    """The print: ragged edges, areas with too much and too little ink, flecks and chips."""
    shape = ink.shape
    soft = np.asarray(cv2.GaussianBlur(ink, (0, 0), TYPE_PITCH * 0.035), np.float32) / 255
    ragged = cv2.GaussianBlur(random.standard_normal(shape, np.float32), (0, 0), 2.0) * 2.0
    small = (shape[1] // TYPE_PITCH + 2, shape[0] // TYPE_PITCH + 2)
    load = cv2.GaussianBlur(random.standard_normal(small[::-1], np.float32), (0, 0), 3.0) * 6.0
    heavy = cv2.resize(load, shape[::-1], interpolation=cv2.INTER_LINEAR)
    level = 0.5 - 0.17 * case.clogging * np.clip(heavy, -0.4, 2) + 0.12 * ragged
    printed = (soft > level).astype(np.uint8) * 255
    for value, share in ((0, 0.7), (255, 0.3)):
        for _ in range(round(case.flecks * share * small[0] * small[1])):
            place = (int(random.integers(shape[1])), int(random.integers(shape[0])))
            size = tuple(max(1, round(float(TYPE_PITCH * reach))) for reach in random.uniform(0.01, 0.06, 2))
            cv2.ellipse(printed, place, size, float(random.uniform(0, 180)), 0, 360, value, -1)
    return printed
