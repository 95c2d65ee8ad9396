"""Which files are pictures of paper, by the ends of their names."""

from collections.abc import Sequence
from pathlib import Path

PICTURES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".bmp", ".webp", ".heic", ".heif", ".pdf")


def are_pictures(paths: Sequence[Path]) -> bool:
    """Whether all of these are named as pictures or PDF pages are."""
    return bool(paths) and all(path.suffix.lower() in PICTURES for path in paths)
