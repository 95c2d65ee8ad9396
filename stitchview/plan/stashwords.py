"""The comparison of a chart with her stash in words and as plain members for JSON."""

from collections.abc import Iterable, Sequence
from typing import Any

from stitchview.chart.problems import counted
from stitchview.plan.interval import Interval
from stitchview.plan.stash import Holding
from stitchview.plan.stashreport import LotHeld, Standing, StashReport, Verdict
from stitchview.plan.stashsubstitutes import CAUTION, FAR, Substitute, Substitutes
from stitchview.plan.threads import BoughtThread


def called(thread: BoughtThread) -> str:
    """What to call a thread: its name, and its number where the name has it not."""
    if not thread.number or thread.number in thread.name.replace(",", " ").split():
        return thread.name or thread.number
    return f"{thread.name} ({thread.number})" if thread.name else thread.number


def skeins_words(skeins: float) -> str:
    """A number of skeins as one says it, to the tenth: "1 skein", "2.5 skeins"."""
    rounded = f"{skeins:.1f}".removesuffix(".0")
    return f"{rounded} {'skein' if rounded == '1' else 'skeins'}"


def need_words(need: Interval) -> str:
    """A need as a span, since nobody knows it closer: "1.2 to 1.6 skeins"."""
    low, high = (f"{each:.1f}".removesuffix(".0") for each in (need.low, need.high))
    return skeins_words(need.high) if low == high else f"{low} to {high} skeins"


def standing_words(standing: Standing) -> str:
    """One sentence on a thread: what it needs, what there is, what to buy, and lots and doubts."""
    parts = [_verdict(standing)]
    if len(standing.lots) > 1 and not standing.one_lot_does:
        parts.append(f"It is of {len(standing.lots)} lots: {_lots(standing.lots)}.")
    if standing.buy and standing.skeins:
        lot = f"; {counted(standing.buy_one_lot, 'skein')} for all of it from one lot"
        parts.append(f"A new skein may be of another lot{lot}.")
    if standing.untold:
        rows = "row does" if standing.untold == 1 else "rows do"
        parts.append(f"{standing.untold:,} {rows} not tell how many skeins.")
    if standing.perhaps:
        parts.append(f"Perhaps the same: {_rows(standing.perhaps)}.")
    return " ".join(parts)


def substitute_words(substitute: Substitute) -> str:
    """One line on a thread that could stand in."""
    kind = " Another kind of thread." if substitute.same_kind is False else ""
    enough = "" if substitute.enough else " Not enough for all of it."
    return (
        f"{substitute.holdings[0].called}: {substitute.words} (difference {substitute.difference:.1f});"
        f" {skeins_words(substitute.skeins)} free.{kind}{enough}"
    )


def report_lines(report: StashReport, offers: Iterable[Substitutes] = ()) -> list[str]:
    """The whole comparison, thread by thread, what must be bought first; ends with the rows not used."""
    found = {each.standing.thread: each for each in offers}
    lines: list[str] = []
    for verdict in (Verdict.BUY, Verdict.SHORT, Verdict.PROBABLY, Verdict.HAVE, Verdict.OPEN):
        for standing in report.of(verdict):
            lines.append(f"{called(standing.thread)}: {standing_words(standing)}")
            each = found.get(standing.thread)
            lines += [f"    {line}" for line in _offer_lines(each)] if each else []
    if any(each.offers for each in found.values()):
        lines.append(CAUTION)
    if report.others:
        rows = counted(len(report.others), "row")
        lines.append(
            f"{rows} of your list {'is' if len(report.others) == 1 else 'are'} not used by this chart."
        )
    return lines


def report_members(report: StashReport, offers: Sequence[Substitutes] = ()) -> dict[str, Any]:
    """The comparison as JSON members; skeins and differences as numbers, colours as #RRGGBB."""
    found = {each.standing.thread: each for each in offers}
    return {
        "threads": [_standing_members(each, found.get(each.thread)) for each in report.standings],
        "notUsed": [_holding_members(each) for each in report.others],
        "caution": CAUTION,
    }


def _offer_lines(found: Substitutes) -> list[str]:
    """The offers that are near enough; else that there is none, and which is the nearest."""
    if found.why:
        return [f"No substitute: {found.why}"]
    near = [substitute_words(offer) for offer in found.offers if offer.difference < FAR]
    if near:
        return near
    nearest = found.offers[0]
    return [
        f"No substitute: the nearest is {nearest.holdings[0].called} (difference {nearest.difference:.1f})."
    ]


def _verdict(standing: Standing) -> str:
    have = skeins_words(standing.skeins)
    if standing.need is None:
        return f"you have {have}; what it needs is not known."
    need, buy = need_words(standing.need), counted(standing.buy, "skein")
    if standing.verdict is Verdict.HAVE:
        return f"enough: you have {have}, it needs {need}."
    if standing.verdict is Verdict.PROBABLY:
        return f"probably enough: you have {have}, it needs {need}; buy {buy} more to be sure."
    if standing.verdict is Verdict.SHORT:
        return f"short: you have {have}, it needs {need}; buy {buy} more."
    return f"buy {buy}: it needs {need}, and you have none."


def _lots(lots: Sequence[LotHeld]) -> str:
    return ", ".join(f"{skeins_words(held.skeins)} of {held.lot or 'no lot told'}" for held in lots)


def _rows(holdings: Sequence[Holding]) -> str:
    named = "; ".join(f"{holding.called} (row {holding.line})" for holding in holdings[:3])
    return f"{named} and {len(holdings) - 3:,} more" if len(holdings) > 3 else named


def _standing_members(standing: Standing, found: Substitutes | None) -> dict[str, Any]:
    need, thread = standing.need, standing.thread
    return {
        "name": thread.name,
        "number": thread.number,
        "kind": thread.kind,
        "colour": thread.colour.hex,
        "verdict": standing.verdict.value,
        "need": None if need is None else {"low": need.low, "likely": need.likely, "high": need.high},
        "skeins": standing.skeins,
        "buy": standing.buy,
        "buyOneLot": standing.buy_one_lot,
        "lots": [{"lot": held.lot, "skeins": held.skeins} for held in standing.lots],
        "rows": [holding.line for holding in standing.owned],
        "perhaps": [_holding_members(holding) for holding in standing.perhaps],
        "substitutes": [_substitute_members(offer) for offer in found.offers] if found else [],
        "noSubstitute": found.why if found else "",
    }


def _substitute_members(offer: Substitute) -> dict[str, Any]:
    return {
        "rows": [holding.line for holding in offer.holdings],
        "called": offer.holdings[0].called,
        "colour": offer.colour.hex,
        "difference": round(offer.difference, 2),
        "words": offer.words,
        "skeins": offer.skeins,
        "sameKind": offer.same_kind,
        "enough": offer.enough,
    }


def _holding_members(holding: Holding) -> dict[str, Any]:
    return {
        "row": holding.line,
        "name": holding.name,
        "number": holding.number,
        "range": holding.range,
        "kind": holding.kind,
        "colour": holding.colour.hex if holding.colour else None,
        "skeins": holding.skeins,
        "lot": holding.lot,
    }
