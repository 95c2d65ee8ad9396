"""The written specification says what the program does: its example opens, its limits are the real ones."""

import json
import re
from pathlib import Path

import pytest

from stitchview.chart import limits
from stitchview.chart.containers.entrynames import MEDIA_TYPE
from stitchview.chart.counting import facts
from stitchview.chart.fileformat import read_chart, write_folder
from stitchview.chart.model import MOST_COLUMNS, MOST_KEY_ENTRIES
from stitchview.chart.shipped import shipped

STATED = {
    "columns, rows": (MOST_COLUMNS,),
    "key entries": (MOST_KEY_ENTRIES,),
    "part stitches, lines, points": (limits.MOST_STITCHES,),
    "part stitches in one square": (limits.MOST_PARTS_IN_SQUARE,),
    "sheets": (limits.MOST_SHEETS,),
    "doubts, decisions by hand": (limits.MOST_STITCHES,),
    "sentences in the `doubts` of a sheet": (limits.MOST_SHEET_DOUBTS,),
    "threads in a blend": (limits.MOST_BLENDED,),
    "strands": (limits.MOST_STRANDS,),
    "numbers of `origin`": (limits.MOST_ORIGIN,),
    "cloth count; worked over": (limits.MOST_COUNT, limits.MOST_OVER),
    "characters of `title`; `notes`; any other text; symbol text": (
        limits.MOST_TITLE,
        limits.MOST_NOTES,
        limits.MOST_LABEL,
        limits.MOST_SYMBOL,
    ),
    "bytes of the file": (limits.MOST_FILE_BYTES,),
    "entries (counting folders and hidden ones)": (limits.MOST_ENTRIES,),
    "bytes of the ZIP's central directory": (limits.MOST_DIRECTORY_BYTES,),
    "bytes and parts of an entry's name": (limits.MOST_NAME_BYTES, limits.MOST_NAME_PARTS),
    "bytes of `mimetype`": (limits.MOST_MIMETYPE_BYTES,),
    "bytes of `chart.json`": (limits.MOST_JSON_BYTES,),
    "commas and opening brackets in `chart.json`, counted wherever they stand": (limits.MOST_JSON_VALUES,),
    "depth of lists and objects in `chart.json`": (limits.MOST_JSON_DEPTH,),
    "bytes of `squares.txt`": (limits.MOST_SQUARES_BYTES,),
    "bytes of any other entry; of all of them together": (limits.MOST_PICTURE_BYTES, limits.MOST_OTHER_BYTES),
    "chunks of a PNG, segments of a JPEG before its scan": (limits.MOST_PICTURE_PIECES,),
    "pixels of a sheet's picture; of a symbol's (width times height)": (
        limits.MOST_SHEET_PIXELS,
        limits.MOST_SYMBOL_PIXELS,
    ),
}


@pytest.fixture(scope="module")
def paper() -> str:
    """The specification's text."""
    return shipped("resources/chart-format.md").read_text("utf-8")


def example(paper: str, language: str) -> str:
    """The only block of code in that language."""
    (block,) = re.findall(rf"```{language}\n(.*?)```", paper, re.DOTALL)
    return str(block)


def test_every_limit_is_stated_as_it_is_enforced(paper: str) -> None:
    """The table of limits has exactly the numbers the program keeps to."""
    table = paper.partition("## 8. Limits")[2].partition("## 9.")[0]
    rows = re.findall(r"^\| (.+?) \| (.+?) \|$", table, re.MULTILINE)[1:]
    stated = {
        what: tuple(int(number.replace(",", "")) for number in re.findall(r"\d[\d,]*", most))
        for what, most in rows
    }
    assert stated == STATED


def test_the_example_opens_and_has_the_stitches_it_says(paper: str, tmp_path: Path) -> None:
    """The small chart in the paper, typed off, opens and counts as the paper says."""
    (tmp_path / "chart.json").write_text(example(paper, "json"), "utf-8")
    (tmp_path / "squares.txt").write_text(example(paper, "text"), "utf-8")
    chart = read_chart(tmp_path)
    told = facts(chart)
    assert told.crosses.tolist() == [8, 2, 6]
    assert (told.halves.sum(), told.quarters.sum(), told.three_quarters.sum()) == (1, 1, 1)
    assert (told.back_lines.sum(), told.back_length.sum(), told.straight_lines.sum()) == (1, 4.0, 1)
    assert (told.knots.sum(), told.beads.sum()) == (1, 1)


def test_the_example_is_written_as_the_paper_asks(paper: str, tmp_path: Path) -> None:
    """Opened and saved, the example comes out as it is printed, byte for byte."""
    (tmp_path / "chart.json").write_text(example(paper, "json"), "utf-8")
    (tmp_path / "squares.txt").write_text(example(paper, "text"), "utf-8")
    write_folder(read_chart(tmp_path), tmp_path / "again")
    assert (tmp_path / "again" / "chart.json").read_text("utf-8") == example(paper, "json")
    assert (tmp_path / "again" / "squares.txt").read_text("utf-8") == example(paper, "text")


def test_every_member_of_the_schema_is_in_the_paper(paper: str) -> None:
    """No member is known to the schema that the paper does not tell about."""
    schema = json.loads(shipped("resources/chart.schema.json").read_text("utf-8"))
    parts = [schema, *schema["$defs"].values()]
    names = {name for part in parts for name in part.get("properties", {})}
    assert {name for name in names if f"`{name}`" not in paper and f'"{name}"' not in paper} == set()
    assert f"`{MEDIA_TYPE.decode()}`" in paper
    assert f"{len(MEDIA_TYPE)} bytes" in paper
