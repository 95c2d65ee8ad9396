"""The folder of her own where a done layer goes when nothing can be written beside its chart."""

import os
import sys
from pathlib import Path

FOLDER = "stitchview"


def own_layers_folder() -> Path:
    """The program's part of the user's data folder; it need not exist yet.

    Follows the XDG Base Directory Specification 0.8 (a path that is not absolute is ignored); on
    Windows the local application data, on macOS Application Support, by their makers' guidelines.
    """
    return _data_folder() / FOLDER


def _data_folder() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    told = Path(os.environ.get("XDG_DATA_HOME", ""))
    return told if told.is_absolute() else Path.home() / ".local" / "share"
