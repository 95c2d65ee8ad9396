"""The open chart file from outside: what opens, what is refused, and in which words."""

import json
import os
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.entries.encoding import encode
from stitchview.chart.fileformat import find_problems, read_chart, write_chart
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.problems import FaultyChart, Findings
from stitchview.chart.stitches import PartShape

TYPED = {
    "format": "stitchview chart",
    "version": "1.0",
    "columns": 3,
    "rows": 2,
    "key": [{"code": "a", "name": "Slate"}],
}


@pytest.fixture
def typed(tmp_path: Path) -> Path:
    """The smallest chart typed by hand, in a folder."""
    (tmp_path / "chart.json").write_text(json.dumps(TYPED), "utf-8")
    (tmp_path / "squares.txt").write_text("aa.\n.aa\n", "utf-8")
    return tmp_path


def sentence(path: Path) -> str:
    """What is said of a chart that cannot be opened."""
    with pytest.raises(FaultyChart) as caught:
        read_chart(path)
    assert caught.value.problems == find_problems(path)
    return str(caught.value)


def test_a_chart_typed_by_hand_opens_with_what_was_left_out(typed: Path) -> None:
    """Five members and two lines are a chart; all else has its usual value."""
    chart = read_chart(typed)
    assert chart.squares.tolist() == [[1, 1, 0], [0, 1, 1]]
    assert chart.key == (KeyEntry("a", Symbol("a"), "Slate"),)
    assert (chart.title, chart.notes, chart.identity, chart.origin, chart.cloth) == ("", "", "", (0, 0), None)
    assert find_problems(typed) == ()


def test_all_problems_are_told_the_first_in_the_sentence(typed: Path) -> None:
    """She mends everything in one go: each wrong row is in the list, the first in the sentence."""
    (typed / "squares.txt").write_text("aa\nxaa\naaaa\n", "utf-8")
    assert sentence(typed) == (
        f"“{typed.name}”, squares.txt: row 1 has 2 squares, the chart has 3 columns."
        " There are 2 more problems."
    )
    assert [str(problem) for problem in find_problems(typed)] == [
        "squares.txt: row 1 has 2 squares, the chart has 3 columns.",
        "squares.txt: row 3 has 4 squares, the chart has 3 columns.",
        "squares.txt: it has 3 rows, the chart has 2.",
    ]


def test_of_very_many_problems_a_hundred_are_listed(typed: Path) -> None:
    """A thousand wrong rows are counted, and the first hundred named."""
    (typed / "chart.json").write_text(json.dumps(TYPED | {"rows": 1000}), "utf-8")
    (typed / "squares.txt").write_text("aa\n" * 1000, "utf-8")
    assert len(find_problems(typed)) == 100
    assert "There are 999 more problems." in sentence(typed)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"format": "recipe"}, "“format” must be “stitchview chart”. This is another kind of file."),
        (
            {"version": "2.0"},
            "version 2.0 is newer than this program, which reads 1.x. Open it with a newer stitchview.",
        ),
        ({"version": "0.4"}, "there is no version 0.4, the first is 1.0."),
        ({"version": 1.0}, "“version” must be written as “1.0”, not 1.0."),
        ({"columns": 5000}, "“columns” must be a whole number from 1 to 4,096, not 5000."),
        ({"columns": True}, "“columns” must be a whole number from 1 to 4,096, not true."),
        ({"key": [{"code": "a"}]}, "key entry 1 (“a”): “name” is missing."),
        ({"key": [{"code": "ab", "name": "x"}]}, "key entry 1 (“ab”): “code” must be exactly one character."),
        ({"key": [{"name": "x"}]}, "key entry 1: “code” is missing."),
        (
            {"key": [{"code": "a", "name": "x", "colour": "red"}]},
            "“colour” must be a colour written as #RRGGBB",
        ),
        (
            {"key": [{"code": chr(0x4E00 + n), "name": "x"} for n in range(2001)]},
            "has 2,001 items, at most 2,000",
        ),
    ],
)
def test_a_wrong_description_is_refused_in_plain_words(
    typed: Path, change: dict[str, Any], words: str
) -> None:
    """Each refusal says where, what is wrong, and what would be right."""
    (typed / "chart.json").write_text(json.dumps(TYPED | change), "utf-8")
    assert words in sentence(typed)


