"""A stash against a chart, asked from the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.done.basket import Basket, Piece
from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.takenthread import TakenThread


@pytest.fixture
def stash_path(harbour_path: Path, tmp_path: Path) -> Path:
    """A list with plenty of the first thread and nothing of the second."""
    first = read_chart(harbour_path).key[0]
    path = tmp_path / "stash.csv"
    path.write_text(
        f'name,number,kind,skeins,colour\r\n"{first.name}",{first.number},{first.kind},900,{first.colour.hex}\r\n'
        "Sample cotton 900,900,stranded cotton,5,#203040\r\n"
    )
    return path


def by_name(told: Any) -> dict[str, Any]:
    """The threads of what was told as JSON."""
    assert told.code == 0, told.complaint
    return {each["name"]: each for each in json.loads(told.out)["threads"]}


def test_have_short_and_must_buy(say: Callable[..., Any], harbour_path: Path, stash_path: Path) -> None:
    """The first is there, the others must be bought; what is not used is named."""
    chart = read_chart(harbour_path)
    threads = by_name(say("stash", harbour_path, stash_path, "--json"))
    assert threads[chart.key[0].name]["verdict"] == "have"
    second = threads[chart.key[1].name]
    assert second["verdict"] == "must buy"
    assert second["buy"] >= 1
    assert "900, Sample cotton 900" in [each["called"] for each in second["substitutes"]]
    lines = say("stash", harbour_path, stash_path).lines
    assert any(line.startswith(f"{chart.key[0].name}: enough") for line in lines)
    assert "side by side in daylight" in lines[-2]


def test_the_cloth_alters_what_is_short(
    say: Callable[..., Any], harbour_path: Path, stash_path: Path
) -> None:
    """On coarser cloth more must be bought."""
    name = read_chart(harbour_path).key[1].name
    fine = by_name(say("stash", harbour_path, stash_path, "--count", 18, "--json"))[name]["need"]
    coarse = by_name(say("stash", harbour_path, stash_path, "--count", 8, "--json"))[name]["need"]
    assert coarse["likely"] > 1.8 * fine["likely"]


def test_her_own_headings_are_mapped(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """Semicolons, her own words for columns, and a mapping that says which is which."""
    first = read_chart(harbour_path).key[0]
    stash, columns = tmp_path / "hers.csv", tmp_path / "hers.json"
    stash.write_text(f"what;which;pile\n{first.name};{first.number};900\n")
    told = say("stash", harbour_path, stash)
    assert told.code == 1
    assert "no column for a thread's name or number" in told.complaint
    columns.write_text(json.dumps({"name": "what", "number": "which", "skeins": "pile"}))
    told = say("stash", harbour_path, stash, "--columns", columns, "--json")
    assert by_name(told)[first.name]["verdict"] == "have"


@pytest.mark.parametrize("content", [b"", b"\x00\xff\x00", b'name,number\n"half'])
def test_what_is_no_list_is_one_sentence(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, content: bytes
) -> None:
    """Empty, no text, or a quote that does not end."""
    path = tmp_path / "bad.csv"
    path.write_bytes(content)
    told = say("stash", harbour_path, path)
    assert told.code == 1
    assert told.out == ""
    assert told.complaint.count("\n") == 1


def test_wrong_cells_are_told_and_the_rest_is_reckoned(
    say: Callable[..., Any], harbour_path: Path, stash_path: Path
) -> None:
    """Skeins below none are a fault of their row, told where notices go."""
    with stash_path.open("a") as more:
        more.write("Sample cotton 901,901,stranded cotton,-3,#102030\r\n")
    told = say("stash", harbour_path, stash_path)
    assert told.code == 0
    assert "Row 4: " in told.complaint


def test_what_another_piece_takes_of_a_thread_is_told(
    say: Callable[..., Any], harbour_path: Path, stash_path: Path
) -> None:
    """A piece of the workbasket uses the first thread instead of one of its own: 900 skeins become 898."""
    first = read_chart(harbour_path).key[0]
    taken = TakenThread(first.name, first.number, kind=first.kind, skeins=2.0, instead_of="Sample wool 3")
    Basket(own_layers_folder()).put(Piece("boats", Path("/boats.svchart"), "Two boats", taken=(taken,)))
    told = say("stash", harbour_path, stash_path)
    assert told.lines[-1].endswith(
        "“Two boats” uses it instead of Sample wool 3 (2 skeins)."
        " Of 900 skeins in your list that leaves 898 skeins, unless the list is newer."
    )
    threads = by_name(say("stash", harbour_path, stash_path, "--json"))
    assert threads[first.name]["usedElsewhere"] == [
        {"piece": "Two boats", "insteadOf": "Sample wool 3", "skeins": 2.0}
    ]
