from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import sample
from pypdf import PdfReader

from legtaper.model.project import Design, Pinch, Project, ProjectError, Round, Wearer
from legtaper.muslin.compare import (
    changes,
    columns,
    ease,
    hip_to_hem,
    latest,
    outlines,
    steps,
    tables,
    taken,
)
from legtaper.outputs import pdf, svg
from legtaper.outputs.compare_page import compare_page
from legtaper.outputs.leg_views import overlay_patterns, overlay_view
from legtaper.pattern import fit

IN = 25.4
SLIM = sample.design("slim", take_in={}, width=sample.lengths(hem="12", knee="17"), slit="auto")


def _project(*more: Design, **parts: Any) -> Project:
    rounds = (Round("easy taper", notes="binds"), Round("slim", verdict="done"))
    return sample.project(sample.design(), SLIM, *more, **{"rounds": rounds, **parts})


def _changes(before: Design, after: Design) -> tuple[str, ...]:
    project = sample.project(before, replace(after, name="after"))
    return changes(fit(project, before.name), fit(project, "after"))


# --- what is compared ------------------------------------------------------------------------


def test_all_designs_are_compared_where_none_is_named() -> None:
    """In the order of the file."""
    assert [column.label for column in columns(_project())] == ["easy taper", "slim"]


def test_any_designs_and_rounds_stand_side_by_side() -> None:
    """The named designs first, then the rounds, each by the design that was sewn in it."""
    shown = columns(_project(), ["slim"], [1, 2])
    assert [column.label for column in shown] == ["slim", "round 1: easy taper", "round 2: slim"]
    assert [column.fit.design.name for column in shown] == ["slim", "easy taper", "slim"]
    assert [column.number for column in shown] == [None, 1, 2]


def test_what_there_is_not_is_refused_by_name() -> None:
    """A design, a round, and a project without any design."""
    for arguments, words in (((["wide"],), '"wide"'), (([], [3]), "round 3")):
        with pytest.raises(ProjectError, match=words):
            columns(_project(), *arguments)
    with pytest.raises(ProjectError, match="no design yet"):
        columns(sample.project(designs=(), rounds=()))


def test_of_many_designs_the_latest_are_shown() -> None:
    """Five, the newest last."""
    project = sample.project(*(sample.design(f"taper {n}") for n in range(1, 9)))
    assert latest(project) == tuple(f"taper {n}" for n in range(4, 9))


# --- figures ---------------------------------------------------------------------------------


def test_the_figures_by_hand() -> None:
    """17 in at the knee of 15 1/2 in leave 1 1/2 in; 41 in of hip over 12 in; 1 1/2 in off."""
    fitted = fit(_project(), "slim")
    assert ease(fitted)["knee"] == pytest.approx(1.5 * IN)
    assert hip_to_hem(fitted) == pytest.approx(41 / 12)
    assert taken(fitted, "inseam", "hem") == pytest.approx(1.5 * IN)
    assert taken(fitted, "inseam", "hip") is None
    bare = fit(_project(wearer=Wearer()), "slim")
    assert (ease(bare), hip_to_hem(bare)) == ({}, None)


def test_the_tables_have_a_column_for_each() -> None:
    """Widths beside the block's, take-ins, ease, and the rest; a row is as long as its head."""
    shown = columns(_project())
    made = {table.title: table for table in tables(shown)}
    assert list(made) == ["Width around the leg", "Comes off each edge", "Ease", "And"]
    for table in made.values():
        assert {len(row) for row in table.rows} == {len(table.header)} == {4}
    rows = {title: {row[:1]: row[1:] for row in table.rows} for title, table in made.items()}
    assert rows["Width around the leg"]["hem",] == ("18 in", "15 1/2 in", "12 in")
    assert rows["Comes off each edge"]["hem",] == ("", "5/8 in", "1 1/2 in")
    assert rows["Ease"]["knee",][-1] == "1 1/2 in"
    assert rows["And"]["hip girth",] == ("", "2.65 x the hem", "3.42 x the hem")
    assert rows["And"]["fails",][1] == "none"
    assert "front outseam" in {row[0] for row in made["And"].rows}


