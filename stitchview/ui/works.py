"""What the window and the chart on it can be asked to do, as the actions see them."""

from typing import Protocol

from stitchview.canvas.looks import Shown
from stitchview.canvas.touch import Shape
from stitchview.chart.turning import Turn
from stitchview.done.shapes import Takes
from stitchview.ui.clothworks import ClothWorks
from stitchview.ui.followworks import FollowWorks
from stitchview.ui.needs import Needs


class GoingWorks(Protocol):
    """Looking elsewhere, and moving the keyboard pointer; one step is a square or a key's worth."""

    def pan(self, across: int, down: int) -> None:
        """Look so many steps further right and down."""

    def step(self, across: int, down: int) -> None:
        """Move the keyboard pointer by squares."""

    def zoom(self, steps: int) -> None:
        """Zoom in by steps, below 0 out."""

    def whole_chart(self) -> None:
        """Show the whole chart."""

    def band_width(self) -> None:
        """Show the band as wide as the window."""

    def last_view(self) -> None:
        """Look where one looked before."""


class BandWorks(Protocol):
    """Laying the band, and moving it."""

    def over_rows(self) -> None:
        """Lay a band of rows at the pointer."""

    def over_columns(self) -> None:
        """Lay a band of columns at the pointer."""

    def framed(self) -> None:
        """Lay a frame at the pointer."""

    def take_away(self) -> None:
        """Take the band away."""

    def move(self, across: int, down: int) -> None:
        """Move the band by squares as they are seen."""

    def move_by_itself(self, across: int, down: int) -> None:
        """Move the band by its own width and height."""

    def grow(self, across: int, down: int) -> None:
        """Make the band wider and taller, below 0 narrower and shorter."""


class HoldingWorks(Protocol):
    """What is held: the tool, the shape, what a shape takes, and the thread in hand."""

    @property
    def tool(self) -> str:
        """The tool: look, mark, unpick or region."""

    @property
    def shape(self) -> Shape:
        """The marking shape."""

    @property
    def takes(self) -> Takes:
        """What a shape takes."""

    def look(self) -> None:
        """Take up the tool that looks around."""

    def mark(self) -> None:
        """Take up the tool that marks."""

    def unpick(self) -> None:
        """Take up the tool that unpicks."""

    def region(self) -> None:
        """Take up, once, the tool that draws a region to zoom to."""

    def use(self, shape: Shape) -> None:
        """Use another marking shape."""

    @property
    def state(self) -> int:
        """What is marked as, one of the states of `done.change`."""

    def mark_as(self, state: int) -> None:
        """Mark as another state from now on."""

    def switch_crosses(self) -> None:
        """Take crosses and part stitches, or leave them."""

    def switch_lines(self) -> None:
        """Take back stitch and straight stitch, or leave them."""

    def switch_points(self) -> None:
        """Take knots and beads, or leave them."""

    def switch_only(self) -> None:
        """Take only the thread in hand, or every thread."""

    def next_thread(self, by: int) -> None:
        """Take the thread in hand that stands so many lines further down the key."""

    def put_down(self) -> None:
        """Put the thread in hand down."""


class MarkingWorks(Protocol):
    """Marking by keys."""

    def mark_here(self, unpick: bool) -> None:
        """Mark or unpick at the keyboard pointer, with the shape in use."""

    def thread_in_band(self) -> None:
        """Mark all of the thread in hand inside the band."""

    def undo(self) -> None:
        """Take back the last stroke."""

    def redo(self) -> None:
        """Make again the stroke taken back last."""

    def take_thread_here(self) -> None:
        """Take the thread under the pointer in hand."""


class LookWorks(Protocol):
    """How the chart looks."""

    @property
    def paper(self) -> bool:
        """Whether it looks as on paper."""

    @property
    def worked(self) -> bool:
        """Whether done squares show as worked crosses."""

    @property
    def shown(self) -> Shown:
        """Whether the symbols show, the paper's picture, or both."""

    @property
    def turn(self) -> Turn:
        """How the chart is seen turned."""

    def show_next(self) -> None:
        """Show the next of symbols, the paper's picture and both."""

    def switch_paper(self) -> None:
        """Look as on paper, or in colour."""

    def switch_worked(self) -> None:
        """Show done squares as worked crosses, or cleared."""


class ChartWorks(Protocol):
    """All that can be done with the chart on the window."""

    @property
    def going(self) -> GoingWorks:
        """Looking elsewhere."""

    @property
    def band(self) -> BandWorks:
        """The band."""

    @property
    def holding(self) -> HoldingWorks:
        """What is held."""

    @property
    def marking(self) -> MarkingWorks:
        """Marking by keys."""

    @property
    def looks(self) -> LookWorks:
        """How it looks."""

    @property
    def following(self) -> FollowWorks:
        """Where to go next."""

    @property
    def cloth(self) -> ClothWorks:
        """Between cloth and chart."""

    def turn(self, turn: Turn | None) -> None:
        """See the chart turned further, or upright again for None."""

    def last_marks(self) -> None:
        """Go to the marks made last and point them out."""

    def copy_place(self) -> None:
        """Copy where the pointer is, in words."""

    def open_diary(self) -> None:
        """Open the diary of the piece."""

    def open_printing(self) -> None:
        """Ask what to print of the chart."""

    def open_finishing(self) -> None:
        """Finish the piece."""

    def open_copies(self) -> None:
        """Show the kept copies of what is done."""

    def open_square_menu(self) -> None:
        """Open the menu of the square under the keyboard pointer."""

    def meets(self, needs: Needs) -> bool:
        """Whether what an action needs is there."""


class WindowWorks(Protocol):
    """All that can be done with the window, whether or not a chart is on it."""

    @property
    def snaps(self) -> bool:
        """Whether the band snaps to tens."""

    @property
    def steps_on(self) -> bool:
        """Whether the band steps on by itself when all in it is done."""

    @property
    def single_keys(self) -> bool:
        """Whether keys of one character work."""

    @property
    def alone(self) -> bool:
        """Whether only the chart is shown."""

    def ask_for_chart(self) -> None:
        """Ask which chart to open."""

    def open_sample(self) -> None:
        """Open the sample that comes with the program."""

    def read_paper(self) -> None:
        """Open the reading table."""

    @property
    def pencil_in_hand(self) -> bool:
        """Whether the pencil is in hand."""

    def switch_pencil(self) -> None:
        """Take the pencil up, or put it down."""

    def close_chart(self) -> None:
        """Close the chart."""

    def show_keys(self) -> None:
        """Show the keys and a short guide."""

    def show_cautions(self) -> None:
        """Show what to keep in mind."""

    def show_alone(self) -> None:
        """Show only the chart, or everything again."""

    def show_settings(self) -> None:
        """Show the settings."""

    def quit(self) -> None:
        """Close the window."""

    def switch_snapping(self) -> None:
        """Let the band snap to tens, or lie anywhere."""

    def switch_stepping(self) -> None:
        """Let the band step on by itself, or stay."""

    def switch_single_keys(self) -> None:
        """Let keys of one character work, or not."""
