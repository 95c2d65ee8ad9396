"""A reading table without the main window around it, and printed pages as pictures on the disk."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from stitchview.chart.model import Chart
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.paper.photographing import photographed
from tests.paper.printing import Page, Paper, PrintedChart, printed_sheets
from tests.ui.reading.letters import PATH, lettered_chart

COLUMNS, ROWS, SIGNS, SEED = 40, 50, 12, 3


@dataclass
class Shelf:
    """A door that keeps what comes off the table instead of showing it."""

    kept: list[tuple[Chart, Path]] = field(default_factory=list)
    there: Chart | None = None

    def chart_there(self, path: Path) -> Chart | None:
        """Say what a test put there."""
        return self.there

    def put(self, chart: Chart, path: Path) -> bool:
        """Keep it."""
        self.kept.append((chart, path))
        return True

    def write(self, chart: Chart, path: Path) -> bool:
        """Keep it likewise."""
        return self.put(chart, path)


@pytest.fixture
def shelf() -> Shelf:
    """Where charts go."""
    return Shelf()


@pytest.fixture
def table(shelf: Shelf, qtbot: QtBot) -> Iterator[ReadingWindow]:
    """A reading table with nothing on it."""
    board = QWidget()
    window = ReadingWindow(shelf, board)
    window.show()
    yield window
    window.close_down()
    board.close()
    board.deleteLater()


@pytest.fixture(scope="session")
def printed() -> PrintedChart:
    """A small chart printed on one sheet."""
    return printed_sheets(COLUMNS, ROWS, SIGNS, SEED)


@pytest.fixture(scope="session")
def printed_on_two() -> PrintedChart:
    """A small chart printed on two sheets that show some columns both."""
    return printed_sheets(COLUMNS * 2, ROWS, SIGNS, SEED, Paper(across=2, overlap=5))


def photograph(page: Page, path: Path, seed: int = 0) -> NDArray[np.float32]:
    """Take a careful photograph of a page onto the disk; gives the true nodes, (rows + 1, columns + 1, 2)."""
    taken = photographed(page, "careful", seed)
    done = cv2.imwrite(str(path), taken.picture.colour[..., ::-1])
    assert done
    return taken.nodes


@pytest.fixture(scope="session")
def picture(tmp_path_factory: pytest.TempPathFactory, printed: PrintedChart) -> Path:
    """A photograph of the one sheet."""
    path = tmp_path_factory.mktemp("photographs") / "harbour.png"
    photograph(printed.pages[0], path)
    return path


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory, printed_on_two: PrintedChart) -> list[Path]:
    """A photograph of each of the two sheets."""
    folder = tmp_path_factory.mktemp("two photographs")
    paths = [folder / "left.png", folder / "right.png"]
    for number, (page, path) in enumerate(zip(printed_on_two.pages, paths, strict=True)):
        photograph(page, path, number)
    return paths


@pytest.fixture
def chart() -> Chart:
    """A chart of four piles; twelve doubts, half of them really wrong."""
    return lettered_chart()


@pytest.fixture
def review(table: ReadingWindow, chart: Chart) -> ReadingWindow:
    """The table with the chart on its pages of piles and doubts."""
    table.review(chart, PATH)
    table.activateWindow()
    return table
