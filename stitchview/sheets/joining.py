"""Join the sheets of one chart: find by content where each belongs, and say where two of them disagree."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.abutting import fit_beside
from stitchview.sheets.laidedges import Link, links_as_laid
from stitchview.sheets.overlap import Fit, best_fits, fit_at, shared
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.sheetreading import SheetReading

Place = tuple[int, int]

BOLD_EVERY = 10
_LEAST_WEIGHT = 12.0
_CLEAR_SHARE = 0.8
_POOR_WEIGHT, _POOR_SHARE = 100.0, 0.55
_CONTRADICTION = 0.35
_FEW = 10
_AHEAD = 6.0


@dataclass(frozen=True, eq=False)
class Disagreement:
    """Two sheets show the same squares and read some differently.

    ``one`` and ``two`` number the sheets; ``squares`` (n, 2) int32 are their columns and rows on the
    whole chart. ``shared`` is how many squares both show.
    """

    one: int
    two: int
    shared: int
    squares: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Joined:
    """Where the sheets lie: ``places`` (column, row) of each one's top left square on the whole chart.

    ``as_laid`` are pairs of sheets that are joined only because a person laid them beside each other.
    """

    columns: int
    rows: int
    places: tuple[Place, ...]
    disagreements: tuple[Disagreement, ...]
    as_laid: tuple[tuple[int, int], ...] = ()


def join_sheets(sheets: Sequence[SheetReading]) -> Joined:
    """Place the sheets, in whatever order they come, from what they show in common.

    What shows nothing in common with others goes edge to edge with the sheet beside which a person laid it.
    Raises `PaperError` when a sheet belongs to no other, when two show the very same squares, or when three
    contradict each other.
    """
    if not sheets:
        raise PaperError("There is no sheet to join.", "Choose at least one picture.")
    places, as_laid = _placed(sheets, _links(sheets), links_as_laid(sheets))
    left = min(place[0] for place in places)
    top = min(place[1] for place in places)
    places = [(column - left, row - top) for column, row in places]
    columns = max(place[0] + sheet.columns for place, sheet in zip(places, sheets, strict=True))
    rows = max(place[1] + sheet.rows for place, sheet in zip(places, sheets, strict=True))
    return Joined(columns, rows, tuple(places), tuple(disagreements(sheets, places)), tuple(as_laid))


def _links(sheets: Sequence[SheetReading]) -> list[Link]:
    """For every pair of sheets that fit together how they do, the surest first."""
    links = []
    for one, two in combinations(range(len(sheets)), 2):
        fit = best_link(sheets[one], sheets[two])
        if fit is not None:
            _refuse_twice(sheets[one], sheets[two], fit)
            links.append((one, two, fit))
    return sorted(links, key=_weight, reverse=True)


def _weight(link: Link) -> float:
    return link[2].weight


def best_link(one: SheetReading, two: SheetReading) -> Fit | None:
    """How sheet two lies to sheet one, or None when nothing they show tells it.

    Measured on invented charts: where the place is right nine in ten telling squares agree, the best wrong
    place (areas that go on in the same way, a step aside) reaches eight in ten.
    """
    fits = [fit for fit in best_fits(one.piles, two.piles) if bold_lines_meet(one, two, fit.offset)]
    numbered = _numbered(one, two)
    if numbered is not None and (numbered.counted < _FEW or numbered.share >= _POOR_SHARE):
        return numbered
    clear = [fit for fit in fits if fit.weight >= _LEAST_WEIGHT and fit.share >= _CLEAR_SHARE]
    if clear:
        ahead = clear[0].weight - max((fit.weight for fit in clear[1:]), default=0.0)
        return clear[0] if ahead >= _AHEAD else None
    if fits and fits[0].weight >= _POOR_WEIGHT and fits[0].share >= _POOR_SHARE:
        second = max((fit.weight for fit in fits[1:]), default=0.0)
        return fits[0] if second < fits[0].weight / 2 else None
    edge = fit_beside(one, two)
    return edge if edge is not None and bold_lines_meet(one, two, edge.offset) else None


def _numbered(one: SheetReading, two: SheetReading) -> Fit | None:
    """The place that the numbers on the edges of both sheets tell, worth as much as some twenty squares."""
    if one.first is None or two.first is None:
        return None
    offset = two.first[0] - one.first[0], two.first[1] - one.first[1]
    fit = fit_at(one.piles, two.piles, offset)
    touching = -two.columns <= offset[0] <= one.columns and -two.rows <= offset[1] <= one.rows
    return replace(fit, weight=fit.weight + 40) if touching else None


def bold_lines_meet(one: SheetReading, two: SheetReading, offset: Place) -> bool:
    """Whether bold lines, where both sheets have them, fall every ten squares across both."""
    pairs = ((one.heavy_columns, two.heavy_columns, 0), (one.heavy_rows, two.heavy_rows, 1))
    for here, there, axis in pairs:
        if len(here) > 1 and len(there) > 1:
            steps = {*np.diff(here).tolist(), *np.diff(there).tolist()}
            if steps == {BOLD_EVERY} and (there[0] + offset[axis] - here[0]) % BOLD_EVERY:
                return False
    return True


def _refuse_twice(one: SheetReading, two: SheetReading, fit: Fit) -> None:
    here, _ = shared(one.piles, two.piles, fit.offset)
    both = one.piles[here].size
    if both >= 0.97 * min(one.piles.size, two.piles.size):
        fewer, other = (two, one) if two.piles.size <= one.piles.size else (one, two)
        raise PaperError(
            f"“{fewer.name}” shows nothing that “{other.name}” does not show: the same sheet is there twice.",
            "Leave one of them out, or photograph the sheet that is missing.",
        )


def _placed(
    sheets: Sequence[SheetReading], links: list[Link], laid: list[Link]
) -> tuple[list[Place], list[tuple[int, int]]]:
    """Places by the surest links first, so that one unsure link cannot move what others hold together.

    What a person ``laid`` comes last; gives which of those pairs were needed too.
    """
    needed = []
    group = list(range(len(sheets)))
    places: list[Place] = [(0, 0)] * len(sheets)
    for at, (one, two, fit) in enumerate([*links, *laid]):
        if group[one] != group[two]:
            if at >= len(links):
                needed.append((one, two))
            moved = group[two]
            by = tuple(places[one][axis] + fit.offset[axis] - places[two][axis] for axis in (0, 1))
            for other in [other for other in range(len(sheets)) if group[other] == moved]:
                places[other] = places[other][0] + by[0], places[other][1] + by[1]
                group[other] = group[one]
    _refuse_strangers(sheets, group)
    _refuse_contradictions(sheets, places)
    return places, needed


def _refuse_strangers(sheets: Sequence[SheetReading], group: list[int]) -> None:
    sizes = {name: group.count(name) for name in group}
    most = max(sizes, key=lambda name: (sizes[name], -group.index(name)))
    alone = [sheet.name for sheet, name in zip(sheets, group, strict=True) if name != most]
    if alone:
        names = " and ".join(f"“{name}”" for name in alone[:3])
        other = f"“{sheets[group.index(most)].name}”" if len(sheets) == 2 else "the other sheets"
        raise PaperError(
            f"{names} shows nothing by which to tell where it belongs beside {other}."
            if len(alone) == 1
            else f"{names} show nothing by which to tell where they belong beside {other}.",
            "On the reading table drag each sheet to its place beside the others, or photograph them so that"
            " some columns or rows show on both.",
        )


def _refuse_contradictions(sheets: Sequence[SheetReading], places: list[Place]) -> None:
    for one, two in combinations(range(len(sheets)), 2):
        offset = places[two][0] - places[one][0], places[two][1] - places[one][1]
        fit = fit_at(sheets[one].piles, sheets[two].piles, offset)
        if fit.counted >= 20 and fit.share < _CONTRADICTION:
            raise PaperError(
                f"“{sheets[one].name}” and “{sheets[two].name}” would lie over each other and show different"
                " squares there.",
                "Leave out the sheet that belongs to another chart, or photograph it again.",
            )


def disagreements(sheets: Sequence[SheetReading], places: Sequence[Place]) -> list[Disagreement]:
    """Where sheets that lie at ``places`` read the same square differently, one item for each pair."""
    found = []
    for one, two in combinations(range(len(sheets)), 2):
        offset = places[two][0] - places[one][0], places[two][1] - places[one][1]
        here, there = shared(sheets[one].piles, sheets[two].piles, offset)
        first, second = sheets[one].piles[here], sheets[two].piles[there]
        if not first.size or not (sheets[one].read and sheets[two].read):
            continue
        rows, columns = np.nonzero(first != second)
        corner = places[one][0] + here[1].start, places[one][1] + here[0].start
        squares = np.column_stack((columns + corner[0], rows + corner[1])).astype(np.int32)
        found.append(Disagreement(one, two, int(first.size), squares))
    return found
