"""The band that replaces magnets: laid, moved, made taller, dragged, snapped and carried along."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.follow.band import (
    Band,
    Edge,
    EdgeLines,
    band_of_columns,
    band_of_rows,
    every_line,
    frame_of,
    lines_of_tens,
)
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span

CHART = Area(0, 0, 120, 95)
LINES = every_line(120, 95)
TENS = lines_of_tens(120, 95, Numbering.TOP_LEFT)


@st.composite
def charts_and_bands(draw: st.DrawFn) -> tuple[Area, EdgeLines, Band]:
    """A chart, the lines its band may lie on (all, or the tens from some corner) and a band on it."""
    columns, rows = draw(st.integers(1, 200)), draw(st.integers(1, 200))
    lines = every_line(columns, rows)
    if draw(st.booleans()):
        lines = lines_of_tens(columns, rows, draw(st.sampled_from(Numbering)))
    spans = st.builds(Span, st.integers(-50, 250), st.integers(1, 250))
    kinds = st.sampled_from(["rows", "columns", "both"])
    kind = draw(kinds)
    band = Band(
        draw(spans) if kind != "columns" else None,
        draw(spans) if kind != "rows" else None,
    )
    return Area(0, 0, columns, rows), lines, band.fitted(lines)


@given(charts_and_bands(), st.integers(0, 199), st.integers(0, 199))
def test_every_square_is_either_lit_or_dimmed_once(
    chart_and_band: tuple[Area, EdgeLines, Band], column: int, row: int
) -> None:
    """No square is dimmed twice or left out, and none is both lit and dim."""
    area, _, band = chart_and_band
    painted = np.zeros((area.rows, area.columns), np.int64)
    for part in (band.inside(area), *band.dim_areas(area)):
        painted[part.slices()] += 1
    assert (painted == 1).all()
    inside = band.inside(area)
    if column < area.columns and row < area.rows:
        on_rows = band.rows is None or band.rows.first <= row < band.rows.end
        on_columns = band.columns is None or band.columns.first <= column < band.columns.end
        assert inside.holds(column, row) == (on_rows and on_columns)


@given(charts_and_bands(), st.integers(-300, 300), st.integers(-300, 300), st.sampled_from(Edge))
def test_whatever_is_done_to_it_the_band_stays_on_the_chart(
    chart_and_band: tuple[Area, EdgeLines, Band], one: int, other: int, edge: Edge
) -> None:
    """Moved, grown, shrunk, dragged and centred, it lies on the chart, its edges on allowed lines."""
    _, lines, band = chart_and_band
    for changed in (
        band.moved(lines, one, other),
        band.moved_by_itself(lines, one, other),
        band.grown(lines, one, other),
        band.with_edge(lines, edge, one),
        band.centred_on(lines, abs(one) % lines.columns[-1], abs(other) % lines.rows[-1]),
    ):
        assert (changed.rows is None) == (band.rows is None)
        assert (changed.columns is None) == (band.columns is None)
        for lying_edge, line in changed.edges:
            assert line in (lines.rows if lying_edge in (Edge.TOP, Edge.BOTTOM) else lines.columns)
        assert changed.fitted(lines) == changed


@given(st.integers(1, 200), st.data(), st.integers(-250, 250))
def test_moving_goes_as_far_as_asked_or_to_the_end(size: int, data: st.DataObject, by: int) -> None:
    """Moved row by row the band goes as far as asked, or until it touches the chart's end, never cut."""
    count = data.draw(st.integers(1, size))
    first = data.draw(st.integers(0, size - count))
    moved = band_of_rows(first, count).moved(every_line(10, size), rows=by)
    assert moved == band_of_rows(min(max(first + by, 0), size - count), count)


@given(st.integers(1, 20), st.data(), st.integers(-25, 25))
def test_on_tens_every_step_is_ten(blocks: int, data: st.DataObject, by: int) -> None:
    """With tens on, one step is ten rows and the height stays (on a chart of whole tens)."""
    count = data.draw(st.integers(1, blocks))
    first = data.draw(st.integers(0, blocks - count))
    tens = lines_of_tens(10, blocks * 10, data.draw(st.sampled_from(list(Numbering)[:4])))
    moved = band_of_rows(first * 10, count * 10).moved(tens, rows=by)
    assert moved == band_of_rows(min(max(first + by, 0), blocks - count) * 10, count * 10)


def test_arrow_keys_move_the_band_by_one_row_and_by_its_own_height() -> None:
    """One row down, one row up, ten rows down; at the last row it stops whole."""
    band = band_of_rows(20, 10)
    assert band.moved(LINES, rows=1) == band_of_rows(21, 10)
    assert band.moved(LINES, rows=-1) == band_of_rows(19, 10)
    assert band.moved_by_itself(LINES, down=1) == band_of_rows(30, 10)
    assert band.moved_by_itself(LINES, down=20) == band_of_rows(85, 10)
    assert band.moved_by_itself(LINES, down=-20) == band_of_rows(0, 10)


def test_a_band_of_rows_does_not_go_sideways_and_one_of_columns_not_down() -> None:
    """A band over whole rows has nowhere to go sideways, and one over columns nowhere to go down."""
    assert band_of_rows(20, 10).moved(LINES, columns=5) == band_of_rows(20, 10)
    assert band_of_columns(20, 10).moved(LINES, rows=5) == band_of_columns(20, 10)
    assert band_of_columns(20, 10).moved(LINES, columns=5) == band_of_columns(25, 10)


