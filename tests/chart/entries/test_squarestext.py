"""The squares as text: every row and every sign in its place, or a sentence that says where not."""

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.codes import allot_codes
from stitchview.chart.entries.squarestext import read_squares, write_squares
from stitchview.chart.model import Squares
from stitchview.chart.problems import FaultyChart, Findings


def read(text: str | bytes, codes: Sequence[str], size: tuple[int, int]) -> tuple[Squares, list[str]]:
    """The squares and the problems found in a text."""
    findings = Findings("test")
    content = text.encode("utf-8") if isinstance(text, str) else text
    squares = read_squares(content, codes, size, findings)
    return squares, [problem.what for problem in findings.error().problems] if len(findings) else []


@given(st.lists(st.lists(st.sampled_from(".ab◆\U0001f9f5"), min_size=3, max_size=3), min_size=1, max_size=5))
def test_each_sign_is_its_line_of_the_key(rows: list[list[str]]) -> None:
    """A plain reading square by square finds the same, whatever script the codes are from."""
    text = "".join("".join(row) + "\n" for row in rows)
    codes = "ab◆\U0001f9f5"
    squares, problems = read(text, codes, (len(rows), 3))
    assert problems == []
    assert squares.tolist() == [
        [(codes.index(sign) + 1) if sign != "." else 0 for sign in row] for row in rows
    ]
    assert write_squares(squares, codes).decode("utf-8") == text


@pytest.mark.parametrize("codes", ["ab", "a◆"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("last", [True, False])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_byte_order_mark_of_any_editor(codes: str, ends: str, last: bool, mark: str) -> None:
    """Whatever editor she typed it in, the squares are the same."""
    text = mark + ends.join((f"{codes}.", f".{codes}")) + (ends if last else "")
    squares, problems = read(text, codes, (2, 3))
    assert problems == []
    assert squares.tolist() == [[1, 2, 0], [0, 1, 2]]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("aa\na\naa\n", ["row 2 has 1 square, the chart has 2 columns"]),
        ("aaa\na\naa\n", [
            "row 1 has 3 squares, the chart has 2 columns",
            "row 2 has 1 square, the chart has 2 columns",
        ]),
        ("aa\naa\n", ["it has 2 rows, the chart has 3"]),
        ("aa\naa\naa\naa", ["it has 4 rows, the chart has 3"]),
        ("aa\naa\naa\n\n", [
            "row 4 has 0 squares, the chart has 2 columns",
            "it has 4 rows, the chart has 3",
        ]),
        ("", ["it has 0 rows, the chart has 3"]),
        ("aa\nxa\nxx\n", ["row 2, square 1: “x” is no code of the key (3 squares in all)"]),
        ("aa\na é\naa\n", ["row 2 has 3 squares, the chart has 2 columns"]),
        ("aa\na \naé\n", [
            "row 2, square 2: the character U+0020 is no code of the key",
            "row 3, square 2: “é” is no code of the key",
        ]),
        ("aa\na\0\naa\n", ["row 2, square 2: the character U+0000 is no code of the key"]),
        ("aa\raa\raa\r", ["row 1 has 9 squares, the chart has 2 columns", "it has 1 row, the chart has 3"]),
        ("a\ufeff\naa\naa\n", ["row 1, square 2: the character U+FEFF is no code of the key"]),
    ],
)  # fmt: skip
def test_problems_name_their_row_and_square(text: str, expected: list[str]) -> None:
    """Every wrong row and every strange sign is named, counted from 1 as people count."""
    assert read(text, "a", (3, 2))[1] == expected


@pytest.mark.parametrize(
    ("content", "row"), [(b"aa\na\xff\naa\n", 2), (b"aa\naa\n\xed\xa0\x80a\n", 3), (b"\xe2\x97", 1)]
)
def test_bytes_that_are_no_text_are_refused_with_their_row(content: bytes, row: int) -> None:
    """Broken UTF-8 and half surrogates are named by their row."""
    with pytest.raises(FaultyChart, match=f"row {row} is not UTF-8"):
        read(content, "a", (3, 2))


def test_a_flood_of_line_ends_gives_one_sentence() -> None:
    """Millions of empty rows are counted, not listed."""
    problems = read(b"\n" * 5_000_000, "a", (3, 2))[1]
    assert problems == ["it has 5,000,000 rows, the chart has 3"]


def test_two_thousand_codes_fit_and_come_back() -> None:
    """A key of the greatest length is written and read back."""
    codes = allot_codes(2000)
    squares = np.arange(2001, dtype=np.uint16).reshape(3, 667)
    back, problems = read(write_squares(squares, codes), codes, (3, 667))
    assert problems == []
    assert np.array_equal(back, squares)
