"""The welcome over the sample: what the program is for, three things to try, and ways to go on."""

from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QLabel,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.fileformat import SUFFIX
from stitchview.chart.shipped import shipped
from stitchview.errors import StitchviewError
from stitchview.ui.theme import shades_of

HEADING = "Welcome"
PARAGRAPH = (
    "stitchview shows your chart, however large, keeps your place in it, and remembers every stitch"
    " you mark. This is a sample to try things on: a harbour at dusk."
)
TRIES = (
    ("Lay the band", "over the rows you work on, and move it down as you finish them."),
    ("Mark what you have stitched", "by drawing over the squares; undo takes it back."),
    ("Close the window and come back", "tomorrow: you are at the same square."),
)
MARGIN = 16
PADDING = (24, 20, 24, 20)
GAP = 14
MOST_LETTERS_WIDE = 70


class WelcomeListener(Protocol):
    """Who acts on what is chosen in the welcome."""

    def chart_asked(self) -> None:
        """Ask which chart to open."""

    def sample_asked(self, path: Path) -> None:
        """Open a sample that comes with the program."""

    def welcome_closed(self) -> None:
        """Take note that she has read it; the keyboard goes back to the chart."""


class WelcomePanel(QWidget):
    """Lies over its parent without stopping anything, and stays in its middle."""

    def __init__(self, listener: WelcomeListener, parent: QWidget) -> None:
        super().__init__(parent)
        self._listener, self._parent = listener, parent
        self.setAccessibleName(HEADING)
        self.open_button = QPushButton("&Open a chart…")
        self.samples_button = QPushButton("Try a &sample")
        self.close_button = QPushButton("&Begin here")
        self.close_button.setToolTip("Close the welcome and go on with what is on the window")
        self.close_button.setDefault(True)
        self.setFocusProxy(self.close_button)
        self._words = QWidget()
        self._buttons = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._offer_samples()
        self._lay_out()
        self.open_button.clicked.connect(self._ask_for_chart)
        self.close_button.clicked.connect(self.dismiss)
        parent.installEventFilter(self)
        self._place()

    def _lay_out(self) -> None:
        heading = QLabel(HEADING)
        font = heading.font()
        font.setPointSizeF(max(font.pointSizeF(), 1) * 1.6)
        heading.setFont(font)
        words = QVBoxLayout(self._words)
        words.setContentsMargins(0, 0, 0, 0)
        words.setSpacing(10)
        words.addWidget(heading)
        words.addWidget(_paragraph(PARAGRAPH))
        for number, (first, rest) in enumerate(TRIES, 1):
            words.addWidget(_paragraph(f"<b>{number}.&nbsp; {first}</b> {rest}"))
        for button in (self.close_button, self.samples_button, self.open_button):
            # So that Enter presses it too, and not Space alone.
            button.setAutoDefault(True)
            self._buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(*PADDING)
        column.setSpacing(GAP)
        column.addWidget(_scrolling(self._words), 1)
        column.addLayout(self._buttons)

    def _offer_samples(self) -> None:
        samples = shipped_samples()
        self.samples_button.setVisible(bool(samples))
        menu = QMenu(self)
        for path in samples:
            action = menu.addAction(sample_words(path))
            action.setData(str(path))
        menu.triggered.connect(self._ask_for_sample)
        self.samples_button.setMenu(menu)
        # Room for the arrow of the menu.
        self.samples_button.setText(f"{self.samples_button.text()}    ")

    def dismiss(self) -> None:
        """Close the welcome."""
        self.hide()
        self._listener.welcome_closed()

    def showEvent(self, event: QShowEvent) -> None:
        """Take a place once the letters and the style are known."""
        super().showEvent(event)
        self._place()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the middle of the parent."""
        if event.type() == QEvent.Type.Resize:
            self._place()
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.dismiss()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the card."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        shades = shades_of(self.palette())
        painter.setPen(QPen(as_qt(shades.edge), 1))
        painter.setBrush(as_qt(shades.base))
        painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 8, 8)
        painter.end()

    def _ask_for_chart(self) -> None:
        self.dismiss()
        self._listener.chart_asked()

    def _ask_for_sample(self, action: QAction) -> None:
        self.dismiss()
        self._listener.sample_asked(Path(action.data()))

    def _place(self) -> None:
        parent, (left, top, right, bottom) = self._parent, PADDING
        usual = self.fontMetrics().averageCharWidth() * MOST_LETTERS_WIDE + left + right
        width = min(usual, parent.width() - 2 * MARGIN)
        fits = self._width_of_buttons <= width - left - right
        way = QBoxLayout.Direction
        self._buttons.setDirection(way.LeftToRight if fits else way.TopToBottom)
        words = self._words.heightForWidth(width - left - right)
        wanted = words + GAP + self._buttons.sizeHint().height() + top + bottom
        height = min(wanted, parent.height() - 2 * MARGIN)
        self.setGeometry((parent.width() - width) // 2, (parent.height() - height) // 2, width, height)

    @property
    def _width_of_buttons(self) -> int:
        buttons = (self.close_button, self.samples_button, self.open_button)
        shown = [button.sizeHint().width() for button in buttons if not button.isHidden()]
        return sum(shown) + self._buttons.spacing() * (len(shown) - 1)


def shipped_samples() -> tuple[Path, ...]:
    """The sample charts that come with the program, files and folders; none when they are missing."""
    try:
        folder = shipped("samples")
    except StitchviewError:
        return ()
    found = (path for path in folder.iterdir() if path.suffix == SUFFIX or (path / "chart.json").is_file())
    return tuple(sorted(found, key=lambda path: path.name))


def sample_words(path: Path) -> str:
    """What a sample is called in a menu: its file's name in words."""
    words = path.stem.replace("-", " ").replace("_", " ").strip()
    return words[:1].upper() + words[1:]


def _paragraph(words: str) -> QLabel:
    label = QLabel(words)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText)
    return label


def _scrolling(inside: QWidget) -> QScrollArea:
    """Let what is inside be scrolled where the window is low, without a ground of its own."""
    area = QScrollArea()
    area.setWidget(inside)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    for ground in (area.viewport(), inside):
        ground.setAutoFillBackground(False)
    return area
