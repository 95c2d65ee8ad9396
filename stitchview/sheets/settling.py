"""Decide which groups of squares are signs of their own and which are known signs with lines on them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.describing import PIXELS
from stitchview.sheets.linedgroups import Lined, lined_groups
from stitchview.sheets.linesover import A_PIECE, NO_LINES, explained
from stitchview.sheets.nearness import Groups, Labels, Numbers, grouped
from stitchview.sheets.samesigns import (
    PLAIN_VARIETY,
    may_differ,
    mean_pictures,
    pictures_apart,
    pictures_apart_inside,
)
from stitchview.sheets.secondlook import (
    Likeness,
    PixelModel,
    ink_at_edges,
    ink_at_half_points,
    ink_beyond,
    inked_over,
    likeness,
    means_apart,
    pixel_model,
)

_USUAL_SHARE = 0.99
_FEW = 24
_MAY_DIFFER = 1.1
_WORN_MAY_DIFFER = 1.8
_FEW_MAY_DIFFER = 6.0
"""How far apart, in spreads a soft pixel, groups of one sign may lie.

On printed test sheets, shifts allowed for, one sign in two groups lay up to 1.0 apart and two signs from 1.2
(poor photographs) or 2.6 (others) on; worn types of the old plates lay up to 1.8 from the rest of their sign,
and groups of up to two dozen squares are more often a worn or blotted sign than a sign of their own.
"""
_FEW_CROSSED = 40
_NEARLY, _FAR, _STRANGE = 2.5, 4.0, np.float32(1e4)
_FREED_COUNTS = np.float32(0.3)
_PALE = 0.22
_EVEN = 0.035
_FRAMED = 0.11
_SHADED_SHARE, _SHADED_SHARE_SEEN, _HATCHING_SEEN = 0.04, 0.25, 18
_MOST_UNLIKE = np.float32(600)
_OVERDRAWN = 3.3
_HANDFUL = 7
_HANDFUL_OVERDRAWN = 4.5
_EDGE_INK = (8, 110)
"""Pixels near the edges of a square that a line over it darkens: rare signs showed 0, solid ones over 160."""
_BEYOND, _MANY_BEYOND, _BEYOND_EACH = 0.1, 0.2, 10
"""Ink that lines leave beyond squares: where they cross its edge in a group's middle picture, as a share
of full ink (of more than ``_FEW`` squares, seldom with the same line, more), and in pixels of one square.

