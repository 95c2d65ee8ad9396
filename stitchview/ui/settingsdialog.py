"""The settings: only what people really change, seen on the chart while they are being changed."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeVar

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSlider,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.sittings import Pauses
from stitchview.follow.numbering import Numbering
from stitchview.ui.cautions import SHORT
from stitchview.ui.preferences import DIM, GAP_MINUTES, IDLE_MINUTES, LINE_WEIGHT, SYMBOL_SIZE, Preferences
from stitchview.ui.speech import MISSING, make_of_engine
from stitchview.ui.theme import Theme

THEME_WORDS = {Theme.SYSTEM: "as the system", Theme.LIGHT: "light", Theme.DARK: "dark"}
NUMBERING_WORDS = {
    Numbering.TOP_LEFT: "the top left corner",
    Numbering.TOP_RIGHT: "the top right corner",
    Numbering.BOTTOM_LEFT: "the bottom left corner",
    Numbering.BOTTOM_RIGHT: "the bottom right corner",
    Numbering.CENTRE: "the centre",
}
Choice = TypeVar("Choice", bound=StrEnum)


class SettingsDialog(QDialog):
    """Changes preferences; `changed` is called with each change, and with the old ones on Cancel.

    Open it with `open()`, so that the chart behind it can be seen to follow.
    """

    def __init__(
        self,
        preferences: Preferences,
        changed: Callable[[Preferences], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._before, self._changed = preferences, changed
        self.preferences = preferences
        self.setWindowTitle("Settings")
        self.theme = _chooser(THEME_WORDS)
        self.numbering = _chooser(NUMBERING_WORDS)
        self.dim = ShareSlider("Dim beside the band", DIM)
        self.symbol_size = ShareSlider("Size of symbols in hundredths of a square", SYMBOL_SIZE)
        self.line_weight = ShareSlider("Width of back stitch in hundredths of a square", LINE_WEIGHT)
        self.snaps = QCheckBox("The band snaps to &tens")
        self.steps_on = QCheckBox("The band &steps on when all in it is done")
        self.left_handed = QCheckBox("Work from the &right, as the left hand does")
        self.gap = _minutes(GAP_MINUTES, "Minutes of quiet that end a sitting")
        self.idle = _minutes(IDLE_MINUTES, "Minutes of quiet that are a pause, not work")
        self.single_keys = QCheckBox("Use keys of &one letter")
        self.single_keys.setToolTip(
            "Letters, digits and signs by themselves; with Ctrl or Alt they always work"
        )
        self.speaks = QCheckBox("Say runs &aloud that are called out")
        self.no_voice = QLabel("" if make_of_engine() else MISSING)
        self.speaks.setEnabled(not self.no_voice.text())
        if not self.no_voice.text():
            self.no_voice.hide()
        self.no_voice.setWordWrap(True)
        self.no_voice.setForegroundRole(self.palette().ColorRole.PlaceholderText)
        self.buttons = _buttons()
        self._lay_out()
        self._fill(preferences)
        self._connect()

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.setVerticalSpacing(10)
        rows = (
            ("Co&lours", self.theme),
            ("&Count from", self.numbering),
            ("&Dim beside the band", self.dim),
            ("Size of s&ymbols", self.symbol_size),
            ("&Back stitch width", self.line_weight),
            ("A sitting &ends after", self.gap),
            ("A &pause begins after", self.idle),
        )
        for words, control in rows:
            label = QLabel(words)
            label.setMinimumHeight(control.sizeHint().height())
            label.setBuddy(control.focusProxy() or control)
            form.addRow(label, control)
        cautions = QLabel(SHORT)
        cautions.setWordWrap(True)
        cautions.setForegroundRole(self.palette().ColorRole.PlaceholderText)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setSpacing(10)
        column.addLayout(form)
        for part in (*self._switches, self.no_voice, _rule(), cautions):
            column.addWidget(part)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.addWidget(Scrolling(inside))
        outer.addWidget(self.buttons)

    def _connect(self) -> None:
        for chooser in (self.theme, self.numbering):
            chooser.currentIndexChanged.connect(self._take)
        for share in (self.dim, self.symbol_size, self.line_weight):
            share.slider.valueChanged.connect(self._take)
        for minutes in (self.gap, self.idle):
            minutes.valueChanged.connect(self._take)
        for switch in self._switches:
            switch.toggled.connect(self._take)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        usual = self.buttons.button(QDialogButtonBox.StandardButton.RestoreDefaults)
        usual.clicked.connect(self._back_to_usual)

    @property
    def _switches(self) -> tuple[QCheckBox, ...]:
        return self.snaps, self.steps_on, self.left_handed, self.single_keys, self.speaks

    def reject(self) -> None:
        """Close, with everything as it was before."""
        if self.preferences != self._before:
            self.preferences = self._before
            self._changed(self._before)
        super().reject()

    def _back_to_usual(self) -> None:
        self._fill(Preferences())

    def _fill(self, preferences: Preferences) -> None:
        self.theme.setCurrentIndex(self.theme.findData(preferences.theme.value))
        self.numbering.setCurrentIndex(self.numbering.findData(preferences.numbering.value))
        self.dim.set_share(preferences.dim)
        self.symbol_size.set_share(preferences.symbol_size)
        self.line_weight.set_share(preferences.line_weight)
        self.gap.setValue(round(preferences.pauses.gap))
        self.idle.setValue(round(preferences.pauses.idle))
        self.snaps.setChecked(preferences.snaps_to_tens)
        self.steps_on.setChecked(preferences.steps_on)
        self.left_handed.setChecked(preferences.left_handed)
        self.single_keys.setChecked(preferences.single_keys)
        self.speaks.setChecked(preferences.speaks)

    def _take(self) -> None:
        taken = replace(
            self.preferences,
            theme=Theme(self.theme.currentData()),
            numbering=Numbering(self.numbering.currentData()),
            dim=self.dim.share,
            symbol_size=self.symbol_size.share,
            line_weight=self.line_weight.share,
            snaps_to_tens=self.snaps.isChecked(),
            steps_on=self.steps_on.isChecked(),
            left_handed=self.left_handed.isChecked(),
            single_keys=self.single_keys.isChecked(),
            speaks=self.speaks.isChecked(),
            pauses=Pauses(self.gap.value(), min(self.gap.value(), self.idle.value())),
        )
        if taken != self.preferences:
            self.preferences = taken
            self._changed(taken)


@dataclass(frozen=True, slots=True)
class Hundredths:
    """A share between two bounds, as whole steps of a hundredth, which a slider can hold."""

    least: int
    most: int

    @classmethod
    def of(cls, bounds: tuple[float, float]) -> "Hundredths":
        """The steps between two shares."""
        return cls(round(bounds[0] * 100), round(bounds[1] * 100))


class ShareSlider(QWidget):
    """A slider over shares of 1, with its value beside it in hundredths."""

    def __init__(self, name: str, bounds: tuple[float, float], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        steps = Hundredths.of(bounds)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(steps.least, steps.most)
        self.slider.setPageStep(5)
        self.slider.setMinimumWidth(140)
        self.slider.setAccessibleName(name)
        self._told = QLabel()
        self._told.setMinimumWidth(self._told.fontMetrics().horizontalAdvance("100 %"))
        self._told.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.slider, 1)
        row.addWidget(self._told)
        self.setFocusProxy(self.slider)
        self.slider.valueChanged.connect(self._tell)
        self._tell(self.slider.value())

    @property
    def share(self) -> float:
        """The share it stands at."""
        return self.slider.value() / 100

    def set_share(self, share: float) -> None:
        """Put it at a share."""
        self.slider.setValue(round(share * 100))

    def _tell(self, value: int) -> None:
        self._told.setText(f"{value} %")


def _chooser(words: dict[Choice, str]) -> QComboBox:
    chooser = QComboBox()
    for kind, text in words.items():
        chooser.addItem(text, kind.value)
    return chooser


def _minutes(bounds: tuple[int, int], name: str) -> QSpinBox:
    box = QSpinBox()
    box.setRange(*bounds)
    box.setSuffix(" minutes of quiet")
    box.setAccessibleName(name)
    box.setMinimumHeight(box.sizeHint().height())
    return box


def _buttons() -> QDialogButtonBox:
    kinds = QDialogButtonBox.StandardButton
    buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel | kinds.RestoreDefaults)
    buttons.button(kinds.RestoreDefaults).setText("As &usual")
    buttons.button(kinds.RestoreDefaults).setToolTip("Put everything as it was when the program was new")
    return buttons


def _rule() -> QFrame:
    rule = QFrame()
    rule.setFrameShape(QFrame.Shape.HLine)
    rule.setFrameShadow(QFrame.Shadow.Plain)
    rule.setForegroundRole(rule.palette().ColorRole.Mid)
    return rule


class Scrolling(QScrollArea):
    """Lets what is inside be scrolled, where letters are large and screens are small."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self._inside = inside
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        """Ask for room for all of it."""
        wide = max(self._inside.sizeHint().width(), 56 * self.fontMetrics().averageCharWidth())
        return QSize(wide, max(self._inside.heightForWidth(wide), self._inside.sizeHint().height()))

    def minimumSizeHint(self) -> QSize:
        """Never be narrower than what is inside, because only up and down can be scrolled."""
        bar = self.verticalScrollBar().sizeHint().width()
        return QSize(self._inside.minimumSizeHint().width() + bar, 120)
