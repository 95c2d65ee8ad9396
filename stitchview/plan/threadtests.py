"""What wash and dye tests showed, for the lines of a key: a blend runs if one of its threads does."""

from collections.abc import Sequence

from stitchview.chart.model import KeyEntry
from stitchview.chart.threadname import identity_of
from stitchview.done.finishnotes import BLEEDS, FAST, UNSURE, ThreadTest

RESULT_WORDS = {FAST: "colour stays", BLEEDS: "colour runs", UNSURE: "test not sure"}
_GRAVEST = (BLEEDS, UNSURE, FAST)


def told_test(test: ThreadTest) -> str:
    """What a test showed, and her words about it."""
    return f"{RESULT_WORDS[test.result]}{f': {test.words}' if test.words else ''}"


def wash_test(tests: Sequence[ThreadTest], entry: KeyEntry) -> ThreadTest | None:
    """The test of a line of the key, of a blend the gravest; None where none was made."""
    if not tests:
        return None
    threads = [(each.name, each.number) for each in entry.blend] or [(entry.name, entry.number)]
    wanted = {identity_of(*each) for each in threads}
    mine = [each for each in tests if identity_of(each.name, each.number) in wanted]
    return min(mine, key=_gravity, default=None)


def _gravity(test: ThreadTest) -> int:
    return _GRAVEST.index(test.result)
