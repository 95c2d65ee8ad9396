"""The actions of planning: the diary, and a page of the planning window each."""

from stitchview.ui.action import Action, Menu
from stitchview.ui.planworks import PlanPlace

PLAN_PAGES = (
    Action(
        "plan-cloth",
        "Cloth and size …",
        "Count of the cloth, finished size, what to cut, middle and gridding threads",
        Menu.PLAN,
        ("Ctrl+1",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.CLOTH),
    ),
    Action(
        "plan-thread",
        "Thread needed …",
        "Squares left, metres and skeins of every thread; note what was really used",
        Menu.PLAN,
        ("Ctrl+2",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.THREAD),
    ),
    Action(
        "plan-lots",
        "Dye lots …",
        "Tell which lot of a thread is where, by area or by day, and see it on the chart",
        Menu.PLAN,
        ("Ctrl+3",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.LOTS),
    ),
    Action(
        "plan-stash",
        "Stash …",
        "What you own against what the chart needs, what could stand in, and look-alikes",
        Menu.PLAN,
        ("Ctrl+4",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.STASH),
    ),
    Action(
        "plan-card",
        "Thread card …",
        "Which hole of the card holds which thread, to print or to look at",
        Menu.PLAN,
        ("Ctrl+5",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.CARD),
    ),
)
"""The pages of the planning window, in their order."""

PLAN_ACTIONS = (
    Action(
        "diary",
        "Diary …",
        "Your sittings, what is new since any of them, pictures to show, and when it will be done",
        Menu.PLAN,
        ("Ctrl+D",),
        at_chart=lambda chart: chart.open_diary(),
    ),
    *PLAN_PAGES,
    Action(
        "finish",
        "Finish the piece …",
        "See what is left, enter the measured size, note it as finished, save the finished sheet",
        Menu.PLAN,
        ("Ctrl+6",),
        at_chart=lambda chart: chart.open_finishing(),
    ),
)
