from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import sample
import tracings
from pypdf import PdfReader
from reportlab.platypus import Flowable

from legtaper.files.store import load
from legtaper.leg.pairs import sewn_pairs
from legtaper.model.project import Fabric, Round, SeenSign
from legtaper.model.said_lengths import say_small
from legtaper.model.sheet_table import SheetTable
from legtaper.muslin.signs import SIGNS, in_order
from legtaper.outputs import pdf
from legtaper.outputs.front_sheet import SheetList, SheetSteps, pattern_sheet
from legtaper.outputs.papers import paper
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.pattern import Pattern, build, unaltered

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = date(2026, 3, 20)
BOTH = Printing("both", DAY)


class Filled(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A part of the text that is so many points high."""

    def __init__(self, height: float) -> None:
        super().__init__()
        self.width, self.height = 10.0, height

    def wrap(self, *_room: float) -> tuple[float, float]:
        """Return the size, whatever room there is."""
        return self.width, self.height


def _pattern(*rounds: Round) -> Pattern:
    return build(sample.project(rounds=rounds))


def test_the_sheet_of_one_leg_has_no_form() -> None:
    """How to sew it is the one page behind it; its widths are those of the leg that is printed."""
    sheet = pattern_sheet(_pattern(), Printing(on=DAY))
    assert [page.title for page in sheet.pages] == ["How to sew it"]
    (widths,) = sheet.tables
    assert [row[0] for row in widths.rows] == ["Finished"]
    both = pattern_sheet(_pattern(), BOTH).tables[0]
    assert both.header == ("Level", "crotch", "thigh", "knee", "calf", "hem")
    assert [row[0] for row in both.rows] == ["Block", "Finished"]


def test_the_sheet_of_a_muslin_says_how_to_sew_it_and_what_to_look_at() -> None:
    """Every sign in the order in which one tries on, with a box for each leg, and no marks."""
    sheet = pattern_sheet(_pattern(), BOTH)
    assert [page.title for page in sheet.pages] == ["How to sew it", "Trying it on"]
    signs, pinches, verdict = sheet.pages[1].parts
    assert isinstance(signs, SheetTable)
    assert signs.header[2:] == ("RIGHT: narrowed", "LEFT: as the block")
    assert [row[1] for row in signs.rows] == [sign.words for sign in in_order()]
    looks = [row[0] for row in signs.rows if row[0]]
    assert looks == list(dict.fromkeys(f"{sign.pose}, {sign.view}" for sign in in_order()))
    assert isinstance(pinches, SheetTable)
    assert isinstance(verdict, SheetList)
    assert "closer / too far / done" in verdict.lines[1]
    assert len(sheet.tables) == 1


def test_the_outseams_of_a_muslin_say_their_own_allowance() -> None:
    """1 in on the sheet of both legs, 5/8 in on that of the garment."""
    assert "outseam 1 in, inseam 5/8 in" in pattern_sheet(_pattern(), BOTH).facts[-1]
    assert "outseam 5/8 in, inseam 5/8 in" in pattern_sheet(_pattern()).facts[-1]


def test_the_order_of_work_begins_with_the_missing_top() -> None:
    """A measured block ends at the hip; one that was traced whole has its own top."""
    for pattern, begins in ((_pattern(), True), (build(tracings.project()), False)):
        (page, *_) = pattern_sheet(pattern).pages
        (steps,) = page.parts
        assert isinstance(steps, SheetSteps)
        assert (steps.steps[0][0] == "Top") == begins
        assert ("Add your own top, with its allowances" in steps.steps[0][1]) == begins


@pytest.mark.parametrize(
    ("parts", "said", "unsaid"),
    [
        ({}, ("1. Hem folds:", "2. Outseam:", "3. Inseam:", "4. Hem:"), ("Slit", "Facing")),
        ({"hem": sample.hem("double")}, ("1. Hem folds:", "4. Hem:"), ("Facing", "In a muslin")),
        ({"hem": sample.hem("faced")}, ("1. Outseam:", "2. Inseam:", "3. Facing:"), ("Hem",)),
        (
            {"take_in": {}, "width": sample.lengths(hem="12"), "slit": "auto"},
            ("1. Hem folds:", "2. Outseam:", "3. Slit:", "4. Inseam:", "5. Hem:"),
            ("Facing",),
        ),
    ],
)
def test_what_a_pattern_has_no_use_for_is_not_said(
    parts: dict[str, Any], said: tuple[str, ...], unsaid: tuple[str, ...]
) -> None:
    """Slit, facing and second fold stand in the order of work where there is one."""
    pattern = build(sample.project(sample.design(**parts)))
    (page,) = pattern_sheet(pattern).pages
    (steps,) = page.parts
    assert isinstance(steps, SheetSteps)
    begun = [f"{name}:" for name, _ in steps.steps]
    assert [name for name in begun if name in said] == list(said)
    assert not [name for name in begun for word in unsaid if word in name]


def test_a_sheet_tells_warnings_and_failures_alone() -> None:
    """In its own words; without a slit none is mentioned, nor an allowance for it."""
    tested = sample.block_test()
    pattern = build(sample.project(sample.wide(hem="12"), block_test=tested))
    sheet = pattern_sheet(pattern)
    told = {
        f.says
        for f in pattern.findings
        if f.status in ("fail", "caution") and f.id != "liked-split"  # it was for the planning
    }
    assert {says for _, says in sheet.findings} == told
    assert {status for status, _ in sheet.findings} <= {"fails", "warning"}
    assert "slit" not in " ".join(sheet.facts).lower()


def test_a_garment_of_an_untested_block_says_so() -> None:
    """A muslin does not: it is there to find that out."""
    pattern = build(replace(sample.project(), block_test=None))
    told = pattern_sheet(pattern, Printing("narrowed", DAY)).findings
    assert [says[:24] for status, says in told if status == "unknown"] == [
        "The block is not tested:"
    ]
    assert not any(status == "unknown" for status, _ in pattern_sheet(pattern, BOTH).findings)


@pytest.mark.parametrize("fabric", [Fabric(kind="knit", stretch_percent=40), Fabric()])
def test_a_fabric_that_stretches_gets_a_stitch_for_it(fabric: Fabric) -> None:
    """And no other does."""
    page = pattern_sheet(build(sample.project(fabric=fabric))).pages[0].parts[0]
    assert isinstance(page, SheetSteps)
    assert ("Stitch" in dict(page.steps)) == (fabric.kind == "knit")


def test_the_sheet_of_the_block_asks_for_no_design() -> None:
    """Its own widths, its own verdicts, and the wide outseams of a muslin."""
    pattern = unaltered(replace(sample.project(), designs=()))
    sheet = pattern_sheet(pattern, Printing("unaltered", DAY))
    assert sheet.subtitle == "Test of the block, 2026-03-20."
    assert [row[0] for row in sheet.tables[0].rows] == ["Block"]
    assert "outseam 1 in" in sheet.facts[-1]
    ends = sheet.pages[1].parts[-1]
    assert isinstance(ends, SheetList)
    assert "hangs clean / needs fitting" in ends.lines[1]


def test_the_form_asks_whether_it_went() -> None:
    """What the round before showed comes first, with a box each."""
    seen = Round("easy taper", signs=(SeenSign("riding-hem", where="narrowed"),))
    after = replace(sample.design("easy taper 2"), parent="easy taper", from_round=1)
    pattern = build(sample.project(sample.design(), after, rounds=(seen,)))
    asked = pattern_sheet(pattern, BOTH).pages[1].parts[0]
    assert isinstance(asked, SheetList)
    assert asked.to_tick
    assert asked.lines[0].startswith("Is it gone? The hem rides up")


def test_the_form_tells_what_went_before() -> None:
    """Where one tries on and compares, as long as there were rounds; pinches where there were."""
    before = pattern_sheet(_pattern(Round("easy taper", verdict="closer")), BOTH).pages[1].parts[-1]
    assert isinstance(before, SheetList)
    assert before.title == "What went before"
    assert before.lines == ("Rounds: 1 easy taper (closer).",)


@pytest.mark.parametrize(
    ("last", "number"), [(Round("easy taper", printed=DAY), 1), (Round("easy taper"), 2)]
)
def test_sheet_and_pieces_carry_the_same_number(last: Round, number: int) -> None:
    """A round that waits to be tried on is printed again under its own number."""
    pattern, both = _pattern(last), Printing("both", on=DAY)
    assert f"Round {number}, 2026-03-20." in pattern_sheet(pattern, both).subtitle
    labels = [label.text for label in draw_pattern(pattern, both).pieces[0].labels]
    assert f"round {number}, 2026-03-20" in labels


def test_the_pages_are_printed() -> None:
    """How to sew it stands below what is in front where it has room, the form on its own page."""
    pattern = _pattern(Round("easy taper", verdict="closer"))
    data = pdf.render(draw_pattern(pattern, BOTH), paper("a0"), pattern_sheet(pattern, BOTH))
    first, form, *_ = [page.extract_text() for page in PdfReader(BytesIO(data)).pages]
    assert "What went before" in form
    assert first.index("Width around the leg") < first.index("How to sew it")
    assert form.startswith("Trying it on")
    assert form.count("[") == 2 * len(SIGNS)


def test_the_sheet_says_once_which_panel_is_eased_in() -> None:
    """In a line of its own; where a warning says it already, that is enough."""
    easing = [
        build(project) for project in (sample.project(), sample.project(sample.wide(hem="12")))
    ]
    for pattern in (*easing, build(tracings.project())):
        sheet = pattern_sheet(pattern)
        said = " ".join((*sheet.facts, *(says for _, says in sheet.findings))).lower()
        for pair in sewn_pairs(pattern.fit.taper):
            amount = say_small(abs(pair.above_knee), pattern.fit.project.length_unit)
            longer = "back" if pair.above_knee > 0 else "front"
            as_fact = said.count(f"ease in the {longer}, which is {amount} longer")
            as_warned = said.count(f"ease the {longer} in by {amount}")
            assert as_fact + as_warned <= 1, pair.seam
            if abs(pair.above_knee) > 1.5 and "stretch the back" not in said:
                assert as_fact + as_warned == 1


def test_a_hem_that_slants_is_told_by_its_corners() -> None:
    """Each corner's own height beside that at the grainline; nothing of a level hem."""
    level = pattern_sheet(_pattern())
    assert not [fact for fact in level.facts if "beside its height" in fact]
    pattern = build(tracings.project(tracings.slanted(12.0)))
    told = [fact for fact in pattern_sheet(pattern).facts if "beside its height" in fact]
    assert [fact.partition(" ")[0] for fact in told] == ["Front", "Back"]
    for name, fact in zip(pattern.narrowed, told, strict=True):
        slope = abs(pattern.fit.block.hem_slope(name))
        for seam, way in (("outseam", "higher"), ("inseam", "lower")):
            off = slope * pattern.fit.taper.reaches[f"{name}_{seam}"]["hem"]
            assert f"{seam} {say_small(off, pattern.fit.project.length_unit)} {way}" in fact


@pytest.mark.parametrize("leg", ["narrowed", "unaltered", "both"])
@pytest.mark.parametrize("name", ["a4", "letter"])
def test_no_page_holds_next_to_nothing(leg: Any, name: str) -> None:
    """Every sheet in front of the pattern has more than a few lines."""
    pattern = _pattern(Round("easy taper", verdict="closer"))
    drawing, sheet = draw_pattern(pattern, Printing(leg)), pattern_sheet(pattern, Printing(leg))
    pages = PdfReader(BytesIO(pdf.render(drawing, paper(name), sheet))).pages
    fronts = [text for text in (page.extract_text() for page in pages) if "sheet " in text]
    assert fronts
    assert min(len(text.splitlines()) for text in fronts) > 8


@pytest.mark.parametrize("spare", [3, 20, 60])
def test_a_page_that_runs_over_by_little_shares_its_load(spare: int) -> None:
    """The pages before the last end higher, so that no single line stands alone."""
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Spacer

    from legtaper.outputs.pdf_sheet import Item, column, paginate

    page = (595.0, 842.0)
    tall = column(page)[1]
    lines = [Item(Filled(10)) for _ in range(int(tall / 10) + spare // 3)]
    pages = paginate(Canvas(BytesIO(), pagesize=page), [Item(Spacer(1, 0)), *lines], page)
    assert len(pages) == 2
    assert len(pages[1]) * 10 > 70
    assert sum(map(len, pages)) == len(lines)


@pytest.mark.parametrize(("leg", "most"), [("narrowed", 460), ("both", 540)])
def test_the_sheets_in_front_are_short(leg: Any, most: int) -> None:
    """All their words together but for the form and the page of the rectangle."""
    pattern = build(load(EXAMPLES / "courier.toml"))
    printing = Printing(leg, DAY)
    data = pdf.render(
        draw_pattern(pattern, printing), paper("letter"), pattern_sheet(pattern, printing)
    )
    texts = [page.extract_text() for page in PdfReader(BytesIO(data)).pages]
    said = [text for text in texts if "sheet " in text and not text.startswith("Trying it on")]
    assert len(said) == 1
    assert sum(len(text.split()) for text in said) < most


def test_the_sheet_says_that_the_paper_is_larger_than_the_washed_leg() -> None:
    """Where the fabric shrinks; a muslin does not grow."""
    project = load(EXAMPLES / "cropped.toml")
    growth = [f"{100 * (factor - 1):.1f} %" for factor in project.fabric.growth]
    said = [fact for fact in pattern_sheet(build(project)).facts if "not washed yet" in fact]
    assert len(said) == 1
    assert all(percent in said[0] for percent in growth)
    for sheet in (pattern_sheet(build(project), BOTH), pattern_sheet(_pattern())):
        assert not [fact for fact in sheet.facts if "washed" in fact]
