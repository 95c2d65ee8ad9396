"""The band written down and found again, on the same squares, whatever became of the record."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.follow.band import Band, band_of_columns, band_of_rows, frame_of
from stitchview.follow.bandrecord import from_json, to_json

CHART = Area(0, 0, 120, 95)
origins = st.tuples(st.integers(-4000, 100), st.integers(-4000, 100))
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["rows", "columns", "first", "count", "x"]), inner, max_size=4)
    ),
    max_leaves=12,
)


@pytest.mark.parametrize("band", [band_of_rows(3, 4), band_of_columns(0, 120), frame_of(Area(5, 6, 7, 8))])
@given(origin=origins)
def test_the_band_is_found_where_it_was(band: Band, origin: tuple[int, int]) -> None:
    """Written to JSON and read again the band is the same."""
    assert from_json(json.loads(json.dumps(to_json(band, origin))), CHART, origin) == band


def test_the_band_is_found_on_its_squares_after_the_chart_grew() -> None:
    """Written before a sheet was added at the left and the top, read after."""
    record = to_json(frame_of(Area(5, 6, 7, 8)), (0, 0))
    assert from_json(record, Area(0, 0, 150, 105), (-30, -10)) == frame_of(Area(35, 16, 7, 8))


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ({"first": 90, "count": 10}, band_of_rows(85, 10)),
        ({"first": -7, "count": 10}, band_of_rows(0, 10)),
        ({"first": 2**52, "count": 10}, band_of_rows(85, 10)),
        ({"first": 0, "count": 2**52}, band_of_rows(0, 95)),
        ({"first": 3, "count": 4, "colour": "new"}, band_of_rows(3, 4)),
    ],
)
def test_a_band_beyond_the_chart_is_brought_back_onto_it(rows: object, expected: Band) -> None:
    """A chart that lost rows since keeps a band that lies on it."""
    assert from_json({"rows": rows}, CHART, (0, 0)) == expected


@pytest.mark.parametrize(
    "rows",
    [
        "3", 3, True, [], {}, {"first": 3}, {"first": 3, "count": 0}, {"first": 3, "count": -1},
        {"first": True, "count": 3}, {"first": 3, "count": True}, {"first": 3.0, "count": 4},
        {"first": "3", "count": 4}, {"first": 2**60, "count": 4}, {"first": 1, "count": 2**60},
    ],
)  # fmt: skip
def test_what_is_no_band_is_refused(rows: object) -> None:
    """A damaged record gives no band, rather than a wrong one."""
    good = {"first": 3, "count": 4}
    assert from_json({"rows": rows, "columns": None}, CHART, (0, 0)) is None
    assert from_json({"rows": good, "columns": rows}, CHART, (0, 0)) is None


@pytest.mark.parametrize("record", [None, 3, "band", [], {}, {"rows": None, "columns": None}])
def test_a_record_without_rows_and_columns_is_refused(record: object) -> None:
    """Nothing written down, no band."""
    assert from_json(record, CHART, (0, 0)) is None


@given(json_values, origins)
def test_no_record_can_do_harm(record: object, origin: tuple[int, int]) -> None:
    """Whatever JSON stands there, the answer is no band or one that lies on the chart."""
    band = from_json(record, CHART, origin)
    assert band is None or band.inside(CHART).count > 0
