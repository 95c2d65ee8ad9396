"""Charts of every kind that hypothesis may draw, and how to tell two charts apart."""

import struct
import zlib
from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from stitchview.chart.area import Area
from stitchview.chart.codes import is_code
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, Cloth, KeyEntry, Sheet, Squares, Symbol, Thread
from stitchview.chart.review import NO_SECOND, ByHand, Doubts, Why
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points

SAFE_WHOLE = 2**53 - 1
PICTURE_NAMES = ("pictures/symbol.png", "pictures/sheets/ä b.png")
OTHER_NAMES = ("future.bin", "later/more.txt")


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def png(width: int = 1, height: int = 1) -> bytes:
    """A white PNG picture, put together by the standard (ISO/IEC 15948) and not by our own code."""
    header = _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    rows = _chunk(b"IDAT", zlib.compress(b"\0" + b"\xff" * width) if height == 1 else b"")
    return b"\x89PNG\r\n\x1a\n" + header + rows + _chunk(b"IEND", b"")


@cache
def texts(least: int = 0, most: int = 12) -> SearchStrategy[str]:
    """Texts on one line, of any script."""
    letters = st.characters(exclude_categories=["Cs", "Cc"])
    return st.text(letters, min_size=least, max_size=most).filter(lambda text: not least or text.strip())


@cache
def codes() -> SearchStrategy[str]:
    """Characters that may stand for a key entry, plain ones more often."""
    return st.one_of(st.sampled_from("abcXYZ#=+-@,;\"'"), st.characters().filter(is_code))


@cache
def colours() -> SearchStrategy[Colour]:
    """Any sRGB colour."""
    part = st.integers(0, 255)
    return st.builds(Colour, part, part, part)


@cache
def unknown() -> SearchStrategy[dict[str, Any]]:
    """Members that a newer version may have written."""
    plain = st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-SAFE_WHOLE, SAFE_WHOLE),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
    )
    names = texts(0, 4).map(lambda name: f"x-{name}")
    values = st.recursive(
        plain,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
        max_leaves=6,
    )
    return st.one_of(st.just({}), st.dictionaries(names, values, max_size=2))


@cache
def cloths() -> SearchStrategy[Cloth | None]:
    """A suggested cloth, or none."""
    count = st.one_of(st.integers(1, 1000).map(float), st.floats(0.25, 1000))
    told = st.builds(Cloth, texts(), count, st.booleans(), st.integers(1, 16), colours(), unknown())
    return st.one_of(st.none(), told)


@cache
def blends() -> SearchStrategy[list[Thread]]:
    """The threads of a blend, or none."""
    return st.one_of(st.just([]), st.lists(threads(), min_size=2, max_size=3))


@cache
def threads() -> SearchStrategy[Thread]:
    """Threads of a blend."""
    return st.builds(Thread, texts(1), texts(), texts(1), colours(), st.integers(1, 50), unknown())


@st.composite
def key_entries(draw: DrawFn, code: str) -> KeyEntry:
    """A key entry with the given code."""
    pictured = draw(st.booleans())
    extra = dict(draw(unknown()))
    if inner := draw(unknown()):
        extra["strands"] = inner
        if pictured:
            extra["symbol"] = inner
    return KeyEntry(
        code=code,
        symbol=Symbol(draw(texts(0, 8)), PICTURE_NAMES[0]) if pictured else Symbol(draw(texts(1, 8))),
        name=draw(texts(1)),
        number=draw(texts()),
        kind=draw(st.sampled_from(("stranded cotton", "silk", "bead", "moonlight"))),
        colour=draw(colours()),
        cross_strands=draw(st.integers(1, 50)),
        back_strands=draw(st.integers(1, 50)),
        blend=tuple(draw(blends())),
        held_back=draw(st.booleans()),
        extra=extra,
    )


def _squares(draw: DrawFn, size: tuple[int, int], entries: int) -> Squares:
    numbers = st.lists(st.integers(0, entries), min_size=size[0] * size[1], max_size=size[0] * size[1])
    return np.array(draw(numbers), np.uint16).reshape(size)


def _extras(draw: DrawFn, count: int) -> dict[int, dict[str, Any]]:
    drawn = [draw(unknown()) if index < 2 else {} for index in range(count)]
    return {index: extra for index, extra in enumerate(drawn) if extra}


def _parts(draw: DrawFn, squares: Squares, entries: int) -> Parts:
    free = [(int(column), int(row)) for row, column in np.argwhere(squares == 0)]
    if not free or not entries:
        return Parts()
    choices = st.tuples(st.sampled_from(free), st.sampled_from(PartShape))
    drawn = draw(st.lists(choices, max_size=6, unique=True))
    kept = [choice for n, choice in enumerate(drawn) if sum(choice[0] == other[0] for other in drawn[:n]) < 4]
    keys = [draw(st.integers(1, entries)) for _ in kept]
    return Parts(
        np.array([place[0] for place, _ in kept], np.int32),
        np.array([place[1] for place, _ in kept], np.int32),
        np.array([shape for _, shape in kept], np.uint8),
        np.array(keys, np.uint16),
        _extras(draw, len(kept)),
    )


@cache
def _lattice(size: tuple[int, int]) -> SearchStrategy[tuple[int, int]]:
    return st.tuples(st.integers(0, 2 * size[1]), st.integers(0, 2 * size[0]))


