"""How big a picture is, read from its first bytes, so that a picture bomb is never unpacked."""

import struct

from stitchview.chart.limits import MOST_PICTURE_PIECES

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_JPEG_START = b"\xff\xd8\xff"
# Frame headers SOF0 to SOF15, without the tables (C4), the extension (C8) and arithmetic coding (CC).
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_SCAN = 0xDA
_STANDALONE = frozenset({0x01, *range(0xD0, 0xD9)})


def picture_size(content: bytes) -> tuple[int, int]:
    """Width and height in pixels that a PNG or JPEG file declares; it must declare them once.

    Sources: ISO/IEC 15948 (PNG), 11.2.1; ITU-T T.81 (JPEG), B.1.1.3 and B.2.2. Raises
    `ValueError` with a clause that says what is wrong.
    """
    if content.startswith(PNG_SIGNATURE):
        return _png_size(content)
    if content.startswith(_JPEG_START):
        return _jpeg_size(content)
    raise ValueError("is neither a PNG nor a JPEG picture")


def _png_size(content: bytes) -> tuple[int, int]:
    if len(content) < 33 or content[8:16] != b"\x00\x00\x00\rIHDR":
        raise ValueError("is a damaged PNG picture")
    at = 33
    for _ in range(MOST_PICTURE_PIECES):
        # Some readers believe the last header, so a second one could hide a bomb.
        if content[at + 4 : at + 8] == b"IHDR":
            raise ValueError("is a PNG picture with two headers")
        at += 12 + int.from_bytes(content[at : at + 4], "big")
        if at >= len(content):
            break
    else:
        raise ValueError("is a picture in too many pieces")
    width, height = struct.unpack(">II", content[16:24])
    return _sound(width, height)


def _jpeg_size(content: bytes) -> tuple[int, int]:
    sizes = []
    at = 2
    for _ in range(MOST_PICTURE_PIECES):
        if at + 4 > len(content) or content[at] != 0xFF or content[at + 1] == _SCAN:
            break
        marker = content[at + 1]
        if marker in _FRAMES and at + 9 <= len(content):
            sizes.append(struct.unpack(">HH", content[at + 5 : at + 9]))
        if marker == 0xFF:
            at += 1
        elif marker in _STANDALONE:
            at += 2
        else:
            at += 2 + max(2, int.from_bytes(content[at + 2 : at + 4], "big"))
    else:
        raise ValueError("is a picture in too many pieces")
    if len(sizes) != 1:
        raise ValueError("is a damaged JPEG picture")
    height, width = sizes[0]
    return _sound(width, height)


def _sound(width: int, height: int) -> tuple[int, int]:
    if width < 1 or height < 1:
        raise ValueError("is a picture without pixels")
    return width, height