@pytest.mark.parametrize("text", ["[]", "7", '"stitchview chart"', "null", "true"])
def test_json_that_is_no_object_is_refused(typed: Path, text: str) -> None:
    """A list or a number is no description of a chart."""
    (typed / "chart.json").write_text(text, "utf-8")
    assert "chart.json: it must hold one object in braces." in sentence(typed)


def test_a_newer_minor_version_opens_and_stays_what_it_is(typed: Path, tmp_path: Path) -> None:
    """What a newer version wrote is kept, and so is its number."""
    newer = {"version": "1.42", "x-light": {"lamp": [1, 2.5, None]}, "later": True}
    (typed / "chart.json").write_text(json.dumps(TYPED | newer), "utf-8")
    write_chart(read_chart(typed), tmp_path / "again.svchart")
    with zipfile.ZipFile(tmp_path / "again.svchart") as opened:
        document = json.loads(opened.read("chart.json"))
    assert {name: document[name] for name in newer} == newer


def test_unknown_members_survive_at_every_level(
    typed: Path, tmp_path: Path, png: Callable[..., bytes]
) -> None:
    """Whatever the thing a newer version wrote about, it is there again after saving."""
    new: dict[str, Any] = {"x-new": ["ä", {"b": 1, "a": 2}]}
    document = TYPED | new | {
        "cloth": new,
        "key": [
            {
                "code": "a",
                "name": "Slate",
                "symbol": {"picture": "pictures/a.png", **new},
                "strands": {"cross": 2, **new},
                "blend": [{"name": "x", **new}, {"name": "y", **new}],
                **new,
            }
        ],
        "part_stitches": [{"at": [2, 0], "stitch": "half", "lean": "rising", "code": "a", **new}],
        "lines": [{"stitch": "back", "from": [0, 0], "to": [1, 1], "code": "a", **new}],
        "points": [{"stitch": "bead", "at": [0, 0], "code": "a", **new}],
        "sheets": [{"name": "A", "at": [0, 0], "columns": 1, "rows": 1, **new}],
    }  # fmt: skip
    (typed / "pictures").mkdir()
    (typed / "pictures" / "a.png").write_bytes(png())
    (typed / "new.bin").write_bytes(b"\0\1")
    (typed / "chart.json").write_text(json.dumps(document), "utf-8")
    write_chart(read_chart(typed), tmp_path / "again.svchart")
    with zipfile.ZipFile(tmp_path / "again.svchart") as opened:
        again = json.loads(opened.read("chart.json"))
        assert opened.read("new.bin") == b"\0\1"
        assert opened.read("pictures/a.png") == png()
    entry = again["key"][0]
    holders = (again, again["cloth"], entry, entry["symbol"], entry["strands"], *entry["blend"])
    stitches = (again["part_stitches"][0], again["lines"][0], again["points"][0], again["sheets"][0])
    for holder in (*holders, *stitches):
        assert holder["x-new"] == new["x-new"]


def test_pictures_are_judged_by_their_headers(typed: Path, png: Callable[..., bytes]) -> None:
    """A picture bomb named as a symbol or a sheet is refused before it is unpacked."""
    symbol = {"code": "a", "name": "Slate", "symbol": {"picture": "pictures/a.png"}}
    sheet = {"name": "A", "at": [0, 0], "columns": 1, "rows": 1, "picture": "pictures/b.png"}
    (typed / "chart.json").write_text(json.dumps(TYPED | {"key": [symbol], "sheets": [sheet]}), "utf-8")
    (typed / "pictures").mkdir()
    (typed / "pictures" / "a.png").write_bytes(png(1001, 1000))
    (typed / "pictures" / "b.png").write_bytes(png(10_001, 10_000))
    told = [problem.what.partition("the picture ")[2] for problem in find_problems(typed)]
    assert told == [
        "“pictures/a.png” has 1,001 x 1,000 pixels, at most 1,000,000 in all are allowed",
        "“pictures/b.png” has 10,001 x 10,000 pixels, at most 100,000,000 in all are allowed",
    ]
    (typed / "pictures" / "a.png").write_bytes(b"GIF89a")
    assert "“pictures/a.png” is neither a PNG nor a JPEG picture" in sentence(typed)


