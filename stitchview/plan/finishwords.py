"""The end of a piece in words, and as members for programs."""

from collections import Counter
from typing import Any

from stitchview.chart.colour import Colour
from stitchview.chart.problems import counted
from stitchview.done.leftout import CROSSES, LINES
from stitchview.done.newswords import hours_words
from stitchview.done.sittings import day_words
from stitchview.done.usedkey import instead_words
from stitchview.follow.differencewords import kind_words
from stitchview.follow.lastthings import Step
from stitchview.follow.threadnames import spoken_names
from stitchview.plan.cameout import lines_of as size_lines
from stitchview.plan.finishing import REMEDY, Ending, ThreadEnd, Timing
from stitchview.plan.needreport import metres
from stitchview.plan.stashwords import called, need_words
from stitchview.plan.threadtests import told_test

STEPS = {
    Step.CROSSES: "crosses and part stitches",
    Step.BACK_STITCH: "back and straight stitch",
    Step.KNOTS: "knots",
    Step.METALLICS: "metallics",
    Step.BEADS: "beads",
}
CAUTION = (
    "Test each thread before the piece is washed: a damp white cloth pressed on it shows what runs."
    " What the makers of thread and cloth advise goes before anything said here."
)
NOT_MEASURED = "Not measured."
NO_DIARY = "The diary tells no sitting."
NOTHING_LEFT_OUT = "Nothing is left out."
NO_DIFFERENCES = "None noted."
MOST_DIFFERENCES = 12


def stitches_words(count: int) -> str:
    """So many stitches."""
    return "1 stitch" if count == 1 else f"{count:,} stitches"


def state_words(ending: Ending) -> str:
    """Whether it is finished, or what stands in the way."""
    if ending.ready:
        told = f"Finished {day_words(ending.note.date)}." if ending.note else "Ready to be called finished."
        out = sum(each.left_out for each in ending.last.steps)
        return f"{told} {stitches_words(out)} left out on purpose." if out else told
    places = f" at {counted(len(ending.last.things), 'place')}" if ending.last.complete else ""
    verb = "is" if ending.last.left == 1 else "are"
    return f"Not finished: {stitches_words(ending.last.left)}{places} {verb} left."


def what_to_do(ending: Ending) -> str:
    """What makes it finished."""
    return "" if ending.ready else REMEDY


def timing_words(timing: Timing) -> str:
    """Dates, sittings and hours in a sentence."""
    if timing.begun is None or timing.last is None:
        return NO_DIARY
    told = f"Begun {day_words(timing.begun)}, last worked on {day_words(timing.last)}"
    return f"{told}: {counted(timing.sittings, 'sitting')}, {hours_words(timing.minutes)}."


def rate_words(timing: Timing) -> str:
    """The rate really worked."""
    if not timing.rate:
        return "No rate can be told: no sitting has both stitches and minutes."
    return f"{timing.rate:,.0f} stitches an hour."


def done_words(ending: Ending) -> str:
    """How many stitches of each sort."""
    told = [
        f"{each.done:,} {STEPS[each.step]}" for each in ending.last.steps if each.step in STEPS and each.done
    ]
    return f"{', '.join(told)}." if told else "Nothing is stitched."


def left_out_lines(ending: Ending) -> list[str]:
    """What was left out on purpose, by thread and sort."""
    names = spoken_names(ending.chart.key)
    numbers = {entry.code: number for number, entry in enumerate(ending.chart.key, 1)}
    lines = []
    for sort, code in dict.fromkeys((each.sort, each.code) for each in ending.left_out):
        name = names[numbers[code] - 1] if code in numbers else f"thread of symbol {code}"
        kind = {CROSSES: "crosses", LINES: "back stitch"}.get(sort, "knots and beads")
        lines.append(f"{kind[:1].upper()}{kind[1:]}, {name}")
    return lines


def difference_lines(ending: Ending) -> list[str]:
    """Where the piece differs from its chart: threads used instead, and what lies or is worked otherwise."""
    entries = ((entry, instead_words(entry)) for entry in ending.chart.key)
    told = (words if entry.blend else f"{entry.name} {words}" for entry, words in entries if words)
    recorded = Counter(kind_words(ending.chart, each) for each in ending.differences)
    often = (f"{words} ({count} times)" if count > 1 else words for words, count in recorded.items())
    return [*dict.fromkeys(told), *often]


def used_words(end: ThreadEnd) -> str:
    """What a thread took: as she said, else as reckoned."""
    need = end.need
    if need.is_bead:
        return counted(need.done.beads, "bead")
    if not need.done.stitches:
        return "not used"
    if end.skeins is not None:
        mm = end.skeins * need.skein.strand_mm
        factor = mm / need.done.reckoned_mm if need.done.reckoned_mm else 0.0
        times = f", {factor:.2f} of geometry" if factor else ""
        return f"{end.skeins:g} {'skein' if end.skeins == 1 else 'skeins'} really used{times}"
    return f"{need_words(need.done.skeins)}, {metres(need.done.needle_m.likely)} m in the needle, reckoned"


