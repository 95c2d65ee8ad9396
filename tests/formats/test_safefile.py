"""A file is replaced whole or not at all, whatever goes wrong on the way."""

import errno
import os
import stat
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from stitchview import safefile
from stitchview.errors import StitchviewError
from stitchview.safefile import TEMPORARY_MARK, replacing, replacing_all, sweep_stale, write_bytes

NO_SPACE = OSError(errno.ENOSPC, "No space left on device")


def names(folder: Path) -> list[str]:
    """What lies in a folder, hidden files too."""
    return sorted(path.name for path in folder.iterdir())


def failing(error: OSError) -> Callable[..., None]:
    """A system call that fails."""

    def call(*_: object) -> None:
        raise error

    return call


def test_new_bytes_take_the_place_of_old_ones(tmp_path: Path) -> None:
    """After saving there is the new file and nothing else."""
    path = tmp_path / "dusk.svchart"
    write_bytes(path, b"old")
    write_bytes(path, b"new")
    assert path.read_bytes() == b"new"
    assert names(tmp_path) == ["dusk.svchart"]


def test_the_old_file_stands_until_the_block_ends(tmp_path: Path) -> None:
    """While the new file is written, whoever reads finds the old one whole."""
    path = tmp_path / "dusk.svchart"
    write_bytes(path, b"old")
    with replacing(path) as file:
        file.write(b"new")
        file.flush()
        assert path.read_bytes() == b"old"
    assert path.read_bytes() == b"new"


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failing_step_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """A disk that fills up at the last moment costs nothing, and she is told in one sentence."""
    path = tmp_path / "dusk.svchart"
    write_bytes(path, b"old")
    monkeypatch.setattr(os, step, failing(NO_SPACE))
    with pytest.raises(
        StitchviewError, match=r"“dusk.svchart” could not be written \(no space left on device\)"
    ):
        write_bytes(path, b"new")
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["dusk.svchart"]


def test_an_error_of_the_writer_leaves_the_old_file(tmp_path: Path) -> None:
    """A fault in the middle of writing is passed on, and the old file stays."""
    path = tmp_path / "dusk.svchart"
    write_bytes(path, b"old")

    def write_half() -> None:
        with replacing(path) as file:
            file.write(b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_half()
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["dusk.svchart"]


def test_a_link_is_followed_and_the_mode_kept(tmp_path: Path) -> None:
    """Saving through a link keeps the link, and a private file is private from its first byte on."""
    target, link = tmp_path / "target", tmp_path / "link"
    write_bytes(target, b"old")
    target.chmod(0o600)
    link.symlink_to("target")
    with replacing(link) as file:
        (temporary,) = (path for path in tmp_path.iterdir() if TEMPORARY_MARK in path.name)
        assert stat.S_IMODE(temporary.stat().st_mode) == 0o600
        file.write(b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o600


def test_a_new_file_has_the_usual_mode(tmp_path: Path) -> None:
    """A file that was not there before gets what the system gives new files."""
    (tmp_path / "plain").touch()
    write_bytes(tmp_path / "ours", b"")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_name_as_long_as_the_disk_allows_is_written(tmp_path: Path) -> None:
    """The temporary name is never too long where the name itself is not."""
    path = tmp_path / ("ä" * 124 + ".svdone")
    write_bytes(path, b"new")
    assert path.read_bytes() == b"new"


def test_devices_and_pipes_are_not_replaced(tmp_path: Path) -> None:
    """A wrong path never turns a device of the system into a file."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(StitchviewError, match="a link, a device or a pipe"):
        write_bytes(pipe, b"new")
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    with pytest.raises(StitchviewError, match="a link, a device or a pipe"):
        write_bytes(Path("/dev/null"), b"new")


def test_a_file_marked_read_only_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What she protected from writing stays, although its folder could be written to."""
    path = tmp_path / "dusk.svchart"
    write_bytes(path, b"old")
    path.chmod(0o444)
    if os.geteuid() == 0:  # root may write everything, so the system's answer is put in its mouth
        monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(StitchviewError, match="marked read-only"):
        write_bytes(path, b"new")
    assert path.read_bytes() == b"old"


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("nowhere/x", "The folder of “x” does not exist"),
        ("file/x", "The folder of “x” does not exist"),
        ("folder", "“folder” is a folder"),
        ("y" * 300, "could not be written"),
        ("a\0b", "could not be written"),
    ],
)
def test_places_that_cannot_be_are_said_in_a_sentence(tmp_path: Path, name: str, sentence: str) -> None:
    """A missing folder, a folder instead of a file, a name too long."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").touch()
    with pytest.raises(StitchviewError, match=sentence):
        write_bytes(tmp_path / name, b"new")
    assert names(tmp_path) == ["file", "folder"]


def test_the_top_of_the_disk_is_a_folder() -> None:
    """Even a path without any name gets a sentence."""
    with pytest.raises(StitchviewError, match="is a folder"):
        write_bytes(Path("/"), b"new")


def test_a_target_held_for_a_moment_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another program holds the file for a moment (as on Windows), saving waits and succeeds."""
    calls: list[int] = []
    swap = os.replace

    def held(source: Path, target: Path) -> None:
        calls.append(1)
        if len(calls) < 3:
            raise PermissionError(errno.EACCES, "Access is denied")
        swap(source, target)

    monkeypatch.setattr(os, "replace", held)
    monkeypatch.setattr(safefile, "_SWAP_PAUSE_SECONDS", 0)
    write_bytes(tmp_path / "dusk.svchart", b"new")
    assert (tmp_path / "dusk.svchart").read_bytes() == b"new"


