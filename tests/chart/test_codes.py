"""Codes: which characters may stand for a thread, and in which order new ones are given out."""

import sys
import unicodedata

import pytest

from stitchview.chart.codes import allot_codes, code_fault, is_code
from stitchview.chart.model import MOST_KEY_ENTRIES
from stitchview.errors import ChartError


@pytest.mark.parametrize("text", [*"aZ09#=+-@,;\"'<◆★♥", "é", "Ω", "Ж", "中", "ア", "\U0001f9f5"])
def test_signs_she_could_type_or_print_are_codes(text: str) -> None:
    """Letters, digits, signs and pictures of any script read from left to right may be codes."""
    assert is_code(text)
    assert code_fault(text) == ""


@pytest.mark.parametrize(
    "text",
    [
        *("", "ab", "e\u0301", ".", " ", "\t", "\n", "\r", "\0", "\x7f", "\u00a0", "\u3000"),
        *("\u0301", "\u200b", "\u200d", "\u200e", "\u202e", "\u2066", "\ufeff", "\u2028", "\ufe0f"),
        *("\ud800", "\udfff", "\ue000", "\U000f0000", "\uffff", "\u0378"),
        *("א", "ع", "٣", "\u1100", "\uac00\u11a8", "\U0001f1e6", "\U0001f3fb"),
        *("\u2126", "\u212b", "\uf900", "\u3164", "\u2800", "\uffa0", "\ufffc", "\ufffd"),
    ],
)
def test_what_would_not_keep_its_place_in_a_row_is_none(text: str) -> None:
    """Invisible, joining, turning and broken signs are no codes, and it is said why."""
    assert not is_code(text)
    assert code_fault(text).startswith("must ")


def test_codes_of_all_of_unicode_keep_the_stated_rule() -> None:
    """In all of Unicode no mark, space, control or surrogate passes, nor what turns the line round."""
    for sign in map(chr, range(sys.maxunicode + 1)):
        if is_code(sign):
            assert unicodedata.category(sign)[0] in "LNPS"
            assert unicodedata.bidirectional(sign) not in {"R", "AL", "AN", "RLE", "RLO", "BN"}
            assert unicodedata.combining(sign) == 0
            assert unicodedata.normalize("NFC", sign) == sign


def test_codes_are_given_out_in_a_fixed_order_without_repeats() -> None:
    """The first threads get plain letters; as many as a key can have get one each."""
    codes = allot_codes(MOST_KEY_ENTRIES)
    assert len(set(codes)) == MOST_KEY_ENTRIES
    assert all(map(is_code, codes))
    assert "".join(codes[:5]) == "ABCDE"
    assert allot_codes(10) == codes[:10]
    assert not set("Il1Oo0.=+-@,;\"'") & set(codes)


def test_codes_already_taken_are_not_given_out_again() -> None:
    """A thread added later gets a code of its own."""
    assert allot_codes(3, "AC") == ("B", "D", "E")


def test_there_is_an_end_to_codes() -> None:
    """Asking for more than there are is said in a sentence."""
    with pytest.raises(ChartError, match="not enough code characters for 30000"):
        allot_codes(30_000)
