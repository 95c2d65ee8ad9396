"""The icons are drawn in the colours of the theme, sharp at every scaling of the screen."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QIcon, QImage, QPalette
from PySide6.QtWidgets import QApplication

from stitchview.canvas.qtcolours import as_qt
from stitchview.errors import StitchviewError
from stitchview.ui.icons import icon
from stitchview.ui.theme import DARK, LIGHT, palette_of

NAMES = sorted(file.stem for file in (Path(__file__).parents[2] / "resources" / "icons").glob("*.svg"))


def strongest(picture: QImage) -> set[str]:
    """The colours of the pixels that are fully inked."""
    pixels = [picture.pixelColor(x, y) for x in range(picture.width()) for y in range(picture.height())]
    return {pixel.name() for pixel in pixels if pixel.alpha() == 255}


def drawn(name: str, palette: QPalette, mode: QIcon.Mode = QIcon.Mode.Normal, scale: float = 1) -> QImage:
    """An icon of 24 logical pixels, drawn on nothing."""
    return icon(name, palette).pixmap(QSize(24, 24), scale, mode).toImage()


@pytest.mark.parametrize("name", NAMES)
def test_every_icon_is_drawn(qapp: QApplication, name: str) -> None:
    """None of them comes out empty."""
    picture = drawn(name, palette_of(LIGHT))
    assert picture.size() == QSize(24, 24)
    assert picture.hasAlphaChannel()
    assert any(picture.pixelColor(x, y).alpha() > 100 for x in range(24) for y in range(24))


def test_icons_take_the_colour_of_the_text(qapp: QApplication) -> None:
    """By day they are dark, by night light, and what cannot be pressed is pale."""
    for shades in (LIGHT, DARK):
        palette = palette_of(shades)
        assert as_qt(shades.text).name() in strongest(drawn("mark", palette, scale=4))
        assert as_qt(shades.disabled).name() in strongest(
            drawn("mark", palette, QIcon.Mode.Disabled, scale=4)
        )


def test_the_icon_of_the_program_keeps_its_own_colours(qapp: QApplication) -> None:
    """The sail at dusk is the same on every ground."""
    assert drawn("stitchview", palette_of(LIGHT)) == drawn("stitchview", palette_of(DARK))


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0, 3.0])
def test_icons_are_drawn_for_the_screen_they_are_on(qapp: QApplication, scale: float) -> None:
    """On a screen of any scaling there is a pixel of the icon for each pixel of the screen."""
    picture = drawn("band-rows", palette_of(LIGHT), scale=scale)
    assert picture.size() == QSize(24, 24) * scale
    assert picture.devicePixelRatio() == scale


def test_a_large_icon_is_not_a_small_one_made_larger(qapp: QApplication) -> None:
    """At twice the scaling the edges are as narrow as at once."""
    small, large = drawn("undo", palette_of(LIGHT)), drawn("undo", palette_of(LIGHT), scale=2)
    grown = small.scaled(large.size(), mode=Qt.TransformationMode.SmoothTransformation)

    def half_inked(picture: QImage) -> int:
        alphas = [picture.pixelColor(x, y).alpha() for x in range(48) for y in range(48)]
        return sum(20 < alpha < 235 for alpha in alphas)

    assert half_inked(large) < 0.7 * half_inked(grown)


def test_the_same_icon_is_not_drawn_twice(qapp: QApplication) -> None:
    """Asked again in the same colours, the same icon comes back; in others another."""
    assert icon("open", palette_of(LIGHT)) is icon("open", palette_of(LIGHT))
    assert icon("open", palette_of(LIGHT)) is not icon("open", palette_of(DARK))
    palette = palette_of(LIGHT)
    palette.setColor(QPalette.ColorRole.WindowText, QColor("#123456"))
    assert "#123456" in strongest(drawn("open", palette, scale=4))


def test_an_icon_that_is_missing_is_said_in_a_sentence(qapp: QApplication) -> None:
    """A program installed by halves says so."""
    with pytest.raises(StitchviewError, match="no-such-icon"):
        icon("no-such-icon", palette_of(LIGHT))
