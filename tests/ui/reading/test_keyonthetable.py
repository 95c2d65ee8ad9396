"""A photographed key page names the piles on the table, by real presses; what she named stays."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from stitchview.chart.codes import allot_codes
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.paper.keysheet import photographed_key, printed_key
from tests.paper.symbols import drawn_signs
from tests.ui.reading.letters import LEFT, PATH, held, turn

COUNT, SEED = 6, 12
LONG_MS = 300_000


@pytest.fixture
def signs_read() -> Chart:
    """A chart whose piles show the signs of a key page, each on as many squares as its number tells."""
    key, pictures = [], {}
    signs = zip(allot_codes(COUNT, []), drawn_signs(COUNT, SEED), strict=True)
    for number, (code, sign) in enumerate(signs, 1):
        small = cv2.resize(255 - sign.ink, (48, 48), interpolation=cv2.INTER_AREA)
        whole = np.full((48, 48), 255, np.uint8)
        whole[3:-3, 3:-3] = cv2.GaussianBlur(small, (0, 0), 1.0)[3:-3, 3:-3]
        name = f"pictures/symbols/{number}.png"
        pictures[name] = cv2.imencode(".png", whole)[1].tobytes()
        key.append(KeyEntry(code, Symbol(picture=name), f"Symbol {number}"))
    squares = np.repeat(np.arange(1, COUNT + 1), [30, 25, 20, 15, 6, 4]).reshape(10, 10).astype(np.uint16)
    return Chart(squares, tuple(key), attachments=pictures)


@pytest.fixture
def page(tmp_path: Path) -> Path:
    """A careful photograph of the key page."""
    taken = photographed_key(printed_key(drawn_signs(COUNT, SEED), SEED), "careful", SEED)
    path = tmp_path / "key.png"
    assert cv2.imwrite(str(path), taken.picture.colour[..., ::-1])
    return path


def open_page(table: ReadingWindow, path: Path, qtbot: QtBot) -> None:
    """Press the button, choose the picture, and wait for what it tells."""
    form = table.piles.form
    QTest.mouseClick(form.page_button, LEFT)
    dialog = form.findChild(QFileDialog)
    assert dialog is not None
    dialog.fileSelected.emit(str(path))
    dialog.reject()
    dialog.deleteLater()
    qtbot.waitUntil(lambda: not table.piles.key_job.busy, timeout=LONG_MS)


def test_piles_are_named_after_the_key_page_and_its_table(
    table: ReadingWindow, signs_read: Chart, page: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    """Each pile gets the thread of its box; one she has named already keeps her name; one press undoes it."""
    hers = replace(signs_read.key[2], name="My own red")
    chart = replace(signs_read, key=(*signs_read.key[:2], hers, *signs_read.key[3:]))
    threads = tmp_path / "key.csv"
    rows = [f"{number},Sample cotton {number},{number}" for number in range(1, COUNT + 1)]
    threads.write_text("\n".join(["code,name,number", *rows]), "utf-8")
    table.review(chart, PATH)
    turn(table, 2)
    table.piles.form.open_table(threads)
    open_page(table, page, qtbot)
    names = [entry.name for entry in held(table).key]
    wanted = [f"Sample cotton {number}" for number in range(1, COUNT + 1)]
    wanted[2] = "My own red"
    assert names == wanted
    assert f"All {COUNT} entries" in table.piles.told.text()
    assert table.piles.form.printed.isVisible()
    QTest.mouseClick(table.piles.undo_button, LEFT)
    assert held(table) is chart


def test_a_picture_without_a_key_says_so(
    table: ReadingWindow, signs_read: Chart, picture: Path, qtbot: QtBot
) -> None:
    """A photograph of the chart itself is no key page: one sentence, and nothing is named."""
    table.review(signs_read, PATH)
    turn(table, 2)
    open_page(table, picture, qtbot)
    assert "key" in table.piles.told.text()
    assert held(table) is signs_read
