"""What is printed from the shell: the block alone, left and right, and what counts as printed."""

from __future__ import annotations

import stat
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from legtaper.files.store import load
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.export_request import matters, order_of, order_parts, usual_order
from legtaper_wizard.flow.printed import fit_of_leg, fit_to_print, wants_block
from legtaper_wizard.flow.shapes import LAST, AnswerError


@pytest.fixture
def block(tmp_path: Path) -> Path:
    """Return the same project with neither a design nor a round."""
    path = tmp_path / "block.toml"
    text = example_text("courier")
    kept = text.partition("[[design]]")[0]
    path.write_text(kept, encoding="utf-8")
    return path


def run(*arguments: object) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(main, [str(one) for one in arguments])


def _text(path: Path) -> str:
    reader = PdfReader(BytesIO(path.read_bytes()))
    return "\n".join(page.extract_text() for page in reader.pages)


@pytest.mark.parametrize("kind", ["pdf", "svg", "dxf"])
def test_the_block_is_printed_without_a_design(block: Path, kind: str) -> None:
    """Before anything was asked for; the narrowed leg still needs a design."""
    out = block.with_name(f"block.{kind}")
    result = run("export", block, out, "--leg", "unaltered", "--paper", "a0")
    assert result.exit_code == 0, result.output
    assert out.stat().st_size > 1000
    assert run("export", block, block.with_name("leg.pdf")).exit_code == 2


def test_the_sheets_of_the_block_name_it_and_ask_for_its_verdict(block: Path) -> None:
    """Its own top comes first in the order of work, and both legs are cut of its pieces."""
    out = block.with_name("block.pdf")
    run("export", block, out, "--leg", "unaltered", "--paper", "a0")
    text = _text(out)
    for words in (
        "Test of the block", "hangs clean / needs fitting", "Add your own top", "piece 1 of 2",
        "FRONT - leg as the block",
    ):  # fmt: skip
        assert words in text


@pytest.mark.parametrize(("said", "narrowed", "other"), [
    ((), "RIGHT", "LEFT"), (("--narrowed", "left"), "LEFT", "RIGHT"),
])  # fmt: skip
def test_which_leg_is_narrowed_can_be_said(
    mine: Path, said: tuple[str, ...], narrowed: str, other: str
) -> None:
    """Right where nothing is said; pieces and form agree."""
    out = mine.with_name("both.pdf")
    assert run("export", mine, out, "--leg", "both", "--paper", "a0", *said).exit_code == 0
    text = _text(out)
    assert f"BACK - {narrowed} LEG, narrowed" in text
    assert f"BACK - {other} LEG, as the block" in text
    assert f"{narrowed}: narrowed" in text


def test_narrowed_goes_with_both_legs(mine: Path) -> None:
    """With one leg alone there is nothing to choose."""
    result = run("export", mine, mine.with_name("x.pdf"), "--narrowed", "left")
    assert result.exit_code == 2
    assert "--leg both" in result.stderr


def test_a_muslin_from_the_shell_counts_as_printed(mine: Path) -> None:
    """Its round is noted, once; `check` then waits for what was seen."""
    out = mine.with_name("both.pdf")
    said = run("export", mine, out, "--leg", "both", "--paper", "a0").output
    assert "Round 2 counts as printed." in said
    assert load(mine).rounds[-1].printed is not None
    run("export", mine, out, "--leg", "both", "--paper", "a0", "--force")
    assert len(load(mine).rounds) == 2
    assert "Round 2 is printed: try it on" in run("check", mine).output


def test_one_leg_alone_counts_as_no_muslin(mine: Path) -> None:
    """Neither the narrowed leg nor the block as it is changes the project file."""
    before = mine.read_bytes()
    for leg in ("narrowed", "unaltered"):
        run("export", mine, mine.with_name(f"{leg}.svg"), "--leg", leg)
    assert mine.read_bytes() == before


def test_where_the_project_cannot_be_written_it_says_how_to_note_it(mine: Path) -> None:
    """The files are written all the same."""
    from legtaper.files.store import Store

    holder = Store.open(mine, for_writing=True)
    try:
        result = run("export", mine, mine.with_name("b.svg"), "--leg", "both")
    finally:
        holder.close()
    assert result.exit_code == 0
    assert "legtaper round FILE --printed" in result.output
    assert mine.with_name("b.svg").exists()
    assert stat.S_ISREG(mine.stat().st_mode)


def test_the_block_is_offered_for_printing_from_its_test_on(block: Path) -> None:
    """Unasked the leg as the block is meant, as a PDF; a narrowed leg is refused in one line."""
    project = load(block)
    fit = fit_to_print(project, LAST)
    assert fit is not None
    assert fit.is_the_block
    assert wants_block(fit, "pattern")
    usual = usual_order(project, fit.design, block.parent, block=True)
    order = order_of(usual)
    assert (order.options.leg, [file.suffix for file in order.files]) == ("unaltered", [".pdf"])
    assert fit_of_leg(project, fit, "unaltered").is_the_block
    for leg in ("narrowed", "both"):
        with pytest.raises(AnswerError, match="no design yet"):
            fit_of_leg(project, fit, leg)


def test_the_form_asks_which_of_both_legs_is_narrowed(mine: Path) -> None:
    """The right one, as where nothing is said, or the left one; with one leg it is not asked."""
    answers = {"what": "svg", "leg": "both", "folder": str(mine.parent), "name": "x"}
    assert order_of(answers | {"narrowed": "left"}).options.narrowed == "left"
    assert order_of(answers).options.narrowed == "right"
    (narrowed,) = [part for part in order_parts() if part.key == "narrowed"]
    assert [value for value, _ in narrowed.field.choices] == ["right", "left"]
    assert matters(narrowed, answers)
    assert not matters(narrowed, answers | {"leg": "narrowed"})
