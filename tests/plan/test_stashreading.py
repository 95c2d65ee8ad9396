"""Her list of threads is read whoever wrote it, keeps every row, and says what is wrong row by row."""

import csv
import io
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.colour import Colour
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashcolumns import (
    OUR_COLUMNS,
    StashColumns,
    columns_from_json,
    read_columns,
)
from stitchview.plan.stashreading import read_headings, read_stash
from stitchview.plan.stashtable import MOST_ROWS, StashError
from stitchview.plan.stashwriting import stash_rows, write_stash

PLAIN = "number,name,skeins,lot,colour\r\n17,slate blue,2,A 4,#4A5B6C\r\n18,café au lait,0.5,,\r\n"


def saved(folder: Path, content: str | bytes) -> Path:
    path = folder / "stash.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


@pytest.mark.parametrize(
    "content",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        PLAIN.encode("utf-16-le"),
        PLAIN.encode("utf-16-be"),
        PLAIN.encode("utf-32"),
        PLAIN.encode("cp1252"),
        PLAIN.replace("\r\n", "\n").encode(),
        PLAIN.replace("\r\n", "\r").encode(),
        PLAIN.replace(",", ";").replace("0.5", "0,5").encode(),
        PLAIN.replace(",", "\t").encode(),
        PLAIN.replace(",", "|").encode(),
        b"sep=;\r\n" + PLAIN.replace(",", ";").encode(),
        PLAIN.replace("0.5", '"0,5"').encode(),
        PLAIN.replace("slate blue", '"slate blue"').encode(),
        b"\r\n" + PLAIN.replace("\r\n18", "\r\n,,,,\r\n18").encode(),
        PLAIN.replace("number,name", " Colour No. ,THREAD").replace("lot", "Dye Lot").encode(),
    ],
)
def test_the_same_list_in_any_dress_is_the_same_stash(tmp_path: Path, content: bytes) -> None:
    """Whichever program saved it, in whatever letters and separators, the list says the same."""
    reading = read_stash(saved(tmp_path, content))
    first, second = reading.stash.holdings
    assert (first.number, first.name, first.skeins, first.lot) == ("17", "slate blue", 2, "A 4")
    assert first.colour == Colour.from_hex("#4A5B6C")
    assert (second.number, second.name, second.skeins, second.colour) == ("18", "café au lait", 0.5, None)
    assert not reading.faults
    assert any("Windows-1252" in note for note in reading.notes) == (content == PLAIN.encode("cp1252"))


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ("", "is empty"),
        ("\r\n\r\n", "is empty"),
        (",,,\r\n", "is empty"),
        ("number,name\r\n", "headings but no threads"),
        ("Farbe,Menge\r\n17,2\r\n", "“Farbe”, “Menge”"),
        ("17,slate blue,2\r\n18,navy,1\r\n", "no column for a thread's name or number"),
        ('number,name\r\n17,"slate\r\n', "is not CSV"),
        ('number,name\r\n17,"slate"blue\r\n', "line 2 is not CSV"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01", "not a table in text"),
        (b"number\r\n\x81\x8d\r\n", "not a table in text"),
        (b"\xff\xfen\0u", "not a table in text"),
        (b"\xff\xfen\0u\0\0", "not a table in text"),
        ("," * 500 + "\r\n17", "columns"),
        ("number\r\n" + "17\r\n" * (MOST_ROWS + 1), "more than 100,000 rows"),
    ],
)
def test_what_is_no_list_is_refused_in_a_sentence(tmp_path: Path, content: str | bytes, what: str) -> None:
    """A file that is no list of threads is refused with what is wrong and what to do."""
    with pytest.raises(StashError, match=what) as caught:
        read_stash(saved(tmp_path, content))
    assert caught.value.remedy.endswith(".")


def test_a_list_that_is_not_there_or_no_file_is_refused(tmp_path: Path) -> None:
    """A wrong name and a folder are told apart."""
    with pytest.raises(StashError, match="not there"):
        read_stash(tmp_path / "none.csv")
    with pytest.raises(StashError, match="not a file"):
        read_stash(tmp_path)


def test_what_is_wrong_in_a_row_is_said_and_nothing_is_lost(tmp_path: Path) -> None:
    """Negative skeins and a colour in words are named by row; all rows and cells are kept."""
    text = "number,skeins,colour,where\r\n17,-2,#4A5B6C,tin\r\n18,1,blue,box\r\n,,,floor\r\n19,3,,\r\n"
    reading = read_stash(saved(tmp_path, text))
    assert [str(fault) for fault in reading.faults] == [
        "Row 2: the skeins cannot be less than none, but are “-2”.",
        "Row 3: the colour must be written as #RRGGBB, not “blue”.",
        "Row 4: it has neither a name nor a number.",
    ]
    assert [holding.skeins for holding in reading.stash.holdings] == [None, 1, None, 3]
    assert [holding.other.get("where", "") for holding in reading.stash.holdings] == [
        "tin",
        "box",
        "floor",
        "",
    ]
    assert any("“where”" in note for note in reading.notes)
    write_stash(reading.stash, tmp_path / "again.csv", reading.columns)
    again = read_stash(tmp_path / "again.csv", reading.columns)
    assert again.stash == reading.stash
    assert again.faults == reading.faults


def test_without_a_column_of_skeins_each_row_is_one(tmp_path: Path) -> None:
    """A list with a row for each skein is counted so, and she is told."""
    reading = read_stash(saved(tmp_path, "name,lot\r\nslate blue,4\r\nslate blue,5\r\n"))
    assert [holding.skeins for holding in reading.stash.holdings] == [1, 1]
    assert any("each row counts as one skein" in note for note in reading.notes)