def test_without_measurements_the_tables_leave_their_rows_out() -> None:
    """No girths, no ease and no ratio."""
    made = tables(columns(_project(wearer=Wearer())))
    assert [table.title for table in made] == ["Width around the leg", "Comes off each edge", "And"]
    assert "hip girth" not in {row[0] for row in made[-1].rows}


def test_what_is_unlike_is_said_as_unlike() -> None:
    """20 1/8 in of knee to 17 3/8 and 17 1/8 in: 11/16 and 3/4 in off each edge, by hand.

    To the eighth both would be 3/4 in; the marking table has sixteenths, too.
    """
    knees = [sample.design(f"knee {i}", take_in={}, width=sample.lengths(knee=text))
             for i, text in enumerate(("17 3/8", "17 1/8", "17 5/16"))]  # fmt: skip
    made = {table.title: table.rows for table in tables(columns(sample.project(*knees)))}
    knee = next(row for row in made["Comes off each edge"] if row[0] == "knee")
    assert knee[2:4] == ("11/16 in", "3/4 in")
    knee = next(row for row in made["Width around the leg"] if row[0] == "knee")
    assert knee[2:] == ("17 3/8 in", "17 1/8 in", "17 5/16 in")


@pytest.mark.parametrize("knee", ["17 3/8", "17 5/16", "17.2", "16.9", "16.21"])
def test_an_ease_is_said_as_check_says_it(knee: str) -> None:
    """Beside others, too: the row and the finding have the same words."""
    others = (sample.wide(knee="17 1/4"), replace(sample.wide(knee=knee), name="other"))
    shown = columns(sample.project(*others))
    (made,) = (table for table in tables(shown) if table.title == "Ease")
    row = next(row for row in made.rows if row[0] == "knee")
    for said, column in zip(row[2:], shown, strict=True):
        (found,) = (one for one in column.fit.findings if one.id == "ease-knee")
        assert found.says.startswith(f"Ease at the knee is {said};")


@pytest.mark.parametrize(("unit", "step"), [("in", IN / 16), ("cm", 1.0)])
def test_what_no_ruler_shows_is_the_same(unit: Any, step: float) -> None:
    """A quarter of a step, at whatever width, is no change; half a step or more is one."""
    for hem in (370.0, 370.3, 371.1, 372.22, 380.05):
        for off, told in ((0.25 * step, False), (0.55 * step, True), (1.2 * step, True)):
            one, other = (sample.wide(hem=mm, knee=430.0) for mm in (hem, hem - off))
            project = sample.project(one, replace(other, name="after"), length_unit=unit)
            said = changes(fit(project, one.name), fit(project, "after"))
            assert any(says.startswith("The hem is") for says in said) == told, said
            assert told or said == ("Nothing changed.",)


def test_where_the_seams_differ_each_has_its_row() -> None:
    """At the knee of the easy taper the outseam gives more than the inseam; at the hem alike."""
    made = next(t for t in tables(columns(_project())) if t.title == "Comes off each edge")
    assert [row[1] for row in made.rows if row[0] == "knee"] == ["outseam", "inseam"]
    assert [row[1] for row in made.rows if row[0] == "hem"] == [""]


# --- in words --------------------------------------------------------------------------------


def test_a_design_is_held_against_what_it_was_made_from() -> None:
    """And where that is not shown, against the one before."""
    grown = sample.design("easy taper 2", parent="easy taper")
    shown = columns(_project(grown))
    pairs = [(before.label, after.label) for before, after in steps(shown)]
    assert pairs == [("easy taper", "slim"), ("easy taper", "easy taper 2")]


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ({"take_in": sample.lengths(hem="3/4")}, "The hem is 15 in around the leg, before 15 1/2"),
        (
            {"take_in": sample.lengths(hem="51/80 in")},
            "The hem is 15 7/16 in around the leg, before 15 1/2 in.",
        ),
        (
            {"extra": {"outseam": sample.lengths(hem="1/8")}},
            "Off each edge, front and back alike: hem, outseam 1/8 in more and inseam as",
        ),
        ({"blend": sample.lengths(outseam="36")}, "The outseam blends at 36 in, before at 38 in."),
        ({"slit": sample.length("3")}, "The slit is 3 in, before none."),
        ({"hem": sample.hem("double", depth="2")}, "The hem is double 2 in, before single 1 1/2"),
        ({"style": "straight"}, "The style is straight, before follow."),
        (
            {"take_in": sample.lengths(hem="1 1/2")},
            "Hem opening: fails now; before, it was OK.",
        ),
        ({}, "Nothing changed."),
    ],
)
def test_what_changed_is_said(parts: dict[str, Any], says: str) -> None:
    """Widths, seams, blends, slit, hem, style and findings."""
    said = _changes(sample.design(), sample.design(**parts))
    assert any(sentence.startswith(says) for sentence in said), said


