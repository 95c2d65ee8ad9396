"""What several commands do: look at a chart and what is done of it, and tell lines and notices."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.command import FINE

if TYPE_CHECKING:
    from stitchview.done.layerfile import OpenedLayer


def look_at(path: Path) -> "OpenedLayer":
    """Open a chart and what is done of it, without touching the disk; its layer is to be closed."""
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.layerfile import open_layer
    from stitchview.done.ownfolder import own_layers_folder

    return open_layer(path, read_chart(path), own_layers_folder(), look_only=True)


def tell(lines: Iterable[str], notices: Iterable[str]) -> int:
    """Print the lines, and the notices where faults go; all is fine."""
    for line in lines:
        print(line)
    for notice in notices:
        sys.stderr.write(f"stitchview: {notice}\n")
    return FINE
