"""What is settled for a piece is kept whole, and what makes no sense is not settled."""

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Cloth
from stitchview.follow.habits import Habits
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothmeasure import Measured, MeasuredCloth
from stitchview.plan.clothsize import Making, Margin, Opening
from stitchview.plan.piece import Piece, piece_read, piece_written, suggested_count

FULL = Piece(
    ClothCount(110, 106, per_100_mm=True, over=2),
    MeasuredCloth(Measured((110, 111, 109)), Measured((106,), 50)),
    Making.HOOP,
    Margin(80, 5),
    Opening(250, 250),
    Habits(length_mm=400, under_stitches=True),
)
values = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=4)
names = st.sampled_from(
    (
        "across",
        "down",
        "over",
        "per_100_mm",
        "threads",
        "over_mm",
        "bare_mm",
        "hem_mm",
        "length_mm",
        "width_mm",
    )
)
records = st.recursive(
    values, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner), max_leaves=9
)


def test_a_piece_is_read_back_as_it_was_written() -> None:
    """Through JSON and back, settled or not."""
    for piece in (FULL, Piece()):
        assert piece_read(json.loads(json.dumps(piece_written(piece), allow_nan=False))) == piece


@given(
    st.dictionaries(st.sampled_from(("cloth", "counted", "making", "margin", "opening", "habits")), records)
)
def test_whatever_stands_in_the_file_is_no_danger(record: dict[str, Any]) -> None:
    """Anything gives a piece that can be reckoned with and written down again."""
    piece = piece_read(record)
    assert piece.wish_on(None).count.pitch.across_mm > 0
    assert piece_read(json.loads(json.dumps(piece_written(piece), allow_nan=False))) == piece


def test_her_cloth_goes_before_the_charts() -> None:
    """Hers if it is settled, else what the chart suggests, else 14 to the inch."""
    cloth = Cloth(count=28, over=2)
    assert FULL.count_on(cloth) == FULL.count
    assert Piece().count_on(cloth) == ClothCount(28, 28, over=2)
    assert Piece().count_on(None) == ClothCount(14, 14)
    assert suggested_count(Cloth(count=1000)) == ClothCount(14, 14)