On printed test sheets groups of signs under lines showed 0.14 or more, rare signs 0.04 or less.
"""


@dataclass(frozen=True)
class Sheet:
    """What is being settled: soft pixels (N, 144), cut-outs, groups and how their signs look.

    ``same`` (K, K) says which groups no eye would call two signs, ``inside`` (K, K) which ones but for what
    stands along their edges.
    """

    soft: Numbers
    cutouts: Numbers
    groups: Groups
    model: PixelModel
    same: NDArray[np.bool_]
    inside: NDArray[np.bool_]
    lined: Lined
    shaded: float
    worn: bool


@dataclass(frozen=True)
class Light:
    """How well the squares are seen: ``black`` is solid ink, ``pixels_a_square`` of the picture of paper."""

    black: float
    pixels_a_square: float


@dataclass(frozen=True)
class Settled:
    """Where groups go (``goes`` (K,)): to themselves, to a group of the same sign, or -1 for nowhere.

    ``pictures`` (K, K) is how far apart their mean pictures are, ``one_sign`` how far those of one sign may
    be; ``plain`` is how unlike the squares are to each; ``again`` (N,) marks the squares that are judged
    by the second look; ``usual`` is how unlike a square usually is at most to its own pile; ``a_piece`` is
    what a piece of line costs there.
    """

    groups: Groups
    model: PixelModel
    goes: Labels
    pictures: Numbers
    one_sign: float
    plain: Likeness
    again: NDArray[np.bool_]
    usual: float
    a_piece: float


def settled(soft: Numbers, cutouts: Numbers, of: Labels, light: Light) -> Settled:
    """Settle groups ``of`` (N,) from soft pixels (N, 144) and cut-outs with AROUND_LINES pixels around."""
    black = light.black
    groups = grouped(soft, of)
    model = pixel_model(soft, groups, black)
    plain = likeness(soft, cutouts, model, free_lines=False)
    own = plain.apart[np.arange(len(soft)), groups.of]
    large = groups.counts[groups.of] >= min(20, groups.counts.max())
    usual = float(np.quantile(own[large], _USUAL_SHARE))
    few_may_differ = min(_FEW_MAY_DIFFER, 3.0 * float(np.quantile(own[large], 0.9)))
    rest = (soft - groups.means[groups.of]) / light.black
    variety = float(np.sqrt(np.median((rest * rest).mean(axis=1))))
    means = mean_pictures(cutouts, groups)
    pictures = pictures_apart(means, light.black)
    one_sign = may_differ(light.pixels_a_square, variety)
    same = np.asarray(pictures < one_sign)
    inside = np.asarray(pictures_apart_inside(means, light.black) < one_sign)
    shaded = _SHADED_SHARE if light.pixels_a_square < _HATCHING_SEEN else _SHADED_SHARE_SEEN
    lined = lined_groups(soft, cutouts, groups, model, own > usual)
    goes = _going(
        Sheet(soft, cutouts, groups, model, same, inside, lined, shaded, variety > PLAIN_VARIETY),
        few_may_differ,
    )
    again = (goes[groups.of] < 0) | (own > usual)
    a_piece = A_PIECE if lined.share else NO_LINES
    return Settled(groups, model, goes, pictures, float(one_sign), plain, again, usual, a_piece)


def _going(sheet: Sheet, few_may_differ: float) -> Labels:
    """Go from the smallest group up; a group goes when it is a larger group seen otherwise, or with lines."""
    groups, model = sheet.groups, sheet.model
    goes = np.arange(len(groups.counts))
    stays = np.ones(len(goes), np.bool_)
    apart, even = means_apart(model), _even(model.means)
    members = groups.members()
    order = np.argsort(groups.counts, kind="stable")
    for group in order[:-1]:
        stays[group] = False
        larger = np.flatnonzero(stays & (groups.counts >= groups.counts[group]))
        mine = members[group]
        worn = groups.counts[larger] >= 6 * len(mine)
        differs = np.where(worn, _WORN_MAY_DIFFER, _MAY_DIFFER) if len(mine) > _FEW else few_may_differ
        rest = model.means[larger] - model.means[group]
        blank = even[group] & even[larger] & (rest.std(axis=1) < _FRAMED)
        # Where a photograph is poor, a fine hatching is even too, but fills more squares than shading does.
        blank &= len(mine) <= sheet.shaded * groups.counts[larger]
        like = (apart[group, larger] < differs) | blank | sheet.same[group, larger]
        if like.any():
            goes[group] = larger[like][apart[group, larger[like]].argmin()]
        elif (edged := _edged(sheet, group, mine, larger)) >= 0:
            goes[group] = edged
        elif (
            len(mine) < 3 or _overdrawn(sheet, mine, larger) or sheet.lined.over(group, groups.counts, stays)
        ) and _runs_on(sheet, mine):
            goes[group] = -1
        else:
            stays[group] = True
    for group in order[::-1]:
        goes[group] = goes[goes[group]] if goes[group] >= 0 else -1
    return goes


def _edged(sheet: Sheet, group: int, mine: Labels, larger: Labels) -> int:
    """The larger group whose sign a group shows with lines along the edges of its squares, or -1."""
    if len(mine) > _FEW_CROSSED:
        return -1
    for other in larger[sheet.inside[group, larger]]:
        others = sheet.cutouts[sheet.groups.of == other]
        if np.median(ink_beyond(sheet.cutouts[mine], others, sheet.model.black)) >= _BEYOND_EACH:
            return int(other)
    return -1


def _runs_on(sheet: Sheet, mine: Labels) -> bool:
    """Whether the squares ``mine`` show ink beyond their edges, as lines do and signs do not.

    Of a handful of squares nobody can tell.
    """
    if len(mine) <= _HANDFUL:
        return True
    middle = np.median(sheet.cutouts[mine], axis=0)
    least = _BEYOND if len(mine) <= _FEW else _MANY_BEYOND
    return ink_at_half_points(middle, sheet.cutouts, sheet.model.black) >= least


def _overdrawn(sheet: Sheet, mine: Labels, larger: Labels) -> bool:
    """Whether the squares ``mine`` show a larger group's sign and ink that runs on across their edges."""
    if len(mine) > (_FEW_CROSSED if sheet.lined.share or sheet.worn else _HANDFUL):
        return False
    costs = inked_over(sheet.soft[mine], sheet.model, larger)
    nearest = int(np.bincount(costs.argmin(axis=1)).argmax())
    ring = ink_at_edges(
        sheet.cutouts[mine], sheet.cutouts[sheet.groups.of == larger[nearest]], sheet.model.black
    )
    cost, edge = float(np.median(costs.min(axis=1))), float(np.median(ring))
    if len(mine) <= _HANDFUL:
        return cost < _HANDFUL_OVERDRAWN and (edge >= _EDGE_INK[0] or cost < _OVERDRAWN)
    return cost < _OVERDRAWN and _EDGE_INK[0] <= edge <= _EDGE_INK[1]


