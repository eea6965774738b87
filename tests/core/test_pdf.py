from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date
from io import BytesIO

import numpy as np
import pytest
from pypdf import PdfReader

from legtaper.model.cancel import Cancelled
from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.drawing import LINES, Drawing, Label, Piece, Stroke
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import PaperError, paper
from legtaper.outputs.pdf import layers_of, render
from legtaper.outputs.printing import LOOKS, Look, PrintJob
from legtaper.outputs.tiles import tile

A4 = paper("a4")
EMPTY = Sheet("Invented", "", (), (), (), (), "")
NASTY = "🧵 裤子 \u202eabc\u202c \x00\x1b[31m <b>&amp; 2⅛ Łódź řeka\nline \ud800"


def _pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def _squares(first: str) -> int:
    return first.count("50 mm") + first.count("2 in")


def test_importing_the_module_loads_no_pdf_library() -> None:
    """Start-up does not pay for reportlab or shapely."""
    code = "import sys, legtaper.outputs.pdf; print({'reportlab', 'shapely'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_the_same_drawing_gives_the_same_bytes(two_panels: Drawing, sheet: Sheet) -> None:
    """Nothing of the day or the run is in the file."""
    assert render(two_panels, A4, sheet) == render(two_panels, A4, sheet)


def test_every_piece_is_held_once(two_panels: Drawing, sheet: Sheet) -> None:
    """One form serves all pages of a piece, so that more sheets hardly make a larger file."""
    pdf = render(two_panels, A4, sheet)
    reader = PdfReader(BytesIO(pdf))
    forms = {
        reference.idnum
        for page in reader.pages
        for reference in page["/Resources"].get("/XObject", {}).values()
    }
    assert len(forms) == len(two_panels.pieces)
    assert len(pdf) < 1.5 * len(render(two_panels, paper("a0"), sheet))
    assert b"ASCII85" not in pdf


def test_viewers_are_told_not_to_scale(two_panels: Drawing) -> None:
    """The print dialog opens at true size where a viewer honors the preference."""
    root = PdfReader(BytesIO(render(two_panels, A4, EMPTY))).root_object
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_every_tile_names_itself_and_its_neighbors(two_panels: Drawing, sheet: Sheet) -> None:
    """Row, column, title, how to print, and at each shared edge the page that joins there."""
    tiling = tile(two_panels, A4)
    pages = _pages(render(two_panels, A4, sheet))[-len(tiling.tiles) :]
    for number, (part, text) in enumerate(zip(tiling.tiles, pages, strict=True), 1):
        assert f"row {part.row}, column {part.column}" in text
        assert "print at 100 %, no fitting to page" in text
        assert two_panels.title in text
        assert f"pattern page {number} of {len(pages)}" in text
        for down, right in ((0, -1), (-1, 0)):
            if (other := tiling.beside(part, down, right)) is not None:
                assert f"cut along the frame, lay on {other.name}" in text
        for down, right in ((0, 1), (1, 0)):
            if (other := tiling.beside(part, down, right)) is not None:
                assert f"{other.name} lies on this strip" in text


@pytest.mark.parametrize("name", ["a4", "letter", "a3", "a0", "roll:91cm"])
def test_the_first_pattern_page_alone_has_scale_squares(two_panels: Drawing, name: str) -> None:
    """One square of 50 mm and one of 2 in, on one page."""
    count = len(tile(two_panels, paper(name)).tiles)
    pages = _pages(render(two_panels, paper(name), EMPTY))[-count:]
    assert [_squares(text) for text in pages] == [2] + [0] * (count - 1)


def test_a_crowded_first_tile_still_has_its_squares(two_panels: Drawing) -> None:
    """Where lines leave no room the squares stand over them, and both can be read."""
    rungs = tuple(
        Stroke(f"rung-{y}", "level", np.array([(0.0, y), (400.0, y)])) for y in range(0, 400, 10)
    )
    crowded = replace(two_panels, pieces=(Piece("p", "P", rungs),), width=400, height=400)
    pages = _pages(render(crowded, A4, EMPTY))
    first = next(n for n, text in enumerate(pages) if "pattern page 1 of" in text)
    assert [_squares(text) for text in pages[first:]] == [2, *[0] * (len(pages) - first - 1)]


