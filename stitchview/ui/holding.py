"""What she holds: the tool, the marking shape, what it takes, and the thread in hand."""

from dataclasses import dataclass, replace

from stitchview.canvas.hands import Tool
from stitchview.canvas.touch import Shape
from stitchview.done.change import DONE
from stitchview.done.shapes import Takes


@dataclass(frozen=True, slots=True)
class Held:
    """What is held; `thread` is a number of the key, 0 for none, and `only` leaves the others alone.

    `state` is what the tool that marks marks as.
    """

    tool: Tool = Tool.LOOK
    shape: Shape = Shape.SWEEP
    crosses: bool = True
    lines: bool = True
    points: bool = True
    only: bool = False
    thread: int = 0
    state: int = DONE


class Holding:
    """What is held at one chart with so many `threads` in its key; whoever alters it shows it afterwards."""

    def __init__(self, threads: int) -> None:
        self._threads = threads
        self._held = Held()
        self._before_region = Tool.LOOK

    @property
    def held(self) -> Held:
        """What is held, to be kept; a region being drawn is over by the next evening."""
        return replace(self._held, tool=self._before_region) if self.tool is Tool.REGION else self._held

    @property
    def tool(self) -> Tool:
        """The tool in use."""
        return self._held.tool

    @property
    def shape(self) -> Shape:
        """The marking shape in use."""
        return self._held.shape

    @property
    def state(self) -> int:
        """What the tool that marks marks as."""
        return self._held.state

    @property
    def thread(self) -> int:
        """The thread in hand, a number of the key; 0 for none."""
        return self._held.thread

    @property
    def takes(self) -> Takes:
        """What a shape takes; "only the thread in hand" says nothing while no thread is."""
        held = self._held
        return Takes(
            held.crosses, held.lines, held.points, held.thread if held.only and held.thread else None
        )

    def restore(self, held: Held) -> None:
        """Hold again what was held when the chart was closed."""
        self._hold(held)

    def look(self) -> None:
        """Take up the tool that looks around."""
        self._hold(replace(self._held, tool=Tool.LOOK))

    def mark(self) -> None:
        """Take up the tool that marks."""
        self._hold(replace(self._held, tool=Tool.MARK))

    def unpick(self) -> None:
        """Take up the tool that unpicks."""
        self._hold(replace(self._held, tool=Tool.UNPICK))

    def region(self) -> None:
        """Take up the tool that draws a region; asked for again, or used up, the one before comes back."""
        if self.tool is Tool.REGION:
            self._hold(replace(self._held, tool=self._before_region))
            return
        self._before_region = self.tool
        self._hold(replace(self._held, tool=Tool.REGION))

    def use(self, shape: Shape) -> None:
        """Use another marking shape; whoever only looked around marks from now on."""
        tool = Tool.MARK if self.tool in (Tool.LOOK, Tool.REGION) else self.tool
        self._hold(replace(self._held, shape=shape, tool=tool))

    def mark_as(self, state: int) -> None:
        """Mark as another state from now on, with the tool that marks."""
        self._hold(replace(self._held, state=state, tool=Tool.MARK))

    def switch_crosses(self) -> None:
        """Take crosses and part stitches, or leave them."""
        self._hold_something(replace(self._held, crosses=not self._held.crosses))

    def switch_lines(self) -> None:
        """Take back stitch and straight stitch, or leave them."""
        self._hold_something(replace(self._held, lines=not self._held.lines))

    def switch_points(self) -> None:
        """Take knots and beads, or leave them."""
        self._hold_something(replace(self._held, points=not self._held.points))

    def switch_only(self) -> None:
        """Take only the thread in hand, or every thread."""
        self._hold(replace(self._held, only=not self._held.only))

    def take(self, number: int) -> None:
        """Take the thread of a number of the key in hand; 0 puts it down."""
        self._hold(replace(self._held, thread=number if 0 <= number <= self._threads else 0))

    def put_down(self) -> None:
        """Put the thread in hand down."""
        self.take(0)

    def next_thread(self, by: int) -> None:
        """Take the thread so many lines further down the key; after the last comes the first."""
        if self._threads:
            start = self.thread or (0 if by > 0 else 1)
            self.take((start + by - 1) % self._threads + 1)

    def _hold_something(self, held: Held) -> None:
        # With nothing taken no shape would do anything, and nobody would know why.
        if held.crosses or held.lines or held.points:
            self._hold(held)

    def _hold(self, held: Held) -> None:
        self._held = held
