"""What is to be said of size and cloth, as lines to read and as members for programs."""

from dataclasses import dataclass
from typing import Any

from stitchview.chart.model import Chart
from stitchview.plan.clothcount import ClothCount, OffTrue, off_true
from stitchview.plan.clothgrid import FROM_THE_CORNER, Bold, Gridding, griddings
from stitchview.plan.clothsize import (
    Fitting,
    Making,
    Margin,
    Opening,
    Size,
    cut_size,
    finished_size,
    fitting,
    on_counts,
)


@dataclass(frozen=True, slots=True)
class SizeWish:
    """The cloth, what becomes of the piece, its margin, and the frame or cushion to try, if any.

    `bold` tells where the chart's bold lines stand, across and down, for the gridding threads.
    """

    count: ClothCount
    making: Making
    margin: Margin
    opening: Opening | None = None
    bold: tuple[Bold, Bold] = (FROM_THE_CORNER, FROM_THE_CORNER)


@dataclass(frozen=True, slots=True)
class Laid:
    """How the piece comes out with the cloth lying one way."""

    count: ClothCount
    size: Size
    cut: Size
    off: OffTrue
    fitting: Fitting | None


@dataclass(frozen=True, slots=True)
class SizeReport:
    """The piece with the cloth as it was counted and turned a quarter, and where its middle is."""

    columns: int
    rows: int
    wish: SizeWish
    laid: Laid
    turned: Laid
    across: Gridding
    down: Gridding
    others: tuple[tuple[float, Size], ...]


def size_report(chart: Chart, wish: SizeWish) -> SizeReport:
    """All of it for a chart, by the whole of its squares."""
    across, down = griddings((chart.columns, chart.rows), wish.count, wish.margin, wish.bold)
    return SizeReport(
        chart.columns,
        chart.rows,
        wish,
        _laid(chart, wish, wish.count),
        _laid(chart, wish, wish.count.turned),
        across,
        down,
        on_counts(chart.columns, chart.rows, wish.count.over),
    )


def _laid(chart: Chart, wish: SizeWish, count: ClothCount) -> Laid:
    size = finished_size(chart.columns, chart.rows, count.pitch)
    fits = None if wish.opening is None else fitting(size, wish.opening)
    return Laid(count, size, cut_size(size, wish.margin), off_true(count), fits)


def lines_of(report: SizeReport) -> list[str]:
    """The report as sentences."""
    wish, laid = report.wish, report.laid
    lines = [
        f"{report.columns:,} x {report.rows:,} squares on {wish.count.words}.",
        f"Finished size: {laid.size.words}, {laid.off.words}.",
        f"Cut for a {wish.making}: {laid.cut.cutting_words}, which leaves {margin_words(wish.margin)}.",
    ]
    if laid.fitting is not None:
        lines.append(laid.fitting.words)
    lines += turned_lines(report)
    lines.append(middle_words(report))
    lines.append(gridding_words(report))
    lines.append(f"On even cloth, over {wish.count.over}:")
    lines += [f"  {count:g} to the inch: {size.words}" for count, size in report.others]
    return lines


def turned_lines(report: SizeReport) -> list[str]:
    """What comes of it with the cloth turned a quarter; nothing to say on even cloth."""
    if report.wish.count.even:
        return []
    turned = report.turned
    fits = "" if turned.fitting is None else f" {turned.fitting.words}"
    return [f"With the cloth turned a quarter: {turned.size.words}, {turned.off.words}.{fits}"]


def margin_words(margin: Margin) -> str:
    """The margin on each side, in words."""
    hem = f" and {margin.hem_mm / 10:.1f} cm for seams" if margin.hem_mm else ""
    return f"{margin.bare_mm / 10:.1f} cm bare{hem} on each side"


def middle_words(report: SizeReport) -> str:
    """Where the middle is, in squares and from the edge of the cut cloth."""
    told = []
    for way, sides in ((report.across, ("column", "left")), (report.down, ("row", "top"))):
        middle, (noun, side) = way.middle, sides
        before = int(middle.squares)
        where = f"between {noun}s {before} and {before + 1}" if middle.between else f"in {noun} {before + 1}"
        told.append(f"{where}, about {middle.from_edge_mm / 10:.1f} cm from the {side} edge")
    return f"Middle: {'; '.join(told)}."


def gridding_words(report: SizeReport) -> str:
    """How gridding threads are to be run."""
    across, down = report.across, report.down
    millimetres = (
        f"{across.mm_apart:.1f} mm"
        if abs(across.mm_apart - down.mm_apart) < 0.05
        else f"{across.mm_apart:.1f} mm across and {down.mm_apart:.1f} mm down"
    )
    return (
        f"Gridding every ten squares, the first after column {across.lines[1].square} and row"
        f" {down.lines[1].square}: {len(across.lines)} threads down and {len(down.lines)} across,"
        f" {across.threads_apart} threads of the cloth apart (about {millimetres}; count, do not measure)."
    )


def members_of(report: SizeReport) -> dict[str, Any]:
    """The report as one JSON object; lengths are in millimetres, not rounded."""
    wish = report.wish
    return {
        "columns": report.columns,
        "rows": report.rows,
        "cloth": _count_members(wish.count),
        "making": wish.making.value,
        "margin": {"bare_mm": wish.margin.bare_mm, "hem_mm": wish.margin.hem_mm},
        "upright": _laid_members(report.laid),
        "turned": _laid_members(report.turned),
        "middle": {"across": _middle_members(report.across), "down": _middle_members(report.down)},
        "gridding": {"across": _grid_members(report.across), "down": _grid_members(report.down)},
        "on_other_counts": [
            {"per_inch": count, "size": _size_members(size)} for count, size in report.others
        ],
    }


def _count_members(count: ClothCount) -> dict[str, Any]:
    return {
        "across": count.across,
        "down": count.down,
        "to_mm": count.unit_mm,
        "over": count.over,
        "square_mm": {"across": count.pitch.across_mm, "down": count.pitch.down_mm},
    }


def _laid_members(laid: Laid) -> dict[str, Any]:
    fits = laid.fitting
    return {
        "size": _size_members(laid.size),
        "cut": _size_members(laid.cut),
        "height_by_width_of_a_square": laid.off.ratio,
        "longer": {"way": laid.off.way.value, "percent": laid.off.percent},
        "fits": None
        if fits is None
        else {
            "fits": fits.fits,
            "on_its_side": fits.on_its_side,
            "spare_mm": {"across": fits.spare_across_mm, "down": fits.spare_down_mm},
        },
    }


def _size_members(size: Size) -> dict[str, float]:
    return {"width_mm": size.width_mm, "height_mm": size.height_mm}


def _middle_members(way: Gridding) -> dict[str, float]:
    middle = way.middle
    return {"squares": middle.squares, "threads": middle.threads, "from_edge_mm": middle.from_edge_mm}


def _grid_members(way: Gridding) -> dict[str, Any]:
    return {
        "threads_apart": way.threads_apart,
        "lines": [
            {"before_square": line.square, "threads": line.threads, "from_edge_mm": line.from_edge_mm}
            for line in way.lines
        ],
    }