def test_the_sheet_says_everything_once(two_panels: Drawing, sheet: Sheet) -> None:
    """Title, facts, tables, findings with their status in words, cautions and notes."""
    count = len(tile(two_panels, A4).tiles)
    fronts = _pages(render(two_panels, A4, sheet))[:-count]
    text = "\n".join(fronts)
    for said in (sheet.title, sheet.subtitle, *sheet.facts, *sheet.cautions, *two_panels.notes):
        assert said in text
    for table in sheet.tables:
        assert table.title in text
        assert all(cell in text for row in table.rows for cell in row)
    for status, sentence in sheet.findings:
        assert status in text
        assert sentence in text
    assert all(text.count(caution) == 1 for caution in sheet.cautions)


def test_pages_of_the_sheet_are_numbered(two_panels: Drawing, sheet: Sheet) -> None:
    """Each says which it is of how many, and a table that runs on repeats its header."""
    widths, marks = sheet.tables
    long = replace(sheet, tables=(widths, replace(marks, rows=marks.rows * 2)), findings=())
    *fronts, rectangle = _pages(render(two_panels, A4, long))[: -len(tile(two_panels, A4).tiles)]
    assert len(fronts) == 2
    assert "Test rectangle" in rectangle
    for number, text in enumerate(fronts, 1):
        assert f"sheet {number} of 2" in text
        assert sheet.footer in text
        assert "from the grainline" in text


def test_a_short_sheet_is_one_page(two_panels: Drawing) -> None:
    """With nothing to list, the assembly plan alone stands there, with every tile named."""
    upright = np.array([(0.0, 0.0), (0.0, 800.0), (400.0, 800.0)])
    corner = replace(two_panels, pieces=(Piece("l", "L", (Stroke("l", "cut", upright),)),))
    tiling = tile(corner, A4)
    *fronts, _ = _pages(render(corner, A4, EMPTY))[: -len(tiling.tiles)]
    assert len(fronts) == 1
    assert all(part.name in fronts[0] for part in tiling.tiles)
    assert "What the checks found" not in fronts[0]
    assert "Crossed places" in fronts[0]
    assert tiling.blank
    assert all(part.name not in fronts[0] for part in tiling.blank)


def test_the_caller_hears_of_every_page(two_panels: Drawing, sheet: Sheet) -> None:
    """Done counts up to the number of pages in the file."""
    heard: list[tuple[int, int]] = []

    def note(done: int, total: int) -> bool:
        heard.append((done, total))
        return True

    total = len(_pages(render(two_panels, A4, sheet, note)))
    assert heard == [(done, total) for done in range(1, total + 1)]


def test_the_caller_can_stop(two_panels: Drawing, sheet: Sheet) -> None:
    """The first False ends the work at that page."""
    heard: list[int] = []

    def stop(done: int, _total: int) -> bool:
        heard.append(done)
        return done < 3

    with pytest.raises(Cancelled):
        render(two_panels, A4, sheet, stop)
    assert heard == [1, 2, 3]


def test_a_drawing_that_does_not_fit_is_refused(two_panels: Drawing) -> None:
    """The refusal is that of the paper."""
    with pytest.raises(PaperError, match="roll:32cm"):
        render(two_panels, paper("roll:30cm"), EMPTY)


