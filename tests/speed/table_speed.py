"""How fast the reading table is: contact sheets, the next doubt, sorting anew; and a person's minutes.

Run it with `OPENBLAS_NUM_THREADS=1 python -m tests.speed.table_speed [RUNS]`, which is how the program runs
(stitchview/__main__.py): else threads waiting for each other treble the next doubt. Frames are told in
floors (tests/speed/floor.py), CPU time. The walk answers a careful photograph by real keys and counts a
second for every answer. Nothing is asserted, because machines are noisy.
"""

import io
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from stitchview.chart.area import Area
from stitchview.chart.codes import allot_codes
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import Doubts, Why
from stitchview.sheets.correcting import decided, places_of
from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.readagain import chart_from
from stitchview.sheets.reading import FoundSheet, Watch, Wishes
from stitchview.sheets.rereading import squares_by_hand
from stitchview.sheets.squarelooks import Looks, looks_of
from stitchview.sheets.straightening import straighten
from stitchview.sheets.teaching import most_useful, taught
from stitchview.ui.reading.contactsheet import STEP, ContactSheet
from stitchview.ui.reading.paperpieces import pieces_of
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.journeys.reader import Reader
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets
from tests.speed.floor import Row, Stage, Timing, application, floor_timing, measure, median_of, table

COLUMNS, ROWS, SIDE, SIGNS, DOUBTS = 400, 250, 24, 60, 2500
FRAMES = 200
WALKS = ((90, 80, 20, 11), (90, 80, 37, 12), (100, 100, 40, 15))


class Nobody:
    """A door that keeps nothing."""

    def chart_there(self, _path: Path) -> Chart | None:
        """There is none."""
        return None

    def put(self, _chart: Chart, _path: Path) -> bool:
        """Say that it was kept."""
        return True

    def write(self, _chart: Chart, _path: Path) -> bool:
        """Say so too."""
        return True


def large_chart() -> Chart:
    """100,000 squares of sixty signs on a noisy sheet, some in doubt."""
    random = np.random.default_rng(8)
    signs = np.full((SIGNS, SIDE, SIDE), 235, np.uint8)
    for number in range(SIGNS):
        tile = Image.fromarray(signs[number])
        ImageDraw.Draw(tile).text((7, 4), chr(0x41 + number), fill=30, font_size=15)
        signs[number] = np.asarray(tile)
    signs[:, 0], signs[:, :, 0] = 120, 120
    squares = random.integers(1, SIGNS + 1, (ROWS, COLUMNS), np.uint16)
    paper = signs[squares - 1].transpose(0, 2, 1, 3).reshape(ROWS * SIDE, COLUMNS * SIDE)
    noisy = np.clip(paper + random.normal(0, 9, paper.shape), 0, 255).astype(np.uint8)
    content = io.BytesIO()
    Image.fromarray(noisy).save(content, "JPEG", quality=88)
    codes = allot_codes(SIGNS, [])
    names = [f"pictures/symbols/{number}.png" for number in range(1, SIGNS + 1)]
    key = tuple(
        KeyEntry(code, Symbol(picture=name), f"Symbol {number}")
        for number, (code, name) in enumerate(zip(codes, names, strict=True), 1)
    )
    pictures = {"pictures/sheets/1.jpg": content.getvalue()}
    for name, sign in zip(names, signs, strict=True):
        packed = io.BytesIO()
        Image.fromarray(sign).resize((48, 48)).save(packed, "PNG")
        pictures[name] = packed.getvalue()
    places = random.choice(squares.size, DOUBTS, replace=False)
    rows, columns = np.divmod(places, COLUMNS)
    seconds = squares[rows, columns] % SIGNS + 1
    doubts = Doubts(
        columns.astype(np.int32),
        rows.astype(np.int32),
        random.uniform(0.05, 0.9, DOUBTS).astype(np.float32),
        seconds.astype(np.uint16),
        np.full(DOUBTS, Why.SYMBOL, np.uint8),
    )
    sheet = Sheet("Sheet", Area(0, 0, COLUMNS, ROWS), "pictures/sheets/1.jpg")
    return Chart(squares, key, "Large", doubts=doubts, sheets=(sheet,), attachments=pictures)


def never() -> bool:
    """Never stop."""
    return False