def test_a_finding_that_is_gone_is_said_to_be_settled() -> None:
    """A width that the block has not, and then one that it has."""
    said = _changes(sample.wide(hem="20"), sample.wide(hem="17"))
    assert "What was asked, hem: settled; before, it was a warning." in said


# --- outlines --------------------------------------------------------------------------------


def test_up_to_three_outlines_each_with_its_pattern() -> None:
    """The block stands in where there are fewer; of more the last three; twice the same, once."""
    more = [sample.design(f"taper {n}") for n in (1, 2)]
    labels = [outline.label for outline in outlines(columns(_project()))]
    assert labels == ["block", "easy taper", "slim"]
    labels = [outline.label for outline in outlines(columns(_project(*more)))]
    assert labels == ["slim", "taper 1", "taper 2"]
    labels = [outline.label for outline in outlines(columns(_project(), ["slim"], [2]))]
    assert labels == ["block", "round 2: slim"]
    assert [overlay_patterns(n) for n in (1, 2, 3)] == [
        ("new",),
        ("old", "new"),
        ("old", "other", "new"),
    ]


def test_the_overlay_shows_every_outline_where_it_is() -> None:
    """The hem of the front is as wide as each design has it; levels are named."""
    shown = columns(_project())
    block = shown[0].fit.block
    traces, tags = overlay_view(block, [outline.seams for outline in outlines(shown)])
    assert [trace.pattern for trace in traces] == ["old", "old", "other", "other", "new", "new"]
    fronts = [np.ptp(trace.points[trace.points[:, 1] == 0, 0]) for trace in traces[::2]]
    assert fronts == pytest.approx([8.5 * IN, (8.5 - 1.25) * IN, (8.5 - 3) * IN])
    assert {"hem", "knee", "hip"} <= {tag.text for tag in tags}


# --- on paper --------------------------------------------------------------------------------


def _page_texts(project: Project) -> list[str]:
    drawing = compare_page(columns(project), date(2026, 3, 20))
    return [label.text for piece in drawing.pieces for label in piece.labels]


def test_the_page_holds_figures_outlines_changes_and_rounds() -> None:
    """One page of A4 with everything inside its edges, and no scale squares."""
    drawing = compare_page(columns(_project()), date(2026, 3, 20))
    assert (drawing.width, drawing.height) == (297.0, 210.0)
    (piece,) = drawing.pieces
    x0, y0, x1, y1 = piece.box
    assert 0 < x0 < x1 < 297
    assert 0 < y0 < y1 < 210
    for label in piece.labels:
        assert 0 < label.at[0] < 297
        assert 10 < label.at[1] < 205
        assert label.at[0] + 0.6 * label.size * len(label.text) < 297, label.text
    texts = _page_texts(_project())
    for words in (
        "Courier trousers",
        "Width around the leg",
        "15 1/2 in",
        "3.42 x the hem",
        "slim",
    ):
        assert words in texts
    assert any("2026-03-20" in text for text in texts)
    assert any(text.startswith("The hem is 12 in around the leg") for text in texts)
    assert any(text.startswith('Round 1, "easy taper"') for text in texts)
    assert "scale-square" not in svg.render(drawing)


