"""One width around the leg is said alike wherever it stands, and what is uneven is told early."""

from __future__ import annotations

import pytest
import sample
from test_steps import WHOLE, answered, said

from legtaper.model.project import Fabric
from legtaper.model.said_lengths import say_around
from legtaper.muslin.compare import columns, tables
from legtaper.outputs.front_sheet import widths_table
from legtaper.outputs.leg_views import front_view, panels_view
from legtaper.outputs.marks_tables import marks_tables
from legtaper.outputs.marks_text import marks_text
from legtaper.pattern import Fit
from legtaper_wizard.flow.shapes import Note
from legtaper_wizard.flow.steps import shows
from legtaper_wizard.flow.steps.narrowing_step import width_line
from legtaper_wizard.tui.layout.notes_panel import note_lines, width_lines

STEP = {"in": "1/16in", "cm": "1mm"}


def _fit(unit: str = "in", **parts: object) -> Fit:
    return sample.fitted(sample.wide(hem="14.07 in", knee="17.2 in"), length_unit=unit, **parts)


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_a_width_is_said_alike_on_screen_paper_and_in_files(unit: str) -> None:
    """Picture, side by side, sheet, marks and notes: 17 3/16 in at the knee, asked as 17.2 in."""
    fit = _fit(unit)
    project = fit.project
    pictures = [
        {tag.text.split()[0]: tag.text.partition(" ")[2].strip() for tag in tags}
        for _, tags in (panels_view(fit.block, fit.project.length_unit, fit), front_view(fit))
    ]
    sheet = {row[0].split()[0]: row[3] for row in widths_table(fit).rows}
    beside = {row[0]: row[2] for row in tables(columns(project))[0].rows}
    *_, marked = marks_tables(fit, STEP[unit])
    made = {row[0]: row[-1] for row in marked.rows}
    notes = "\n".join("".join(text for text, _ in line) for line in width_lines(fit, hem=True))
    for level, mm in fit.taper.finished.items():
        width = say_around(mm, unit)
        for told in (*pictures, sheet, beside, made):
            assert told[level] == width, level
        assert f"now {width}" in width_line(fit, level)
        assert level == "crotch" or width in notes
    assert unit == "cm" or sheet["knee"] == "17 3/16 in"


def test_marks_before_the_wash_say_which_width_hem_and_slit_are_of_the_leg() -> None:
    """Both widths stand beside each other; no line is longer than a page of text."""
    fit = _fit(fabric=Fabric("twill", shrink_length_percent=4, shrink_width_percent=2))
    *_, below, around = marks_tables(fit, "1/16in")
    assert around.header[-2:] == ("before washing", "once washed")
    knee = next(row for row in around.rows if row[0] == "knee")
    assert knee[-2:] == (say_around(17.2 * 25.4 / 0.98, "in"), "17 3/16 in")
    assert "once washed the hem is 1 1/2 in deep" in below.note
    assert widths_table(fit).title == "Width around the leg, once washed"
    assert max(map(len, marks_text(fit, "1/16in").splitlines())) <= 80


def test_inseams_of_unequal_length_are_told_where_the_block_is_typed() -> None:
    """With its amount and what to do; a back crotch point lowered by that much ends it."""
    raised = answered(WHOLE, ("block.back.inseam.crotch", "12 in"))
    notes = [note for note in shows(raised, "block") if "inseam is" in note.text]
    assert [note.kind for note in notes] == ["caution"]
    assert notes[0].text.startswith("Above the knee the back inseam is ")
    assert "lower its back crotch point by" in notes[0].text
    even = [("hem", "9"), ("knee", "9"), ("thigh", "9"), ("crotch", "9")]
    pairs = [(f"block.{side}.inseam.{level}", n) for side in ("front", "back") for level, n in even]
    assert "inseam is" not in said(answered(WHOLE, *pairs), "block")


def test_a_note_is_never_cut() -> None:
    """Its page scrolls, so however long it is, its last word stands there."""
    text = " ".join(f"word{i}" for i in range(400))
    lines = note_lines([Note("number", text)], 76)
    assert "".join(part for part, _ in lines[-1]).rstrip().endswith("word399")
