"""What of her list could be used instead of a thread: the nearest in colour first."""

from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD
from stitchview.plan.insteadoffers import instead_offers, kind_of
from stitchview.plan.likeness import difference
from stitchview.plan.stash import Holding, Stash

SLATE = Colour(90, 110, 130)
ROWS = tuple(
    Holding(f"Sample {line}", str(line), colour=colour, skeins=skeins, line=line)
    for line, colour, skeins in (
        (2, Colour(200, 60, 60), 2.0),
        (3, Colour(92, 112, 128), 1.0),
        (4, None, 3.0),
        (5, Colour(90, 110, 130), 0.0),
        (6, Colour(120, 120, 160), None),
    )
)


def test_the_nearest_come_first_and_what_is_used_up_not_at_all() -> None:
    """In the order of CIEDE2000 (its own test holds that to published values), rows without colour last."""
    offers = instead_offers(SLATE, Stash(ROWS))
    assert [each.holding.line for each in offers] == [3, 6, 2, 4]
    told = [each.difference for each in offers if each.difference is not None]
    assert told == sorted(difference(SLATE, row.colour) for row in ROWS if row.colour and row.skeins != 0)
    assert offers[0].words.endswith("; 1 skein")
    assert "skeins not told" in offers[1].words


def test_without_a_printed_colour_they_keep_the_order_of_the_list() -> None:
    """No word is said of nearness then."""
    offers = instead_offers(UNTOLD, Stash(ROWS))
    assert [each.holding.line for each in offers] == [2, 3, 4, 6]
    assert all(each.difference is None for each in offers)


def test_a_kind_that_charts_do_not_know_leaves_the_usual_one() -> None:
    """Her list may call kinds as it likes."""
    assert kind_of(Holding(kind=" Silk "), "wool") == "silk"
    assert kind_of(Holding(kind="crewel"), "wool") == "wool"
