"""Tables of squares and key by RFC 4180, against Python's csv and the ways of spreadsheets."""

import csv
import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.csvtables import key_path_for, read_csv, write_csv
from stitchview.chart.model import Chart, KeyEntry, Symbol, Thread
from stitchview.chart.plaintables import cell, guarded, row_text, unguarded
from stitchview.errors import ChartError, StitchviewError

LETTERS = st.characters(exclude_categories=["Cs"], exclude_characters="\0")
CELLS = st.lists(st.text(LETTERS, max_size=6), min_size=2)


@given(CELLS)
def test_python_reads_every_cell_as_it_was(cells: list[str]) -> None:
    """Commas, quotes and line ends inside a cell come back (reference: Python's csv)."""
    assert next(csv.reader(io.StringIO(row_text(map(cell, cells)), newline=""))) == cells


def test_the_example_of_the_standard() -> None:
    """a, b,c, d"e and f, line end, g are written as RFC 4180 wants."""
    assert row_text(map(cell, ["a", "b,c", 'd"e', "f\ng"])) == 'a,"b,c","d""e","f\ng"\r\n'


@given(st.text(st.sampled_from("'=+-@a\t"), max_size=6))
def test_free_text_is_guarded_and_comes_back(text: str) -> None:
    """No spreadsheet runs a thread's name as a formula, and the name is the same afterwards."""
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert unguarded(guarded(text)) == text


def test_what_is_written_python_reads(sound_chart: Chart, tmp_path: Path) -> None:
    """Python's csv finds a cell for each square and a row for each thread."""
    entries = (
        replace(sound_chart.key[0], name="=HYPERLINK(1)", number="-17", held_back=True),
        replace(sound_chart.key[1], blend=(Thread("one, two", "1"), Thread('"three"', "+3"))),
        *sound_chart.key[2:],
    )
    write_csv(replace(sound_chart, key=entries), tmp_path / "a.csv", tmp_path / "key.csv")
    with (tmp_path / "a.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    codes = [".", *(entry.code for entry in entries)]
    assert rows == [[codes[number] for number in row] for row in sound_chart.squares.tolist()]
    with (tmp_path / "key.csv").open(encoding="utf-8", newline="") as file:
        told = list(csv.DictReader(file))
    assert [row["use"] for row in told] == ["thread", "thread", "blended", "blended", "thread", "thread"]
    assert (told[0]["name"], told[0]["number"], told[0]["held back"]) == ("'=HYPERLINK(1)", "'-17", "yes")
    assert (told[2]["name"], told[3]["number"]) == ("one, two", "'+3")
    assert (tmp_path / "a.csv").read_bytes().count(b"\r\n") == sound_chart.rows


def test_names_stand_for_threads_where_a_key_says_so(tmp_path: Path) -> None:
    """A table with words in its cells is a chart as soon as the key names the words."""
    (tmp_path / "a.csv").write_text("DK1,DK1,\n.,b,DK2\n", "utf-8")
    key = "Colour,Code,Name\n#112233,DK1,Dark one\n,b,Bare\n#445566,DK2,Dark two\n"
    (tmp_path / "key.csv").write_text(key, "utf-8")
    chart = read_csv(tmp_path / "a.csv", tmp_path / "key.csv").chart
    assert chart.squares.tolist() == [[1, 1, 0], [0, 2, 3]]
    first, second = allot_codes(2)
    assert chart.key == (
        KeyEntry(first, Symbol(first), "Dark one", colour=Colour(0x11, 0x22, 0x33)),
        KeyEntry("b", Symbol("b"), "Bare"),
        KeyEntry(second, Symbol(second), "Dark two", colour=Colour(0x44, 0x55, 0x66)),
    )


def test_without_a_key_every_text_is_a_thread(tmp_path: Path) -> None:
    """A bare table opens, and she is told that its threads have no names yet."""
    (tmp_path / "a.csv").write_text("x,red\nred,.\n", "utf-8")
    made = read_csv(tmp_path / "a.csv")
    assert made.chart.squares.tolist() == [[1, 2], [2, 0]]
    assert [entry.name for entry in made.chart.key] == ["x", "red"]
    assert made.notes == ("Without a key table the threads have no names and colours yet.",)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_tables_of_other_programs_are_read(tmp_path: Path, encoding: str, sign: str, end: str) -> None:
    """Semicolons, tabs, byte order marks and UTF-16 are what spreadsheets write in many countries."""
    text = end.join((sign.join("aé."), sign.join((".", '"a"', "é")), ""))
    (tmp_path / "a.csv").write_bytes(text.encode(encoding))
    assert read_csv(tmp_path / "a.csv").chart.squares.tolist() == [[1, 2, 0], [0, 1, 2]]


@pytest.mark.parametrize(
    ("squares", "words"),
    [
        (b"", "is empty"),
        (b"\r\n\r\n", "has no squares"),
        (b"a,a\na\n", "row 2 has 1 cell, the first has 2"),
        (b'a,"b\n', "is not CSV"),
        (b'a,"b"c\n', "is not CSV"),
        (b"a,\xe9\n", "byte 3 is not UTF-8 text"),
        (b"\xff\xfea", "is not UTF-16 text"),
        (b"a,\0\n", "is not a table in text"),
        (b"a,z\n", "row 1, column 2 holds “z”, which the key does not name"),
        (b"a," * 4096 + b"a\n", "more than 4,096 columns"),
        (b"a\n" * 4097, "more than 4,096 columns or 4,096 rows"),
        (b"a," + b"x" * 200_000 + b"\n", "is not CSV"),
    ],
)
def test_tables_that_are_none_get_a_sentence(tmp_path: Path, squares: bytes, words: str) -> None:
    """Whatever is wrong with the table of squares, the row and the remedy are named."""
    (tmp_path / "a.csv").write_bytes(squares)
    (tmp_path / "key.csv").write_text("code,name\na,Slate\n", "utf-8")
    with pytest.raises(ChartError, match=words):
        read_csv(tmp_path / "a.csv", tmp_path / "key.csv")


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("name,number\nSlate,1\n", "no column headed “code”"),
        ("code\na\na\n", "row 3: the code “a” is there already"),
        ("code,name\n,Slate\n", "row 2: the code is missing"),
        ("code,colour\na,slate\n", "row 2: the colour must be written as #RRGGBB, not “slate”"),
        ("code,strands\na,many\n", "row 2: the strands must be a whole number from 1 to 50"),
        ("code,strands\na,²\n", "row 2: the strands must be a whole number from 1 to 50"),
        ("code,held back\na,perhaps\n", "row 2: “held back” must be yes or no"),
        ("code,use\na,blended\n", "row 2: “a” is blended before its thread is named"),
        ("code,use\na,thread\na,blended\n", "blends only one thread in “a”"),
        ("code\n" + "x" * 21 + "\n", "row 2: the code has 21 characters"),
        ("code,name\na,\x07\n", "row 2: the name must not hold control characters"),
        ("code\n" + "\n".join(f"x{number}" for number in range(2001)), "row 2002: there are more than 2,000"),
    ],
)
def test_keys_that_are_none_get_a_sentence(tmp_path: Path, key: str, words: str) -> None:
    """Whatever is wrong with the table of the key, its row is named."""
    (tmp_path / "a.csv").write_text("a\n", "utf-8")
    (tmp_path / "key.csv").write_text(key, "utf-8")
    with pytest.raises(ChartError, match=words):
        read_csv(tmp_path / "a.csv", tmp_path / "key.csv")


