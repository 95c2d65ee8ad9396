"""Pictures with one pixel a square, against pictures that Pillow wrote and read."""

import io
import struct
import zlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.chart.pixelpng import ONLY_COLOURS, read_png, write_png
from stitchview.errors import ChartError, StitchviewError


def chart_of(colours: int) -> Chart:
    """A chart one row high with as many colours, and one empty square at its end."""
    squares = np.append(np.arange(1, colours + 1), 0).astype(np.uint16).reshape(1, -1)
    key = tuple(
        plain_entry(code, f"Sample cotton {n}", Colour(n % 256, n // 256, 7))
        for n, code in enumerate(allot_codes(colours))
    )
    return Chart(squares, key)


@pytest.mark.parametrize("colours", [1, 2, 255, 256, 512])
def test_pillow_sees_the_threads_colours(tmp_path: Path, colours: int) -> None:
    """Each pixel has its thread's colour, empty squares are clear, few colours make a palette."""
    chart = chart_of(colours)
    assert write_png(chart, tmp_path / "a.png") == (ONLY_COLOURS,)
    with Image.open(tmp_path / "a.png") as picture:
        assert picture.mode == ("P" if colours <= 255 else "RGBA")
        pixels = np.asarray(picture.convert("RGBA"))
    expected = [(entry.colour.red, entry.colour.green, entry.colour.blue, 255) for entry in chart.key]
    assert [tuple(pixel) for pixel in pixels[0, :-1].tolist()] == expected
    assert pixels[0, -1, 3] == 0
    back = read_png(tmp_path / "a.png").chart
    assert np.array_equal(back.squares, chart.squares)
    assert [entry.colour for entry in back.key] == [entry.colour for entry in chart.key]


@pytest.mark.parametrize("mode", ["P", "RGB", "RGBA", "L", "LA", "1"])
def test_pictures_of_any_kind_are_read(tmp_path: Path, mode: str) -> None:
    """Palette, full colour, grey, black and white: the squares are the same as Pillow's pixels."""
    drawn = np.array([[0, 255, 255], [255, 0, 0]], np.uint8)
    Image.fromarray(drawn).convert(mode).save(tmp_path / "a.png")
    made = read_png(tmp_path / "a.png")
    assert made.chart.squares.tolist() == [[1, 2, 2], [2, 1, 1]]
    assert [entry.colour.hex for entry in made.chart.key] == ["#000000", "#FFFFFF"]
    assert [entry.code for entry in made.chart.key] == list(allot_codes(2))
    assert made.notes == ()


def test_threads_are_in_the_order_they_are_met(tmp_path: Path) -> None:
    """The key begins with the thread of the first square."""
    drawn = np.array([[[9, 9, 9], [1, 1, 1]], [[5, 5, 5], [9, 9, 9]]], np.uint8)
    Image.fromarray(drawn).save(tmp_path / "a.png")
    made = read_png(tmp_path / "a.png").chart
    assert made.squares.tolist() == [[1, 2], [3, 1]]
    assert [entry.colour.red for entry in made.key] == [9, 1, 5]


def test_half_clear_pixels_are_stitches_where_they_cover_more_than_half(tmp_path: Path) -> None:
    """Soft edges are decided, and she is told so."""
    drawn = np.array([[[9, 9, 9, 127], [9, 9, 9, 128], [9, 9, 9, 0]]], np.uint8)
    Image.fromarray(drawn).save(tmp_path / "a.png")
    made = read_png(tmp_path / "a.png")
    assert made.chart.squares.tolist() == [[0, 1, 0]]
    assert "more than half" in made.notes[0]


def test_a_wholly_clear_picture_is_bare_cloth(tmp_path: Path) -> None:
    """A picture without a stitch is a chart without a key."""
    Image.new("RGBA", (4, 3)).save(tmp_path / "a.png")
    made = read_png(tmp_path / "a.png").chart
    assert (made.key, made.squares.shape, int(made.squares.max())) == ((), (3, 4), 0)


def test_a_photograph_is_refused(tmp_path: Path) -> None:
    """513 colours are too many, and the sentence says that it seems to be a photograph."""
    values = np.arange(513, dtype=np.uint32)
    drawn = np.stack((values % 256, values // 256, values * 0), axis=-1).astype(np.uint8)[None]
    Image.fromarray(drawn).save(tmp_path / "a.png")
    with pytest.raises(ChartError, match="has 513 colours, so it seems to be a photograph"):
        read_png(tmp_path / "a.png")


def test_more_colours_than_a_picture_holds_are_not_written(tmp_path: Path) -> None:
    """A chart that could not be read back is not written as a picture."""
    with pytest.raises(ChartError, match="has 513 colours, a picture holds at most 512"):
        write_png(chart_of(513), tmp_path / "a.png")
    assert list(tmp_path.iterdir()) == []


def test_threads_of_one_colour_are_told_of(tmp_path: Path) -> None:
    """She is warned that two threads of the same colour become one."""
    chart = chart_of(2)
    same = replace(chart, key=(chart.key[0], replace(chart.key[1], colour=chart.key[0].colour)))
    note, _ = write_png(same, tmp_path / "a.png")
    assert "does not tell the 2 threads of the colour #000007 apart" in note
    assert read_png(tmp_path / "a.png").chart.squares.tolist() == [[1, 1, 0]]


def test_pictures_too_large_are_refused_by_their_header(tmp_path: Path, png: Callable[..., bytes]) -> None:
    """A picture bomb of a few bytes is never unpacked, wherever it hides its size."""
    (tmp_path / "a.png").write_bytes(png(65_000, 65_000))
    with pytest.raises(ChartError, match="has 65,000 x 65,000 pixels; a chart has at most 4,096 x 4,096"):
        read_png(tmp_path / "a.png")
    small, bomb = png(), png(60_000, 60_000)
    (tmp_path / "a.png").write_bytes(small[:33] + bomb[8:33] + small[33:])
    with pytest.raises(ChartError, match="two headers"):
        read_png(tmp_path / "a.png")


def test_a_bomb_of_text_is_refused(tmp_path: Path, png: Callable[..., bytes]) -> None:
    """A picture with a hundred megabytes of packed text beside it does not fill the memory."""
    text = b"note\0\0" + zlib.compress(b"\0" * 100_000_000)
    chunk = struct.pack(">I", len(text)) + b"zTXt" + text + struct.pack(">I", zlib.crc32(b"zTXt" + text))
    small = png()
    (tmp_path / "a.png").write_bytes(small[:33] + chunk + small[33:])
    with pytest.raises(ChartError, match="is a damaged PNG picture"):
        read_png(tmp_path / "a.png")


def test_other_files_get_a_sentence(tmp_path: Path, png: Callable[..., bytes]) -> None:
    """A JPEG, an empty file, a cut file, 16 bits a channel, nothing there."""
    photo = io.BytesIO()
    Image.new("RGB", (3, 3)).save(photo, "JPEG")
    deep = io.BytesIO()
    Image.fromarray(np.zeros((2, 2), np.uint16)).save(deep, "PNG")
    for content, words in (
        (photo.getvalue(), "is not a PNG picture"),
        (b"", "is empty"),
        (png()[:40], "is a damaged PNG picture"),
        (deep.getvalue(), "has 16 bits a channel"),
    ):
        (tmp_path / "a.png").write_bytes(content)
        with pytest.raises(ChartError, match=words):
            read_png(tmp_path / "a.png")
    with pytest.raises(ChartError, match="is not there"):
        read_png(tmp_path / "b.png")
    with pytest.raises(ChartError, match="it is not a file"):
        read_png(tmp_path)
    with pytest.raises(StitchviewError, match="does not exist"):
        write_png(chart_of(1), tmp_path / "nowhere" / "a.png")