def test_an_empty_cell_of_skeins_counts_none_and_says_so(tmp_path: Path) -> None:
    """Where she left the skeins open they are unknown, not one and not none."""
    reading = read_stash(saved(tmp_path, "name,skeins\r\nslate blue,\r\nnavy,2\r\n"))
    assert [holding.skeins for holding in reading.stash.holdings] == [None, 2]
    assert "1 row does not tell how many skeins there are; none are counted." in reading.notes


def test_a_column_of_colours_in_words_is_the_name(tmp_path: Path) -> None:
    """Many lists head the names of their threads “colour”."""
    reading = read_stash(saved(tmp_path, "no,colour,qty\r\n17,slate blue,2\r\n"))
    holding = reading.stash.holdings[0]
    assert (holding.number, holding.name, holding.colour, holding.skeins) == ("17", "slate blue", None, 2)


def test_her_own_columns_are_mapped_once(tmp_path: Path) -> None:
    """Columns with headings of her own are told once, kept in a plain file, and used again."""
    path = saved(tmp_path, "Garn;Farbe;Menge;Menge\r\nbaumwolle;4711;1,5;x\r\n")
    assert read_headings(path) == ("Garn", "Farbe", "Menge", "Menge (4)")
    columns = StashColumns(name="Garn", number="Farbe", skeins="Menge")
    (tmp_path / "columns.json").write_text(json.dumps(columns.told), "utf-8")
    assert read_columns(tmp_path / "columns.json") == columns
    reading = read_stash(path, read_columns(tmp_path / "columns.json"))
    holding = reading.stash.holdings[0]
    assert (holding.name, holding.number, holding.skeins) == ("baumwolle", "4711", 1.5)
    assert holding.other == {"Menge (4)": "x"}


@pytest.mark.parametrize(
    ("columns", "what"),
    [
        (StashColumns(name="thread", skeins="qty"), "no column headed “thread” for the name"),
        (StashColumns(name="name", skeins="name"), "two uses"),
        (StashColumns(skeins="number"), "name or number"),
    ],
)
def test_a_mapping_that_does_not_fit_the_list_is_refused(
    tmp_path: Path, columns: StashColumns, what: str
) -> None:
    """A mapping made for another list is said not to fit."""
    with pytest.raises(StashError, match=what):
        read_stash(saved(tmp_path, PLAIN), columns)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"[]",
        b"{",
        b'{"name": 3}',
        b'{"title": "x"}',
        b'{"name": "a", "name": "b"}',
        b"\xff",
        b" " * 70_000,
    ],
)
def test_a_damaged_mapping_is_refused(tmp_path: Path, content: bytes) -> None:
    """A mapping that is damaged or no mapping is refused in a sentence."""
    with pytest.raises(StashError):
        columns_from_json(content)
    (tmp_path / "columns.json").write_bytes(content)
    with pytest.raises(StashError, match=r"columns\.json"):
        read_columns(tmp_path / "columns.json")
    with pytest.raises(StashError, match="not there"):
        read_columns(tmp_path / "none.json")


words = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=20).map(
    lambda text: " ".join(text.split())
)
holdings = st.builds(
    Holding,
    name=words,
    number=words,
    range=words,
    kind=words,
    colour=st.none() | st.builds(Colour, *[st.integers(0, 255)] * 3),
    skeins=st.none() | st.floats(0, 10_000).map(lambda amount: round(amount, 6)),
    lot=words,
    other=st.dictionaries(st.just("where"), words.filter(bool)),
)


@given(st.lists(holdings, min_size=1, max_size=5))
def test_a_stash_written_and_read_is_the_same(
    tmp_path_factory: pytest.TempPathFactory, held: list[Holding]
) -> None:
    """Whatever her threads are called, writing the list and reading it changes nothing."""
    path = tmp_path_factory.mktemp("stash") / "stash.csv"
    full = [holding for holding in held if holding.skeins is not None or any((holding.name, holding.number))]
    if not full:
        return
    write_stash(Stash(tuple(full), ("where",)), path)
    read = read_stash(path).stash.holdings
    assert [replaced(holding) for holding in read] == [replaced(holding) for holding in full]


def replaced(holding: Holding) -> tuple[object, ...]:
    told = (
        holding.name,
        holding.number,
        holding.range,
        holding.kind,
        holding.colour,
        holding.skeins,
        holding.lot,
    )
    return *told, dict(holding.other)


def test_python_reads_the_list_as_it_was_meant() -> None:
    """The rows follow RFC 4180: CR LF at the end, quotes doubled; no cell is run as a formula."""
    stash = Stash((Holding(name='say "blue", twice', number="=1+1", skeins=1.5),))
    text = "".join(stash_rows(stash))
    assert text.count("\r\n") == 2
    headings, row = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert headings == list(OUR_COLUMNS.told.values())
    assert row[0] == 'say "blue", twice'
    assert row[1] == "'=1+1"


def test_five_thousand_rows_are_read_and_kept(tmp_path: Path) -> None:
    """A stash of 5,000 rows comes in and goes out whole."""
    rows = (f"{n},Sample cotton {n},{n % 7},#{n:06X}\r\n" for n in range(5000))
    reading = read_stash(saved(tmp_path, "number,name,skeins,colour\r\n" + "".join(rows)))
    assert len(reading.stash.holdings) == 5000
    assert reading.stash.holdings[-1] == Holding(
        "Sample cotton 4999", "4999", skeins=4999 % 7, colour=Colour(0, 0x13, 0x87), line=5001
    )
