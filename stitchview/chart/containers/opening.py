"""A chart at a path, whichever container holds it, opened as one set of named entries."""

import stat
from pathlib import Path

from stitchview.chart.containers.entrynames import CHART_ENTRY, MEDIA_TYPE, MIMETYPE_ENTRY, SQUARES_ENTRY
from stitchview.chart.containers.folderentries import read_folder
from stitchview.chart.containers.zipentries import read_zip
from stitchview.chart.inputfile import open_plain, reason
from stitchview.chart.limits import (
    MOST_JSON_BYTES,
    MOST_MIMETYPE_BYTES,
    MOST_PICTURE_BYTES,
    MOST_SQUARES_BYTES,
)
from stitchview.chart.problems import Findings

# The most bytes of an entry by its name; "" stands for every other one.
CAPS = {
    MIMETYPE_ENTRY: MOST_MIMETYPE_BYTES,
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
        raise findings.stop(
            f"cannot be read ({reason(error)})", remedy="Check that you may open it."
        ) from error
    _check_complete(entries, findings)
    return entries


def _folder(path: Path, findings: Findings) -> dict[str, bytes]:
    if not (path / CHART_ENTRY).is_file():
        raise findings.stop(
            f"is a folder without {CHART_ENTRY}, so it is no chart", remedy="Choose another folder."
        )
    return {MIMETYPE_ENTRY: MEDIA_TYPE} | read_folder(path, CAPS, findings)


def _file(path: Path, findings: Findings) -> dict[str, bytes]:
    file, size = open_plain(path)
    with file:
        return read_zip(file, size, CAPS, findings)


def _check_complete(entries: dict[str, bytes], findings: Findings) -> None:
    for name in (MIMETYPE_ENTRY, CHART_ENTRY, SQUARES_ENTRY):
        if name not in entries:
            findings.add(f"has no entry {name}", remedy="This is no chart, or a part of it was lost.")
    if len(findings):
        raise findings.error()
    if entries[MIMETYPE_ENTRY].strip(b"\r\n") != MEDIA_TYPE:
        raise findings.stop(f"is another kind of file: its media type is not {MEDIA_TYPE.decode()}")
