"""Names of entries: no name leads out of the chart or stands for another's file."""

import pytest

from stitchview.chart.containers.entrynames import doubled, is_hidden, name_fault, shown_name


@pytest.mark.parametrize(
    "name", ["chart.json", "pictures/a b.png", "pictures/ä/ö.png", "later.bin", "a..b", "中/文"]
)
def test_plain_names_are_taken(name: str) -> None:
    """Names of any script, with folders, are fine."""
    assert name_fault(name) == ""


@pytest.mark.parametrize(
    "name",
    [
        *("", "/etc/passwd", "//server/share", "../x", "a/../../x", "..", ".", "a/./b", "a//b", "a/"),
        *("C:/x", "C:x", "a\\b", "..\\x", "\\\\server\\x", "a:stream"),
        *("a\0b", "a\nb", "a\x7fb", "a\x85b", " a", "a ", "a/ b", "a\u00a0/b"),
        *("x" * 201, "ä" * 101, "/".join("abcdefghi"), "a\ud800"),
    ],
)
def test_names_that_could_do_harm_are_refused(name: str) -> None:
    """Absolute names, drive letters, backslashes, ways out and names too long are refused with a reason."""
    assert name_fault(name).startswith("must ")


def test_names_that_differ_only_in_capitals_are_doubled() -> None:
    """On some disks Chart.json is chart.json, and an accent has two spellings."""
    assert doubled(["chart.json", "a", "Chart.JSON", "caf\u00e9", "cafe\u0301"]) == [
        "Chart.JSON",
        "cafe\u0301",
    ]
    assert doubled(["a", "b", "a/b"]) == []


def test_hidden_names_are_known_by_their_dot() -> None:
    """What version control and file managers leave behind is no part of a chart."""
    assert is_hidden(".git/config")
    assert is_hidden("pictures/.DS_Store")
    assert not is_hidden("pictures/a.png")


def test_a_name_is_shown_without_harm_to_the_screen() -> None:
    """A hostile name cannot colour the terminal or fill it."""
    assert shown_name("a\x1b[31mb\u202ec") == "“a�[31mb�c”"
    assert len(shown_name("x" * 10_000)) < 100
