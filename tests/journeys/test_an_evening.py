"""An evening with a chart, and the next one: the same square, the same band, the same marks."""
from pathlib import Path
from typing import Any

def test_try(sofa: Any, harbour: Path) -> None:
    """Try."""
    sofa.sit_down(harbour)
    sofa.press("+", "+")
    sofa.press("B")
    assert sofa.sitting.works.band.band is not None
    sofa.press("M"); 
    print(sofa.canvas.view, sofa.sitting.works.holding.tool)
    sofa.drag((20,20),(25,20))
    print(sofa.desk.tally.total())
    assert sofa.get_up()
