"""Contrast of two colours by WCAG 2.2, against published examples and coloraide."""

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.colour import BLACK, WHITE, Colour, contrast, ink_on

PART = st.integers(0, 255)
COLOURS = st.builds(Colour, PART, PART, PART)

# Published: #777777 on white 4.48 and #767676 on white 4.54 (WCAG techniques and many checkers); the
# other pairs were computed by coloraide, wcag-contrast-ratio and the formula of WCAG 2.2 (checks, 3.3).
PUBLISHED = [
    ("#000000", "#FFFFFF", 21.0),
    ("#FFFFFF", "#FFFFFF", 1.0),
    ("#777777", "#FFFFFF", 4.4781),
    ("#767676", "#FFFFFF", 4.5422),
    ("#595959", "#FFFFFF", 7.0047),
    ("#757575", "#FFFFFF", 4.6075),
    ("#757575", "#000000", 4.5578),
    ("#949494", "#FFFFFF", 3.0335),
    ("#959595", "#FFFFFF", 2.9953),
    ("#FF0000", "#FFFFFF", 3.9985),
    ("#0000FF", "#FFFFFF", 8.5925),
    ("#0000FF", "#FF0000", 2.1489),
    ("#00FF00", "#FFFFFF", 1.3722),
    ("#FFFF00", "#FFFFFF", 1.0738),
    ("#808080", "#000000", 5.3172),
]


@pytest.mark.parametrize(("first", "second", "ratio"), PUBLISHED)
def test_contrast_is_what_is_published(first: str, second: str, ratio: float) -> None:
    """The contrast of well-known pairs is the published one, either way round."""
    assert contrast(Colour.from_hex(first), Colour.from_hex(second)) == pytest.approx(ratio, abs=5e-5)
    assert contrast(Colour.from_hex(second), Colour.from_hex(first)) == pytest.approx(ratio, abs=5e-5)


def test_luminance_is_what_is_published() -> None:
    """Relative luminance of two greys (checks, 3.3)."""
    assert Colour.from_hex("#777777").luminance == pytest.approx(0.1844750, abs=5e-8)
    assert Colour.from_hex("#767676").luminance == pytest.approx(0.1811642, abs=5e-8)


@given(COLOURS, COLOURS)
def test_contrast_agrees_with_coloraide(first: Colour, second: Colour) -> None:
    """Any two colours have the contrast coloraide finds, to 0.001 as it uses exact primaries."""
    theirs = Color(first.hex).contrast(Color(second.hex), method="wcag21")
    assert contrast(first, second) == pytest.approx(theirs, rel=1e-3)


@given(COLOURS)
def test_ink_is_readable_on_any_thread(ground: Colour) -> None:
    """A symbol drawn in the chosen ink can be read on every colour: at least 4.5 to 1."""
    assert contrast(ink_on(ground), ground) >= 4.5
    assert ink_on(ground) in (BLACK, WHITE)


@given(COLOURS)
def test_a_colour_is_written_and_read_back(colour: Colour) -> None:
    """#RRGGBB means the same colour in capitals and in small letters."""
    assert Colour.from_hex(colour.hex) == Colour.from_hex(colour.hex.lower()) == colour


@pytest.mark.parametrize(
    "text", ["", "#12345", "#1234567", "123456", "#12345G", "#12 456", "#123456\n", "#１２３４５６"]
)
def test_anything_else_is_no_colour(text: str) -> None:
    """Short forms, names and look-alike digits are refused."""
    with pytest.raises(ValueError, match="is not a colour"):
        Colour.from_hex(text)


@given(COLOURS, COLOURS)
def test_mixing_ends_at_either_colour(first: Colour, second: Colour) -> None:
    """None of the other leaves a colour as it is, all of it makes it the other."""
    assert first.mixed(second, 0) == first
    assert first.mixed(second, 1) == second
