"""The actions of planning: a page of the planning window each."""

from stitchview.ui.action import Action, Menu
from stitchview.ui.planworks import PlanPlace

PLAN_ACTIONS = (
    Action(
        "plan-cloth",
        "Cloth and size …",
        "Count of the cloth, finished size, what to cut, middle and gridding threads",
        Menu.PLAN,
        ("Ctrl+1",),
        at_chart=lambda chart: chart.cloth.plan.open(PlanPlace.CLOTH),
    ),
)
