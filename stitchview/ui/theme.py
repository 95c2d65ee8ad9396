"""Light and dark for the whole program: one table of colours each, and what is made of it."""

from dataclasses import dataclass, fields
from enum import StrEnum
from string import Template

from PySide6 import QtCore
from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour

# What stands in `Qt` itself is only asked for when it is used: to name it makes all its tables, which takes
# longer than the window, and this module is loaded before there is one.


class Theme(StrEnum):
    """What she chose; the values are what settings hold."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, slots=True)
class Shades:
    """The colours of one theme; tests hold text at 4.5 : 1, controls at 3 : 1 (WCAG 2.2).

    `window`, `base` (lists and fields), `alternate`, `button`, `notice`, `hand` (the row of the
    thread in hand) and `tip` are grounds; `text`, `quiet`, `link`, `visited`, `done` and `trouble`
    are written on them. `edge` draws controls, `hair` only parts what words part already.
    """

    window: Colour
    base: Colour
    alternate: Colour
    button: Colour
    notice: Colour
    hand: Colour
    tip: Colour
    text: Colour
    quiet: Colour
    disabled: Colour
    link: Colour
    visited: Colour
    done: Colour
    trouble: Colour
    edge: Colour
    hair: Colour
    track: Colour
    accent: Colour
    on_accent: Colour
    focus: Colour
    pointer: Colour


def _shades(**hexes: str) -> Shades:
    return Shades(**{name: Colour.from_hex(text) for name, text in hexes.items()})


# Stone quay and slate water by day.
LIGHT = _shades(
    window="#EBE7E0",
    base="#FBF9F5",
    alternate="#F3F0EA",
    button="#F8F5EF",
    notice="#F6E7C8",
    hand="#DDE7F0",
    tip="#FFFDF8",
    text="#25221E",
    quiet="#5A544C",
    disabled="#8C857B",
    link="#1C4E80",
    visited="#5B3F79",
    done="#1F6350",
    trouble="#96271B",
    edge="#7B7368",
    hair="#D3CCC1",
    track="#D9D3C9",
    accent="#1F4F7F",
    on_accent="#FFFFFF",
    focus="#1558A6",
    pointer="#A3540A",
)
# The same harbour when its lamps are lit.
DARK = _shades(
    window="#1F1F22",
    base="#18181B",
    alternate="#212125",
    button="#2D2D32",
    notice="#3A2F1C",
    hand="#22344A",
    tip="#2D2D32",
    text="#ECE7DE",
    quiet="#B7B0A5",
    disabled="#807A71",
    link="#8CC2F0",
    visited="#C9A9E6",
    done="#86D1B4",
    trouble="#FFA798",
    edge="#8A847A",
    hair="#3A3A40",
    track="#3A3A40",
    accent="#7FB6E6",
    on_accent="#0E1822",
    focus="#8FC7FA",
    pointer="#F2B04C",
)


def shades_of(palette: QPalette) -> Shades:
    """Give the table that a palette was made from, or the one nearer to it, for what is painted by hand."""
    return DARK if _dark(palette) else LIGHT


def is_dark(app: QGuiApplication) -> bool:
    """Whether the program stands in dark colours now, ours or, before those are worn, the system's."""
    return _dark(app.palette())


def apply_theme(app: QApplication, theme: Theme) -> None:
    """Put the whole program in a theme; `SYSTEM` follows the system. Font sizes stay its own."""
    watch = app.findChild(_SystemWatch) or _SystemWatch(app)
    watch.theme = theme
    schemes = QtCore.Qt.ColorScheme
    wanted = {Theme.SYSTEM: schemes.Unknown, Theme.LIGHT: schemes.Light, Theme.DARK: schemes.Dark}
    app.styleHints().setColorScheme(wanted[theme])
    _wear(app, _wants_dark(theme, app.styleHints().colorScheme()))


def palette_of(shades: Shades) -> QPalette:
    """Give the palette of a theme, every role of it set for active, inactive and disabled alike."""
    palette = QPalette()
    for role, name in _ROLES.items():
        palette.setColor(role, as_qt(getattr(shades, name)))
    for role in _FADED_WHEN_DISABLED:
        palette.setColor(QPalette.ColorGroup.Disabled, role, as_qt(shades.disabled))
    palette.setColor(QPalette.ColorGroup.Disabled, QPalette.ColorRole.Highlight, as_qt(shades.hair))
    return palette


