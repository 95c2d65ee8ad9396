"""JSON is read so that no two readers can understand it differently (RFC 8259, traps of Python's json)."""

import json
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.entries.strictjson import NotJson, canonical, dump, parse
from stitchview.chart.limits import MOST_JSON_DEPTH, MOST_WHOLE

VALUES = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-MOST_WHOLE, MOST_WHOLE),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(st.characters(exclude_categories=["Cs"])),
    ),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner),
    max_leaves=20,
)


@given(VALUES, st.booleans(), st.sampled_from((None, 1)))
def test_sound_json_reads_as_python_reads_it(value: Any, ascii_only: bool, indent: int | None) -> None:
    """Every sound text means to us what it means to Python's own reader."""
    text = json.dumps(value, ensure_ascii=ascii_only, indent=indent)
    assert parse(text.encode("utf-8")) == json.loads(text)


@given(VALUES)
def test_what_we_write_python_reads(value: Any) -> None:
    """A line we write is JSON with the same meaning, whatever order its members are put in."""
    assert json.loads(dump(canonical(value))) == value


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b'{"a": 1, "b": 2, "a": 3}', "“a” stands twice"),
        (b"[NaN]", "NaN is not a number"),
        (b"[-Infinity]", "-Infinity is not a number"),
        (b"[1e400]", "1e400 is too large"),
        (b"[9007199254740993]", "9007199254740993 is beyond"),
        (b"[-9007199254740992]", "is beyond"),
        (b"[" + b"9" * 100_000 + b"]", "99999999999999999999 is beyond"),
        (b'{"title": "\\ud800"}', "“title” holds \\ud800, which is only half"),
        (b'{"\\udfff": 1}', "the name of a member holds \\udfff"),
        (b'["\\ude00\\ud83d"]', "only half a character"),
        (b'"\xff"', "byte 2 is not UTF-8"),
        (b'"\xed\xa0\x80"', "is not UTF-8"),
        ("{}".encode("utf-16"), "byte 1 is not UTF-8"),
        (b"", "line 1, column 1 is not JSON"),
        (b'{\n  "a": 1,\n}', "line 3, column 1 is not JSON"),
        (b"[1] [2]", "line 1, column 5 is not JSON (more follows after the end)"),
        (b'"a\nb"', "is not JSON (a line end or a tab inside quotation marks)"),
        (b"{'a': 1}", "is not JSON (a name in straight quotation marks is missing"),
        (
            b'{"a": 1\n"b": 2}',
            "line 2, column 1 is not JSON (a comma or a closing bracket is missing before it)",
        ),
        ('{"title": “Rose”}'.encode(), "column 11 is not JSON (a round quotation mark"),
        ('{“title”: "Rose"}'.encode(), "column 2 is not JSON (a round quotation mark"),
        (b'{"a" 1}', "(a colon is missing before it)"),
        (b'{"a": }', "(a value is missing)"),
        (b'["a]', "(its quotation mark is never closed)"),
        (b'["\\p"]', "(a backslash that means nothing)"),
        (b'{\n"title": "Caf\xe9"}', "byte 16 is not UTF-8 text (line 2); save it as UTF-8"),
        (b"[01]", "is not JSON"),
        (b"// note\n{}", "is not JSON"),
        (b"[" * 100_000 + b"]" * 100_000, "nested more than 32 deep"),
        (b'{"a":' * 33 + b"1" + b"}" * 33, "nested more than 32 deep"),
        (b"[" * 50_000_000, "more than 12,000,000 values"),
    ],
)
def test_what_readers_could_differ_on_is_refused(content: bytes, sentence: str) -> None:
    """Each trap is refused by a clause that says what and where."""
    with pytest.raises(NotJson) as caught:
        parse(content)
    assert sentence in str(caught.value)


def test_a_byte_order_mark_is_accepted_and_never_written() -> None:
    """A chart typed in an editor that puts a byte order mark first still opens."""
    assert parse(b"\xef\xbb\xbf{}") == {}
    with pytest.raises(NotJson):
        parse(b"\xef\xbb\xbf\xef\xbb\xbf{}")
    assert not dump({}).encode().startswith(b"\xef")


def test_signs_outside_the_first_plane_are_whole() -> None:
    """An escaped pair is one sign (RFC 8259, section 7): the spool of thread, U+1F9F5."""
    assert parse(b'"\\ud83e\\uddf5"') == "\U0001f9f5"


def test_brackets_in_texts_do_not_count_as_depth() -> None:
    """Notes may hold any number of brackets, quotes and backslashes."""
    notes = '[{"\\' * 200
    assert parse(json.dumps([notes, notes]).encode()) == [notes, notes]
    deepest = b"[" * MOST_JSON_DEPTH + b"]" * MOST_JSON_DEPTH
    assert parse(deepest)


@pytest.mark.parametrize("value", [math.nan, math.inf, [math.inf], {1, 2}])
def test_what_json_cannot_hold_is_not_written(value: object) -> None:
    """Nothing that no reader accepts ever leaves the program."""
    with pytest.raises((ValueError, TypeError)):
        dump(value)
