"""When it will be done, in words: a range of days, never a promise, and nothing while there is too little."""

from datetime import date

from stitchview.done.sittings import day_words
from stitchview.plan.forecast import Dates, Demand

TOO_LITTLE = (
    "Too little to tell yet: at least three sittings, spread over a week, are needed"
    " before a day can be foretold."
)
DONE = "Nothing is left: the piece is done."


def dates_words(dates: Dates | None, left: float) -> str:
    """What `by_calendar` or `by_sittings` found, in a sentence."""
    if left <= 0:
        return DONE
    if dates is None:
        return TOO_LITTLE
    likely = f"most likely about {day_words(dates.likely)}"
    if dates.latest is None:
        return f"Not before {day_words(dates.soonest)}, {likely}; how late it may get cannot be told."
    return (
        f"Between {day_words(dates.soonest)} and {day_words(dates.latest)}, {likely}. "
        "Eight times in ten the day lies in between, if the weeks to come are like those that were."
    )


def demand_words(demand: Demand, by: date) -> str:
    """What finishing by a day asks of her."""
    sitting = "" if demand.a_sitting == float("inf") else f", {demand.a_sitting:,.0f} a sitting"
    return f"To be done by {day_words(by)}: {demand.a_week:,.0f} stitches a week{sitting}."
