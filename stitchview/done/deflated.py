"""Contents of the file as zlib streams, inflated only as far as they may reach."""

import zlib

COMPRESSION = 6


class MalformedStroke(ValueError):
    """What a stroke of the file says makes no sense."""


def deflate(content: bytes) -> bytes:
    """A zlib stream of `content`."""
    return zlib.compress(content, COMPRESSION)


def inflate(blob: bytes, most: int) -> bytes:
    """Inflate a zlib stream of at most `most` bytes that ends where the blob ends."""
    engine = zlib.decompressobj()
    try:
        content = engine.decompress(blob, most + 1)
    except zlib.error as error:
        raise MalformedStroke("what a stroke holds cannot be inflated") from error
    if len(content) > most or not engine.eof or engine.unused_data:
        raise MalformedStroke("what a stroke holds is cut off or far too many bytes")
    return content
