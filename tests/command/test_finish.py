"""The end of a piece, told and noted from the command line, and what the next piece learns from it."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from stitchview.chart.area import Area
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Cloth
from stitchview.done.change import DONE
from stitchview.done.finishnotes import ThreadUsed
from stitchview.done.history import Maker
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.sittings import Pauses
from stitchview.ui.preferences import Preferences, keep_preferences
from stitchview.ui.settings import open_settings

DAYS = (3, 10, 24)
CLOTH = Cloth("Aida", 14.0)


def stitched(path: Path, folder: Path, rows: int) -> Path:
    """Three evenings, each of four strokes ten minutes apart, over so many rows of the chart."""
    chart = read_chart(path)
    opened = open_layer(path, chart, folder / "elsewhere", "sofa")
    clock = [0]
    maker = Maker("sofa", clock=lambda: clock[0])
    for evening, day in enumerate(DAYS):
        for step in range(4):
            clock[0] = int(datetime(2026, 11, day, 19, 4 * step, tzinfo=UTC).timestamp() * 1000)
            number = 4 * evening + step
            begin, end = rows * number // 12, rows * (number + 1) // 12
            area = Area(0, begin, chart.columns, end - begin)
            change = change_to(opened.marks, rectangle(chart, area, Takes()), DONE)
            assert change is not None
            opened.marks.apply(change)
            opened.layer.put(maker.stroke("mark", change=change))
    rest = change_to(opened.marks, rectangle(chart, Area(0, 0, chart.columns, rows), Takes()), DONE)
    if rest is not None:
        opened.marks.apply(rest)
        opened.layer.put(maker.stroke("mark", change=rest))
    opened.layer.commit()
    opened.layer.close()
    return path


@pytest.fixture
def done_piece(tmp_path: Path) -> Path:
    """A harbour of 60 x 45 squares for 14 threads to the inch, all stitched."""
    path = tmp_path / "harbour.svchart"
    write_chart(replace(make_harbour(60, 45, 20, 3), cloth=CLOTH), path)
    return stitched(path, tmp_path, 45)


def test_a_piece_with_something_left_is_not_finished(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """It says how much is left and what to do, and writes nothing."""
    stitched(harbour_path, tmp_path, 40)
    told = say("finish", harbour_path)
    assert told.code == 0
    assert told.lines[0].startswith("Not finished: ")
    assert "leave it out" in told.lines[1]
    refused = say("finish", harbour_path, "--measured", "10x8")
    assert refused.code == 1
    assert "is not finished" in refused.complaint
    assert say("taught").lines == ["No piece was finished yet, so nothing is taught."]


def test_what_is_measured_is_told_and_kept(say: Callable[..., Any], done_piece: Path) -> None:
    """60 squares over 108.0 mm are 1.8 mm each, by hand; foretold were 60 x 25.4 / 14 = 108.857."""
    told = say("finish", done_piece, "--measured", "10.8x8.2", "--day", "2026-11-24", "--json")
    assert told.code == 0, told.complaint
    members = json.loads(told.out)
    size = members["size"]
    assert (size["columns"], size["rows"]) == (60, 45)
    assert size["measured_mm"] == [108.0, 82.0]
    assert size["foretold_mm"] == pytest.approx([60 * 25.4 / 14, 45 * 25.4 / 14])
    assert size["square_mm"] == pytest.approx([1.8, 82 / 45])
    assert size["error_percent"] == pytest.approx(
        [(1.8 * 14 / 25.4 - 1) * 100, (82 / 45 * 14 / 25.4 - 1) * 100]
    )
    assert size["height_by_width_of_a_square"] == pytest.approx(82 / 45 / 1.8)
    assert members["finished"] == "2026-11-24"
    again = json.loads(say("finish", done_piece, "--json").out)
    assert again == members


def test_inches_are_inches(say: Callable[..., Any], done_piece: Path) -> None:
    """4.25 x 3.23 inches are 107.95 x 82.042 mm: 1 inch = 25.4 mm exactly."""
    told = say("finish", done_piece, "--measured", "4.25x3.23", "--inch", "--json")
    assert json.loads(told.out)["size"]["measured_mm"] == pytest.approx([107.95, 82.042])


def test_hours_and_rate_are_those_of_the_sittings(say: Callable[..., Any], done_piece: Path) -> None:
    """Three evenings of twelve minutes at work are 0.6 hours; the rate is all stitches by that."""
    members = json.loads(say("finish", done_piece, "--json").out)
    assert (members["sittings"], members["hours"]) == (3, pytest.approx(0.6))
    assert (members["begun"], members["last_worked_on"]) == ("2026-11-03", "2026-11-24")
    opened = open_layer(done_piece, read_chart(done_piece), done_piece.parent / "elsewhere", look_only=True)
    opened.layer.close()
    assert members["stitches_an_hour"] == pytest.approx(opened.tally.total().done / 0.6)


@pytest.mark.parametrize(
    ("wish", "what"),
    [
        (("--measured", "0x0"), "No piece measures nothing"),
        (("--measured", "-3x4"), "No piece measures nothing"),
        (("--measured", "900000x4"), "No piece measures"),
        (("--measured", "0.6x0.6"), "centimetres or inches"),
        (("--measured", "1900x4"), "centimetres or inches"),
        (("--measured", "10.8x8.2", "--day", "2099-01-01"), "still to come"),
        (("--measured", "10.8x8.2", "--day", "yesterday"), "no day"),
        (("--inch",), "Nothing was said to be finished"),
    ],
)
def test_bad_sizes_and_days_are_refused(
    say: Callable[..., Any], done_piece: Path, wish: tuple[str, ...], what: str
) -> None:
    """One sentence, and nothing is noted or learnt."""
    told = say("finish", done_piece, *(f"{each}" for each in _joined(wish)))
    assert told.code == 1, told.out
    assert what in told.complaint
    assert len(told.complaint.splitlines()) == 1
    assert json.loads(say("finish", done_piece, "--json").out)["finished"] is None
    assert json.loads(say("taught", "--json").out) == []


def _joined(wish: tuple[str, ...]) -> list[str]:
    """`--measured=-3x4`, since what begins with a dash is taken for an option."""
    if wish[0] != "--measured":
        return list(wish)
    return [f"--measured={wish[1]}", *wish[2:]]


def test_words_that_are_no_size_are_misused(say: Callable[..., Any], done_piece: Path) -> None:
    """As with every argument of the wrong kind."""
    for wrong in ("10.8", "axb", "1x2x3", "nanx4", "1e9x3"):
        assert say("finish", done_piece, f"--measured={wrong}").code == 2


def test_the_next_piece_learns_and_she_can_refuse(
    say: Callable[..., Any], done_piece: Path, tmp_path: Path
) -> None:
    """Size, thread and provenance are told for another chart on that cloth, and no more once refused."""
    note(done_piece, tmp_path)
    say("finish", done_piece, "--measured", "10.8x8.2", "--day", "2026-11-24")
    other = tmp_path / "cove.svchart"
    write_chart(replace(make_harbour(50, 40, 20, 4), cloth=CLOTH, title="Cove"), other)
    told = say("size", other)
    before = next(line for line in told.lines if line.startswith("As it came out before: "))
    assert "9.0 x 7.3 cm" in before
    assert "from “Harbour at dusk”, 14 threads to the inch, over 1, finished 24 November 2026" in before
    need = say("need", other)
    assert "is also learnt from “Harbour at dusk”" in need.out
    more = json.loads(say("need", other, "--json").out)["threads"][0]["factor"]
    assert say("taught", "--refuse", "1").code == 0
    assert "(refused)" in say("taught").out
    assert "As it came out before" not in say("size", other).out
    assert "also learnt" not in say("need", other).out
    assert json.loads(say("need", other, "--json").out)["threads"][0]["factor"] < more
    assert say("taught", "--take", "1").code == 0
    assert "As it came out before" in say("size", other).out
    assert "As it came out before" not in say("size", done_piece).out
    assert say("taught", "--forget", "1").code == 0
    assert say("taught", "--forget", "1").code == 1


def note(path: Path, folder: Path) -> None:
    """She said that two skeins of each thread were used, twice what geometry has."""
    opened = open_layer(path, read_chart(path), folder / "elsewhere")
    chart = opened.marks.chart
    notes = [ThreadUsed(each.name, each.number, 1.0, 24_000.0) for each in chart.key if not each.blend]
    changed = opened.marks.notes.putting(*notes)
    assert changed is not None
    opened.layer.put(opened.history.record(noting(chart, changed)))
    opened.layer.commit()
    opened.layer.close()


def test_no_carry_teaches_nothing(say: Callable[..., Any], done_piece: Path) -> None:
    """Asked for at the end or afterwards, what was learnt is forgotten."""
    assert "No other piece learns" in say("finish", done_piece, "--done", "--no-carry").lines[-1]
    assert say("taught", "--json").out.strip() == "[]"
    say("finish", done_piece, "--done")
    assert len(json.loads(say("taught", "--json").out)) == 1
    say("finish", done_piece, "--no-carry")
    assert json.loads(say("taught", "--json").out) == []


def test_it_can_be_taken_back_in_the_window(
    say: Callable[..., Any], done_piece: Path, tmp_path: Path
) -> None:
    """The note is a stroke like every other: undoing it leaves the piece unfinished."""
    say("finish", done_piece, "--done", "--day", "2026-11-24")
    opened = open_layer(done_piece, read_chart(done_piece), tmp_path / "elsewhere")
    assert [each.day for each in opened.marks.notes.finished] == ["2026-11-24"]
    step = opened.history.undo()
    assert step is not None
    opened.marks.apply(step.change)
    assert not opened.marks.notes.finished
    opened.layer.close()


@pytest.mark.usefixtures("qapp")
def test_the_finished_sheet_is_written(say: Callable[..., Any], done_piece: Path, tmp_path: Path) -> None:
    """Only once the piece is noted as finished, only as a PDF, and never over a file that is there."""
    sheet = tmp_path / "sheet.pdf"
    early = say("finish", done_piece, "--sheet", sheet)
    assert (early.code, sheet.exists()) == (1, False)
    assert "for a finished piece" in early.complaint
    told = say("finish", done_piece, "--measured", "10.8x8.2", "--sheet", sheet, "--paper", "letter")
    assert told.code == 0
    assert "Wrote “sheet.pdf”." in told.out
    assert sheet.read_bytes().startswith(b"%PDF-")
    assert "is there already" in say("finish", done_piece, "--sheet", sheet).complaint
    assert say("finish", done_piece, "--sheet", sheet, "--replace").code == 0
    assert "does not end in .pdf" in say("finish", done_piece, "--sheet", tmp_path / "sheet.png").complaint
    nowhere = say("finish", done_piece, "--sheet", tmp_path / "none" / "sheet.pdf")
    assert (nowhere.code, len(nowhere.complaint.splitlines())) == (1, 1)


def test_her_own_pauses_are_reckoned_with(say: Callable[..., Any], done_piece: Path) -> None:
    """Where three minutes of quiet are a pause, strokes four minutes apart are no work."""
    keep_preferences(open_settings(), Preferences(pauses=Pauses(60, 3)))
    members = json.loads(say("finish", done_piece, "--json").out)
    assert (members["sittings"], members["hours"]) == (3, 0)
    assert "0 min at work" in say("since", done_piece, "all").out


def test_what_was_noted_once_stays_until_it_is_told_anew(say: Callable[..., Any], done_piece: Path) -> None:
    """Noting again that it is finished keeps its size, and measuring later keeps its day."""
    say("finish", done_piece, "--done", "--day", "2026-11-20")
    say("finish", done_piece, "--measured", "10.8x8.2")
    assert say("finish", done_piece, "--done").code == 0
    members = json.loads(say("finish", done_piece, "--json").out)
    assert members["finished"] == "2026-11-20"
    assert members["size"]["measured_mm"] == [108.0, 82.0]


def test_a_piece_that_teaches_nothing_says_so(say: Callable[..., Any], tmp_path: Path) -> None:
    """Far from the forecast and without hours: it is not told in one breath that others learn from it."""
    path = tmp_path / "harbour.svchart"
    write_chart(replace(make_harbour(60, 45, 20, 3), cloth=CLOTH), path)
    chart = read_chart(path)
    opened = open_layer(path, chart, tmp_path / "elsewhere", "sofa")
    change = change_to(opened.marks, rectangle(chart, chart.area, Takes()), DONE)
    assert change is not None
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    told = say("finish", path, "--measured", "30x50")
    assert "No other piece will learn from it." in told.out
    assert "may learn" not in told.out
    assert "Other pieces learn nothing from it" in told.lines[-1]
