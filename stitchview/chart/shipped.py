"""Where the files that come with the program lie: the format's papers, icons and sample charts."""

from pathlib import Path

from stitchview.errors import StitchviewError

_PACKAGE = Path(__file__).resolve().parents[1]


def shipped(name: str) -> Path:
    """The file or folder called `name`, such as "resources/chart.schema.json" or "samples".

    An installed package carries them inside itself, in a checkout they stand beside it. Raises
    `StitchviewError` when it is in neither place.
    """
    for folder in (_PACKAGE, _PACKAGE.parent):
        path = folder / name
        if path.exists():
            return path
    raise StitchviewError(f"The file “{name}” that comes with stitchview is missing.", "Install it again.")
