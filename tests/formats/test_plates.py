"""Two real printed charts of 1886, from their checked truth grids to chart files and back."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.colour import Colour
from stitchview.chart.counting import facts
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.csvtables import read_csv, write_csv
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.chart.pixelpng import read_png, write_png

Truth = dict[str, Any]


@pytest.fixture(params=["plate-288", "plate-289"])
def truth(request: pytest.FixtureRequest, shared: Path) -> Truth:
    """The truth of one plate; the sources stand in the file."""
    path = shared / "plates" / f"{request.param}.truth.json"
    if not path.is_file():
        pytest.skip(f"the plates are not at {path.parent}")
    loaded: Truth = json.loads(path.read_text("utf-8"))
    return loaded


@pytest.fixture
def plate(truth: Truth) -> Chart:
    """The plate as a chart."""
    codes = list(truth["classes"])
    squares = np.array([[codes.index(sign) + 1 for sign in row] for row in truth["grid"]], np.uint16)
    colours = [Colour(20 * number, 255 - 20 * number, 90) for number in range(len(codes))]
    return Chart(squares, tuple(map(plain_entry, codes, truth["classes"].values(), colours)), title="Plate")


def test_every_thread_is_there_as_often_as_in_the_truth(truth: Truth, plate: Chart, tmp_path: Path) -> None:
    """Saved and opened again, the chart has each sign as often as the truth file (collections.Counter)."""
    write_chart(plate, tmp_path / "plate.svchart")
    back = read_chart(tmp_path / "plate.svchart")
    signs = Counter("".join(truth["grid"]))
    told = facts(back)
    assert (told.columns, told.rows) == (truth["columns"], truth["rows"])
    counts = {entry.code: int(count) for entry, count in zip(back.key, told.crosses, strict=True)}
    assert counts == {code: signs[code] for code in truth["classes"]}
    assert sum(counts.values()) == truth["columns"] * truth["rows"]


def test_the_truth_grid_is_a_chart_as_it_stands(truth: Truth, plate: Chart, tmp_path: Path) -> None:
    """The grid's own lines are a squares.txt: typed off beside a short description, the plate opens."""
    key = [{"code": code, "name": name} for code, name in truth["classes"].items()]
    size = {"columns": truth["columns"], "rows": truth["rows"]}
    document = {"format": "stitchview chart", "version": "1.0", **size, "key": key}
    (tmp_path / "chart.json").write_text(json.dumps(document), "utf-8")
    (tmp_path / "squares.txt").write_text("\n".join(truth["grid"]) + "\n", "utf-8")
    assert np.array_equal(read_chart(tmp_path).squares, plate.squares)


def test_the_plate_goes_through_tables_and_pictures(plate: Chart, tmp_path: Path) -> None:
    """Through CSV and PNG every square of the plate keeps its thread."""
    write_csv(plate, tmp_path / "plate.csv", tmp_path / "key.csv")
    tables = read_csv(tmp_path / "plate.csv", tmp_path / "key.csv").chart
    assert np.array_equal(tables.squares, plate.squares)
    assert tables.key == plate.key
    write_png(plate, tmp_path / "plate.png")
    pixels = read_png(tmp_path / "plate.png").chart
    before = np.array([entry.colour.hex for entry in plate.key])[plate.squares - 1]
    after = np.array([entry.colour.hex for entry in pixels.key])[pixels.squares - 1]
    assert np.array_equal(before, after)
