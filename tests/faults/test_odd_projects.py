"""Projects that nobody would write by hand and a program or a slip might: read, worked on, kept."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from faults import EXAMPLE
from legtaper.files.project_file import read_project
from legtaper.files.store import load
from legtaper.model.lengths import from_mm
from legtaper.model.levels import LEVELS
from legtaper.pattern import build
from legtaper_wizard.cli import main as cli
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.steps.block_levels import block_levels, leg_levels


@pytest.fixture
def text(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the text of the example, in a new account."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return EXAMPLE.read_text("utf-8")


def test_a_file_of_an_editor_that_begins_with_a_mark_of_its_bytes(
    tmp_path: Path, text: str
) -> None:
    """UTF-8 with a byte order mark could be read and not be changed; the mark stays."""
    file = tmp_path / "marked.toml"
    file.write_text(text, "utf-8-sig")
    session = Session.open(file)
    for seam in ("3/4 in", "7/8 in"):
        session.answer("allowance.seam", seam)
        kept = load(file).allowance.seam
        assert kept is not None
        assert kept.text == seam
    session.undo()
    session.close()
    assert file.read_bytes() == text.replace('seam = "5/8 in"', 'seam = "3/4 in"').encode(
        "utf-8-sig"
    )


def test_a_slit_as_long_as_the_piece_is_cut(text: str) -> None:
    """A block typed in millimeters for inches was a fault where its allowance was cut."""
    pattern = build(read_project(text.replace(' in"', ' mm"')))
    assert pattern.narrowed
    assert [found for found in pattern.findings if found.status == "fail"]


def test_more_than_a_thousand_trousers_are_asked_about(tmp_path: Path, text: str) -> None:
    """The thousandth pair had a number that no question knew."""
    file = tmp_path / "many.toml"
    pair = '\n[[liked]]\ngarment = "pair {}"\n[liked.width]\nhem = "7 1/2 in"\n'
    file.write_text(text + "".join(map(pair.format, range(1_001))), "utf-8")
    done = CliRunner().invoke(cli.main, ["open", str(file), "--plain"], input="quit\n")
    assert (done.exit_code, done.stderr) == (0, ""), done.output


def test_added_levels_stand_where_their_heights_put_them(text: str) -> None:
    """In order where they are added among the usual ones, whatever their number."""
    chance, project = random.Random(5), read_project(text)
    heights = {f"l{i}": from_mm(chance.uniform(1, 1000), "cm") for i in range(300)}
    given = {**project.block.height, **heights}
    project = replace(project, block=replace(project.block, height=given))
    rows = block_levels(project)
    assert sorted(rows) == sorted({*LEVELS, *given})
    measured = [given[level].mm for level in rows if level in given]
    assert measured == sorted(measured)
    assert [row for row in rows if row in LEVELS] == list(LEVELS)
    asked = leg_levels(project)
    assert asked == tuple(row for row in rows if row in asked)
    assert set(heights) & set(asked) == {
        level for level in heights if given[level].mm < given["crotch"].mm
    }
