"""What is settled for the open piece, one truth for the needleful, the tape and the plan."""

from dataclasses import replace

from stitchview.chart.model import Chart
from stitchview.done.ownfolder import own_layers_folder
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.habits import Habits
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.plan.lessons import Lessons
from stitchview.plan.lessonwords import rate_words
from stitchview.plan.piece import Piece
from stitchview.ui.habits import keep_habits, read_habits
from stitchview.ui.settings import open_settings


class PieceBook:
    """Holds the piece; who alters it has everything shown, so that it is kept with the place."""

    def __init__(self, chart: Chart) -> None:
        self._chart = chart
        self._usual = read_habits(open_settings())
        self.piece = Piece()
        self.identity = chart.identity
        self._lessons: Lessons | None = None

    @property
    def lessons(self) -> Lessons:
        """What finished pieces teach this one; read when it is first asked for."""
        if self._lessons is None:
            self._lessons = Lessons.for_piece(FinishedPieces(own_layers_folder()).pieces(), self.identity)
        return self._lessons

    def rate_words(self, left: float) -> str:
        """How long what is left takes at the rate of finished pieces."""
        return rate_words(left, self.count, self.lessons)

    def renew_lessons(self) -> None:
        """Read them anew when they are asked for next."""
        self._lessons = None

    @property
    def count(self) -> ClothCount:
        """The count of the cloth."""
        return self.piece.count_on(self._chart.cloth)

    @property
    def pitch(self) -> Pitch:
        """The size of a square on the cloth."""
        return self.count.pitch

    @property
    def habits(self) -> Habits:
        """How she works on this piece."""
        return self.piece.habits or self._usual

    def use_habits(self, habits: Habits) -> bool:
        """Work so on this piece from now on, and on new ones; whether the latter could be kept."""
        self.piece = replace(self.piece, habits=habits)
        self._usual = habits
        return keep_habits(open_settings(), habits)
