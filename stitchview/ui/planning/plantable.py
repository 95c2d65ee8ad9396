"""What the pages of the planning window share: the chart, its marks, and what is settled for the piece."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from stitchview.chart.model import Chart
from stitchview.follow.habits import Habits
from stitchview.plan.clothgrid import Bold
from stitchview.plan.clothreport import SizeWish
from stitchview.plan.piece import Piece
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.signboard import SignBoard


@dataclass(frozen=True, eq=False)
class PlanTable:
    """`show` has everything shown and kept as it is now; `signs` lie over the chart."""

    bench: Bench
    voice: Voice
    signs: SignBoard
    show: Callable[[], None]

    @property
    def chart(self) -> Chart:
        """The chart."""
        return self.bench.desk.chart

    @property
    def piece(self) -> Piece:
        """What is settled for the piece."""
        return self.bench.piece.piece

    @property
    def wish(self) -> SizeWish:
        """What is asked of size and cloth."""
        tens = self.bench.canvas.showing.tens
        bold = Bold(tens.column, tens.centre_column), Bold(tens.row, tens.centre_row)
        return replace(self.piece.wish_on(self.chart.cloth), bold=bold)

    def use_habits(self, habits: Habits) -> None:
        """Work so on this piece from now on."""
        if not self.bench.piece.use_habits(habits):
            self.voice.tell("The settings cannot be written; these hold for this piece only.")
        self.show()

    def settle(self, **altered: Any) -> None:
        """Settle something else for the piece, by the names of `Piece`; it is kept with the place."""
        piece = replace(self.piece, **altered)
        if piece != self.piece:
            self.bench.piece.piece = piece
            self.show()
