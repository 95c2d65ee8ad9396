"""Ready pictures of squares: a key of any length draws alike, and its symbols are seen."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.canvas import atlas as atlases
from stitchview.canvas.atlas import make_atlas
from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.looks import Look
from stitchview.canvas.squarepictures import square_pictures
from stitchview.canvas.threads import Threads
from stitchview.chart.colour import Colour, contrast
from stitchview.chart.model import MOST_KEY_ENTRIES, Chart
from tests.canvas.charts import Making, full_chart, key_of
from tests.canvas.stage import Stage, Step

pytestmark = pytest.mark.usefixtures("qapp")

StageFor = Callable[..., Stage]


def threads_of(count: int, look: Look = Look()) -> Threads:  # noqa: B008 (frozen)
    key = key_of(count, np.random.default_rng(count))
    return Threads(key, GlyphPaths(key, {}), look)


def a_huge_key(columns: int, rows: int) -> Chart:
    """A chart that uses every one of the most key entries a chart may have."""
    many = Making(columns, rows, 7, MOST_KEY_ENTRIES)
    chart = full_chart(many, bare=True)
    squares = np.resize(np.arange(1, MOST_KEY_ENTRIES + 1, dtype=np.uint16), (rows, columns))
    return replace(chart, squares=squares)


@pytest.mark.parametrize("pitch", [24, 36])
def test_a_key_of_two_thousand_draws_as_any_other(
    stage_for: StageFor, monkeypatch: pytest.MonkeyPatch, pitch: int
) -> None:
    """With more key entries than there is room for ready squares, squares come as they are needed."""
    monkeypatch.setattr(atlases, "MOST_BYTES", 2 << 20)
    chart = a_huge_key(60, 40)
    assert make_atlas(threads_of(MOST_KEY_ENTRIES), pitch).slot_of is not None
    stage = stage_for(chart, 330, 250)
    steps = [Step("zoom", (pitch, 0, 0)), Step("pan", (700, 300)), Step("mark", (0, 0, 700, 1)), Step("turn")]
    stage.take([*steps, Step("pan", (-400, 400)), Step("turn"), Step("pan", (-300, -700))])
    shown = stage.shown()
    monkeypatch.setattr(atlases, "MOST_BYTES", 1 << 32)
    assert np.array_equal(shown, stage.fresh())


def test_more_squares_in_view_than_ready_pictures(
    stage_for: StageFor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A window full of different squares is right even if only some can be ready at a time."""
    monkeypatch.setattr(atlases, "MOST_BYTES", 1 << 20)
    stage = stage_for(a_huge_key(60, 40), 700, 450)
    stage.zoom(11, 0, 0)
    shown = stage.shown()
    monkeypatch.setattr(atlases, "MOST_BYTES", 1 << 32)
    assert np.array_equal(shown, stage.fresh())


@pytest.mark.parametrize("worked", [False, True])
def test_a_symbol_is_drawn_in_its_full_ink(worked: bool) -> None:
    """At the size she works at, the darkest part of a symbol really has the ink chosen for contrast."""
    threads = threads_of(10, Look(worked=worked))
    for number in range(1, 11):
        fill = threads.look.open_fill(threads.key[number - 1].colour)
        picture = square_pictures(threads, np.array([number]), 24)[0, 1:, 1:]
        strongest = max(
            contrast(Colour(*np.floor(pixel + 0.5).astype(int).tolist()), fill)
            for pixel in picture.reshape(-1, 3)
        )
        assert strongest >= 4.5


@pytest.mark.parametrize(("pitch", "least"), [(7, 20), (9, 40), (12, 60), (16, 90), (24, 120)])
def test_different_symbols_look_different(pitch: int, least: int) -> None:
    """No two of ten common symbols are drawn alike, and the larger the squares the less so."""
    threads = threads_of(10, Look(paper=True))
    pictures = square_pictures(threads, np.arange(1, 11), pitch)
    for one in range(10):
        for other in range(one):
            assert np.abs(pictures[one] - pictures[other]).max() > least


@pytest.mark.parametrize("look", [Look(), Look(paper=True), Look(worked=True), Look(paper=True, worked=True)])
def test_done_squares_differ_by_more_than_colour(look: Look) -> None:
    """In grey, as she may see or print it, a done square still has another form than an open one."""
    threads = threads_of(10, look)
    numbers = np.arange(1, 11)
    grey = square_pictures(threads, np.concatenate([numbers, numbers + threads.codes_a_state]), 20).mean(-1)
    flat = grey[:, 2:, 2:].reshape(20, -1)
    formed = flat - flat.mean(1, keepdims=True)
    formed /= np.maximum(np.abs(formed).max(1, keepdims=True), 1)
    assert (np.abs(formed[:10] - formed[10:]).max(1) > 0.2).all()


def test_the_thread_in_hand_stands_out() -> None:
    """With a thread in hand all others turn pale, and it stays as it was."""
    threads = threads_of(5)
    plain = square_pictures(threads, np.arange(1, 6), 16)
    held = square_pictures(replace(threads, in_hand=3), np.arange(1, 6), 16)
    assert np.array_equal(held[2], plain[2])
    paper = np.array([255, 255, 255], np.float32)
    for other in (0, 1, 3, 4):
        assert np.abs(held[other, 1, 1] - paper).sum() < np.abs(plain[other, 1, 1] - paper).sum()


def test_threads_held_back_stand_back_until_they_are_stitched_or_in_hand() -> None:
    """What is left of a metallic is pale; done it shows like all others, and in hand it stands out."""
    threads = threads_of(3)
    codes = np.arange(1, 2 * 4)[np.arange(1, 2 * 4) % 4 > 0]
    plain = square_pictures(threads, codes, 16)
    waiting = square_pictures(replace(threads, held_back=frozenset({2})), codes, 16)
    assert [bool((one == other).all()) for one, other in zip(plain, waiting, strict=True)] == [
        True, False, True, True, True, True
    ]  # fmt: skip
    paper = np.array([255, 255, 255], np.float32)
    assert np.abs(waiting[1, 1, 1] - paper).sum() < np.abs(plain[1, 1, 1] - paper).sum()
    in_hand = square_pictures(replace(threads, held_back=frozenset({2}), in_hand=2), codes, 16)
    assert np.array_equal(in_hand[1], plain[1])
