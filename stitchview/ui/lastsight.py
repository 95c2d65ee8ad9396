"""The picture of the window as the next start will show it, and whether it still may be shown."""

import json
import os
import sys
import zlib
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QSettings, QStandardPaths, qVersion
from PySide6.QtGui import QGuiApplication, QImage

from stitchview import __version__
from stitchview.ui.settings import theme_kept
from stitchview.ui.theme import Theme, is_dark

# Loaded before anything is on the screen: this module stays small, and knows nothing of charts.

MAGIC = b"stitchview sight 1\n"
MOST_SIDE = 16384
MOST_HEADER = 1 << 20
_FORMAT = QImage.Format.Format_RGB32


class Sight(NamedTuple):
    """A picture of the window, with the chart on it and its title.

    `files` are what it was made from, `facts` what was told of these and of the screen when it was made.
    """

    chart: str
    title: str
    files: tuple[str, ...]
    facts: tuple[str, ...]
    picture: QImage


def sight_file() -> Path:
    """Where the picture is kept: in the platform's folder for what can be made again."""
    caches = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericCacheLocation)
    return Path(caches) / "stitchview" / "last-sight"


def still_holds(sight: Sight, app: QGuiApplication, settings: QSettings) -> bool:
    """Whether nothing has changed of all the picture depends on."""
    return sight.facts == facts_of(sight.files, app, settings)


def facts_of(files: Iterable[str], app: QGuiApplication, settings: QSettings) -> tuple[str, ...]:
    """Give what a picture depends on, in words that are only ever compared.

    That is versions, letters, screen, theme and all settings, and of each of `files` which one it is,
    its size and its time, or that it is absent; `*.ending` stands for the names that match in a folder.
    """
    screen, theme = app.primaryScreen(), theme_kept(settings)
    return (
        f"{__version__} {qVersion()} {app.platformName()} {sys.byteorder}",
        app.font().toString(),
        f"{screen.devicePixelRatio()} {screen.logicalDotsPerInch()}",
        f"{theme} {wants_night(app, theme)} {_check_of(settings.fileName())}",
        *(_told_of(path) for path in files),
    )


def wants_night(app: QGuiApplication, theme: Theme) -> bool:
    """Whether a program that starts in `theme` will be dark."""
    return is_dark(app) if theme is Theme.SYSTEM else theme is Theme.DARK


def _check_of(path: str) -> int:
    # Every start writes the settings anew, mostly as they were, so their time tells nothing.
    try:
        return zlib.crc32(Path(path).read_bytes())
    except OSError:
        return 0


def _told_of(path: str) -> str:
    folder, name = os.path.split(path)
    try:
        if name.startswith("*"):
            return f"{sorted(each for each in os.listdir(folder) if each.endswith(name[1:]))}"
        seen = os.stat(path)
    except (OSError, ValueError):
        return "absent"
    return f"{seen.st_ino} {seen.st_size} {seen.st_mtime_ns}"


def to_bytes(sight: Sight) -> bytes:
    """The sight as a file holds it: a line of JSON after its CRC-32, then the pixels with theirs.

    They are not packed: unpacking would take ten times as long as reading, and a start waits for it.
    """
    picture = sight.picture.convertToFormat(_FORMAT)
    pixels = bytes(picture.constBits())
    header = {
        "chart": sight.chart,
        "title": sight.title,
        "files": sight.files,
        "facts": sight.facts,
        "width": picture.width(),
        "height": picture.height(),
        "check": zlib.crc32(pixels),
    }
    line = json.dumps(header).encode("ascii") + b"\n"
    return MAGIC + b"%08x " % zlib.crc32(line) + line + pixels


def read_sight(path: Path) -> Sight | None:
    """The sight that was kept; None if there is none, or it is damaged or of another version."""
    try:
        with path.open("rb") as file:
            magic, check, line = file.readline(len(MAGIC)), file.read(9), file.readline(MOST_HEADER)
            if magic != MAGIC or check != b"%08x " % zlib.crc32(line):
                return None
            header = json.loads(line)
            pixels = file.read(4 * MOST_SIDE**2)
            return _from_parts(header, pixels) if zlib.crc32(pixels) == header["check"] else None
    except (OSError, ValueError, TypeError, KeyError, RecursionError, MemoryError):
        # It is only a picture: whatever is wrong with it, the next one will be right.
        return None


def _from_parts(header: dict[str, object], pixels: bytes) -> Sight | None:
    width, height = header["width"], header["height"]
    if type(width) is not int or type(height) is not int:
        return None
    if not (0 < width <= MOST_SIDE and 0 < height <= MOST_SIDE and len(pixels) == 4 * width * height):
        return None
    files, facts = (tuple(map(str, _list(header[name]))) for name in ("files", "facts"))
    picture = QImage(pixels, width, height, 4 * width, _FORMAT).copy()
    return Sight(str(header["chart"]), str(header["title"]), files, facts, picture)


def _list(value: object) -> list[object]:
    if not isinstance(value, list):
        raise TypeError
    return value