def test_a_frame_moves_both_ways_at_once() -> None:
    """A frame of 30 x 10 squares goes right by its width and down by its height."""
    frame = frame_of(Area(30, 20, 30, 10))
    assert frame.moved_by_itself(LINES, across=1, down=1) == frame_of(Area(60, 30, 30, 10))
    assert frame.inside(CHART) == Area(30, 20, 30, 10)


def test_taller_and_shorter_keep_the_top_until_the_chart_ends() -> None:
    """Taller takes rows below; at the last row it takes them above; shorter stops at one row."""
    assert band_of_rows(20, 10).grown(LINES, rows=1) == band_of_rows(20, 11)
    assert band_of_rows(85, 10).grown(LINES, rows=3) == band_of_rows(82, 13)
    assert band_of_rows(20, 10).grown(LINES, rows=-50) == band_of_rows(20, 1)
    assert band_of_rows(20, 10).grown(LINES, rows=500) == band_of_rows(0, 95)


@pytest.mark.parametrize(
    ("edge", "line", "expected"),
    [
        (Edge.TOP, 15, Area(30, 15, 30, 15)),
        (Edge.TOP, 90, Area(30, 29, 30, 1)),
        (Edge.BOTTOM, 35, Area(30, 20, 30, 15)),
        (Edge.BOTTOM, -9, Area(30, 20, 30, 1)),
        (Edge.LEFT, 0, Area(0, 20, 60, 10)),
        (Edge.RIGHT, 999, Area(30, 20, 90, 10)),
    ],
)
def test_an_edge_is_dragged_and_the_other_one_stays(edge: Edge, line: int, expected: Area) -> None:
    """Dragging one edge leaves the opposite one alone and cannot pass it or the chart's end."""
    assert frame_of(Area(30, 20, 30, 10)).with_edge(LINES, edge, line) == frame_of(expected)


def test_an_edge_the_band_does_not_have_cannot_be_dragged() -> None:
    """A band over whole rows has no left edge."""
    assert band_of_rows(20, 10).with_edge(LINES, Edge.LEFT, 5) == band_of_rows(20, 10)


def test_snapped_to_tens_the_band_lies_on_bold_lines() -> None:
    """A band laid across a bold line snaps to the nearer ten; a drag goes from ten to ten."""
    assert band_of_rows(17, 8).fitted(TENS) == band_of_rows(20, 10)
    assert band_of_rows(4, 3).fitted(TENS) == band_of_rows(0, 10)
    assert band_of_rows(20, 10).with_edge(TENS, Edge.BOTTOM, 47) == band_of_rows(20, 30)
    assert band_of_rows(20, 20).moved(TENS, rows=1) == band_of_rows(30, 20)
    assert band_of_rows(20, 20).moved_by_itself(TENS, down=1) == band_of_rows(40, 20)


def test_the_last_ten_of_a_chart_may_be_short() -> None:
    """Of 95 rows counted from the top the last block has five; counted from the bottom the first has."""
    assert band_of_rows(80, 10).moved(TENS, rows=1) == band_of_rows(90, 5)
    assert band_of_rows(90, 5).moved(TENS, rows=-1) == band_of_rows(80, 10)
    from_below = lines_of_tens(120, 95, Numbering.BOTTOM_LEFT)
    assert band_of_rows(80, 10).fitted(from_below) == band_of_rows(75, 10)
    assert band_of_rows(0, 3).fitted(from_below) == band_of_rows(0, 5)


@given(st.integers(0, 94))
def test_a_double_click_puts_the_square_in_the_middle(row: int) -> None:
    """The clicked row lies in the band, as many rows above as below where the chart has them."""
    band = band_of_rows(40, 9).centred_on(LINES, 60, row)
    assert band.rows is not None
    assert band.rows.count == 9
    assert band.rows.first <= row < band.rows.end
    if 4 <= row < 91:
        assert row - band.rows.first == band.rows.end - 1 - row


@given(st.integers(0, 94))
def test_a_double_click_with_tens_takes_the_block_of_the_square(row: int) -> None:
    """With tens on, the band is the block of ten that holds the clicked row."""
    band = band_of_rows(0, 10).centred_on(TENS, 60, row)
    assert band.rows is not None
    assert band.rows.first == row // 10 * 10


@given(st.integers(-60, 0), st.integers(-60, 0))
def test_the_band_stays_on_its_squares_when_sheets_are_added(columns: int, rows: int) -> None:
    """Thirty columns added at the left push the band thirty columns on, so it lies on the same squares."""
    frame = frame_of(Area(30, 20, 30, 10))
    assert frame.after_grown((0, 0), (columns, rows)) == frame_of(Area(30 - columns, 20 - rows, 30, 10))
    assert frame.after_grown((0, 0), (columns, rows)).after_grown((columns, rows), (0, 0)) == frame


def test_a_band_of_nothing_cannot_be_made() -> None:
    """A band needs rows or columns, and at least one of them."""
    with pytest.raises(ValueError, match="on rows, on columns or on both"):
        Band()
    with pytest.raises(ValueError, match="at least one"):
        band_of_rows(3, 0)


def test_a_band_outside_what_is_asked_about_dims_all_of_it() -> None:
    """Where the band does not reach, everything is dimmed."""
    assert band_of_rows(200, 5).dim_areas(CHART) == (CHART,)
    assert band_of_rows(200, 5).inside(CHART).empty
