"""A damaged done layer is set aside untouched, and what can be read of it is there again."""

from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.done.schema import PAGE_BYTES

if TYPE_CHECKING:
    from tests.formats.layer.conftest import Ruin

MOST_STROKES_A_PAGE = 60


def test_the_sound_layer_opens_without_a_word(ruin: "Ruin") -> None:
    """The layer that the other tests ruin is sound to begin with."""
    with ruin.opened(ruin.content) as opened:
        assert opened.notices == ()
        assert opened.place == {"zoom": 2}
        for mine, theirs in zip(ruin.marks_of(list(ruin.rows)), opened.marks.families, strict=True):
            assert np.array_equal(mine, theirs)


def test_truncated_at_every_512_bytes(ruin: "Ruin") -> None:
    """Wherever the file is cut off, the strokes before the cut are saved and the cut file is kept."""
    saved = []
    for size in range(512, len(ruin.content), 512):
        ruin.assert_unharmed_or_saved(ruin.content[:size], at_most_lost=len(ruin.rows))
        saved.append(len(ruin.saved()))
    assert saved == sorted(saved)
    assert saved[-1] > len(ruin.rows) - MOST_STROKES_A_PAGE
    assert saved[len(saved) // 2] > len(ruin.rows) // 10


def test_a_flipped_byte_costs_a_page_at_most(ruin: "Ruin") -> None:
    """A flipped byte either harms nothing, or is noticed and costs no more than its page's strokes."""
    random = np.random.default_rng(8)
    header = [*range(16, 32), 44, 47, 52, 56, *range(59, 72), *range(100, 110)]
    places = sorted({*header, *random.integers(0, len(ruin.content), 160).tolist()})
    noticed = 0
    for at in places:
        content = bytearray(ruin.content)
        content[at] ^= 1 << int(random.integers(8))
        noticed += ruin.assert_unharmed_or_saved(
            bytes(content), 0 if at < PAGE_BYTES else MOST_STROKES_A_PAGE
        )
    assert noticed > len(places) // 3


def test_a_block_of_zeros_costs_its_pages(ruin: "Ruin") -> None:
    """A block that the disk gives back as zeros costs the strokes that lay in it."""
    for start in range(0, len(ruin.content), 4 * PAGE_BYTES):
        content = bytearray(ruin.content)
        content[start : start + PAGE_BYTES] = bytes(PAGE_BYTES)
        ruin.assert_saved(bytes(content), at_most_lost=MOST_STROKES_A_PAGE)


def test_damage_upon_damage_overwrites_nothing(ruin: "Ruin") -> None:
    """The second and third damaged file of a day have names of their own."""
    with ruin.opened(ruin.content):
        pass
    contents = []
    for number in range(3):
        contents.append(bytes([number]) * 30 + ruin.path.read_bytes()[30:])
        ruin.path.write_bytes(contents[-1])
        with ruin.opened() as opened:
            assert "damaged" in opened.notices[0]
            assert len(ruin.saved()) == len(ruin.rows)
    assert sorted(path.read_bytes() for path in ruin.asides()) == sorted(contents)
    assert len(ruin.asides()) == 3


def test_an_empty_file_is_begun_afresh(ruin: "Ruin") -> None:
    """A file of no bytes holds nothing to save; the window says that it was empty."""
    with ruin.opened(b"") as opened:
        assert len(opened.notices) == 1
        assert "was an empty file" in opened.notices[0]
        assert opened.layer.keeps
    assert ruin.asides() == []
    with ruin.opened() as again:
        assert again.notices == ()


@pytest.mark.parametrize(
    "content", [b"x", b"stitch, stitch, stitch\n" * 999, b"SQLite format 3\x00", bytes(9999)]
)
def test_files_of_another_kind_are_set_aside(ruin: "Ruin", content: bytes) -> None:
    """A text, or any other file under the layer's name, is kept under another."""
    with ruin.opened(content) as opened:
        assert "No stroke could be read from it" in opened.notices[0]
        assert [path.read_bytes() for path in ruin.asides()] == [content]
        assert opened.layer.keeps
