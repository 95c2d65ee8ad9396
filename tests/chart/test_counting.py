"""Counts of stitches, against collections.Counter on the raw text and lengths by Pythagoras."""

import json
import math
from collections import Counter
from collections.abc import Callable

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DataObject, SearchStrategy

from stitchview.chart.counting import facts
from stitchview.chart.entries.encoding import encode
from stitchview.chart.model import Chart
from stitchview.chart.problems import Findings


@settings(max_examples=60)
@given(data=st.data())
def test_counts_are_those_of_the_raw_text(data: DataObject, any_chart: SearchStrategy[Chart]) -> None:
    """Counting characters and words in the file itself gives the same numbers (reference: collections)."""
    chart = data.draw(any_chart)
    entries = encode(chart, Findings("drawn"))
    signs = Counter(entries["squares.txt"].decode("utf-8"))
    document = json.loads(entries["chart.json"])
    parts = Counter((item["code"], item["stitch"]) for item in document.get("part_stitches", ()))
    points = Counter((item["code"], item["stitch"]) for item in document.get("points", ()))
    told = facts(chart)
    for number, entry in enumerate(chart.key):
        assert told.crosses[number] == signs[entry.code]
        assert told.halves[number] == parts[entry.code, "half"]
        assert told.quarters[number] == parts[entry.code, "quarter"]
        assert told.three_quarters[number] == parts[entry.code, "three-quarter"]
        assert told.knots[number] == points[entry.code, "knot"]
        assert told.beads[number] == points[entry.code, "bead"]
        for stitch, count, length in (
            ("back", told.back_lines, told.back_length),
            ("straight", told.straight_lines, told.straight_length),
        ):
            lines = [
                item
                for item in document.get("lines", ())
                if (item["code"], item["stitch"]) == (entry.code, stitch)
            ]
            assert count[number] == len(lines)
            assert math.isclose(length[number], sum(math.dist(item["from"], item["to"]) for item in lines))
    assert told.crosses.sum() == chart.columns * chart.rows - signs["."]
    assert told.squares == chart.columns * chart.rows


def test_a_line_of_three_by_four_squares_is_five_long(sound_chart: Chart) -> None:
    """The small chart's lines: along the top, down both sides, and a straight stitch of a knight's half."""
    told = facts(sound_chart)
    assert told.back_length.tolist() == [0, 0, 0, 10 + 8 + 8]
    assert told.straight_length[2] == math.hypot(2.5, 1)
    assert told.parts.tolist() == [4, 4, 4, 0]


def test_a_huge_chart_is_counted_whole(random_chart: Callable[[int, int, int, int], Chart]) -> None:
    """Counting in strips loses no row, also where the last strip is short (reference: numpy.unique)."""
    chart = random_chart(300, 777, 40, 5)
    numbers, counts = np.unique(chart.squares, return_counts=True)
    expected = dict(zip(numbers.tolist(), counts.tolist(), strict=True))
    assert facts(chart).crosses.tolist() == [expected.get(number, 0) for number in range(1, 41)]


def test_a_chart_without_a_key_has_nothing_to_count() -> None:
    """Bare cloth counts as no stitches at all."""
    told = facts(Chart(np.zeros((2, 3), np.uint16), ()))
    assert told.crosses.shape == told.back_length.shape == told.parts.shape == (0,)
    assert told.squares == 6