def lines_of(ending: Ending) -> list[str]:
    """All of it in lines to read."""
    lines = [state_words(ending), *filter(None, [what_to_do(ending)]), done_words(ending)]
    lines += [timing_words(ending.timing), rate_words(ending.timing), f"Cloth: {ending.count.words}."]
    lines += size_lines(ending.came) if ending.came is not None else [NOT_MEASURED]
    for end in ending.threads:
        test = f"; test: {told_test(end.test)}" if end.test is not None else ""
        lines.append(f"  {called(end.need.thread)}: {used_words(end)}{test}")
    lines += [f"Left out: {each}" for each in left_out_lines(ending)]
    lines += [f"Differs: {each}" for each in difference_lines(ending)]
    return [*lines, CAUTION]


def sheet_title(ending: Ending) -> str:
    """What stands above the finished sheet."""
    return ending.chart.title or "Piece without a title"


def sheet_facts(ending: Ending) -> list[tuple[str, str]]:
    """What the finished sheet says besides the threads, by name; nothing of it reads the chart."""
    timing, came = ending.timing, ending.came
    facts = [("Finished", f"{day_words(ending.note.date)}." if ending.note else "Not noted.")]
    facts += [
        ("Worked", timing_words(timing)),
        ("Rate", rate_words(timing)),
        ("Stitches", done_words(ending)),
    ]
    facts.append(("Cloth", f"{_upper(ending.count.words)}."))
    if came is None:
        facts.append(("Size", NOT_MEASURED))
    else:
        size, square, true = size_lines(came)[:3]
        facts += [("Size", size), ("Squares", f"{square} {true}")]
    left_out = left_out_lines(ending)
    facts.append(("Left out", f"{'; '.join(left_out)}." if left_out else NOTHING_LEFT_OUT))
    differences = difference_lines(ending)
    if len(differences) > MOST_DIFFERENCES:
        more = len(differences) - MOST_DIFFERENCES
        differences = [*differences[:MOST_DIFFERENCES], f"{more:,} more"]
    facts.append(("Differences", f"{'; '.join(differences)}." if differences else NO_DIFFERENCES))
    if any(each.test is not None for each in ending.threads):
        facts.append(("Before washing", CAUTION))
    return facts


def sheet_threads(ending: Ending) -> list[tuple[Colour, str]]:
    """The threads that are on the piece, each with its colour and what it took; without their symbols."""
    told = []
    for end in ending.threads:
        if end.need.done.stitches or end.need.done.beads:
            test = f"; test: {told_test(end.test)}" if end.test is not None else ""
            name = called(end.need.thread) or "Thread without a name"
            told.append((end.need.thread.colour, f"{name}: {_short_use(end)}{test}"))
    return told


def _short_use(end: ThreadEnd) -> str:
    if end.need.is_bead or end.skeins is not None:
        return used_words(end).partition(",")[0]
    if end.need.done.skeins.high < 0.05:
        return "under 0.1 skein reckoned"
    return f"{need_words(end.need.done.skeins)} reckoned"


def _upper(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def members_of(ending: Ending) -> dict[str, Any]:
    """All of it as one JSON object; lengths are in millimetres, not rounded."""
    timing, came = ending.timing, ending.came
    return {
        "ready": ending.ready,
        "left": ending.last.left,
        "finished": None if ending.note is None else ending.note.day,
        "begun": None if timing.begun is None else timing.begun.isoformat(),
        "last_worked_on": None if timing.last is None else timing.last.isoformat(),
        "sittings": timing.sittings,
        "hours": timing.minutes / 60,
        "stitches_an_hour": timing.rate,
        "size": None
        if came is None
        else {
            "columns": came.extent.columns,
            "rows": came.extent.rows,
            "measured_mm": [came.size.width_mm, came.size.height_mm],
            "foretold_mm": [came.forecast.width_mm, came.forecast.height_mm],
            "square_mm": [came.real.across_mm, came.real.down_mm],
            "count": list(came.real_count),
            "error_percent": list(came.errors_percent),
            "height_by_width_of_a_square": came.off.ratio,
        },
        "threads": [_thread_members(each) for each in ending.threads],
        "left_out": left_out_lines(ending),
        "differences": difference_lines(ending),
    }


def _thread_members(end: ThreadEnd) -> dict[str, Any]:
    need = end.need
    return {
        "name": need.name,
        "number": need.number,
        "stitches": need.done.stitches,
        "skeins_used": end.skeins,
        "reckoned_strand_mm": need.done.reckoned_mm,
        "factor": need.usage.factor,
        "test": None if end.test is None else {"result": end.test.result, "words": end.test.words},
    }
