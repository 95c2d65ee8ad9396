"""Where a count on the cloth departs, asked from the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


def test_it_tells_between_which_lines(say: Callable[..., Any], harbour_path: Path) -> None:
    """Two counts, the second one off: the gap between them is told, and how far all after it lies off."""
    told = say("count-off", harbour_path, "--column", "20=20", "--column", "30=31")
    assert told.code == 0
    assert told.out.startswith("Between columns 20 and 30 the cloth has 1 column too many.")


def test_programs_get_numbers(say: Callable[..., Any], harbour_path: Path) -> None:
    """Rows counted along two columns split between these; from the centre rows above are below 0."""
    asked = ("--row=-10=-10@-5", "--row=-10=-12@5", "--counted-from", "centre", "--json")
    members = json.loads(say("count-off", harbour_path, *asked).out)
    assert members["splits"] == [{"of": "rows", "line": -10, "between": [-5, 5], "by": -2}]
    assert [(each["up_to"], each["by"]) for each in members["departures"]] == [(-10, -2)]


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        ((), "Nothing was counted."),
        (("--column", "20=21", "--column", "20=22"), "counted at 21 and at 22. Count it again."),
        (("--column", "20=0", "--counted-from", "centre"), "no column or row is 0"),
        (("--row", "5000=5000"), "The chart has no row 5,000"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(
    asked: tuple[str, ...], what: str, say: Callable[..., Any], harbour_path: Path
) -> None:
    """Contradictions and lines off the chart."""
    told = say("count-off", harbour_path, *asked)
    assert told.code != 0
    assert what in told.complaint


def test_a_mistyped_count_is_misuse(say: Callable[..., Any], harbour_path: Path) -> None:
    """The sentence shows how a count is written."""
    told = say("count-off", harbour_path, "--column", "20:21")
    assert told.code == 2
    assert "as 120=121" in told.complaint