def test_any_text_can_be_printed(two_panels: Drawing) -> None:
    """Emoji, CJK, bidirectional and control characters, markup: shown plainly, never a crash."""
    table = SheetTable(NASTY, (NASTY, NASTY), ((NASTY,), (NASTY, NASTY, NASTY)), NASTY)
    sheet = Sheet(NASTY, NASTY, (NASTY,), (table,), ((NASTY, NASTY),), (NASTY,), NASTY)
    label = Piece(
        "p", NASTY, two_panels.pieces[0].strokes, (Label(NASTY, (50, 50)), Label("", (9, 9)))
    )
    drawing = replace(two_panels, title=NASTY, pieces=(label,), notes=(NASTY,))
    reader = PdfReader(BytesIO(render(drawing, A4, sheet)))
    text = reader.pages[0].extract_text()
    assert "abc [31m <b>&amp; 2 1/8 Łódz reka line" in text
    assert reader.metadata is not None
    assert "Łódz reka" in str(reader.metadata.title)


@pytest.mark.parametrize(("columns", "count"), [(1, 20), (25, 2)])
def test_a_sheet_of_any_length_flows(two_panels: Drawing, columns: int, count: int) -> None:
    """Long cells, many columns and many rows go on over further pages, to the last row."""
    rows = tuple(("W" * 300,) * columns for _ in range(count))
    table = SheetTable("Long", ("head",) * columns, (*rows, ("the end",)))
    facts = tuple("fact " * 60 for _ in range(40))
    long = Sheet("T " * 90, "S " * 90, facts, (table,), (("fail", "word " * 400),), (), "f" * 500)
    *fronts, _ = _pages(render(two_panels, A4, long))[: -len(tile(two_panels, A4).tiles)]
    assert len(fronts) > 3
    assert "theend" in "".join("".join(fronts).split())
    assert f"sheet {len(fronts)} of {len(fronts)}" in fronts[-1]


@pytest.mark.parametrize("name", ["a4", "letter"])
def test_a_table_ends_wherever_it_meets_the_foot_of_a_page(
    two_panels: Drawing, sheet: Sheet, name: str
) -> None:
    """Whatever goes before it, no row is lost, doubled or split, and the pages come to an end."""
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Spacer

    from legtaper.outputs.pdf_sheet import Item, column, compose, paginate

    page = (paper(name).width * 72 / 25.4, paper(name).height * 72 / 25.4)
    canvas, tiling = Canvas(BytesIO(), pagesize=page), tile(two_panels, paper(name))
    wraps = replace(sheet, findings=tuple(("pass", f"{n} " + "and so on " * 15) for n in range(19)))
    first, *rest = compose(wraps, two_panels, (tiling, tiling.tiles[0]), column(page)[0])
    rows = [row for table in sheet.tables for row in table.rows]
    for gap in range(0, 700, 4):
        pages = paginate(canvas, [first, Item(Spacer(1, gap)), *rest], page)
        assert len(pages) < 8
        placed = [placed.part for parts in pages for placed in parts]
        cells = [tuple(row) for part in placed for row in getattr(part, "_cellvalues", ())]
        assert [row for row in cells if row in rows] == rows
        set_in = [cell if isinstance(cell, tuple) else (cell,) for row in cells for cell in row]
        texts = [str(getattr(part, "text", "")) for parts in set_in for part in parts]
        said = [text.split()[0] for text in texts if "and so on" in text]
        assert said == [str(n) for n in range(19)]


def test_lines_keep_their_dashes_and_the_grainline_its_arrows(two_panels: Drawing) -> None:
    """In the form: every layer's own dash in mm, and a solid head at both ends of a grainline."""
    page = PdfReader(BytesIO(render(two_panels, A4, EMPTY))).pages[-1]
    (form,) = page["/Resources"]["/XObject"].values()
    lines = form.get_object().get_data().decode("latin-1").split()
    text = " ".join(lines)
    assert (
        lines.count("b") + lines.count("B") + lines.count("b*") + lines.count("B*") == 2
    )  # one piece
    for dash in ("[6 3] 0 d", "[8 2 2 2] 0 d", "[1 2] 0 d"):
        assert dash in text
    assert all(f"{width} w" in text for width in (".5", ".35", ".25", ".15"))


