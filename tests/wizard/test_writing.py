"""Writing pattern files: every format in every front end, and the same bytes on a day told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner
from typist import sit

from legtaper.files.project_file import read_project
from legtaper.outputs.formats import FORMATS, Options
from legtaper.pattern import build
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.export_request import carry_out, order_fields, order_of
from legtaper_wizard.flow.writing import today, write_pattern_file

PROJECT = read_project(example_text("courier").encode())
PATTERN = build(PROJECT)
SUFFIXES = [(row.name, suffix) for row in FORMATS.values() for suffix in row.suffixes]


def _written(folder: Path) -> bytes:
    write_pattern_file(PATTERN, folder / "a.svg", force=True)
    return (folder / "a.svg").read_bytes()


@pytest.mark.parametrize(("name", "suffix"), SUFFIXES)
def test_the_shell_writes_every_format(tmp_path: Path, name: str, suffix: str) -> None:
    """The suffix of OUT says which, and the help names it."""
    project, out = tmp_path / "p.toml", tmp_path / f"out{suffix}"
    project.write_text(example_text("courier"))
    done = CliRunner().invoke(main, ["export", str(project), str(out)])
    assert done.exit_code in (0, 1), done.output
    assert out.read_bytes() == FORMATS[name].render(PATTERN, Options(on=today()), suffix)
    assert suffix in CliRunner().invoke(main, ["export", "--help"]).output


@pytest.mark.parametrize("name", FORMATS)
def test_the_form_of_the_wizard_offers_every_format(tmp_path: Path, name: str) -> None:
    """Each can be chosen and is then written alone, under the ending of its row."""
    what = next(field for field in order_fields() if field.key == "what")
    assert name in dict(what.choices)
    order = order_of((name, "narrowed", "a4", str(tmp_path), "x"))
    list(carry_out(PATTERN, order, lambda *_: True))
    written = [file.name for file in tmp_path.iterdir() if file.is_file()]
    assert written == [f"x{FORMATS[name].ending}"]


def test_everything_is_every_format(tmp_path: Path) -> None:
    """Nothing that can be chosen is left out of "everything"."""
    order = order_of(("all", "narrowed", "a4", str(tmp_path), "x"))
    assert [file.name for file in order.files] == [f"x{row.ending}" for row in FORMATS.values()]


@pytest.mark.usefixtures("new_account")
@pytest.mark.parametrize("name", FORMATS)
def test_the_line_prompts_write_every_format(tmp_path: Path, name: str) -> None:
    """Each is named in the question and written; what its row does not need is not asked."""
    (tmp_path / "p.toml").write_text(example_text("courier"))
    needs = FORMATS[name].needs
    answers = [("narrowed", "leg"), ("a4", "paper")]
    asked = [answer for answer, need in answers if need in needs]
    _, said = sit(tmp_path / "p.toml", "write", name, *asked, "", "x", "quit")
    assert name in said[said.index("Files to write") :].split(";")[0]
    assert (tmp_path / f"x{FORMATS[name].ending}").stat().st_size > 100
    assert ("Paper [" in said, "Leg [" in said) == ("paper" in needs, "leg" in needs)


def test_the_day_on_a_sheet_can_be_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """SOURCE_DATE_EPOCH counts seconds since 1970 (reproducible-builds.org, version 1.1)."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    first = _written(tmp_path)
    assert b"1970-01-02" in first
    assert first == _written(tmp_path)


@pytest.mark.parametrize("spoilt", ["", "soon", "9" * 30, "-" + "9" * 30])
def test_a_day_that_is_none_is_passed_over(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, spoilt: str
) -> None:
    """Then it is today, as without it."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    unset = _written(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", spoilt)
    assert _written(tmp_path) == unset
    write_pattern_file(PATTERN, tmp_path / "a.pdf")  # its library reads the same variable
    assert os.environ["SOURCE_DATE_EPOCH"] == spoilt
