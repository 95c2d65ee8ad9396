"""A chart read from a sheet of letters, half of its doubts really wrong, on the table's pages."""

import io
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import Doubts, Why
from stitchview.ui.reading.readingwindow import ReadingWindow

LEFT = Qt.MouseButton.LeftButton
COLUMNS, ROWS, SIDE = 20, 15, 24
LETTERS = " OXTH"
PATH = Path("harbour.svchart")


def lettered_chart() -> Chart:
    """A chart of four piles whose sheet shows letters; twelve doubts, half of them really wrong."""
    random = np.random.default_rng(4)
    true = random.choice(5, (ROWS, COLUMNS), p=[0.1, 0.4, 0.3, 0.15, 0.05]).astype(np.uint16)
    paper = Image.new("RGB", (COLUMNS * SIDE, ROWS * SIDE), "white")
    draw = ImageDraw.Draw(paper)
    for (row, column), code in np.ndenumerate(true):
        box = (column * SIDE, row * SIDE, (column + 1) * SIDE, (row + 1) * SIDE)
        draw.rectangle(box, outline="grey")
        draw.text((box[0] + 8, box[1] + 5), LETTERS[int(code)], fill="black", font_size=14)
    key = tuple(
        KeyEntry(code, Symbol(picture=f"pictures/symbols/{number}.png"), f"Symbol {number}")
        for number, code in enumerate("abcd", 1)
    )
    pictures = {"pictures/sheets/1.png": packed(paper)}
    for number, entry in enumerate(key, 1):
        sign = Image.new("L", (48, 48), 255)
        ImageDraw.Draw(sign).text((14, 8), LETTERS[number], fill=0, font_size=30)
        pictures[entry.symbol.picture] = packed(sign)
    places = np.argwhere(true > 0)[::20][:12]
    rows, columns = places.T.astype(np.int32)
    squares, seconds = true.copy(), true[rows, columns] % 4 + 1
    wrong = np.arange(len(places)) % 2 == 0
    squares[rows[wrong], columns[wrong]] = seconds[wrong]
    seconds[wrong] = true[rows[wrong], columns[wrong]]
    chances = np.linspace(0.9, 0.1, len(places)).astype(np.float32)
    doubts = Doubts(
        columns.copy(),
        rows.copy(),
        chances,
        seconds.astype(np.uint16),
        np.full(len(places), Why.SYMBOL, np.uint8),
    )
    sheet = Sheet("Sheet", Area(0, 0, COLUMNS, ROWS), "pictures/sheets/1.png")
    return Chart(
        squares, key, "Harbour", doubts=doubts, sheets=(sheet,), attachments=pictures, notes=told(true)
    )


def packed(image: Image.Image) -> bytes:
    """A picture as the bytes of a PNG."""
    content = io.BytesIO()
    image.save(content, "PNG")
    return content.getvalue()


def told(true: NDArray[np.uint16]) -> str:
    """The truth, to be looked up by the one who answers."""
    return "\n".join("".join(LETTERS[number] for number in row) for row in true.tolist())


def held(review: ReadingWindow) -> Chart:
    """The chart as it stands on the table."""
    assert review.book.chart is not None
    return review.book.chart


def turn(review: ReadingWindow, page: int) -> None:
    """Turn to a page by its key."""
    QTest.keySequence(review, f"Ctrl+{page}")
    assert review.tabs.currentIndex() == page - 1
