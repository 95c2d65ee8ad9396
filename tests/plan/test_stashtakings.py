"""What other pieces take of a thread that this one waits for."""

from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.basket import Piece
from stitchview.done.takenthread import TakenThread, taken_read
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashtakings import notices, shared_words, takings_elsewhere, takings_of
from stitchview.plan.threads import bought_threads

SLATE = KeyEntry("a", Symbol("a"), "Sample cotton 17, slate blue", "17")
ROSE = KeyEntry("b", Symbol("b"), "Sample cotton 4, dusk rose", "4")
CHART = Chart(np.ones((2, 2), np.uint16), (SLATE, ROSE), title="Harbour", identity="mine")
THREADS = bought_threads(CHART)


def piece(identity: str, *taken: TakenThread) -> Piece:
    return Piece(identity, Path(f"/{identity}.svchart"), identity.title(), taken=taken)


def slate(skeins: float, time: int = 5) -> TakenThread:
    return TakenThread(SLATE.name, "17", skeins=skeins, instead_of="Sample wool 3", time=time)


def test_only_other_pieces_take_and_only_since_then() -> None:
    """What this piece uses itself is no news to it, nor what it was told of before."""
    pieces = [piece("mine", slate(1)), piece("boats", slate(2, 5), slate(3, 9)), piece("gulls")]
    assert [each.taken.skeins for each in takings_elsewhere(pieces, CHART)] == [2, 3]
    assert [each.taken.skeins for each in takings_elsewhere(pieces, CHART, 5)] == [3]


def test_a_thread_is_found_as_her_list_finds_it() -> None:
    """By number and name; a thread of another number is another thread."""
    other = TakenThread("Sample cotton 171", "171", instead_of="x")
    takings = takings_elsewhere([piece("boats", slate(2), other)], CHART)
    found = takings_of(THREADS, takings)
    assert list(found) == [THREADS[0].identity]
    assert [each.taken.skeins for each in found[THREADS[0].identity]] == [2]


@given(
    st.lists(st.sampled_from([0.5, 1.0, 2.0]), min_size=1, max_size=5), st.integers(0, 6), st.integers(0, 6)
)
def test_what_is_left_is_the_list_without_all_that_is_taken(
    taken: list[float], skeins: int, wanted: int
) -> None:
    """Never below none; and whether that is enough is said when it is not."""
    takings = takings_elsewhere([piece("boats", *map(slate, taken))], CHART)
    words = shared_words(takings, float(skeins), float(wanted))
    left = max(0.0, skeins - sum(taken))
    assert f"that leaves {left:g} skein" in words
    assert ("That is not enough here." in words) is (wanted > left)


def test_without_a_list_only_the_taking_is_told() -> None:
    """What is left cannot be known then; nor where nobody said how much was taken."""
    takings = takings_elsewhere([piece("boats", slate(0, 0))], CHART)
    assert notices(THREADS, takings, None) == [
        "Sample cotton 17, slate blue is waited for here."
        " “Boats” uses it instead of Sample wool 3 (how much is not told)."
    ]
    stash = Stash((Holding(SLATE.name, "17", skeins=2.0, line=2),))
    takings = takings_elsewhere([piece("boats", slate(1.5, 0))], CHART)
    assert "Of 2 skeins in your list that leaves 0.5 skeins" in notices(THREADS, takings, stash)[0]


def test_a_record_that_makes_no_sense_is_no_taking() -> None:
    """The basket's file may be of any program; no skeins are made up from it."""
    assert taken_read("thread") is None
    assert taken_read({"name": "", "skeins": 2}) is None
    assert taken_read({"name": "x", "skeins": "many", "time": -4}) == TakenThread("x")
    assert taken_read({"number": "17", "skeins": 1.5, "colour": 5}) == TakenThread("", "17", skeins=1.5)
