"""The key in `chart.json`: from its objects to key entries, and back."""

from typing import Any

from stitchview.chart.codes import code_fault
from stitchview.chart.entries.members import Members, text_fault, with_unknown
from stitchview.chart.limits import MOST_BLENDED, MOST_NAME_BYTES, MOST_STRANDS, MOST_SYMBOL
from stitchview.chart.model import MOST_KEY_ENTRIES, UNTOLD, KeyEntry, Symbol, Thread, printed_entry
from stitchview.chart.problems import Findings

USUAL_KIND = "stranded cotton"


def read_key(top: Members) -> tuple[KeyEntry, ...]:
    """The entries of the member "key"; a code that stands twice or may not be one is a problem."""
    entries = tuple(
        _read_entry(value, number, top.findings)
        for number, value in enumerate(top.objects("key", MOST_KEY_ENTRIES, required=True), 1)
    )
    _check_codes(entries, top)
    return entries


def entry_members(entry: KeyEntry) -> dict[str, Any]:
    """The JSON object of one key entry as it is printed, in canonical order."""
    entry = printed_entry(entry)
    members: dict[str, Any] = {"code": entry.code, "symbol": _symbol_members(entry), "name": entry.name}
    if entry.number:
        members["number"] = entry.number
    members |= {
        "kind": entry.kind,
        "colour": entry.colour.hex,
        "strands": {"cross": entry.cross_strands, "back": entry.back_strands},
    }
    if entry.blend:
        members["blend"] = [_thread_members(thread) for thread in entry.blend]
    if entry.held_back:
        members["held_back"] = True
    return with_unknown(members, entry.extra)


def _read_entry(value: dict[str, Any], number: int, findings: Findings) -> KeyEntry:
    members = Members(value, f"key entry {number}", findings)
    code = members.text("code")
    if code:
        members.place = f"key entry {number} (“{code[:8]}”)"
        if fault := code_fault(code):
            members.complain(f"“code” {fault}")
    unknown: dict[str, Any] = {}
    symbol = _read_symbol(members, code, unknown)
    strands = members.inner("strands", f"{members.place}, strands")
    cross = strands.whole("cross", 1, MOST_STRANDS, 2)
    back = strands.whole("back", 1, MOST_STRANDS, 1)
    if strands.rest():
        unknown["strands"] = strands.rest()
    return KeyEntry(
        code=code,
        symbol=symbol,
        name=members.text("name"),
        number=members.text("number", ""),
        kind=members.text("kind", USUAL_KIND),
        colour=members.colour("colour", UNTOLD),
        cross_strands=cross,
        back_strands=back,
        blend=_read_blend(members),
        held_back=members.truth("held_back", default=False),
        extra=unknown | members.rest(),
    )


def _read_symbol(members: Members, code: str, unknown: dict[str, Any]) -> Symbol:
    if not members.holds("symbol"):
        return Symbol(text=code)
    value = members.take("symbol")
    if isinstance(value, str):
        return Symbol(text=_symbol_text(members, value))
    if not isinstance(value, dict):
        members.complain("“symbol” must be a text or an object with a “picture”")
        return Symbol(text=code)
    inner = Members(value, f"{members.place}, symbol", members.findings)
    symbol = Symbol(
        text=inner.text("text", "", MOST_SYMBOL), picture=inner.text("picture", most=MOST_NAME_BYTES)
    )
    if inner.rest():
        unknown["symbol"] = inner.rest()
    return symbol


def _symbol_text(members: Members, value: str) -> str:
    fault = text_fault(value, MOST_SYMBOL) or ("must not be empty" if not value.strip() else "")
    if fault:
        members.complain(f"“symbol” {fault}")
    return value


def _read_blend(members: Members) -> tuple[Thread, ...]:
    values = members.objects("blend", MOST_BLENDED)
    if len(values) == 1:
        members.complain("“blend” names one thread, a blend has two or more")
    return tuple(
        _read_thread(Members(value, f"{members.place}, blended thread {number}", members.findings))
        for number, value in enumerate(values, 1)
    )


def _read_thread(members: Members) -> Thread:
    return Thread(
        name=members.text("name"),
        number=members.text("number", ""),
        kind=members.text("kind", USUAL_KIND),
        colour=members.colour("colour", UNTOLD),
        strands=members.whole("strands", 1, MOST_STRANDS, 1),
        extra=members.rest(),
    )


def _check_codes(entries: tuple[KeyEntry, ...], top: Members) -> None:
    first: dict[str, int] = {}
    for number, entry in enumerate(entries, 1):
        if entry.code and first.setdefault(entry.code, number) != number:
            top.complain(
                f"key entries {first[entry.code]} and {number} have the same code “{entry.code[:8]}”"
            )


def _symbol_members(entry: KeyEntry) -> str | dict[str, Any]:
    symbol = entry.symbol
    if not symbol.picture:
        return symbol.text or entry.code
    return {"picture": symbol.picture} | ({"text": symbol.text} if symbol.text else {})


def _thread_members(thread: Thread) -> dict[str, Any]:
    members: dict[str, Any] = {"name": thread.name}
    if thread.number:
        members["number"] = thread.number
    members |= {"kind": thread.kind, "colour": thread.colour.hex, "strands": thread.strands}
    return with_unknown(members, thread.extra)
