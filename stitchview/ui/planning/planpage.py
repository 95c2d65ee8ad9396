"""A page of the planning window, and the parts that pages are made of."""

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import QDate, QEvent, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QDateEdit, QDoubleSpinBox, QFormLayout, QFrame, QLabel, QSizePolicy, QWidget

from stitchview.ui.planworks import PlanPlace
from stitchview.ui.settingsdialog import Scrolling
from stitchview.ui.theme import shades_of

GAP = 10
SIDE_WIDTH = 310


class PlanPage(QWidget):
    """One page; `refresh` shows everything as it is now, and is called when the page comes up."""

    place: PlanPlace

    def refresh(self) -> None:
        """Show everything as it is now."""
        raise NotImplementedError


def heading(words: str) -> QLabel:
    """The words above a part of a page."""
    label = QLabel(words)
    font = QFont(label.font())
    font.setBold(True)
    label.setFont(font)
    return label


def words_label(words: str = "", quiet: bool = False) -> QLabel:
    """Sentences that wrap, and that can be marked and copied."""
    label = QLabel(words)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    if quiet:
        label.setForegroundRole(label.palette().ColorRole.PlaceholderText)
    return label


def rule() -> QFrame:
    """A line between two parts."""
    line = QFrame()
    line.setFrameShape(QFrame.Shape.HLine)
    line.setFrameShadow(QFrame.Shadow.Plain)
    line.setForegroundRole(line.palette().ColorRole.Mid)
    return line


def number_box(bounds: tuple[float, float], name: str, decimals: int = 1, suffix: str = "") -> QDoubleSpinBox:
    """A field for a number, with what a screen reader calls it."""
    box = QDoubleSpinBox()
    box.setDecimals(decimals)
    box.setRange(*bounds)
    box.setSuffix(suffix)
    box.setAccessibleName(name)
    # A value is taken over when it is whole, not after each of its digits.
    box.setKeyboardTracking(False)
    box.setMinimumHeight(box.sizeHint().height())
    return box


def day_box(day: QDate, name: str) -> QDateEdit:
    """A field for a day, written as days are told everywhere, with what a screen reader calls it."""
    box = QDateEdit(day)
    box.setCalendarPopup(True)
    box.setDisplayFormat("d MMMM yyyy")
    box.setAccessibleName(name)
    box.setMinimumHeight(box.sizeHint().height())
    return box


def side_panel(fields: QWidget) -> Scrolling:
    """Fields at the side of a page, which can be scrolled where the window is low."""
    side = Scrolling(fields)
    # Where letters are large, more room is needed than usual.
    wide = max(SIDE_WIDTH, fields.minimumSizeHint().width())
    fields.setFixedWidth(wide)
    side.setFixedWidth(wide + side.verticalScrollBar().sizeHint().width() + 2)
    return side


def add_field(form: QFormLayout, words: str, control: QWidget) -> None:
    """Add a field with its words level with it."""
    label = QLabel(words)
    # Words with an underlined letter are drawn without kerning, but measured with it: “To” lost half its o.
    letters = label.fontMetrics().horizontalAdvance
    label.setMinimumSize(sum(map(letters, words.replace("&", ""))), control.sizeHint().height())
    label.setBuddy(control.focusProxy() or control)
    form.addRow(label, control)


class Facts(QLabel):
    """Names at the left and words at the right, as one text that can be marked and copied."""

    def __init__(self) -> None:
        super().__init__()
        self._facts: dict[str, str] = {}
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.RichText)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)

    def tell(self, facts: Sequence[tuple[str, str]]) -> None:
        """Show these facts, in this order."""
        self._facts = dict(facts)
        self._write()
        self.setAccessibleDescription("\n".join(f"{name}: {words}" for name, words in facts))

    def words_of(self, name: str) -> str:
        """What is told under a name now; nothing if it is not told."""
        return self._facts.get(name, "")

    def changeEvent(self, event: QEvent) -> None:
        """Write it anew in the colours of another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._facts:
            self._write()

    def _write(self) -> None:
        quiet = shades_of(self.palette()).quiet.hex
        rows = (
            f'<tr><td style="color: {quiet}; padding: 3px 14px 3px 0px">{escape(name)}</td>'
            f'<td style="padding: 3px 0px">{escape(words)}</td></tr>'
            for name, words in self._facts.items()
        )
        text = f"<table cellspacing=0>{''.join(rows)}</table>"
        if text != self.text():
            self.setText(text)