class _SystemWatch(QObject):
    """Changes clothes with the system, if that is what she chose."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self.theme = Theme.SYSTEM
        app.styleHints().colorSchemeChanged.connect(self._system_changed)

    def _system_changed(self, scheme: "QtCore.Qt.ColorScheme") -> None:
        dark = _wants_dark(self.theme, scheme)
        if dark != is_dark(self._app):
            _wear(self._app, dark)


def _wants_dark(theme: Theme, system: "QtCore.Qt.ColorScheme") -> bool:
    return system is QtCore.Qt.ColorScheme.Dark if theme is Theme.SYSTEM else theme is Theme.DARK


def _wear(app: QApplication, dark: bool) -> None:
    shades = DARK if dark else LIGHT
    # One style on every system: colours, focus and sizes of targets are then what the tests have measured.
    if app.style().objectName() != "fusion":
        app.setStyle("fusion")
    palette = palette_of(shades)
    app.setPalette(palette)
    # The style draws the edges of these as the window's colour, darkened: too faint by day, unseen by night.
    edge = QPalette(palette)
    edge.setColor(QPalette.ColorRole.Window, as_qt(shades.edge).lighter(_STYLE_DARKENS))
    for control in ("QCheckBox", "QRadioButton", "QSlider", "QAbstractSpinBox"):
        # The stubs ask for bytes, which PySide 6.11 itself refuses.
        app.setPalette(edge, control)  # type: ignore[arg-type]
    app.setStyleSheet(
        _SHEET.substitute({each.name: getattr(shades, each.name).hex for each in fields(Shades)})
    )


def _dark(palette: QPalette) -> bool:
    window, text = (
        palette.color(role) for role in (QPalette.ColorRole.Window, QPalette.ColorRole.WindowText)
    )
    return window.lightness() < text.lightness()


_Role = QPalette.ColorRole
_ROLES = {
    _Role.Window: "window",
    _Role.WindowText: "text",
    _Role.Base: "base",
    _Role.AlternateBase: "alternate",
    _Role.Text: "text",
    _Role.PlaceholderText: "quiet",
    _Role.Button: "button",
    _Role.ButtonText: "text",
    _Role.BrightText: "trouble",
    _Role.ToolTipBase: "tip",
    _Role.ToolTipText: "text",
    _Role.Highlight: "accent",
    _Role.HighlightedText: "on_accent",
    _Role.Accent: "accent",
    _Role.Link: "link",
    _Role.LinkVisited: "visited",
    _Role.Light: "button",
    _Role.Midlight: "alternate",
    _Role.Mid: "hair",
    _Role.Dark: "edge",
    _Role.Shadow: "edge",
}
_FADED_WHEN_DISABLED = (
    _Role.WindowText,
    _Role.Text,
    _Role.ButtonText,
    _Role.PlaceholderText,
    _Role.HighlightedText,
)

_STYLE_DARKENS = 140

# What a palette cannot say: a focus ring 2 px broad, and nothing to press lower than 24 px (WCAG 2.2,
# 2.4.13 and 2.5.8). Only what is named here leaves the platform's own drawing. A chooser opens as a list
# (popup 0): as a menu, the style would write its chosen line in white on the chooser's own pale ground.
_SHEET = Template("""
QPushButton, QToolButton, QComboBox, QLineEdit {
    min-height: 24px; margin: 1px; border: 1px solid $edge; border-radius: 5px;
}
QPushButton { padding: 1px 12px; background: $button; }
QToolButton { padding: 1px 3px; min-width: 24px; border-color: transparent; background: transparent; }
QComboBox { padding: 1px 8px; background: $button; combobox-popup: 0; }
QLineEdit { padding: 1px 6px; background: $base; }
QPlainTextEdit { border: 1px solid $edge; border-radius: 5px; margin: 1px; background: $base; }
QPushButton:hover, QToolButton:hover, QComboBox:hover { background: $hand; border-color: $edge; }
QPushButton:pressed, QToolButton:pressed { background: $track; }
QToolButton:checked, QPushButton:checked { background: $hand; border-color: $accent; }
QPushButton:default { border-color: $accent; background: $accent; color: $on_accent; }
QPushButton:disabled, QComboBox:disabled, QLineEdit:disabled {
    border-color: $hair; background: $window; color: $disabled;
}
QCheckBox, QRadioButton, QSlider { min-height: 24px; border: 2px solid transparent; border-radius: 5px; }
QCheckBox, QRadioButton { padding: 0px 4px; }
QComboBox::drop-down { border: none; width: 24px; }
QComboBox::down-arrow, QPushButton::menu-indicator {
    width: 10px; height: 6px; background: qconicalgradient(cx: 0.5, cy: 1, angle: 0, stop: 0 transparent,
    stop: 0.14 transparent, stop: 0.15 $text, stop: 0.35 $text, stop: 0.36 transparent, stop: 1 transparent);
}
QPushButton::menu-indicator { subcontrol-position: right center; left: -8px; }
QPushButton::menu-indicator:default { background: qconicalgradient(cx: 0.5, cy: 1, angle: 0,
    stop: 0 transparent, stop: 0.14 transparent, stop: 0.15 $on_accent, stop: 0.35 $on_accent,
    stop: 0.36 transparent, stop: 1 transparent); }
QCheckBox::indicator, QRadioButton::indicator { width: 1.2em; height: 1.2em; }
QAbstractSpinBox { min-height: 26px; }
QAbstractItemView { border: 2px solid $hair; }
QPushButton:focus, QToolButton:focus, QComboBox:focus, QLineEdit:focus, QPlainTextEdit:focus {
    border: 2px solid $focus; margin: 0px;
}
QPushButton:default:focus { border: 2px solid $text; }
QCheckBox:focus, QRadioButton:focus, QSlider:focus, QAbstractItemView:focus { border-color: $focus; }
QComboBox QAbstractItemView { border: 1px solid $edge; }
QComboBox QAbstractItemView::item { min-height: 24px; padding: 0px 4px; }
QToolTip { border: 1px solid $edge; padding: 3px; background: $tip; color: $text; }
""")
