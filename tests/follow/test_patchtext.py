"""Patches as text files, and the sentence for each that cannot be read."""

import os
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import KeyEntry, OwnEntry, Symbol
from stitchview.errors import CommandError
from stitchview.follow.clothpatch import ClothPatch
from stitchview.follow.patchtext import patch_from_text, patch_to_text, read_patch

KEY = tuple(KeyEntry(code, Symbol(code), f"Sample cotton {code}") for code in "ab?c")


def test_a_patch_is_read() -> None:
    """Codes, bare cloth and open squares stand for what they say; blank lines round it do not count."""
    patch = patch_from_text("\n\nab.\n?a \r\n\n", KEY[:2])
    assert patch.squares.tolist() == [[1, 2, 0], [-1, 1, -1]]


def test_a_key_may_have_the_code_that_stands_for_open() -> None:
    """Where the key has the code ?, it is that thread, and a blank stands for an open square."""
    patch = patch_from_text("a?\n ?", KEY)
    assert patch.squares.tolist() == [[1, 3], [-1, 3]]
    assert patch_to_text(patch, KEY) == "a?\n ?\n"


@given(
    st.integers(1, 7).flatmap(
        lambda columns: st.lists(
            st.lists(st.integers(-1, 4), min_size=columns, max_size=columns), min_size=1, max_size=7
        )
    ),
    st.sampled_from([2, 4]),
)
def test_written_patches_are_read_again(rows: list[list[int]], threads: int) -> None:
    """What is written is read back the same, with or without the code ? in the key."""
    squares = np.minimum(np.array(rows, np.int32), threads)
    squares[0, 0] = 1
    text = patch_to_text(ClothPatch(squares), KEY[:threads])
    assert patch_from_text(text, KEY[:threads]).squares.tolist() == squares.tolist()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "The patch is empty"),
        ("\n\n", "The patch is empty"),
        ("??\n..", "The patch has no thread"),
        ("aa\na", "Row 2 of the patch has 1 square, row 1 has 2 squares"),
        ("\naa\n\naa", "Row 3 of the patch has 0 squares, row 2 has 2 squares"),
        ("ab\naX", "Row 2, square 2 of the patch: “X” is no code of the key"),
        ("a\tb", r"Row 1, square 2 of the patch: the character U\+0009"),
        ("aaaaaaaa", "The patch has 8 columns and 1 row"),
        ("a\n" * 8, "The patch has 1 column and 8 rows"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(text: str, said: str, tmp_path: Path) -> None:
    """Each fault is one sentence, in a file with the file's name too."""
    with pytest.raises(CommandError, match=said):
        patch_from_text(text, KEY[:2])
    file = tmp_path / "patch.txt"
    file.write_text(text, "utf-8")
    with pytest.raises(CommandError, match=f"^“patch.txt”: {said[0].lower()}{said[1:]}"):
        read_patch(file, KEY[:2])


def test_a_file_with_a_mark_of_windows_is_read(tmp_path: Path) -> None:
    """A byte order mark and line ends of another system do no harm."""
    file = tmp_path / "patch.txt"
    file.write_bytes("\ufeffab\r\n?.\r\n".encode())
    assert read_patch(file, KEY[:2]).squares.tolist() == [[1, 2], [-1, 0]]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"a\n\xff\n", "row 2: it is not UTF-8 text"),
        (b"a" * 5000, "more than 4,096 bytes"),
        (b"", "is empty"),
    ],
)
def test_files_that_are_no_patch(content: bytes, said: str, tmp_path: Path) -> None:
    """Binary, huge and empty files are refused in a sentence."""
    file = tmp_path / "patch.txt"
    file.write_bytes(content)
    with pytest.raises(CommandError, match=said):
        read_patch(file, KEY)


def test_files_that_cannot_be_opened(tmp_path: Path) -> None:
    """A missing file, a folder and a pipe are told apart from a patch without waiting."""
    with pytest.raises(CommandError, match="is not there"):
        read_patch(tmp_path / "none.txt", KEY)
    with pytest.raises(CommandError, match="cannot be read"):
        read_patch(tmp_path, KEY)
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(CommandError, match="cannot be read"):
            read_patch(tmp_path / "pipe", KEY)


def test_a_thread_of_her_own_has_its_symbol_in_a_patch() -> None:
    """Its code is too long for a square of text, so its symbol stands there, which is no code of the key."""
    key = (*KEY[:2], OwnEntry("0a" * 16, Symbol("z"), "Sample silk 9, fog"))
    patch = patch_from_text("az\n.b\n", key)
    assert patch.squares.tolist() == [[1, 3], [0, 2]]
    assert patch_to_text(patch, key) == "az\n.b\n"
