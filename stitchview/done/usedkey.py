"""The key as it is worked: printed threads beside those that are used instead of them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD, Chart, KeyEntry, OwnEntry, Thread, UsedEntry, printed_entry
from stitchview.chart.threadname import ThreadName, identity_of
from stitchview.done.notebook import Notes
from stitchview.done.usedinstead import UsedInstead

Key = tuple[KeyEntry, ...]
MOST_NAMED = 3


def used_chart(chart: Chart, notes: Notes) -> Chart:
    """The chart with the key as it is worked; the very same chart where its key is so already.

    Only the key differs, so marks, tallies and numbers of key entries are those of the chart. O(key).
    """
    key = used_key(chart.key, notes.used_instead)
    return chart if key is chart.key else replace(chart, key=key)


def printed_chart(chart: Chart) -> Chart:
    """The chart with the key as it is printed, to be corrected and written."""
    key = used_key(chart.key, ())
    return chart if key is chart.key else replace(chart, key=key)


def used_key(key: Key, used: Iterable[UsedInstead]) -> Key:
    """The key with the threads that are used, and no others; the very same one where it is so already.

    Threads of her own stay: they are what is on the cloth, whatever is used instead elsewhere.
    """
    told = {identity_of(each.name, each.number): each for each in used}
    if not told and not any(isinstance(entry, UsedEntry) for entry in key):
        return key
    worked = tuple(_used_entry(printed_entry(entry), told) for entry in key)
    return key if worked == key else worked


def instead_words(entry: KeyEntry) -> str:
    """What is used instead of what: "instead of Sample cotton 17, slate blue, lot 44B"; "" if nothing is."""
    if isinstance(entry, OwnEntry):
        return _own_words(entry)
    if not isinstance(entry, UsedEntry) or entry.printed is None:
        return ""
    lots = f", lot {' and '.join(entry.lots)}" if entry.lots else ""
    if not entry.printed.blend:
        return f"instead of {_called(entry.printed.name, entry.printed.number)}{lots}"
    pairs = zip(entry.blend, entry.printed.blend, strict=True)
    told = (
        f"{_called(used.name, used.number)} instead of {_called(printed.name, printed.number)}"
        for used, printed in pairs
        if used != printed
    )
    return f"{', '.join(told)}{lots}"


def several(names: Sequence[str]) -> str:
    """Threads by their names, "a, b and c"; more than can be read in a line as "5 threads"."""
    if len(names) > MOST_NAMED:
        return f"{len(names):,} threads"
    return " and ".join(each for each in (", ".join(names[:-1]), *names[-1:]) if each)


def _own_words(entry: OwnEntry) -> str:
    where = "in an area" if entry.areas == 1 else f"in {entry.areas:,} areas"
    names = entry.instead_of
    instead = f" instead of {several(names)}" if names else ", not in the chart's key"
    return f"{where}{instead}{f', lot {entry.lot}' if entry.lot else ''}"


def _used_entry(entry: KeyEntry, told: Mapping[ThreadName, UsedInstead]) -> KeyEntry:
    if isinstance(entry, OwnEntry):
        return entry
    if entry.blend:
        return _used_blend(entry, told)
    used = told.get(identity_of(entry.name, entry.number))
    if used is None:
        return entry
    own = {"name": used.used_name, "number": used.used_number, "kind": used.kind, "colour": used.colour}
    return _worked(entry, own, [used])


def _used_blend(entry: KeyEntry, told: Mapping[ThreadName, UsedInstead]) -> KeyEntry:
    found = [told.get(identity_of(each.name, each.number)) for each in entry.blend]
    if not any(found):
        return entry
    blend = tuple(
        each
        if used is None
        else replace(each, name=used.used_name, number=used.used_number, kind=used.kind, colour=used.colour)
        for each, used in zip(entry.blend, found, strict=True)
    )
    own = {"blend": blend, "colour": _mixed(blend, entry.colour)}
    return _worked(entry, own, [used for used in found if used is not None])


def _worked(entry: KeyEntry, own: Mapping[str, Any], used: Iterable[UsedInstead]) -> UsedEntry:
    members = {each.name: getattr(entry, each.name) for each in fields(KeyEntry)}
    lots = tuple(dict.fromkeys(each.lot for each in used if each.lot))
    return UsedEntry(**{**members, **own}, printed=entry, lots=lots)


def _mixed(blend: tuple[Thread, ...], printed: Colour) -> Colour:
    """How a blend looks: its threads' colours by their strands; as printed if one of them is not told."""
    if any(each.colour == UNTOLD for each in blend):
        return printed
    mixed, strands = blend[0].colour, max(1, blend[0].strands)
    for each in blend[1:]:
        strands += max(1, each.strands)
        mixed = mixed.mixed(each.colour, max(1, each.strands) / strands)
    return mixed


def _called(name: str, number: str) -> str:
    """A thread by its name, and its number where the name has it not."""
    if not number or number in name.replace(",", " ").split():
        return name or number
    return f"{name} ({number})" if name else number
