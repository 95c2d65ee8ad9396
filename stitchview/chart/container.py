"""What holds a chart, a ZIP file or a folder, opened as one set of named entries."""

import os
import stat
from pathlib import Path

from stitchview.chart.entrynames import MEDIA_TYPE, MIMETYPE_ENTRY
from stitchview.chart.folderentries import read_folder
from stitchview.chart.limits import MOST_JSON_BYTES, MOST_PICTURE_BYTES, MOST_SQUARES_BYTES
from stitchview.chart.members import CHART_ENTRY
from stitchview.chart.problems import Findings
from stitchview.chart.squarestext import SQUARES_ENTRY
from stitchview.chart.zipentries import read_zip

# The most bytes of an entry by its name; "" stands for every other one.
CAPS = {
    MIMETYPE_ENTRY: 64,
    CHART_ENTRY: MOST_JSON_BYTES,
    SQUARES_ENTRY: MOST_SQUARES_BYTES,
    "": MOST_PICTURE_BYTES,
}


def read_entries(path: Path, findings: Findings) -> dict[str, bytes]:
    """All entries of the chart at `path`, which may be a file or a folder; raises `FaultyChart`."""
    try:
        kind = path.stat().st_mode
        if stat.S_ISDIR(kind):
            entries = _folder(path, findings)
        elif stat.S_ISREG(kind):
            entries = _file(path, findings)
        else:
            raise findings.stop("is a device or a pipe, not a chart", remedy="Choose a file or a folder.")
    except FileNotFoundError as error:
        raise findings.stop("is not there", remedy="Check the name and the folder.") from error
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise findings.stop(f"cannot be read ({reason})", remedy="Check that you may open it.") from error
    _check_complete(entries, findings)
    return entries


def _folder(path: Path, findings: Findings) -> dict[str, bytes]:
    if not (path / CHART_ENTRY).is_file():
        raise findings.stop(
            f"is a folder without {CHART_ENTRY}, so it is no chart", remedy="Choose another folder."
        )
    return {MIMETYPE_ENTRY: MEDIA_TYPE} | read_folder(path, CAPS, findings)


def _file(path: Path, findings: Findings) -> dict[str, bytes]:
    # Opened without waiting, in case a pipe took the file's place since it was looked at.
    with open(
        os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)), "rb"
    ) as file:
        state = os.fstat(file.fileno())
        if not stat.S_ISREG(state.st_mode):
            raise findings.stop("is no longer a file")
        return read_zip(file, state.st_size, CAPS, findings)


def _check_complete(entries: dict[str, bytes], findings: Findings) -> None:
    for name in (MIMETYPE_ENTRY, CHART_ENTRY, SQUARES_ENTRY):
        if name not in entries:
            findings.add(f"has no entry {name}", remedy="This is no chart, or a part of it was lost.")
    if len(findings):
        raise findings.error()
    if entries[MIMETYPE_ENTRY].strip(b"\r\n") != MEDIA_TYPE:
        raise findings.stop(f"is another kind of file: its media type is not {MEDIA_TYPE.decode()}")
