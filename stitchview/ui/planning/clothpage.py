"""The page about cloth: what she counted, how large the piece comes out, and what to cut for it."""

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from stitchview.done.ownfolder import own_layers_folder
from stitchview.errors import CommandError
from stitchview.plan.clothmeasure import MeasuredCloth
from stitchview.plan.clothreport import (
    SizeReport,
    gridding_words,
    margin_words,
    middle_words,
    size_report,
)
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.plan.lessonwords import expected_words
from stitchview.plan.piece import suggested_count
from stitchview.ui.planning.clothform import ClothForm
from stitchview.ui.planning.lessonsdialog import LessonsDialog
from stitchview.ui.planning.measuring import Measuring
from stitchview.ui.planning.planpage import GAP, Facts, PlanPage, side_panel, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.proportionview import ProportionView
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.settingsdialog import Scrolling


class ClothPage(PlanPage):
    """Fields at the left, picture and facts at the right."""

    place = PlanPlace.CLOTH

    def __init__(self, table: PlanTable) -> None:
        super().__init__()
        self._table = table
        self.form = ClothForm(self._take)
        self.count = QPushButton("Count the &threads on the cloth …")
        self.count.setCheckable(True)
        self.measuring = Measuring(self._counted, self._take_count)
        self.measuring.hide()
        self.lessons = QPushButton("What finished &pieces teach …")
        self.picture = ProportionView(table.chart)
        self.facts = Facts()
        self.told = words_label()
        self.told.hide()
        self._lay_out()
        self.form.suggested.clicked.connect(self._take_suggested)
        self.count.toggled.connect(self._show_measuring)
        self.lessons.clicked.connect(self._open_lessons)

    @property
    def report(self) -> SizeReport:
        """All that can be told of size and cloth as things are now."""
        return size_report(self._table.chart, self._table.wish)

    def refresh(self) -> None:
        """Show everything as it is now."""
        self.form.show_wish(self._table.wish)
        self.measuring.fill(self._table.piece.counted)
        self._tell()

    def _lay_out(self) -> None:
        fields = QWidget()
        left = QVBoxLayout(fields)
        left.setSpacing(GAP)
        for part in (self.form, self.count, self.measuring, self.lessons):
            left.addWidget(part)
        left.addStretch(1)
        right = QVBoxLayout()
        right.setSpacing(GAP)
        right.addWidget(self.picture, 1)
        right.addWidget(self.told)
        right.addWidget(Scrolling(self.facts), 1)
        outer = QHBoxLayout(self)
        outer.setContentsMargins(0, GAP, 0, 0)
        outer.addWidget(side_panel(fields))
        outer.addLayout(right, 1)

    def _show_measuring(self, shown: bool) -> None:
        self.measuring.setVisible(shown)
        if shown:
            self.measuring.across[0].setFocus()

    def _take(self) -> None:
        try:
            wish = self.form.wish
        except CommandError as error:
            self.told.setText(str(error))
            self.told.show()
            return
        self._table.settle(count=wish.count, making=wish.making, margin=wish.margin, opening=wish.opening)
        self._tell()

    def _take_suggested(self) -> None:
        self._table.settle(count=None)
        self.refresh()

    def _open_lessons(self) -> None:
        LessonsDialog(FinishedPieces(own_layers_folder()), self._lessons_changed, self).open()

    def _lessons_changed(self) -> None:
        self._table.bench.piece.renew_lessons()
        self._table.show()
        self._tell()

    def _counted(self, cloth: MeasuredCloth | None) -> None:
        self._table.settle(counted=cloth)

    def _take_count(self, cloth: MeasuredCloth) -> None:
        before = self.form.count
        try:
            count = cloth.count(before.over, before.per_100_mm)
        except CommandError as error:
            self.told.setText(str(error))
            self.told.show()
            return
        self._table.settle(count=count)
        self.refresh()

    def _tell(self) -> None:
        wish, report = self._table.wish, self.report
        self.told.hide()
        self.form.suggested.setEnabled(self._table.piece.count is not None)
        suggested = suggested_count(self._table.chart.cloth)
        self.form.suggested.setToolTip(f"{suggested.words}")
        self.picture.show_count(wish.count)
        facts, learnt = facts_of(report), self._table.bench.piece.lessons
        before = expected_words(self._table.chart, wish.count, learnt)
        if before:
            facts.insert(1, ("As it came out before", before))
        self.facts.tell(facts)


def facts_of(report: SizeReport) -> list[tuple[str, str]]:
    """What is told of a report, by name."""
    laid, turned, wish = report.laid, report.turned, report.wish
    facts = [
        ("Finished size", laid.size.words),
        ("Proportions", _capital(laid.off.words)),
        ("Cut", f"{laid.cut.cutting_words}, with {margin_words(wish.margin)}"),
    ]
    if laid.fitting is not None:
        facts.append(("Frame, cushion", laid.fitting.words))
    if not wish.count.even:
        fits = "" if turned.fitting is None else f" {turned.fitting.words}"
        facts.append(("Cloth turned", f"{turned.size.words}, {turned.off.words}.{fits}"))
    others = " · ".join(_unbroken(f"{count:g}: {size.words.split(' (')[0]}") for count, size in report.others)
    return [
        *facts,
        ("Middle", _capital(middle_words(report).removeprefix("Middle: "))),
        ("Gridding", gridding_words(report).removeprefix("Gridding ").capitalize()),
        (f"On even cloth, over {wish.count.over}", others),
    ]


def _unbroken(words: str) -> str:
    return words.replace(" ", "\N{NO-BREAK SPACE}")


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