def scrolling(chart: Chart) -> list[tuple[str, Timing]]:
    """A contact sheet of all squares at once, scrolled by a third of a cell and by whole pages."""
    sheet = ContactSheet()
    stage = _stage(sheet)
    sheet.show_squares(pieces_of(chart), np.arange(chart.squares.size), chart.columns, 0)
    bar = sheet.verticalScrollBar()
    stage.frame(sheet.viewport().update)

    def scrolled(_: int) -> None:
        stage.frame(lambda: bar.setValue(bar.value() + STEP // 3))

    def jumped(_: int) -> None:
        stage.frame(lambda: bar.setValue((bar.value() + 7 * bar.pageStep()) % bar.maximum()))

    found = [
        ("contact sheet, scrolled", measure(scrolled, FRAMES)),
        ("contact sheet, a page further", measure(jumped, FRAMES // 4)),
    ]
    stage.close()
    return found


def _stage(sheet: ContactSheet) -> Stage:
    """A stage that watches the part of the sheet that paints."""
    stage = Stage(sheet)
    sheet.viewport().installEventFilter(stage)
    return stage


def sorting(chart: Chart, looks: Looks) -> list[tuple[str, Timing]]:
    """Sorting anew after an answer, and finding the next doubt."""
    hand = squares_by_hand(chart.by_hand, (chart.rows, chart.columns)).ravel()
    state = {"chart": chart}

    def answered(number: int) -> None:
        place = places_of(state["chart"])[[number % len(state["chart"].doubts)]]
        own = int(state["chart"].squares.ravel()[place[0]])
        hand[place] = True
        state["chart"] = taught(decided(state["chart"], place, own), looks, place, hand)

    def asked(_: int) -> None:
        most_useful(chart, looks, (3, 3))

    return [("sorted anew after an answer", measure(answered, 40)), ("next doubt found", measure(asked, 40))]


def doubts(chart: Chart) -> tuple[str, Timing]:
    """From the key that answers to the next doubt on the screen, with its teaching."""
    board = QWidget()
    window = ReadingWindow(Nobody(), board)
    window.show()
    window.review(chart, Path("large.svchart"))
    while window.book.learning:
        QApplication.processEvents()
        time.sleep(0.01)
    window.tabs.setCurrentWidget(window.doubts)
    stage = _watching(window)

    def answered(_: int) -> None:
        stage.frame(lambda: QTest.keyClick(window, Qt.Key.Key_1))

    for number in range(5):
        answered(number)
    timing = measure(answered, 40)
    window.close_down()
    window.deleteLater()
    board.deleteLater()
    return "next doubt on the screen", timing


def _watching(window: ReadingWindow) -> Stage:
    window.activateWindow()
    QApplication.processEvents()
    return Stage(window.doubts.picture, window.doubts.picture.width(), window.doubts.picture.height())


def walk(columns: int, rows: int, signs: int, seed: int, together: bool) -> str:
    """The answers that a careful photograph takes, one second each, as minutes per 10,000 squares."""
    page = printed_sheets(columns, rows, signs, seed)
    picture = photographed(page.pages[0], "careful", seed).picture
    lattice = find_lattice(picture)
    found = FoundSheet("sheet", lattice, straighten(picture, lattice, 20, 20))
    chart = chart_from([found], Wishes(), Watch())
    board = QWidget()
    window = ReadingWindow(Nobody(), board)
    window.show()
    window.review(chart, Path("walk.svchart"))
    window.activateWindow()
    while window.book.learning:
        QApplication.processEvents()
        time.sleep(0.01)
    reader = Reader(window, page.content.codes)
    before = len(chart.doubts)
    reader.name_piles()
    reader.answer_doubts(together)
    seconds = sum(reader.answers.values())
    minutes = seconds / 60 / reader.truth.size * 10_000
    told = ", ".join(f"{count} {what}" for what, count in reader.answers.items())
    right = reader.right_share()
    window.close_down()
    window.deleteLater()
    board.deleteLater()
    way = "many at once" if together else "one by one"
    size = f"{columns} x {rows}, {signs} signs"
    return f"{size}, {way}: {before} doubts; {told}: {minutes:.2f} min per 10,000; {right:.4%} right\n"


def main(runs: int) -> None:
    """Measure, and print the figures."""
    application()
    floor = median_of([floor_timing() for _ in range(max(runs, 3))])
    chart = large_chart()
    began = time.process_time()
    looks = looks_of(chart, never)
    assert looks is not None
    sys.stdout.write(f"looks of {chart.squares.size:,} squares: {time.process_time() - began:.1f} s CPU\n")
    rows = [Row(name, timing) for name, timing in (*scrolling(chart), *sorting(chart, looks), doubts(chart))]
    sys.stdout.write(table(rows, floor))
    for sizes in WALKS:
        for together in (False, True):
            sys.stdout.write(walk(*sizes, together))
            sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
