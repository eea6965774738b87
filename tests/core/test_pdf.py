from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from pypdf import PdfReader

from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.drawing import Drawing, Label, Piece, Stroke
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import PaperError, paper
from legtaper.outputs.pdf import Cancelled, render
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


def test_the_drawing_is_held_once(two_panels: Drawing, sheet: Sheet) -> None:
    """One form serves every page, so that more sheets hardly make a larger file."""
    pdf = render(two_panels, A4, sheet)
    reader = PdfReader(BytesIO(pdf))
    forms = {
        reference.idnum
        for page in reader.pages
        for reference in page["/Resources"].get("/XObject", {}).values()
    }
    assert len(forms) == 1
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
    assert [_squares(text) for text in pages] == [2, *[2] * 1, *[0] * (len(pages) - 2)]


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
    fronts = _pages(render(two_panels, A4, sheet))[: -len(tile(two_panels, A4).tiles)]
    assert len(fronts) == 2
    for number, text in enumerate(fronts, 1):
        assert f"sheet {number} of 2" in text
        assert sheet.footer in text
        assert "from the grainline" in text


def test_a_short_sheet_is_one_page(two_panels: Drawing) -> None:
    """With nothing to list, the assembly plan alone stands there, with every tile named."""
    tiling = tile(two_panels, A4)
    fronts = _pages(render(two_panels, A4, EMPTY))[: -len(tiling.tiles)]
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
    with pytest.raises(PaperError, match="roll:61cm"):
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
    fronts = _pages(render(two_panels, A4, long))[: -len(tile(two_panels, A4).tiles)]
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
    first, *rest = compose(wraps, two_panels, tiling, column(page)[0])
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
    assert lines.count("b") + lines.count("B") + lines.count("b*") + lines.count("B*") == 4
    for dash in ("[6 3] 0 d", "[8 2 2 2] 0 d", "[1 2] 0 d"):
        assert dash in text
    assert all(f"{width} w" in text for width in (".5", ".35", ".25", ".15"))
