"""The icons are one family: drawn in one colour that can be changed, and drawn by Qt without complaint."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QByteArray, QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

FOLDER = Path(__file__).parents[2] / "resources" / "icons"
LINE_ICONS = sorted(file for file in FOLDER.glob("*.svg") if file.stem != "stitchview")
SVG = "{http://www.w3.org/2000/svg}"


def drawn(svg: bytes, size: int) -> QImage:
    """The icon drawn by Qt on nothing, `size` pixels square."""
    renderer = QSvgRenderer(QByteArray(svg))
    assert renderer.isValid()
    picture = QImage(size, size, QImage.Format.Format_ARGB32)
    picture.fill(0)
    painter = QPainter(picture)
    renderer.render(painter, QRectF(0, 0, size, size))
    painter.end()
    return picture


def names(file: Path) -> str:
    """The name of an icon, to tell a failing one by."""
    return file.stem


def test_there_are_icons_for_the_hands() -> None:
    """Opening, looking, marking and going back have their icons."""
    there = {file.stem for file in FOLDER.glob("*.svg")}
    assert {"open", "undo", "redo", "mark", "unpick", "stopped-here", "band-rows", "stitchview"} <= there


@pytest.mark.parametrize("file", LINE_ICONS, ids=names)
def test_an_icon_is_drawn_in_one_colour_on_24_by_24(file: Path) -> None:
    """Each has a title, black as its only colour, so it can be tinted, and nothing from elsewhere."""
    root = ElementTree.fromstring(file.read_text("utf-8"))
    assert root.get("viewBox") == "0 0 24 24"
    assert (root.findtext(f"{SVG}title") or "").strip()
    colours = {part.get(name) for part in root.iter() for name in ("stroke", "fill")} - {None}
    assert colours <= {"#000", "none"}
    assert {part.tag for part in root.iter()} <= {
        f"{SVG}{tag}" for tag in ("svg", "title", "path", "rect", "circle")
    }


@pytest.mark.parametrize("file", LINE_ICONS, ids=names)
def test_qt_draws_an_icon_whole_and_tinted(file: Path, qapp: QApplication) -> None:
    """Tinted, it is drawn in the new colour alone, and nothing is cut off at its edges."""
    assert qapp
    picture = drawn(file.read_bytes().replace(b"#000", b"#FF0000"), 96)
    pixels = [(x, y, picture.pixelColor(x, y)) for x in range(96) for y in range(96)]
    inked = [(x, y) for x, y, colour in pixels if colour.alpha() > 0]
    assert len(inked) > 200
    assert all(colour.red() > 250 and colour.green() < 5 for _, _, colour in pixels if colour.alpha() > 60)
    assert all(0 < x < 95 and 0 < y < 95 for x, y in inked)


def test_qt_draws_the_icon_of_the_program(qapp: QApplication) -> None:
    """The sail at dusk is drawn in many colours, its corners left free."""
    assert qapp
    picture = drawn((FOLDER / "stitchview.svg").read_bytes(), 128)
    assert picture.pixelColor(0, 0).alpha() == 0
    colours = {picture.pixelColor(x, y).name() for x in range(0, 128, 2) for y in range(0, 128, 2)}
    assert len(colours) > 50


def test_no_icon_holds_a_link() -> None:
    """No icon reaches out for a picture, a style or a script."""
    for file in FOLDER.glob("*.svg"):
        text = file.read_text("utf-8").replace('xmlns="http://www.w3.org/2000/svg"', "")
        assert not re.search(r"href|script|style|http|@import", text), file.name