def _lines(draw: DrawFn, size: tuple[int, int], entries: int) -> Lines:
    ends = st.tuples(_lattice(size), _lattice(size)).filter(lambda pair: pair[0] != pair[1])
    drawn = draw(st.lists(ends, max_size=4, unique_by=frozenset)) if entries else []
    flat = np.array(drawn, np.int32).reshape(-1, 4).T.copy()
    kinds = np.array([draw(st.sampled_from(LineKind)) for _ in drawn], np.uint8)
    keys = np.array([draw(st.integers(1, entries)) for _ in drawn], np.uint16)
    return Lines(flat[0], flat[1], flat[2], flat[3], kinds, keys, _extras(draw, len(drawn)))


def _points(draw: DrawFn, size: tuple[int, int], entries: int) -> Points:
    drawn = draw(st.lists(_lattice(size), max_size=4, unique=True)) if entries else []
    flat = np.array(drawn, np.int32).reshape(-1, 2).T.copy()
    kinds = np.array([draw(st.sampled_from(PointKind)) for _ in drawn], np.uint8)
    keys = np.array([draw(st.integers(1, entries)) for _ in drawn], np.uint16)
    return Points(flat[0], flat[1], kinds, keys, _extras(draw, len(drawn)))


def _sheets(draw: DrawFn, size: tuple[int, int]) -> tuple[Sheet, ...]:
    sheets = []
    for _ in range(draw(st.integers(0, 2))):
        column, row = draw(st.integers(0, size[1] - 1)), draw(st.integers(0, size[0] - 1))
        columns, rows = draw(st.integers(1, size[1] - column)), draw(st.integers(1, size[0] - row))
        picture = draw(st.sampled_from(("", PICTURE_NAMES[1])))
        sheet = Sheet(draw(texts(1)), Area(column, row, columns, rows), picture, draw(unknown()))
        told = tuple(draw(st.lists(texts(1), max_size=2)))
        sheets.append(replace(sheet, read=draw(st.booleans()), doubts=told))
    return tuple(sheets)


def _doubts(draw: DrawFn, size: tuple[int, int], entries: int) -> Doubts:
    squares = st.tuples(st.integers(0, size[1] - 1), st.integers(0, size[0] - 1))
    drawn = draw(st.lists(squares, max_size=4, unique=True))
    flat = np.array(drawn, np.int32).reshape(-1, 2).T.copy()
    chances = st.floats(0, 1, exclude_min=True, allow_subnormal=False, width=32)
    seconds = st.one_of(st.just(NO_SECOND), st.integers(0, entries))
    return Doubts(
        flat[0],
        flat[1],
        np.array([draw(chances) for _ in drawn], np.float32),
        np.array([draw(seconds) for _ in drawn], np.uint16),
        np.array([draw(st.sampled_from(Why)) for _ in drawn], np.uint8),
        _extras(draw, len(drawn)),
    )


def _by_hand(draw: DrawFn, size: tuple[int, int]) -> ByHand:
    squares = [(1, 0, 0, 2, 2), (1, 0, 2 * size[0] - 2, 2 * size[1], 2 * size[0])]
    others = [(2, 0, 0, 1, 2), (2, 2 * size[1], 0, 0, 0), (3, 1, 1, 1, 1), (3, 0, 0, 2, 1)]
    flat = np.array(draw(st.lists(st.sampled_from(squares + others), max_size=4)), np.int32)
    flat = flat.reshape(-1, 5).T.copy()
    kinds = flat[0].astype(np.uint8)
    return ByHand(kinds, flat[1], flat[2], flat[3], flat[4], _extras(draw, flat.shape[1]))


@st.composite
def charts(draw: DrawFn) -> Chart:
    """A sound chart of up to 9 x 7 squares with everything a chart can have."""
    size = draw(st.integers(1, 7)), draw(st.integers(1, 9))
    key = tuple(draw(key_entries(code)) for code in draw(st.lists(codes(), max_size=5, unique=True)))
    squares = _squares(draw, size, len(key))
    extra = dict(draw(unknown()))
    if draw(st.booleans()):
        extra["version"] = f"1.{draw(st.integers(2, 99999))}"
    attachments = {name: png() for name in PICTURE_NAMES}
    attachments |= draw(st.dictionaries(st.sampled_from(OTHER_NAMES), st.binary(max_size=20), max_size=2))
    return Chart(
        squares=squares,
        key=key,
        title=draw(texts()),
        notes=draw(
            st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n\t"), max_size=20)
        ),
        identity=draw(st.one_of(st.just(""), st.uuids().map(str))),
        origin=(draw(st.integers(-1_000_000, 1_000_000)), draw(st.integers(-9, 9))),
        cloth=draw(cloths()),
        parts=_parts(draw, squares, len(key)),
        lines=_lines(draw, size, len(key)),
        points=_points(draw, size, len(key)),
        sheets=_sheets(draw, size),
        doubts=_doubts(draw, size, len(key)),
        by_hand=_by_hand(draw, size),
        attachments=attachments,
        extra=extra,
    )


def differences(first: Chart, second: Chart) -> list[str]:
    """The names of the parts in which two charts differ; empty when they are the same."""
    return [name for name, value in _contents(first).items() if _contents(second)[name] != value]


def _contents(chart: Chart) -> dict[str, Any]:
    contents: dict[str, Any] = {}
    for part in fields(chart):
        value = getattr(chart, part.name)
        if isinstance(value, Parts | Lines | Points):
            contents |= {
                f"{part.name}.{column.name}": _plain(getattr(value, column.name)) for column in fields(value)
            }
        else:
            contents[part.name] = _plain(value)
    return contents


def _plain(value: Any) -> Any:
    return (value.dtype.str, value.tolist()) if isinstance(value, np.ndarray) else value