def test_too_many_different_cells_get_a_sentence(tmp_path: Path) -> None:
    """A table of numbers is not a chart of thousands of threads."""
    (tmp_path / "a.csv").write_text(",".join(f"n{number}" for number in range(2001)) + "\n", "utf-8")
    with pytest.raises(ChartError, match="row 1, column 2001 is one thread too many for 2,000"):
        read_csv(tmp_path / "a.csv")


def test_neither_table_is_written_when_one_cannot_be(sound_chart: Chart, tmp_path: Path) -> None:
    """A key that cannot be put down leaves the old squares too."""
    (tmp_path / "a.csv").write_text("old", "utf-8")
    (tmp_path / "folder").mkdir()
    with pytest.raises(StitchviewError, match="“folder” is a folder"):
        write_csv(sound_chart, tmp_path / "a.csv", tmp_path / "folder")
    assert (tmp_path / "a.csv").read_text("utf-8") == "old"


def test_the_key_lies_beside_the_squares() -> None:
    """dusk.csv has its key in dusk-key.csv."""
    assert key_path_for(Path("charts/dusk.csv")) == Path("charts/dusk-key.csv")


def test_a_large_table_comes_back(tmp_path: Path) -> None:
    """Two thousand threads on a chart of some size."""
    key = tuple(KeyEntry(code, Symbol(code), f"Sample cotton {code}") for code in allot_codes(2000))
    squares = np.arange(300 * 200, dtype=np.uint16).reshape(200, 300) % 2001
    write_csv(Chart(squares, key), tmp_path / "a.csv", tmp_path / "key.csv")
    back = read_csv(tmp_path / "a.csv", tmp_path / "key.csv").chart
    assert np.array_equal(back.squares, squares)
    assert back.key == key
