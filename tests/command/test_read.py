"""The command that reads charts from paper."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.sheets.reading import ReadingStopped
from tests.paper.keysheet import photographed_key, printed_key
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


@pytest.fixture(scope="module")
def key_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A careful photograph of that sheet's key page, on the disk."""
    printed = printed_sheets(30, 24, 6, 8, Paper(families=("shapes", "letters")))
    key = printed_key(printed.signs, 8, printed.pages[0].look)
    path = tmp_path_factory.mktemp("paper") / "key.png"
    cv2.imwrite(str(path), photographed_key(key, "careful", 3).picture.colour[..., ::-1])
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


def test_the_key_page_names_the_threads(
    scan: Path, key_page: Path, tmp_path: Path, say: Callable[..., Any]
) -> None:
    """With --key and a table every symbol has its thread's name, number and colour; what is left is told."""
    table = tmp_path / "key.csv"
    rows = [f'{at},"Sample cotton {at}0, moss",{at}0,#4060{at}0\r\n' for at in range(1, 7)]
    table.write_bytes(("code,name,number,colour\r\n" + "".join(rows)).encode())
    target = tmp_path / "named.svchart"
    steps = tmp_path / "steps"
    told = say("read", scan, "-o", target, "--key", key_page, "--key-table", table, "--debug", steps)
    assert (told.code, told.complaint) == (0, "")
    assert "All 6 entries of the key were found on the chart." in told.lines
    assert (steps / "key-6-key.jpg").is_file()
    chart = read_chart(target)
    named = {entry.name: entry for entry in chart.key if entry.symbol.picture}
    assert {f"Sample cotton {at}0, moss" for at in range(1, 7)} <= set(named)
    truth = printed_sheets(30, 24, 6, 8, Paper(families=("shapes", "letters"))).content.codes
    for at in range(1, 7):
        entry = named[f"Sample cotton {at}0, moss"]
        assert (entry.number, entry.colour.hex) == (f"{at}0", f"#4060{at}0")
        squares = truth[chart.squares == 1 + chart.key.index(entry)]
        assert (squares == at).mean() > 0.9


def test_a_key_page_alone_numbers_the_threads(
    scan: Path, key_page: Path, tmp_path: Path, say: Callable[..., Any]
) -> None:
    """Without a table the threads are called by their place on the page, and programs are told the pairs."""
    asked = ("read", scan, "-o", tmp_path / "a.svchart", "--columns", "30", "--rows", "24")
    told = json.loads(say(*asked, "--key", key_page, "--json").out)
    assert (told["columns"], told["rows"], told["key"]["entries"]) == (30, 24, 6)
    assert [pair["entry"] for pair in told["key"]["matched"]] == [1, 2, 3, 4, 5, 6]
    assert told["key"]["entries not on the chart"] == []
    names = [entry.name for entry in read_chart(tmp_path / "a.svchart").key]
    assert {f"Thread {at} of the key" for at in range(1, 7)} <= set(names)


def test_a_bad_key_is_told_before_any_sheet_is_read(
    scan: Path, key_page: Path, tmp_path: Path, say: Callable[..., Any]
) -> None:
    """A chart given as its key, a table without a page and a table of another length leave nothing wrong."""
    target = tmp_path / "a.svchart"
    assert "no key" in say("read", scan, "-o", target, "--key", scan).complaint
    assert "none is given" in say("read", scan, "-o", target, "--key-table", key_page).complaint
    asked = ("read", scan, "-o", target, "--picture-only", "--key", key_page)
    assert "no symbols are read" in say(*asked).complaint
    assert not target.exists()
    table = tmp_path / "key.csv"
    table.write_text("code,name\nA,Sample cotton 1\nB,Sample cotton 2\n", "utf-8")
    told = say("read", scan, "-o", target, "--key", key_page, "--key-table", table)
    assert "lists 2 threads and the key page shows 6 boxes" in told.out
    assert not any("Sample cotton" in entry.name for entry in read_chart(target).key)


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
