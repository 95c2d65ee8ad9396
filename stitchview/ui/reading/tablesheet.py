"""What is known of one picture on the reading table, and how it is said."""

from dataclasses import dataclass, field
from enum import Enum, auto
from pathlib import Path

from stitchview.sheets.onesheet import Preview, Told
from stitchview.sheets.reading import FoundSheet


class State(Enum):
    """How far a picture is."""

    WAITING = auto()
    LOOKING = auto()
    FOUND = auto()
    FAILED = auto()
    STOPPED = auto()


WORDS = {
    State.WAITING: "Waits for its turn",
    State.LOOKING: "Looking for the squares …",
    State.FOUND: "Found",
    State.STOPPED: "Stopped; “Look again” goes on",
}


@dataclass(frozen=True, eq=False)
class TableSheet:
    """A picture on the table, or a page of a file, counted from 1.

    ``key`` never changes; ``asking`` is the number under which it was looked for last; ``trouble`` is the one
    sentence where that failed. ``preview`` shows it as it was taken, ``flat`` straightened.
    """

    key: int
    path: Path
    page: int = 1
    pages: int = 1
    state: State = State.WAITING
    trouble: str = ""
    preview: Preview | None = None
    flat: Preview | None = None
    found: FoundSheet | None = None
    told: Told = field(default_factory=Told)
    asking: int = 0

    @property
    def name(self) -> str:
        """The file's name, and the page where there are several."""
        return f"{self.path.stem}, page {self.page}" if self.pages > 1 else self.path.stem

    @property
    def busy(self) -> bool:
        """Whether anything is still to come."""
        return self.state in (State.WAITING, State.LOOKING)

    @property
    def words(self) -> str:
        """How far it is, in a sentence."""
        return self.trouble if self.state is State.FAILED else WORDS[self.state]

    @property
    def size(self) -> str:
        """Columns x rows, as found."""
        if self.found is None:
            return "–"
        return f"{self.found.lattice.columns} x {self.found.lattice.rows}"

    @property
    def doubts(self) -> tuple[str, ...]:
        """What to look at, in sentences."""
        return () if self.found is None else self.found.lattice.doubts
