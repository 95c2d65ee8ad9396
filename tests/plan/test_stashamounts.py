"""Skeins and colours as people write them in their lists."""

import pytest

from stitchview.chart.colour import Colour
from stitchview.plan.stashamounts import colour_of, skeins_of


@pytest.mark.parametrize(
    ("text", "skeins"),
    [
        ("2", 2), ("0", 0), ("-0", 0), (" 3 ", 3), ("+1", 1), ("1.5", 1.5), ("1,5", 1.5), (".5", 0.5),
        (",25", 0.25), ("½", 0.5), ("1½", 1.5), ("1 1/2", 1.5), ("11/2", 5.5), ("3/4", 0.75), ("2 ¼", 2.25),
        ("3 skeins", 3), ("1 Skein", 1), ("2x", 2), ("0.125", 0.125), ("1.125", 1.125), ("10000", 10000),
        ("", None), ("  ", None),
    ],
)  # fmt: skip
def test_skeins_are_read_as_people_write_them(text: str, skeins: float | None) -> None:
    """Halves, decimal commas, fractions and the word itself are all understood."""
    assert skeins_of(text) == skeins


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("-2", "less than none"), ("−1", "less than none"), ("many", "must be a number"), ("2-3", "a number"),
        ("nan", "must be a number"), ("1e9", "must be a number"), ("inf", "must be a number"),
        ("1,500", "two ways"), ("10001", "10,000 at most"), ("1/0", "cannot be"), ("٣", "must be a number"),
        ("9" * 500, "must be a number"), ("skeins", "must be a number"), ("1 2 3", "must be a number"),
    ],
)  # fmt: skip
def test_skeins_that_cannot_be_so_are_not_guessed(text: str, what: str) -> None:
    """A number below none, two meanings or no number at all is said to be wrong."""
    with pytest.raises(ValueError, match=what):
        skeins_of(text)


@pytest.mark.parametrize(
    "text", ["#4A5B6C", "4a5b6c", " #4a5b6c ", "74, 91, 108", "rgb(74, 91, 108)", "74 91 108"]
)
def test_colours_are_read_as_programs_write_them(text: str) -> None:
    """A colour may be written as six digits or as its three parts."""
    assert colour_of(text) == Colour(0x4A, 0x5B, 0x6C)


def test_three_digits_stand_for_six() -> None:
    """The short way of writing a colour is understood; an empty cell tells none."""
    assert colour_of("#abc") == Colour(0xAA, 0xBB, 0xCC)
    assert colour_of(" ") is None


@pytest.mark.parametrize("text", ["slate blue", "#12345", "256, 0, 0", "1, 2", "#GGGGGG", "rgb(1,2,3,4)"])
def test_a_colour_in_words_is_none(text: str) -> None:
    """Words and impossible parts are not taken for a colour."""
    with pytest.raises(ValueError, match="#RRGGBB"):
        colour_of(text)
