"""The finished size, asked from the command line."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Cloth
from stitchview.done.layerfile import open_layer
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.piece import PIECE, Piece, piece_written


def size_of(told: Any) -> tuple[float, float]:
    """The finished size in what was told as JSON."""
    assert told.code == 0, told.complaint
    size = json.loads(told.out)["upright"]["size"]
    return size["width_mm"], size["height_mm"]


def test_the_size_is_the_count_of_squares_by_the_count_of_the_cloth(
    say: Callable[..., Any], harbour_path: Path
) -> None:
    """60 x 45 squares on 14 by 13, over one and over two, by hand; to 10 cm as well."""
    told = say("size", harbour_path, "--count", 14, "--count-down", 13, "--json")
    assert size_of(told) == pytest.approx((60 * 25.4 / 14, 45 * 25.4 / 13))
    told = say("size", harbour_path, "--count", 28, "--over", 2, "--json")
    assert size_of(told) == pytest.approx((60 * 25.4 / 14, 45 * 25.4 / 14))
    told = say("size", harbour_path, "--count", 110, "--over", 2, "--per-10cm", "--json")
    assert size_of(told) == pytest.approx((60 * 2 / 1.1, 45 * 2 / 1.1))


def test_it_reads_as_sentences(say: Callable[..., Any], harbour_path: Path) -> None:
    """Size, what to cut, whether it fits, and where the middle is."""
    told = say("size", harbour_path, "--count", 14, "--for", "cushion", "--margin", 6, "--fits", "20x30")
    assert told.code == 0
    assert told.lines[:4] == [
        "60 x 45 squares on 14 threads to the inch, over 1.",
        "Finished size: 10.9 x 8.2 cm (4.3 x 3.2 in), true to the chart’s proportions.",
        "Cut for a cushion: 26 x 23.5 cm (10.25 x 9.25 in), which leaves 6.0 cm bare and 1.5 cm for seams"
        " on each side.",
        "It fits, with 4.6 cm at each side and 10.9 cm above and below.",
    ]


def test_without_a_count_the_chart_is_asked_and_then_the_piece(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """The chart's cloth at first; what is settled for the piece in the window goes before it."""
    path = tmp_path / "with-cloth.svchart"
    chart = replace(read_chart(harbour_path), identity=str(UUID(int=7)), cloth=Cloth(count=16))
    write_chart(chart, path)
    assert size_of(say("size", path, "--json")) == pytest.approx((60 * 25.4 / 16, 45 * 25.4 / 16))
    opened = open_layer(path, read_chart(path), tmp_path / "elsewhere")
    opened.layer.put_place({PIECE: piece_written(Piece(ClothCount(18, 17)))})
    opened.layer.commit()
    opened.layer.close()
    assert size_of(say("size", path, "--json")) == pytest.approx((60 * 25.4 / 18, 45 * 25.4 / 17))
    assert size_of(say("size", path, "--over", 2, "--json"))[0] == pytest.approx(60 * 2 * 25.4 / 18)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--count", "0"), "No cloth has 0 threads to the inch across."),
        (("--count", "14", "--count-down", "900"), "No cloth has 900 threads to the inch down."),
        (("--count", "14", "--over", "0"), "A stitch cannot go over 0 threads."),
        (("--count", "-14"), "No cloth has -14 threads"),
        (("--margin", "900"), "A margin of 900 cm cannot be cut."),
        (("--fits", "0x4"), "No frame or cushion measures 0 cm."),
    ],
)
def test_absurd_cloth_is_refused_in_a_sentence(
    say: Callable[..., Any], harbour_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    """Exit code 1, one line, nothing on the output."""
    told = say("size", harbour_path, *arguments)
    assert told.code == 1
    assert told.out == ""
    assert words in told.complaint
    assert told.complaint.count("\n") == 1


@pytest.mark.parametrize(
    "arguments",
    [("--count", "many"), ("--fits", "30"), ("--fits", "axb"), ("--for", "wall"), ("--over", "two")],
)
def test_what_is_no_number_is_misuse(
    say: Callable[..., Any], harbour_path: Path, arguments: tuple[str, ...]
) -> None:
    """Exit code 2 and one sentence."""
    told = say("size", harbour_path, *arguments)
    assert told.code == 2
    assert told.complaint.count("\n") == 1
