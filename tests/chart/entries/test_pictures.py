"""Sizes of pictures read from their first bytes, against pictures that Pillow wrote."""

import io
import struct
from collections.abc import Callable

import pytest
from PIL import Image

from stitchview.chart.entries.pictures import picture_size


def saved(width: int, height: int, form: str, **options: bool) -> bytes:
    """A picture of that size as Pillow saves it."""
    content = io.BytesIO()
    Image.new("RGB", (width, height), (74, 107, 138)).save(content, form, **options)
    return content.getvalue()


@pytest.mark.parametrize(("width", "height"), [(1, 1), (17, 3), (640, 481)])
@pytest.mark.parametrize(("form", "options"), [("PNG", {}), ("JPEG", {}), ("JPEG", {"progressive": True})])
def test_the_size_is_what_pillow_wrote(width: int, height: int, form: str, options: dict[str, bool]) -> None:
    """A picture's size is known before a single pixel is unpacked (reference: Pillow)."""
    assert picture_size(saved(width, height, form, **options)) == (width, height)


def test_a_picture_bomb_is_known_by_its_header(png: Callable[..., bytes]) -> None:
    """A few bytes that claim four thousand million pixels tell so themselves."""
    assert picture_size(png(65_000, 65_000)) == (65_000, 65_000)


def test_a_second_header_hides_no_bomb(png: Callable[..., bytes]) -> None:
    """Programs that believe the last header are not led astray by a small first one."""
    small, bomb = png(), png(60_000, 60_000)
    with pytest.raises(ValueError, match="two headers"):
        picture_size(small[:33] + bomb[8:33] + small[33:])
    photo = saved(17, 3, "JPEG")
    at = photo.index(b"\xff\xc0")
    with pytest.raises(ValueError, match="damaged JPEG"):
        picture_size(photo[:at] + photo[at : at + 19] + photo[at:])


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"GIF89a",
        b"\x89PNG\r\n\x1a\n",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 40,
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", 0, 5) + b"\0" * 20,
        b"\xff\xd8\xff",
        b"\xff\xd8\xff\xe0\0\0" + b"\xff" * 20,
        b"\xff\xd8\xff\xe0\xff\xff" + b"\0" * 20,
        b"\xff\xd8\xff\xc0\0\x0b\x08" + struct.pack(">HH", 0, 0) + b"\0" * 9,
        b"\xff\xd8" + b"\xff" * 200_000,
        b"\xff\xd8\xff\xd0" + b"\xff\xd0" * 200_000,
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", 5, 5) + b"\0" * 2_000_009,
    ],
)
def test_what_is_no_picture_is_said_to_be_none(content: bytes) -> None:
    """Broken pictures end in a clause, never in a search without end."""
    with pytest.raises(ValueError, match=r"^is (neither|a damaged|a picture without|a picture in too many)"):
        picture_size(content)