def test_pages_say_which_leg_and_how_long_their_rule_is(two_panels: Drawing) -> None:
    """In the margin of each: the piece on it, and both lengths of the rule."""
    tiling = tile(two_panels, A4)
    pages = _pages(render(two_panels, A4, EMPTY))[-len(tiling.tiles) :]
    for part, text in zip(tiling.tiles, pages, strict=True):
        assert f"{tiling.section(part).title}; {two_panels.title}" in text
        assert "100 mm" in text
        assert "4 in" in text


def test_the_pattern_alone_has_no_sheet_in_front(two_panels: Drawing, sheet: Sheet) -> None:
    """Its first page is the first page of the pattern."""
    pages = _pages(render(two_panels, A4, sheet, job=PrintJob(fronts=False)))
    assert len(pages) == len(tile(two_panels, A4).tiles)
    assert "pattern page 1 of" in pages[0]


@pytest.mark.parametrize("name", ["a4", "roll:91cm"])
def test_a_pattern_alone_has_the_legend_on_one_of_its_pages(
    two_panels: Drawing, sheet: Sheet, name: str
) -> None:
    """Each line that is drawn is in it once; with sheets in front it is there instead."""
    pages = _pages(render(two_panels, paper(name), sheet, job=PrintJob(fronts=False)))
    assert len(pages) == len(tile(two_panels, paper(name)).tiles)
    told = [page for page in pages if "The lines" in page]
    assert len(told) == 1
    for layer in layers_of(two_panels.pieces):
        assert LINES[layer] in told[0]
    with_fronts = _pages(render(two_panels, paper(name), sheet))
    assert sum("The lines" in page for page in with_fronts) == 1
    assert not any("The lines" in page for page in with_fronts[-len(pages) :])


def test_the_page_of_the_rectangle_explains_every_line(two_panels: Drawing) -> None:
    """Each layer that is drawn has its words there, and no other."""
    rectangle = _pages(render(two_panels, A4, EMPTY))[-len(tile(two_panels, A4).tiles) - 1]
    drawn = {stroke.layer for piece in two_panels.pieces for stroke in piece.strokes}
    for layer, words in LINES.items():
        assert (words in rectangle) is (layer in drawn), layer


def test_properties_name_project_design_program_and_day(two_panels: Drawing) -> None:
    """And the day is that of the sheets, not of the clock."""
    job = PrintJob(subject="Design: easy taper", day=date(2026, 3, 14))
    found = PdfReader(BytesIO(render(two_panels, A4, EMPTY, job=job))).metadata
    assert found is not None
    assert found.title == two_panels.title
    assert found.subject == "Design: easy taper"
    assert found.creator is not None
    assert found.creator.startswith("legtaper ")
    assert found.creation_date is not None
    assert found.creation_date.date() == date(2026, 3, 14)


@pytest.mark.parametrize("look", LOOKS)
def test_every_font_is_embedded(two_panels: Drawing, sheet: Sheet, look: Look) -> None:
    """No page and no form asks the reader for a font of its own."""
    reader = PdfReader(BytesIO(render(two_panels, A4, sheet, job=PrintJob(look=look))))
    names = set()
    for number in range(1, len(reader.xref[0]) + 1):
        thing = reader.get_object(number)
        if isinstance(thing, dict) and thing.get("/Type") == "/Font":
            names.add(thing["/BaseFont"])
            assert "/FontFile2" in thing["/FontDescriptor"].get_object()
    assert names


def test_looks_differ_in_weight_and_ink(two_panels: Drawing) -> None:
    """Ink-saving lines are thinner and gray; projected ones are heavy, with no head filled."""
    inks = {}
    for look in LOOKS:
        page = PdfReader(BytesIO(render(two_panels, A4, EMPTY, job=PrintJob(look=look)))).pages[-1]
        (form,) = page["/Resources"]["/XObject"].values()
        inks[look] = form.get_object().get_data().decode("latin-1").split()
    assert "2" in inks["projector"]
    assert not {"b*", "B*", "b", "B", "f", "f*"} & set(inks["projector"])
    assert "B*" in inks["plain"]
    assert ".45" in inks["ink-saving"]
