"""What is told of size and cloth, in sentences and for programs."""

import json
from collections.abc import Callable

import pytest

from stitchview.chart.model import Chart
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothreport import SizeWish, lines_of, members_of, size_report
from stitchview.plan.clothsize import USUAL_MARGINS, Making, Opening


@pytest.fixture
def wish() -> SizeWish:
    """Uneven cloth for a frame of 10 x 10 cm."""
    return SizeWish(ClothCount(14, 13), Making.FRAME, USUAL_MARGINS[Making.FRAME], Opening(100, 100))


def test_the_report_reads_as_sentences(small_chart: Callable[[], Chart], wish: SizeWish) -> None:
    """Size, how far from true, what to cut, the cloth turned, middle, gridding, other counts."""
    chart = small_chart()
    lines = lines_of(size_report(chart, wish))
    assert (
        lines[0]
        == f"{chart.columns} x {chart.rows} squares on 14 across and 13 down threads to the inch, over 1."
    )
    assert "7.7 % longer downward" in lines[1]
    assert lines[2].endswith("which leaves 7.5 cm bare on each side.")
    assert lines[3].startswith("It fits")
    assert lines[4].startswith("With the cloth turned a quarter: ")
    assert "7.7 % longer across" in lines[4]
    assert lines[5].startswith("Middle: ")
    assert "count, do not measure" in lines[6]
    assert lines[7:] == ["On even cloth, over 1:", *lines[8:]]
    assert len(lines) == 8 + 11


def test_programs_get_the_same_unrounded(small_chart: Callable[[], Chart], wish: SizeWish) -> None:
    """One JSON object with lengths in millimetres."""
    chart = small_chart()
    members = json.loads(json.dumps(members_of(size_report(chart, wish)), allow_nan=False))
    assert members["upright"]["size"]["width_mm"] == pytest.approx(chart.columns * 25.4 / 14)
    assert members["upright"]["cut"]["height_mm"] == pytest.approx(chart.rows * 25.4 / 13 + 150)
    assert members["turned"]["size"]["width_mm"] == pytest.approx(chart.columns * 25.4 / 13)
    assert members["upright"]["fits"]["fits"] is True
    assert members["gridding"]["across"]["lines"][-1]["before_square"] == chart.columns
    assert len(members["on_other_counts"]) == 11


def test_even_cloth_needs_no_turning(small_chart: Callable[[], Chart]) -> None:
    """Nothing is said of turning, and the piece is true."""
    wish = SizeWish(ClothCount(28, 28, over=2), Making.CUSHION, USUAL_MARGINS[Making.CUSHION])
    lines = lines_of(size_report(small_chart(), wish))
    assert "true to the chart’s proportions" in lines[1]
    assert not any("turned" in line for line in lines)
    assert "1.5 cm for seams" in lines[2]
