"""Symbols for a key, all different to the eye in a common font, the plainest first."""

import unicodedata

from stitchview.chart.model import MOST_KEY_ENTRIES

PLAIN = (
    "■▲●◆★♥✚▼♠♣♞◐◩◢✿♪⊕▤⊠↑A2E3◧♜☀♛⊞◣✖▥Ж→H4▦♟☂◑F5⚓◉K7▧↓P9☾M◥R♝T◒Y⊡X▨L←N◤&☘⊗%#@◪Φ▩Ψ∞Ω☼§Σ◨"
    "◇□△○☆♡♧♤▽◎✦♚◓↗Θ?Λ↘Ξ±Π÷√βλπφψω∩∪∧∨≡≈Я⇑⇒⇓⇐ЮЭШ$¶♀♂abdefghkmnqrtyBCDGJQSUVWZ68↔↕¥€£¤«»‡"
)
# Blocks, or parts of them, that fonts with many signs hold; shapes and arrows before letters.
MORE = (
    *((0x25A2, 0x2659), (0x2662, 0x269C), (0x269E, 0x26B8), (0x270C, 0x2727), (0x2729, 0x274B)),
    *((0x2776, 0x2794), (0x2798, 0x27AF), (0x27B1, 0x27BE), (0x27F0, 0x27FF), (0x2196, 0x2311)),
    *((0x239B, 0x23AD), (0x2B00, 0x2B1A), (0x00A2, 0x00C6), (0x03B1, 0x04CE), (0x04F6, 0x0525)),
    *((0x0234, 0x02AF), (0x017F, 0x01CC), (0x0131, 0x0153), (0x021C, 0x0225), (0x0370, 0x037D)),
    *((0x0531, 0x0556), (0x0561, 0x0587), (0x10A0, 0x10C5), (0x10D0, 0x10FA), (0x4DC0, 0x4DFF)),
    *((0x140A, 0x141A), (0x141D, 0x1435), (0x1438, 0x144A), (0x1455, 0x14BD), (0x14C0, 0x14EA)),
    *((0x14EC, 0x1507), (0x1510, 0x153E), (0x1541, 0x1550), (0x1552, 0x156A), (0x1574, 0x1585)),
    *((0x158A, 0x1596), (0x15A0, 0x15AE), (0x166F, 0x1676), (0x29CE, 0x29D5), (0x2A0C, 0x2A1C)),
    *((0x2A7D, 0x2AA0), (0x2AAE, 0x2ABA)),
)
# Drawn like a sign that stands earlier in the list.
ALIKE = frozenset("ƉƩɅəɡͻεηιμϕϜϴϷϸϹϽЅІЈАБВГЕИМНОПРСТХавезиносујѡѲѳҮһӀԊԐԑԚԛԜՍՕհյոցօᐖᐧᐯᐱᒥᒪᒻᓌᓎᕼᕽᖡ∘∳⊝⋅⎢⎥▱⚇⚉⚊✼")


def symbols(count: int) -> tuple[str, ...]:
    """`count` different symbols, at most as many as a key may have entries."""
    if not 0 <= count <= MOST_KEY_ENTRIES:
        raise ValueError(f"a key has up to {MOST_KEY_ENTRIES} symbols, not {count}")
    if count <= len(PLAIN):
        return tuple(PLAIN[:count])
    more = (chr(place) for first, last in MORE for place in range(first, last + 1))
    return (*PLAIN, *(sign for sign in more if _stands_alone(sign)))[:count]


def _stands_alone(sign: str) -> bool:
    """Whether a sign is a letter, number or symbol of its own, without an accent."""
    kind = unicodedata.category(sign)
    if kind[0] not in "LNS" or kind in ("Sk", "Lm") or sign in ALIKE or sign in PLAIN:
        return False
    return len(unicodedata.normalize("NFD", sign)) == 1