def test_no_word_runs_into_another_column() -> None:
    """With five columns of long names each cell stays in its own."""
    names = [f"a rather long name of a design {n}" for n in range(5)]
    project = sample.project(*(sample.design(name) for name in names), rounds=())
    drawing = compare_page(columns(project))
    rows: dict[float, list[tuple[float, float]]] = {}
    for label in drawing.pieces[0].labels:
        end = label.at[0] + 0.6 * label.size * len(label.text)
        rows.setdefault(round(label.at[1], 3), []).append((label.at[0], end))
    for cells in rows.values():
        cells.sort()
        for (_, end), (start, _) in pairwise(cells):
            assert end <= start + 0.01


def test_what_does_not_fit_on_the_page_is_said_to_be_missing() -> None:
    """Many rounds with long notes: the last line tells where to read on."""
    rounds = tuple(Round("slim", notes="seen a lot " * 20) for _ in range(30))
    assert any("more on the screen" in text for text in _page_texts(_project(rounds=rounds)))


def test_a_page_holds_no_more_than_five() -> None:
    """Six are refused with what to do."""
    project = sample.project(*(sample.design(f"taper {n}") for n in range(6)))
    with pytest.raises(ProjectError, match="holds 5"):
        compare_page(columns(project))


def test_the_page_as_pdf_is_one_page_of_its_size() -> None:
    """A4 across, vector, with the words in it, the same bytes each time."""
    drawing = compare_page(columns(_project()))
    data = pdf.render_page(drawing)
    assert data == pdf.render_page(drawing)
    reader = PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == (
        pytest.approx(297 * 72 / 25.4, abs=0.01),
        pytest.approx(210 * 72 / 25.4, abs=0.01),
    )
    text = reader.pages[0].extract_text()
    assert re.search(r"slim", text)
    assert "Width around the leg" in text


def test_names_on_the_page_cannot_harm() -> None:
    """What is no text, or would turn the text round, is left out."""
    project = sample.project(
        sample.design("x\u202e\x1b[2J"), rounds=(Round("x\u202e\x1b[2J", notes="a\x00b"),)
    )
    for text in _page_texts(replace(project, name="\x1b[31m\u202eevil")):
        assert text.isprintable()
        assert "\u202e" not in text


def test_pinches_of_a_round_are_told_on_the_page() -> None:
    """In the words of the round."""
    pinch = Pinch("knee", "outseam", sample.length("-1/4"))
    texts = " ".join(_page_texts(_project(rounds=(Round("slim", pinches=(pinch,)),))))
    assert "Let out 1/4 in at the knee, outseam." in texts


def test_legs_that_end_at_different_heights_are_compared() -> None:
    """One ends above the calf: a dash there, and each is drawn down to its own end."""
    plain = sample.wide(hem="14 1/2", calf="16", knee="17 1/2")
    cropped = replace(plain, name="cropped", hem=sample.hem(height="12"))
    for designs in ((plain, cropped), (cropped, plain)):
        shown = columns(sample.project(*designs))
        widths, _, eases, *_ = tables(shown)
        at = 2 + designs.index(cropped)
        for table in (widths, eases):
            rows = {row[0]: row for row in table.rows}
            assert rows["calf"][at] == "-"
            assert rows["calf"][5 - at] != "-"
            assert rows["knee"][at] != "-"
        assert [row[1] for row in widths.rows if row[0] == "calf"] == ["18 15/16 in"]
        traces, _ = overlay_view(shown[0].fit.block, [one.seams for one in outlines(shown)])
        lowest = [float(trace.points[:, 1].min()) for trace in traces[::2]]
        ends = [0.0, *(12 * 25.4 if one is cropped else 0.0 for one in designs)]
        assert lowest == pytest.approx(ends)


def test_room_on_the_back_panel_is_a_change_of_its_own() -> None:
    """The width stays 16 in, so nothing else would tell it."""
    plain = sample.wide(hem="14 1/2", calf="16", knee="17 1/2")
    roomy = replace(plain, name="roomy", back_room=sample.lengths(calf="1/2"))
    before, after = (column.fit for column in columns(sample.project(plain, roomy)))
    assert "At the calf the back panel keeps 1/2 in of room, before none." in changes(before, after)
