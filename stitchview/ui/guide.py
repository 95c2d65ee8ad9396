"""The help: how to follow a chart in a few sentences, every key, and the cautions, as pages of one dialog."""

from html import escape

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTabWidget, QTextBrowser, QVBoxLayout, QWidget

from stitchview.ui.cautions import CAUTIONS
from stitchview.ui.cautions import HEADING as CAUTIONS_HEADING
from stitchview.ui.shortcuthelp import keys_html

KEYS, GUIDE, CAUTIONS_PAGE = range(3)
_GUIDE = (
    (
        "Look around",
        "Drag the chart, or turn the wheel; with Ctrl held the wheel zooms about the pointer. 0 shows the"
        " whole chart, Z lets you draw the part you want to see, and Backspace goes back to the view before.",
    ),
    (
        "Lay the band",
        "B lays a band over the rows at the pointer, V over columns, F a frame; the rest is dimmed. Ctrl and"
        " an arrow key move it by a row, with Shift by its own height. Drag an edge to make it taller, or"
        " double click where it should go. It can step on by itself when all in it is done.",
    ),
    (
        "Take a thread in hand",
        "Click it in the key, or point at a square and press K. With “only the thread in hand” (O) every"
        " other thread is passed over, so a careless drag marks nothing wrong.",
    ),
    (
        "Mark what you have stitched",
        "M marks and U unpicks; 1 to 5 choose the shape: one square, a sweep, a rectangle, a run, a patch."
        " Ctrl+Z takes back any stroke, also one of last week. Every mark is on the disk at once.",
    ),
    (
        "Without a mouse",
        "Shift and the arrow keys move a pointer of its own over the chart; Return marks there with the"
        " shape in use, Shift+Return unpicks, and the line below always says where it is.",
    ),
    (
        "Come back",
        "Close the window whenever you like. The chart opens again at the same square, and shows for a moment"
        " where you stopped; H goes back there.",
    ),
)


class Guide(QDialog):
    """Shows the help beside the chart; the window can be used while it is open."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Keys and guide")
        self.pages = QTabWidget()
        for name, html in (
            ("Keys", keys_html()),
            ("Guide", _guide_html()),
            (CAUTIONS_HEADING, _cautions_html()),
        ):
            self.pages.addTab(_page(name, html), name)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.pages)
        column.addWidget(buttons)

    def sizeHint(self) -> QSize:
        """Ask for a page that can be read without much scrolling."""
        return QSize(640, 620)

    def show_page(self, page: int) -> None:
        """Show one of the pages."""
        self.pages.setCurrentIndex(page)
        self.show()
        self.raise_()
        self.activateWindow()


def _page(name: str, html: str) -> QTextBrowser:
    page = QTextBrowser()
    page.setHtml(html)
    page.setAccessibleName(name)
    return page


def _guide_html() -> str:
    return "".join(f"<h3>{escape(head)}</h3><p>{escape(text)}</p>" for head, text in _GUIDE)


def _cautions_html() -> str:
    return f"<h3>{escape(CAUTIONS_HEADING)}</h3>" + "".join(f"<p>{escape(text)}</p>" for text in CAUTIONS)
