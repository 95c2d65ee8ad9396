"""What the actions on paper charts must come to: set the scene, yield for the key, look."""

import io
from collections.abc import Callable, Iterator
from dataclasses import replace

from PIL import Image

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Sheet
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.journeys.sofa import Sofa

PAPER = "#d8c4a0"


def opens_the_reading_table(sofa: Sofa) -> Iterator[None]:
    yield
    table = sofa.window.findChild(ReadingWindow)
    assert table is not None
    assert table.isVisible()
    assert table.sheets.add_button.isEnabled()
    table.reject()


def shows_the_paper(sofa: Sofa) -> Iterator[None]:
    with_a_sheet(sofa)
    assert pixel_at(sofa, (7, 7)) != PAPER
    yield
    assert pixel_at(sofa, (7, 7)) == PAPER
    assert shown(sofa) == "picture"
    sofa.press("Shift+P")
    assert shown(sofa) == "both"
    sofa.press("Shift+P")
    assert shown(sofa) == "symbols"
    assert pixel_at(sofa, (7, 7)) != PAPER


def takes_the_pencil_up(sofa: Sofa) -> Iterator[None]:
    yield
    assert sofa.program is not None
    pencil = sofa.program.deeds.pencil
    assert pencil.in_hand
    assert pencil.panel is not None
    pencil.panel.reject()
    assert not pencil.in_hand


def shown(sofa: Sofa) -> str:
    """What the canvas shows of the chart."""
    return sofa.canvas.showing.look.shown.value


def with_a_sheet(sofa: Sofa) -> None:
    """Go on with the same chart and a picture of one colour for its only sheet."""
    path, chart = sofa.sitting.path, sofa.desk.chart
    sofa.charts.close()
    content = io.BytesIO()
    Image.new("RGB", (chart.columns * 8, chart.rows * 8), PAPER).save(content, "PNG")
    sheet = Sheet("Sheet", chart.area, "pictures/sheets/1.png")
    pictures = {sheet.picture: content.getvalue()}
    write_chart(replace(chart, sheets=(sheet,), attachments=pictures), path)
    sofa.charts.open(path)
    sofa.app.processEvents()


def pixel_at(sofa: Sofa, square: tuple[int, int]) -> str:
    """The colour that the canvas shows in the middle of a square."""
    return sofa.canvas.grab().toImage().pixelColor(sofa.place_of(square)).name()


PAPERS: dict[str, Callable[[Sofa], Iterator[None]]] = {
    "read-paper": opens_the_reading_table,
    "picture": shows_the_paper,
    "pencil": takes_the_pencil_up,
}
