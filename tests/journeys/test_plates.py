"""Two printed charts of 1886, built from what was read off the paper, followed and marked on the window."""

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.counting import facts
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE
from stitchview.follow.band import band_of_rows
from tests.journeys.sofa import Sofa

# The plates and their truth are public domain: Encyclopedia of Needlework (1886), figs. 288 and 289,
# Project Gutenberg ebook 20776; read twice, independently (shared/plates/README.md).
PLATES = ("288", "289")
IDENTITY = "3d1f0c52-3a44-4c1b-9a37-5f2c8d1e6b9{}"


@dataclass(frozen=True)
class Plate:
    """One plate: its rows of code letters, and how often each sign was found on the paper."""

    name: str
    grid: list[str]
    classes: dict[str, str]

    @property
    def counts(self) -> Counter[str]:
        return Counter("".join(self.grid))

    def chart(self) -> Chart:
        letters = sorted(self.counts)
        codes = allot_codes(len(letters))
        key = tuple(
            KeyEntry(code, Symbol(letter), self.classes[letter], letter, colour=Colour(40 * n % 256, 90, 140))
            for n, (letter, code) in enumerate(zip(letters, codes, strict=True))
        )
        squares = np.array([[letters.index(sign) + 1 for sign in row] for row in self.grid], np.uint16)
        return Chart(squares, key, f"Plate {self.name}", identity=IDENTITY.format(self.name[-1]))


@pytest.fixture(params=PLATES)
def plate(request: pytest.FixtureRequest, shared: Path) -> Plate:
    """One of the plates with its verified truth."""
    name = str(request.param)
    told = json.loads((shared / "plates" / f"plate-{name}.truth.json").read_text("utf-8"))
    return Plate(name, told["grid"], told["classes"])


@pytest.fixture
def chart_path(sofa: Sofa, plate: Plate) -> Path:
    """The plate as a chart in the folder."""
    path = sofa.folder / f"plate {plate.name}.svchart"
    write_chart(plate.chart(), path)
    return path


def bands(sofa: Sofa) -> Iterator[int]:
    """Lay a band of ten rows at the top and move it down by its own height, as one works down a chart."""
    sofa.put_pointer((0, 0))
    sofa.press("B", *["Ctrl+Shift+Up"] * 2)
    rows, first = sofa.desk.chart.rows, 0
    while True:
        band = sofa.works.band.band
        assert band is not None
        assert band.rows is not None
        yield band.rows.first
        if band.rows.end == rows:
            return
        first = band.rows.first
        sofa.press("Ctrl+Shift+Down")
        assert sofa.works.band.band == band_of_rows(min(first + 10, rows - 10), 10)


def test_a_printed_chart_is_followed_to_its_last_square(sofa: Sofa, plate: Plate, chart_path: Path) -> None:
    """Band by band and thread by thread, everything is marked by keys; the counts are those of the paper."""
    sofa.sit_down(chart_path)
    chart = sofa.desk.chart
    crosses = facts(chart).crosses.tolist()
    assert dict(zip((entry.number for entry in chart.key), crosses, strict=True)) == plate.counts
    for first in bands(sofa):
        left = "".join(plate.grid[first : first + 10])
        rows = sofa.desk.marks.squares[first : first + 10]
        done_before = int((rows == DONE).sum())
        text = sofa.window.panels.line.band.text
        assert f"{len(left) - done_before:,} of {len(left):,} left" in text
        for _ in chart.key:
            sofa.press("]", "T")
        assert "all done" in sofa.window.panels.line.band.text
    for number, entry in enumerate(chart.key, start=1):
        progress = sofa.desk.tally.of_key(number)
        assert (progress.stitches, progress.done) == (plate.counts[entry.number],) * 2
    assert sofa.desk.tally.total().percent == 100
    assert "0 left" in sofa.window.panels.keys.totals.text()
    assert sofa.get_up()
    sofa.sit_down()
    assert sofa.desk.tally.total().left == 0


def test_a_printed_chart_is_marked_and_unpicked_by_hand(sofa: Sofa, plate: Plate, chart_path: Path) -> None:
    """Rectangles, runs and single squares drawn by hand count as the same squares of the paper."""
    sofa.sit_down(chart_path)
    sofa.press("M", "3")
    sofa.drag((5, 9), (40, 20))
    inside = Counter(sign for row in plate.grid[9:21] for sign in row[5:41])
    assert done_by_sign(sofa) == inside
    sofa.press("U", "4")
    sofa.click((20, 15))
    row, sign = plate.grid[15], plate.grid[15][20]
    start = next(at for at in range(20, -2, -1) if at < 0 or row[at] != sign)
    stop = next(at for at in range(20, len(row) + 1) if at == len(row) or row[at] != sign)
    inside[sign] -= len(range(max(start + 1, 5), min(stop, 41)))
    assert done_by_sign(sofa) == +inside
    sofa.press("M", "1")
    sofa.click((60, 30))
    inside[plate.grid[30][60]] += 1
    assert done_by_sign(sofa) == +inside
    assert sofa.get_up()
    assert read_chart(chart_path).columns == len(plate.grid[0])
    sofa.sit_down()
    assert done_by_sign(sofa) == +inside


def done_by_sign(sofa: Sofa) -> Counter[str]:
    """How many squares of each sign are done, counted from the raw marks."""
    chart = sofa.desk.chart
    done = chart.squares[sofa.desk.marks.squares == DONE]
    return Counter({chart.key[number - 1].number: int((done == number).sum()) for number in np.unique(done)})