@pytest.mark.parametrize("missing", ["chart.json", "squares.txt"])
def test_a_folder_without_its_entries_is_no_chart(typed: Path, missing: str) -> None:
    """What is missing is named."""
    (typed / missing).unlink()
    assert missing in sentence(typed)


@pytest.mark.parametrize("missing", ["mimetype", "chart.json", "squares.txt"])
def test_a_file_without_its_entries_is_no_chart(sound_chart: Chart, tmp_path: Path, missing: str) -> None:
    """Any other ZIP file is not taken for a chart."""
    with zipfile.ZipFile(tmp_path / "dusk.svchart", "w") as made:
        for name, content in encode(sound_chart, Findings("dusk")).items():
            if name != missing:
                made.writestr(name, content)
    assert f"“dusk.svchart” has no entry {missing}." in sentence(tmp_path / "dusk.svchart")


def test_another_media_type_is_another_kind_of_file(sound_chart: Chart, tmp_path: Path) -> None:
    """A book or a text document that is a ZIP too is refused by its media type."""
    with zipfile.ZipFile(tmp_path / "book.svchart", "w") as made:
        for name, content in encode(sound_chart, Findings("book")).items():
            made.writestr(name, b"application/epub+zip" if name == "mimetype" else content)
    assert "is another kind of file" in sentence(tmp_path / "book.svchart")


def test_paths_that_are_no_chart_get_a_sentence(tmp_path: Path) -> None:
    """Nothing there, a device, a pipe, an empty file or folder, a loop of links, an impossible name."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "empty.svchart").touch()
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "folder").mkdir()
    expected = {
        "nowhere.svchart": "is not there. Check the name and the folder.",
        "pipe": "is a device or a pipe",
        "empty.svchart": "is empty",
        "empty.svchart/inside": "cannot be read (not a directory)",
        "loop": "cannot be read (",
        "folder": "is a folder without chart.json, so it is no chart.",
        "x" * 300: "cannot be read (file name too long)",
        "a\0b": "cannot be read (embedded null byte)",
    }
    for name, words in expected.items():
        assert words in sentence(tmp_path / name)
    assert "is a device or a pipe" in sentence(Path("/dev/zero"))


def test_a_file_nobody_may_read_gets_a_sentence(
    sound_chart: Chart, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A chart of another person, locked away, is said to be so."""
    write_chart(sound_chart, tmp_path / "dusk.svchart")

    def refused(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refused)
    assert "cannot be read (permission denied). Check that you may open it." in sentence(
        tmp_path / "dusk.svchart"
    )


def test_too_little_memory_gets_a_sentence(typed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A chart too large for the machine is refused, not the program ended."""

    def out_of_memory(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(np, "frombuffer", out_of_memory)
    assert "needs more memory than there is" in sentence(typed)


def test_reading_changes_nothing_on_disk(typed: Path, sound_chart: Chart) -> None:
    """Opening a chart, sound or not, leaves every file and date as it was."""
    write_chart(sound_chart, typed / "dusk.svchart")
    (typed / "broken.svchart").write_bytes(b"PK")

    def state() -> list[tuple[str, int, int]]:
        return [(path.name, path.stat().st_mtime_ns, path.stat().st_size) for path in sorted(typed.iterdir())]

    before = state()
    for path in (typed, typed / "dusk.svchart", typed / "broken.svchart"):
        find_problems(path)
    assert state() == before


def test_addresses_stay_when_the_origin_moves(typed: Path) -> None:
    """A stitch is found by its address: the same file with another origin has it elsewhere in memory."""
    stitch = {"at": [12, 7], "stitch": "quarter", "corner": "top-left", "code": "a"}
    line = {"stitch": "back", "from": [10.5, 7], "to": [13, 9], "code": "a"}
    told = {"origin": [10, 7], "part_stitches": [stitch], "lines": [line]}
    (typed / "chart.json").write_text(json.dumps(TYPED | told), "utf-8")
    chart = read_chart(typed)
    assert (chart.parts.columns.tolist(), chart.parts.rows.tolist()) == ([2], [0])
    assert chart.parts.shapes.tolist() == [PartShape.QUARTER_TOP_LEFT]
    ends = [column.tolist() for column in (chart.lines.x1, chart.lines.y1, chart.lines.x2, chart.lines.y2)]
    assert ends == [[1], [0], [6], [4]]
