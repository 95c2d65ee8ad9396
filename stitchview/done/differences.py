"""Where the cloth differs from the chart and stays so: one kind of note for each kind of difference."""

from dataclasses import dataclass, replace

from stitchview.chart.area import Area
from stitchview.done.leftout import MOST_SIDE, SORTS

MOST_DIFFERENCES = 1000

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class _Placed:
    """A difference by its `id` and the squares it is about; raises `ValueError` for what cannot be."""

    id: str
    column: int
    row: int
    columns: int
    rows: int

    def __post_init__(self) -> None:
        if not (1 <= self.columns <= MOST_SIDE and 1 <= self.rows <= MOST_SIDE):
            raise ValueError("a difference is about an area of an impossible size")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which differences are recorded."""
        return (self.id,)

    @property
    def area(self) -> Area:
        """The squares of the printed chart that it is about."""
        return Area(self.column, self.row, self.columns, self.rows)

    @property
    def touched(self) -> tuple[Area, ...]:
        """Where nothing else may differ."""
        return (self.area,)


@dataclass(frozen=True, slots=True)
class Shifted(_Placed):
    """Everything in the area lies `across` columns further right and `down` rows further down."""

    across: int
    down: int

    def __post_init__(self) -> None:
        super(Shifted, self).__post_init__()
        if not (self.across or self.down) or max(abs(self.across), abs(self.down)) > MOST_SIDE:
            raise ValueError("a block lies off by nothing, or by more than any chart is wide")

    @property
    def target(self) -> Area:
        """The squares of the cloth where the block lies."""
        return replace(self.area, column=self.column + self.across, row=self.row + self.down)

    @property
    def touched(self) -> tuple[Area, ...]:
        """Where nothing else may differ: the place left empty, and the one it lies at."""
        return self.area, self.target


@dataclass(frozen=True, slots=True)
class OtherThread(_Placed):
    """Stitches in the area are worked in the thread of the key entry `code`.

    `sort` is one of `SORTS`, `was` the code of the thread the chart has there; each empty for any.
    """

    sort: str
    was: str
    code: str

    def __post_init__(self) -> None:
        super(OtherThread, self).__post_init__()
        _check_sort(self.sort)
        if not self.code or self.code == self.was:
            raise ValueError("a thread is changed for itself, or for none")


@dataclass(frozen=True, slots=True)
class NotWorked(_Placed):
    """Stitches in the area are not on the cloth and never will be.

    `sort` is one of `SORTS`, `code` that of the thread the chart has there; each empty for any.
    """

    sort: str
    code: str

    def __post_init__(self) -> None:
        super(NotWorked, self).__post_init__()
        _check_sort(self.sort)


@dataclass(frozen=True, slots=True)
class Added(_Placed):
    """The squares of the area, bare on the chart, have whole crosses of the key entry `code`."""

    code: str


Difference = Shifted | OtherThread | NotWorked | Added
DIFFERENCES = (Shifted, OtherThread, NotWorked, Added)


def overlap(one: Difference, other: Difference) -> bool:
    """Whether two differences are about the same squares, where they are printed or where they lie."""
    return any(not mine.clipped(theirs).empty for mine in one.touched for theirs in other.touched)


def _check_sort(sort: str) -> None:
    if sort and sort not in SORTS:
        raise ValueError(f"stitches of no known sort, {sort}, differ")
