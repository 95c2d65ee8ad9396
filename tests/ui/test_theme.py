"""Light and dark: everything can be read, every control and the keyboard's place can be seen."""

from collections import Counter
from itertools import product

import pytest
from coloraide import Color
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPalette, QTransform
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListWidget,
    QPushButton,
    QRadioButton,
    QSlider,
    QToolButton,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from stitchview.chart.colour import Colour
from stitchview.ui.theme import DARK, LIGHT, Shades, Theme, apply_theme, is_dark, palette_of, shades_of

THEMES = [pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark")]
CLOTHES = [Theme.LIGHT, Theme.DARK]
GROUNDS = ("window", "base", "alternate", "button", "notice", "hand", "tip")
# WCAG 2.2, 1.4.3: ink on every ground on which it can stand.
TEXTS = [
    *product(("text", "quiet", "link", "visited", "done", "trouble"), ("window", "base", "alternate")),
    *product(("text",), GROUNDS),
    *product(("quiet", "done"), ("base", "alternate", "hand")),
    ("text", "track"),
    ("on_accent", "accent"),
]
# WCAG 2.2, 1.4.11 and 2.4.13: what must be seen, on every ground on which it is drawn.
PARTS = [
    *product(("edge", "focus", "accent", "pointer"), ("window", "base", "alternate")),
    *product(("accent", "done"), ("track", "base", "hand")),
    *product(("focus", "edge"), ("hand", "button", "notice")),
    ("pointer", "notice"),
]
PALETTE_TEXTS = [
    (QPalette.ColorRole.WindowText, QPalette.ColorRole.Window),
    (QPalette.ColorRole.Text, QPalette.ColorRole.Base),
    (QPalette.ColorRole.Text, QPalette.ColorRole.AlternateBase),
    (QPalette.ColorRole.PlaceholderText, QPalette.ColorRole.Base),
    (QPalette.ColorRole.ButtonText, QPalette.ColorRole.Button),
    (QPalette.ColorRole.BrightText, QPalette.ColorRole.Window),
    (QPalette.ColorRole.ToolTipText, QPalette.ColorRole.ToolTipBase),
    (QPalette.ColorRole.HighlightedText, QPalette.ColorRole.Highlight),
    (QPalette.ColorRole.Link, QPalette.ColorRole.Base),
    (QPalette.ColorRole.LinkVisited, QPalette.ColorRole.Base),
]


def ratio(one: str, other: str) -> float:
    """The contrast of two colours as the library coloraide finds it, which is not ours."""
    return float(Color(one).contrast(Color(other), method="wcag21"))


def shade(shades: Shades, name: str) -> str:
    """A colour of a theme, written as `#RRGGBB`."""
    colour = getattr(shades, name)
    assert isinstance(colour, Colour)
    return colour.hex


@pytest.mark.parametrize("shades", THEMES)
@pytest.mark.parametrize(("ink", "ground"), TEXTS)
def test_every_text_can_be_read(shades: Shades, ink: str, ground: str) -> None:
    """Words stand out from their ground at 4.5 : 1."""
    assert ratio(shade(shades, ink), shade(shades, ground)) >= 4.5


@pytest.mark.parametrize("shades", THEMES)
@pytest.mark.parametrize(("part", "ground"), PARTS)
def test_every_control_can_be_seen(shades: Shades, part: str, ground: str) -> None:
    """Edges, the focus ring, bars and pointers stand out at 3 : 1."""
    assert ratio(shade(shades, part), shade(shades, ground)) >= 3


@pytest.mark.parametrize("shades", THEMES)
@pytest.mark.parametrize("group", [QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive])
@pytest.mark.parametrize(("ink", "ground"), PALETTE_TEXTS)
def test_the_palette_holds_the_same_promise(
    shades: Shades, group: QPalette.ColorGroup, ink: QPalette.ColorRole, ground: QPalette.ColorRole
) -> None:
    """What Qt itself draws by the palette can be read as well, in front and in the back."""
    palette = palette_of(shades)
    assert ratio(palette.color(group, ink).name(), palette.color(group, ground).name()) >= 4.5


@pytest.mark.parametrize("shades", THEMES)
def test_no_role_is_left_to_chance(shades: Shades) -> None:
    """Every role of the palette has a colour of the theme in every state."""
    palette = palette_of(shades)
    known = {shade(shades, name).lower() for name in Shades.__slots__}
    left_out = (QPalette.ColorRole.NColorRoles, QPalette.ColorRole.NoRole)
    roles = [role for role in QPalette.ColorRole if role not in left_out]
    groups = (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive, QPalette.ColorGroup.Disabled)
    assert len(roles) > 15
    assert all(palette.color(group, role).name() in known for group in groups for role in roles)


def test_light_and_dark_are_put_on(qapp: QApplication) -> None:
    """The whole program changes, and knows what it wears; the letters stay as the system has them."""
    font = qapp.font()
    apply_theme(qapp, Theme.DARK)
    assert is_dark(qapp)
    assert shades_of(qapp.palette()) is DARK
    apply_theme(qapp, Theme.LIGHT)
    assert not is_dark(qapp)
    assert shades_of(qapp.palette()) is LIGHT
    assert qapp.font() == font


def test_as_the_system_follows_the_system(qapp: QApplication) -> None:
    """When the system turns dark in the evening the window does so too, but only if that is chosen."""
    hints = qapp.styleHints()
    apply_theme(qapp, Theme.SYSTEM)
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert is_dark(qapp)
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert not is_dark(qapp)
    apply_theme(qapp, Theme.LIGHT)
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert not is_dark(qapp)


class Bench(QWidget):
    """A window with one of each control on it."""

    def __init__(self) -> None:
        super().__init__()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.controls: dict[str, QWidget] = {
            "button": QPushButton("Open"),
            "tool": QToolButton(),
            "field": QLineEdit(),
            "chooser": QComboBox(),
            "switch": QCheckBox("Snap"),
            "choice": QRadioButton("Corner"),
            "slider": self.slider,
            "list": QListWidget(),
        }
        self.slider.setValue(50)
        column = QVBoxLayout(self)
        for control in self.controls.values():
            control.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            column.addWidget(control)

    def picture_of(self, name: str) -> QImage:
        """A control as it stands on the window, with the window's own ground around it."""
        return self.grab(self.controls[name].geometry()).toImage()


@pytest.fixture(params=CLOTHES)
def bench(qtbot: QtBot, qapp: QApplication, request: pytest.FixtureRequest) -> Bench:
    """The window with the controls, in each of the themes."""
    apply_theme(qapp, request.param)
    bench = Bench()
    qtbot.addWidget(bench)
    bench.resize(300, 500)
    bench.show()
    bench.activateWindow()
    qtbot.waitUntil(bench.isActiveWindow)
    return bench


def run_from_left(picture: QImage, colour: QColor, row: int) -> int:
    """How many pixels of `colour` follow each other in a row, the first such run from the left."""
    there = [picture.pixelColor(x, row) == colour for x in range(picture.width())]
    if True not in there:
        return 0
    start = there.index(True)
    end = there.index(False, start) if False in there[start:] else len(there)
    return end - start


NAMES = ("button", "tool", "field", "chooser", "switch", "choice", "slider", "list")


@pytest.mark.parametrize("name", NAMES)
def test_the_focus_ring_is_two_pixels_broad(bench: Bench, qtbot: QtBot, name: str) -> None:
    """Wherever the keyboard is, a ring of 2 px says so, and nowhere else."""
    control = bench.controls[name]
    other = bench.controls["button" if name != "button" else "tool"]
    focus = QColor(shades_of(bench.palette()).focus.hex)
    other.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(other.hasFocus)
    without = bench.picture_of(name)
    control.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(control.hasFocus)
    picture = bench.picture_of(name)
    # Above the middle, where the groove of a slider runs into its ring.
    row = control.height() // 4
    assert run_from_left(picture, focus, row) >= 2
    assert run_from_left(without, focus, row) == 0
    turned = picture.transformed(QTransform().rotate(-90))
    assert run_from_left(turned, focus, turned.height() // 2) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_nothing_to_press_is_lower_than_24_pixels(bench: Bench, name: str) -> None:
    """A hand that shakes hits what it means (WCAG 2.2, 2.5.8)."""
    assert bench.controls[name].height() >= 24


@pytest.mark.parametrize("name", ["button", "field", "chooser", "switch", "choice", "slider"])
def test_the_edge_of_a_control_is_seen_as_it_is_drawn(bench: Bench, qtbot: QtBot, name: str) -> None:
    """Not only the table says so: the pixels on the screen stand out at 3 : 1 too."""
    control = bench.controls[name]
    bench.controls["list"].setFocus()
    qtbot.waitUntil(bench.controls["list"].hasFocus)
    picture = bench.picture_of(name)
    window = bench.palette().color(QPalette.ColorRole.Window).name()
    row = control.height() // 2
    first = [picture.pixelColor(x, row).name() for x in range(min(14, picture.width()))]
    assert max(ratio(colour, window) for colour in first) >= 3


def test_every_line_of_an_open_chooser_can_be_read(bench: Bench, qtbot: QtBot) -> None:
    """The line that is chosen and those that are not stand at 4.5 : 1 to their ground, as they are drawn."""
    chooser = bench.controls["chooser"]
    assert isinstance(chooser, QComboBox)
    chooser.addItems(["MMMM one", "MMMM two", "MMMM three"])
    chooser.setCurrentIndex(1)
    chooser.showPopup()
    view = chooser.view()
    qtbot.waitUntil(view.isVisible)
    for row in range(chooser.count()):
        room = view.visualRect(chooser.model().index(row, 0))
        assert room.height() >= 24
        picture = view.viewport().grab(room).toImage()
        found = Counter(
            picture.pixelColor(x, y).name() for x in range(picture.width()) for y in range(picture.height())
        )
        ((ground, _),) = found.most_common(1)
        assert max(ratio(colour, ground) for colour in found) >= 4.5
    chooser.hidePopup()
