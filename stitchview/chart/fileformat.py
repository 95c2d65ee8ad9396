"""The open chart file: read it, look for its problems, and write it as one file or as a folder."""

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path, PurePath

from stitchview.chart.containers.entrynames import CHART_ENTRY, MIMETYPE_ENTRY, PICTURES
from stitchview.chart.containers.opening import read_entries
from stitchview.chart.containers.zipentries import write_zip
from stitchview.chart.entries.decoding import decode
from stitchview.chart.entries.encoding import encode
from stitchview.chart.model import Chart
from stitchview.chart.problems import FaultyChart, Findings, Problem
from stitchview.errors import ChartError
from stitchview.safefile import replacing, replacing_all, unwritable

SUFFIX = ".svchart"


def read_chart(path: Path) -> Chart:
    """The chart at `path`, a `.svchart` file or a folder with the same entries.

    Raises `FaultyChart` (a `ChartError`) that names the place of the first problem and carries
    all of them. Nothing on the disk is changed.
    """
    findings = Findings(_name(path))
    try:
        return decode(read_entries(path, findings), findings)
    except MemoryError as error:
        raise findings.stop("needs more memory than there is", remedy="Close other programs.") from error


def find_problems(path: Path) -> tuple[Problem, ...]:
    """All problems of the chart at `path` (of very many, the first hundred); empty when it is sound."""
    try:
        read_chart(path)
    except FaultyChart as error:
        return error.problems
    return ()


def write_chart(chart: Chart, path: Path) -> None:
    """Write `chart` to `path` in one step: as a folder when `path` is one or has no suffix, else as a file.

    Raises `ChartError` when the chart itself is not sound and `StitchviewError` when the place
    cannot be written; what was there before is then still whole.
    """
    if os.path.isdir(path) or not path.suffix:
        write_folder(chart, path)
        return
    entries = _encoded(chart, path)
    with replacing(path) as file:
        write_zip(file, entries)


def _encoded(chart: Chart, path: Path) -> dict[str, bytes]:
    if chart.worked is not None:
        # What differs on the cloth is no correction of the chart: a fault of ours must not make it one.
        raise ValueError("only a chart as it is printed is written to a file")
    return encode(chart, Findings(_name(path)))


def write_folder(chart: Chart, path: Path) -> None:
    """Write `chart` as a folder, new or already a chart.

    All entries are on the disk under temporary names before the first takes its place, chart.json
    last; pictures the chart no longer has are removed after that, other files are left alone.
    Raises as `write_chart` does.
    """
    entries = _encoded(chart, path)
    del entries[MIMETYPE_ENTRY]
    try:
        _check_folder(path, entries)
    except OSError as error:
        raise unwritable(path, error) from error
    description = entries.pop(CHART_ENTRY)
    contents = {path / name: content for name, content in entries.items()}
    replacing_all(contents | {path / CHART_ENTRY: description})
    _remove_pictures(path, set(contents))


def _check_folder(folder: Path, entries: Mapping[str, bytes]) -> None:
    """Refuse a folder that holds other things, or links by which entries would be written elsewhere."""
    if folder.is_dir() and any(folder.iterdir()) and not (folder / CHART_ENTRY).is_file():
        raise ChartError(
            f"The folder “{_name(folder)}” holds other things.", "Choose a new or an empty folder."
        )
    inner = {folder / parent for name in entries for parent in PurePath(name).parents if parent.name}
    if any(path.is_symlink() for path in inner):
        raise ChartError(
            f"The folder “{_name(folder)}” holds links to other folders.", "Choose a new folder."
        )


def _remove_pictures(folder: Path, kept: set[Path]) -> None:
    pictures = folder / PICTURES
    if pictures.is_symlink():
        return
    for at, _, names in os.walk(pictures):
        for name in names:
            path = Path(at, name)
            if path not in kept and not name.startswith("."):
                # The chart is saved; an old picture that stays is no harm.
                with contextlib.suppress(OSError):
                    path.unlink()


def _name(path: Path) -> str:
    return path.name or str(path)
