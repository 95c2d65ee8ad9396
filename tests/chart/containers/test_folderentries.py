"""A chart as a folder: only its own plain files are read, never what a link points to."""

import os
from pathlib import Path

import pytest

from stitchview.chart.containers.folderentries import read_folder
from stitchview.chart.limits import MOST_ENTRIES
from stitchview.chart.problems import FaultyChart, Findings

CAPS = {"chart.json": 10, "": 100}


def problems(folder: Path) -> str:
    """What is said of a folder that must be refused."""
    with pytest.raises(FaultyChart) as caught:
        read_folder(folder, CAPS, Findings("test"))
    return " ".join(map(str, caught.value.problems))


def test_files_are_read_by_their_names_hidden_ones_left_out(tmp_path: Path) -> None:
    """A chart kept under version control opens without its history."""
    for name in ("chart.json", "pictures/deep/a.png", ".git/config", ".gitignore", "pictures/.DS_Store"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(name.encode()[:10])
    assert read_folder(tmp_path, CAPS, Findings("test")) == {
        "chart.json": b"chart.json",
        "pictures/deep/a.png": b"pictures/d",
    }


@pytest.mark.parametrize("target", ["/etc/passwd", "chart.json", "nowhere", "."])
def test_links_are_never_followed(tmp_path: Path, target: str) -> None:
    """A chart from a stranger cannot carry off a file of hers by pointing to it."""
    (tmp_path / "chart.json").write_bytes(b"{}")
    (tmp_path / "squares.txt").symlink_to(target)
    assert "“squares.txt”, which is a link" in problems(tmp_path)


def test_a_linked_folder_inside_is_not_entered(tmp_path: Path) -> None:
    """Pictures must lie in the chart's own folder."""
    (tmp_path / "chart.json").write_bytes(b"{}")
    (tmp_path / "pictures").symlink_to("/etc")
    assert "“pictures”, which is a link" in problems(tmp_path)


def test_a_pipe_inside_does_not_hold_the_program_up(tmp_path: Path) -> None:
    """A pipe among the files is refused at once, not waited for."""
    os.mkfifo(tmp_path / "squares.txt")
    assert "is neither a file nor a folder" in problems(tmp_path)


def test_sizes_numbers_and_depth_are_checked_before_reading(tmp_path: Path) -> None:
    """A file too large, too deep or one too many is refused by its name."""
    (tmp_path / "chart.json").write_bytes(b"x" * 11)
    deep = tmp_path / "a/b/c/d/e/f/g/h/i"
    deep.mkdir(parents=True)
    (tmp_path / "a:b").write_bytes(b"")
    told = problems(tmp_path)
    assert "“chart.json”, which has 11 bytes, at most 10 are allowed" in told
    assert "“a/b/c/d/e/f/g/h”, which is neither" in told
    assert "“a:b”, which must be a plain relative name" in told


def test_capitals_do_not_make_another_name(tmp_path: Path) -> None:
    """Two files that are one on other disks are refused."""
    (tmp_path / "A.png").write_bytes(b"")
    (tmp_path / "a.png").write_bytes(b"")
    if len(list(tmp_path.iterdir())) == 1:
        pytest.skip("this disk does not tell capitals apart")
    assert "twice" in problems(tmp_path)


def test_too_many_files_are_refused(tmp_path: Path) -> None:
    """A folder that is no chart but half a disk is not read through."""
    for number in range(MOST_ENTRIES + 1):
        (tmp_path / str(number)).touch()
    assert "more than 10,000 files" in problems(tmp_path)
