"""The command that reads charts from paper."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.sheets.reading import ReadingStopped
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets


@pytest.fixture(scope="module")
def scan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A scan of one small sheet, on the disk."""
    page = printed_sheets(30, 24, 6, 8, Paper(families=("shapes", "letters"))).pages[0]
    colour = photographed(page, "scan", 2).picture.colour
    path = tmp_path_factory.mktemp("paper") / "sheet.jpg"
    _, packed = cv2.imencode(".jpg", colour[..., ::-1], [int(cv2.IMWRITE_JPEG_QUALITY), 95])
    path.write_bytes(packed.tobytes())
    return path


def test_a_scan_is_read(scan: Path, tmp_path: Path, say: Callable[..., Any]) -> None:
    """The chart is written and the command tells its size, sheets, piles and doubtful squares."""
    told = say("read", scan, "-o", tmp_path / "read.svchart", "--debug", tmp_path / "steps")
    assert (told.code, told.complaint) == (0, "")
    assert told.lines[0] == "Wrote “read.svchart”: 30 x 24 squares."
    assert told.lines[1] == "“sheet”: 30 x 24 squares from column 1, row 1."
    assert "of like symbols" in told.out
    assert "to look at (" in told.out
    assert read_chart(tmp_path / "read.svchart").columns == 30
    assert (tmp_path / "steps" / "sheet-1-crossings.jpg").is_file()


def test_it_is_told_to_programs(scan: Path, tmp_path: Path, say: Callable[..., Any]) -> None:
    """With --json the same is one JSON object; what is there is not written over unasked."""
    told = json.loads(say("read", scan, "-o", tmp_path / "a.svchart", "--json", "--picture-only").out)
    assert (told["columns"], told["rows"], told["disagreements"]) == (30, 24, [])
    (sheet,) = told["sheets"]
    # Nothing around so small a sheet tells which side is up, and that is said.
    (doubt,) = sheet.pop("doubts")
    assert "which side of the sheet is up" in doubt
    assert sheet == {"name": "sheet", "at": [0, 0], "columns": 30, "rows": 24, "read": False}
    again = say("read", scan, "-o", tmp_path / "a.svchart")
    assert "is there already" in again.complaint
    added = say("read", scan, "-o", tmp_path / "b.svchart", "--onto", tmp_path / "a.svchart")
    assert added.code == 0
    assert read_chart(tmp_path / "b.svchart").identity == read_chart(tmp_path / "a.svchart").identity


def test_what_cannot_be_read_leaves_nothing(tmp_path: Path, say: Callable[..., Any]) -> None:
    """A wrong ending, a wrong count and a file that is no picture are sentences; no chart is left."""
    letter = tmp_path / "letter.jpg"
    letter.write_text("Dear stitcher", "utf-8")
    assert "does not end in .svchart" in say("read", letter, "-o", tmp_path / "a.png").complaint
    assert (
        "cannot have 0 columns" in say("read", letter, "-o", tmp_path / "a.svchart", "--columns", 0).complaint
    )
    assert "letter.jpg" in say("read", letter, "-o", tmp_path / "a.svchart").complaint
    assert sorted(path.name for path in tmp_path.iterdir()) == ["letter.jpg"]


@pytest.mark.parametrize(("interruption", "code"), [(KeyboardInterrupt, 130), (ReadingStopped, 1)])
def test_stopping_leaves_nothing_half_written(
    scan: Path,
    tmp_path: Path,
    say: Callable[..., Any],
    monkeypatch: pytest.MonkeyPatch,
    interruption: type[BaseException],
    code: int,
) -> None:
    """Ctrl-C in the middle of reading writes no chart and says no more than needed."""

    def interrupted(*_: object) -> None:
        raise interruption

    monkeypatch.setattr("stitchview.sheets.reading.join_sheets", interrupted)
    monkeypatch.setattr("stitchview.sheets.reading.sort_squares", interrupted)
    told = say("read", scan, "-o", tmp_path / "a.svchart")
    assert told.code == code
    assert "Traceback" not in told.complaint
    assert not list(tmp_path.iterdir())