def second_look(soft: Numbers, cutouts: Numbers, settling: Settled, kept: Labels) -> Numbers:
    """How unlike the squares ``settling.again`` are to the piles ``kept``, lines over them allowed for."""
    again = np.flatnonzero(settling.again)
    model = settling.model.narrowed(kept)
    freed = likeness(soft[again], cutouts[again], model)
    apart = np.minimum(freed.apart * freed.seen[:, None].astype(np.float32), _MOST_UNLIKE)
    if settling.a_piece >= NO_LINES:
        return inked_over(soft[again], model, np.arange(len(kept))) * np.float32(soft.shape[1]) + apart
    usual = np.bincount(settling.groups.of, minlength=len(settling.goes))[kept] / np.float32(len(soft))
    seen = explained(soft[again], cutouts[again], model, settling.a_piece)
    rarity = (-2 * np.log(usual)).astype(np.float32)
    strange = np.where(
        (seen.pieces > 0) & _other_sign(settling, kept)[settling.groups.of[again]], _STRANGE, 0
    )
    return np.asarray(seen.costs + _FREED_COUNTS * apart + rarity + strange, np.float32)


def _other_sign(settling: Settled, kept: Labels) -> NDArray[np.bool_]:
    """Which of the piles ``kept`` no square of each group (K, P) can be, whatever lines lie over it.

    A group whose mean picture is nearly that of one pile and far from all others is no other pile's sign:
    of signs that are made of straight strokes, lines over a blank square explain as much.
    """
    near = settling.pictures < settling.one_sign
    for _ in range(len(near).bit_length()):
        near = near @ near
    apart = np.array(
        [settling.pictures[mine][:, kept].min(axis=0) for mine in near | np.eye(len(near), dtype=bool)]
    )
    nearest = apart.min(axis=1, keepdims=True)
    return np.asarray((nearest < _NEARLY * settling.one_sign) & (apart > _FAR * nearest))


def _even(means: Numbers) -> NDArray[np.bool_]:
    """Which groups (K,) are pale and the same all over inside: blank, even if the light was misjudged."""
    within = means.reshape(-1, PIXELS, PIXELS)[:, 2:-2, 2:-2]
    pale = within.mean(axis=(1, 2)) < _PALE
    return np.asarray(pale & (within.std(axis=(1, 2)) < _EVEN))
