"""From a path to a chart with its marks, ready for the desk; and the sample to try things on."""

import contextlib
import hashlib
import os
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QLockFile

from stitchview.chart.containers.entrynames import CHART_ENTRY, SQUARES_ENTRY
from stitchview.chart.fileformat import read_chart
from stitchview.chart.model import Chart
from stitchview.chart.shipped import shipped
from stitchview.done.joining import Piece
from stitchview.done.keptcopies import KeptCopy
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.restoring import lost_marks
from stitchview.errors import StitchviewError
from stitchview.safefile import replacing_all
from stitchview.ui.picturefiles import are_pictures

OPEN_ELSEWHERE = "This chart is open in another window too. Marks made there show here too, a moment later."


@dataclass(frozen=True, eq=False)
class Opened:
    """A chart that was opened: where it lies, its done layer, and the sign that it is open here."""

    path: Path
    layer: OpenedLayer
    sign: QLockFile
    notices: tuple[str, ...]
    lost: KeptCopy | None = None
    """The newest kept copy, where the chart's own marks were not there any more."""

    @property
    def sign_path(self) -> Path:
        """Where the sign lies, as long as it is open here."""
        return Path(self.sign.fileName())


def open_chart(path: Path, signed: bool = True, printed: Chart | None = None) -> Opened:
    """Open the chart at `path`, a file, a folder or an entry of one, with its marks.

    Unless `signed`, nobody who opens it meanwhile is told that it is open here. A chart that was `printed`
    just before is not read again.

    Raises `StitchviewError` in one sentence; nothing on the disk is changed then.
    """
    chart_path = chart_of(path)
    if are_pictures([chart_path]) and chart_path.is_file():
        raise StitchviewError(
            f"“{chart_path.name}” is a picture, not a chart.",
            "Open the reading table (Ctrl+R) and add it there to make a chart of it.",
        )
    chart = printed or read_chart(chart_path)
    sign = _sign_of(chart_path)
    alone = not signed or sign.tryLock(0) or sign.error() is not QLockFile.LockError.LockFailedError
    # Asked before, because opening begins a fresh layer.
    lost = lost_marks(Piece(chart_path, chart, own_layers_folder()))
    layer = open_layer(chart_path, chart, own_layers_folder())
    notices = layer.notices if alone else (*layer.notices, OPEN_ELSEWHERE)
    return Opened(chart_path, layer, sign, notices, lost)


def chart_of(path: Path) -> Path:
    """The whole path of the chart: of a chart kept as a folder its entries may be named as well."""
    whole = path.absolute()
    # Plain os.path answers no where nobody may look, and leaves the sentence to the reader of charts.
    if whole.name in (CHART_ENTRY, SQUARES_ENTRY) and os.path.isfile(whole.parent / CHART_ENTRY):
        return whole.parent
    return whole


def own_sample(name: str) -> Path:
    """A copy of a shipped sample in her own data folder, made at the first asking.

    Her marks lie beside it there; where the program itself lies nobody should write. When no copy
    can be made the shipped one is given. Raises `StitchviewError` when there is no such sample.
    """
    source = shipped(f"samples/{name}")
    copy = own_layers_folder() / "samples" / source.name
    if os.path.exists(copy):
        return copy
    files = [source] if source.is_file() else sorted(each for each in source.rglob("*") if each.is_file())
    try:
        replacing_all({copy / file.relative_to(source): file.read_bytes() for file in files})
    except (OSError, StitchviewError):
        return source
    return copy


def _sign_of(path: Path) -> QLockFile:
    folder = own_layers_folder() / "open"
    # One file may be reached by several names: links, and folders that are links.
    named = hashlib.sha256(os.path.realpath(path).encode("utf-8", "surrogatepass")).hexdigest()[:24]
    # Without the folder the lock fails too, in a way that is told apart from being taken.
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
    sign = QLockFile(str(folder / f"{named}.lock"))
    # A window may stay open for days; a sign left by a crash is known by its process being gone.
    sign.setStaleLockTime(0)
    return sign
