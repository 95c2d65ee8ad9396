"""JSON by RFC 8259, with nothing let through that two readers could understand differently."""

import json
import math
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

import numpy as np

from stitchview.chart.limits import MOST_JSON_DEPTH, MOST_JSON_VALUES, MOST_WHOLE

BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_STEP = 4 * 1024 * 1024
_SURROGATE_ESCAPE = re.compile(rb"\\u[dD][89a-fA-F]")
_ALL_DIGITS_ALIKE = bytes.maketrans(b"123456789", b"0" * 9)
_LONG_NUMBER = b"0" * 16
_NO_BRACKETS = bytes(set(range(256)) - set(b'"[]{}'))
_ROUND_QUOTES = tuple("“”„‟‘’‚")
# How Python's messages begin, some only in newer versions, and what is said in their stead.
_SLIPS = (
    ("Expecting ',' delimiter", "a comma or a closing bracket is missing before it"),
    ("Expecting ':' delimiter", "a colon is missing before it"),
    (
        "Expecting property name",
        "a name in straight quotation marks is missing, or a comma before it is too many",
    ),
    ("Illegal trailing comma", "a comma too many"),
    ("Expecting value", "a value is missing"),
    ("Extra data", "more follows after the end"),
    ("Unterminated string", "its quotation mark is never closed"),
    ("Invalid control character", "a line end or a tab inside quotation marks"),
    ("Invalid \\", "a backslash that means nothing"),
)
_WRITER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, check_circular=True)


class NotJson(ValueError):
    """The text is not JSON that can be relied on; `str()` is a clause that says why and where."""


def parse(content: bytes) -> Any:
    """The value of a JSON text in UTF-8; a byte order mark at its head is accepted.

    Raises `NotJson` for anything RFC 8259 leaves open or forbids: a name twice in one object, NaN
    and infinities, whole numbers beyond 2^53 - 1, half a surrogate pair, too deep or too long.
    """
    body = content.removeprefix(BYTE_ORDER_MARK)
    text = _text(body)
    _check_bulk(body)
    try:
        value = json.loads(
            text,
            object_pairs_hook=_single_members,
            # Only where some number is long is each one looked at: it is a third of the time.
            parse_int=_whole if _LONG_NUMBER in body.translate(_ALL_DIGITS_ALIKE) else None,
            parse_float=_finite,
            parse_constant=_no_constant,
        )
    except json.JSONDecodeError as error:
        raise NotJson(f"line {error.lineno}, column {error.colno} is not JSON ({_slip(error)})") from error
    if _SURROGATE_ESCAPE.search(body):
        _check_surrogates(value)
    return value


def dump(value: object) -> str:
    """One line of JSON for `value`; raises `ValueError` for what JSON cannot hold."""
    return _WRITER.encode(value)


def canonical(value: Any) -> Any:
    """The same JSON value with the members of every object in the order of their names."""
    if isinstance(value, dict):
        return {name: canonical(value[name]) for name in sorted(value)}
    if isinstance(value, list | tuple):
        return [canonical(item) for item in value]
    return value


def _text(body: bytes) -> str:
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        raise NotJson(f"byte {error.start + 1} is not UTF-8 text (line {line}); save it as UTF-8") from error


def _slip(error: json.JSONDecodeError) -> str:
    """What whoever typed the text most likely did; a fault we have no words for in those of Python."""
    if error.doc[error.pos : error.pos + 1] in _ROUND_QUOTES:
        return "a round quotation mark where a straight one belongs"
    return next((words for begins, words in _SLIPS if error.msg.startswith(begins)), error.msg.lower())


def _check_bulk(body: bytes) -> None:
    if sum(body.count(sign) for sign in (b",", b"[", b"{")) > MOST_JSON_VALUES:
        raise NotJson(f"it holds more than {MOST_JSON_VALUES:,} values")
    if _depth(body) > MOST_JSON_DEPTH:
        raise NotJson(f"lists and objects are nested more than {MOST_JSON_DEPTH} deep")


def _depth(body: bytes) -> int:
    """How deep brackets nest outside strings; right up to the first place that is not JSON."""
    plain = body.replace(b"\\\\", b"__").replace(b'\\"', b"__") if b"\\" in body else body
    plain = plain.translate(None, _NO_BRACKETS)
    level = deepest = 0
    in_string = False
    for start in range(0, len(plain), _STEP):
        signs = np.frombuffer(plain, np.uint8, min(_STEP, len(plain) - start), start)
        quoted = np.bitwise_xor.accumulate(signs == ord('"')) ^ in_string
        opened = (signs == ord("[")) | (signs == ord("{"))
        closed = (signs == ord("]")) | (signs == ord("}"))
        levels = level + np.cumsum(
            (opened.astype(np.int8) - closed.astype(np.int8)) * ~quoted, dtype=np.int64
        )
        level, deepest = int(levels[-1]), max(deepest, int(levels.max()))
        in_string = bool(quoted[-1])
    return deepest


def _single_members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        names = Counter(name for name, _ in pairs)
        raise NotJson(f"the member “{names.most_common(1)[0][0][:40]}” stands twice in one object")
    return members


def _whole(digits: str) -> int:
    if len(digits) > 17 or abs(int(digits)) > MOST_WHOLE:
        raise NotJson(
            f"the number {digits[:20]} is beyond {MOST_WHOLE}, the largest that is safe to exchange"
        )
    return int(digits)


def _finite(digits: str) -> float:
    number = float(digits)
    if not math.isfinite(number):
        raise NotJson(f"the number {digits[:20]} is too large")
    return number


def _no_constant(name: str) -> float:
    raise NotJson(f"{name} is not a number in JSON")


def _check_surrogates(value: Any) -> None:
    for place, text in _texts(value, "the whole"):
        try:
            text.encode("utf-8")
        except UnicodeEncodeError as error:
            half = f"\\u{ord(text[error.start]):04x}"
            raise NotJson(f"{place} holds {half}, which is only half a character") from error


def _texts(value: Any, place: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield "the name of a member", name
            yield from _texts(inner, f"“{name}”")
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner, place)
