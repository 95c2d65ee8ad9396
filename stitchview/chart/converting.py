"""Read and write a chart in any of its forms: chart file, folder, CSV tables, or picture."""

import uuid
from dataclasses import replace
from enum import Enum
from pathlib import Path

from stitchview.chart.csvtables import key_path_for, read_csv, write_csv
from stitchview.chart.fileformat import SUFFIX, read_chart, write_chart
from stitchview.chart.interchange import Imported
from stitchview.chart.model import Chart
from stitchview.chart.pixelpng import read_png, write_png
from stitchview.errors import ChartError


class Form(Enum):
    """The forms a chart can have on the disk."""

    CHART = SUFFIX
    FOLDER = ""
    TABLES = ".csv"
    PICTURE = ".png"


def form_of(path: Path) -> Form:
    """The form that the name `path` stands for; raises `ChartError` for an ending of no form."""
    if path.is_dir():
        return Form.FOLDER
    try:
        return Form(path.suffix.lower())
    except ValueError:
        raise ChartError(
            f"“{path.name}” has an ending that is no form of a chart.",
            f"Use {SUFFIX}, .csv, .png, or a folder (a name without an ending).",
        ) from None


def read_any(path: Path) -> Imported:
    """The chart at `path` in whichever form it has; a table's key is taken from the table beside it.

    A chart that comes from a plainer form begins its life here: it gets an identity and its file's
    name as title. Raises `ChartError`.
    """
    match form_of(path):
        case Form.TABLES:
            key_path = key_path_for(path)
            imported = read_csv(path, key_path if key_path.exists() else None)
        case Form.PICTURE:
            imported = read_png(path)
        case _:
            return Imported(read_chart(path), ())
    begun = replace(imported.chart, title=path.stem, identity=str(uuid.uuid4()))
    return Imported(begun, imported.notes)


def write_any(chart: Chart, path: Path) -> tuple[str, ...]:
    """Write `chart` to `path` in the form its name stands for; gives what could not be carried.

    Raises `StitchviewError` when that form cannot hold the chart or the place cannot be written.
    """
    match form_of(path):
        case Form.TABLES:
            return write_csv(chart, path, key_path_for(path))
        case Form.PICTURE:
            return write_png(chart, path)
        case _:
            write_chart(chart, path)
            return ()


def places_written(path: Path) -> tuple[Path, ...]:
    """The files or the folder that writing to `path` makes or replaces."""
    if form_of(path) is Form.TABLES:
        return (path, key_path_for(path))
    return (path,)