def test_several_files_wait_for_one_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the second of three cannot be put down, the first is still the old one and no trace is left."""
    paths = [tmp_path / "a", tmp_path / "b", tmp_path / "new" / "deep" / "c"]
    replacing_all({paths[0]: b"old a", paths[1]: b"old b"})
    before = names(tmp_path)
    real, calls = os.fsync, []

    def third_fails(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 3:
            raise NO_SPACE
        real(handle)

    monkeypatch.setattr(os, "fsync", third_fails)
    with pytest.raises(StitchviewError, match="“c” could not be written"):
        replacing_all(dict.fromkeys(paths, b"new"))
    monkeypatch.undo()
    assert names(tmp_path) == before
    assert [path.read_bytes() for path in paths[:2]] == [b"old a", b"old b"]
    replacing_all(dict.fromkeys(paths, b"new"))
    assert [path.read_bytes() for path in paths] == [b"new"] * 3


def test_of_several_files_those_that_are_new_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When another program holds the second of two at the last moment, the sentence says which is new."""
    paths = [tmp_path / "chart.csv", tmp_path / "key.csv"]
    replacing_all(dict.fromkeys(paths, b"old"))
    swap = os.replace

    def key_is_held(source: Path, target: Path) -> None:
        if target == paths[1]:
            raise PermissionError(errno.EACCES, "Access is denied")
        swap(source, target)

    monkeypatch.setattr(os, "replace", key_is_held)
    monkeypatch.setattr(safefile, "_SWAP_PAUSE_SECONDS", 0)
    with pytest.raises(StitchviewError, match=r"“key.csv” could .* as it was; “chart.csv” beside it is new"):
        replacing_all(dict.fromkeys(paths, b"new"))
    assert [path.read_bytes() for path in paths] == [b"new", b"old"]
    assert names(tmp_path) == ["chart.csv", "key.csv"]


def test_several_files_do_not_follow_links(tmp_path: Path) -> None:
    """A link inside a folder from a stranger is not written through."""
    (tmp_path / "mine").write_bytes(b"mine")
    (tmp_path / "link").symlink_to("mine")
    with pytest.raises(StitchviewError, match="a link, a device or a pipe"):
        replacing_all({tmp_path / "link": b"new"})
    assert (tmp_path / "mine").read_bytes() == b"mine"


def test_only_old_leftovers_are_swept(tmp_path: Path) -> None:
    """What a crash left a day ago goes, what is being written now and what is hers stays."""
    for name in (f".x{TEMPORARY_MARK}1", f".x{TEMPORARY_MARK}2", "x"):
        (tmp_path / name).touch()
    old = time.time() - 2 * 24 * 60 * 60
    os.utime(tmp_path / f".x{TEMPORARY_MARK}1", (old, old))
    os.utime(tmp_path / "x", (old, old))
    sweep_stale(tmp_path)
    assert names(tmp_path) == [f".x{TEMPORARY_MARK}2", "x"]
    sweep_stale(tmp_path / "nowhere")
