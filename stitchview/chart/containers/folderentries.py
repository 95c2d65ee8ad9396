"""A chart as a folder: its files read without following links, replaced together when it is saved."""

import os
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path

from stitchview.chart.containers.entrynames import doubled, is_hidden, name_fault, shown_name
from stitchview.chart.inputfile import reason
from stitchview.chart.limits import MOST_ENTRIES, MOST_NAME_PARTS, MOST_OTHER_BYTES
from stitchview.chart.problems import Findings

_WITHOUT_WAITING = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)


def read_folder(folder: Path, caps: Mapping[str, int], findings: Findings) -> dict[str, bytes]:
    """The files below `folder` by their names joined with "/", hidden ones left out.

    Numbers and sizes are checked before anything is read; see `zipentries.read_zip` for `caps`.
    Raises `FaultyChart`; a link or a device among the files is one of the problems.
    """
    found: dict[str, os.stat_result] = {}
    try:
        for name, state in _files(folder, folder, 1):
            found[name] = state
            if len(found) > MOST_ENTRIES:
                raise findings.stop(f"has more than {MOST_ENTRIES:,} files")
        _check_files(found, caps, findings)
        if len(findings):
            raise findings.error()
        return {name: _content(folder / name, state.st_size) for name, state in sorted(found.items())}
    except OSError as error:
        name = Path(error.filename or folder).name
        raise findings.stop(f"cannot be read ({name}: {reason(error)})") from error


def _files(folder: Path, top: Path, depth: int) -> Iterator[tuple[str, os.stat_result]]:
    with os.scandir(folder) as listed:
        for item in sorted(listed, key=lambda item: item.name):
            if is_hidden(item.name):
                continue
            if item.is_dir(follow_symlinks=False) and depth < MOST_NAME_PARTS:
                yield from _files(Path(item.path), top, depth + 1)
            else:
                yield Path(item.path).relative_to(top).as_posix(), item.stat(follow_symlinks=False)


def _check_files(found: Mapping[str, os.stat_result], caps: Mapping[str, int], findings: Findings) -> None:
    for name, state in found.items():
        most = caps.get(name, caps[""])
        fault = name_fault(name)
        if stat.S_ISLNK(state.st_mode):
            fault = "is a link; put the file itself there"
        elif not stat.S_ISREG(state.st_mode):
            fault = "is neither a file nor a folder within reach"
        elif state.st_size > most:
            fault = f"has {state.st_size:,} bytes, at most {most:,} are allowed"
        if fault:
            findings.add(f"holds {shown_name(name)}, which {fault}")
    for name in doubled(found):
        findings.add(f"holds {shown_name(name)} twice (capitals do not count)")
    if sum(state.st_size for name, state in found.items() if name not in caps) > MOST_OTHER_BYTES:
        findings.add(f"has pictures of more than {MOST_OTHER_BYTES:,} bytes in all")


def _content(path: Path, size: int) -> bytes:
    """The file's bytes, at most the `size` it was checked for: it may have changed meanwhile."""
    handle = os.open(path, os.O_RDONLY | _WITHOUT_WAITING)
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(None, "no longer a file", str(path))
        return file.read(size)
