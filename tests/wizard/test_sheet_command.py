"""The blank measuring sheet: text on the screen, one page as a PDF."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner
from pypdf import PdfReader

from legtaper_wizard.cli.main import main


def test_the_sheet_asks_for_every_girth_in_text_and_on_one_page(tmp_path: Path) -> None:
    """What it lists as text stands on the page, too, which is of the paper that was asked for."""
    text = CliRunner().invoke(main, ["sheet"]).output
    out = tmp_path / "sheet.pdf"
    done = CliRunner().invoke(main, ["sheet", "-o", str(out), "--paper", "letter"])
    assert done.exit_code == 0, done.output
    (page,) = PdfReader(out).pages
    assert float(page.mediabox.width) == 612
    printed = page.extract_text()
    for label in ("Waist", "Hip", "Knee, bent", "Foot entry", "Name", "Date"):
        assert label in text
        assert label in printed
    assert text.count("____") >= 11
    again = CliRunner().invoke(main, ["sheet", "-o", str(out)])
    assert (again.exit_code, again.stderr.count("\n")) == (2, 1)
    assert CliRunner().invoke(main, ["sheet", "-o", str(tmp_path / "a.png")]).exit_code == 2
