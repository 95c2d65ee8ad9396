"""A plain file opened for reading: never a device or a pipe that would hold the program up."""

import os
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from stitchview.errors import ChartError, StitchviewError

_WITHOUT_WAITING = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def open_plain(path: Path) -> tuple[IO[bytes], int]:
    """The open file at `path` and its size in bytes; raises `OSError` when it is no plain file.

    It is looked at once more after it was opened, for it may have changed in between.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(None, "it is not a file")
    file = open(os.open(path, os.O_RDONLY | _WITHOUT_WAITING), "rb")  # noqa: SIM115 (the caller closes it)
    state = os.fstat(file.fileno())
    if not stat.S_ISREG(state.st_mode):
        file.close()
        raise OSError(None, "it is no longer a file")
    return file, state.st_size


@dataclass(frozen=True, slots=True)
class ReadAs:
    """What a file is read as: the error that is raised, and two of its words."""

    raises: type[StitchviewError] = ChartError
    what: str = "a chart"
    if_empty: str = "Use a copy of it."


AS_CHART = ReadAs()


def read_plain(path: Path, most: int, read_as: ReadAs = AS_CHART) -> bytes:
    """All bytes of the file at `path`, at most `most`; raises what `read_as` says, in one sentence."""
    name = path.name or str(path)
    try:
        file, size = open_plain(path)
        with file:
            content = file.read(most + 1) if size <= most else b""
    except FileNotFoundError as error:
        raise read_as.raises(f"“{name}” is not there.", "Check the name and the folder.") from error
    except (OSError, ValueError) as error:
        raise read_as.raises(
            f"“{name}” cannot be read ({reason(error)}).", "Check that you may open it."
        ) from error
    if max(size, len(content)) > most:
        raise read_as.raises(
            f"“{name}” has more than {most:,} bytes.", f"It is too large to be {read_as.what}."
        )
    if not content:
        raise read_as.raises(f"“{name}” is empty.", read_as.if_empty)
    return content


def reason(error: OSError | ValueError) -> str:
    """Why the system would not open or read a file, in a few words."""
    return (getattr(error, "strerror", None) or str(error)).lower()
