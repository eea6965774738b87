"""Writing pattern files: every format in every front end, and the same bytes on a day told."""

from __future__ import annotations

import os
import re
from dataclasses import fields
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader
from typist import sit

from legtaper.files.project_file import read_project
from legtaper.files.store import load
from legtaper.muslin.sewing import sewing_text
from legtaper.outputs.formats import FORMATS, Options
from legtaper.outputs.front_sheet import work_of
from legtaper.outputs.printing import TRUE
from legtaper.pattern import build
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.export_request import Part, carry_out, order_fields, order_of, order_parts
from legtaper_wizard.flow.shapes import AnswerError
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
    order = order_of({"what": name, "folder": str(tmp_path), "name": "x"})
    list(carry_out(PATTERN, order, lambda *_: True))
    written = [file.name for file in tmp_path.iterdir() if file.is_file()]
    assert written == [f"x{FORMATS[name].ending}"]


def test_everything_is_every_format(tmp_path: Path) -> None:
    """Nothing that can be chosen is left out of "everything"."""
    order = order_of({"what": "all", "folder": str(tmp_path), "name": "x"})
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


@pytest.mark.parametrize("part", order_parts(), ids=lambda part: part.key)
def test_every_choice_of_the_form_is_an_order(tmp_path: Path, part: Part) -> None:
    """Each is taken alone, by name, and one that is none is refused at its question."""
    where = {"folder": str(tmp_path), "name": "x"}
    for value, _ in part.field.choices:
        order_of(where | {part.key: value})
    if part.field.choices:
        with pytest.raises(AnswerError) as refused:
            order_of(where | {part.key: "napkin"})
        assert refused.value.key == part.key


def test_the_form_asks_for_all_that_the_shell_can(tmp_path: Path) -> None:
    """What is answered by name reaches the options that `export` fills."""
    order = order_of({
        "what": "all", "leg": "both", "folder": str(tmp_path), "name": "x", "narrowed": "left",
        "look": "projector", "sheets": "no", "words": "outlines", "round": "1/8in",
    })  # fmt: skip
    wanted = Options("both", "a4", step="1/8in", narrowed="left", fronts=False,
                     look="projector", words="outlines")  # fmt: skip
    assert order.options == wanted
    by_shell = {"leg", "paper", "narrowed", "correction", "fronts", "look", "words", "step"}
    said = {field.name for field in fields(Options)} - {"on", "progress"}
    assert said == by_shell  # a new option is asked for, too


@pytest.mark.usefixtures("new_account")
def test_a_printed_rectangle_that_was_measured_is_told_in_the_form(tmp_path: Path) -> None:
    """It corrects what is written now and later on that paper; a wrong one is refused."""
    where = {"what": "svg", "folder": str(tmp_path), "name": "x", "paper": "letter"}
    order = order_of(where | {"measured": "147.6mm x 246mm"})
    assert order.options.correction == pytest.approx((150 / 147.6, 250 / 246))
    assert order_of(where).options.correction == TRUE
    assert list(carry_out(PATTERN, order, lambda *_: True))
    assert order_of(where).options.correction == order.options.correction
    assert order_of(where | {"paper": "a4"}).options.correction == TRUE
    assert list(carry_out(PATTERN, order_of(where | {"measured": "150mmx250mm"}), lambda *_: True))
    assert order_of(where).options.correction == TRUE
    with pytest.raises(AnswerError, match="more than 3 % off") as refused:
        order_of(where | {"measured": "140mm x 250mm"})
    assert refused.value.key == "measured"


@pytest.mark.usefixtures("new_account")
def test_the_line_prompts_ask_more_where_it_is_said(tmp_path: Path) -> None:
    """The usual questions alone, all with `more`, and any of them by its name."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))
    _, few = sit(project, "write", "svg", "", "", "few", "quit")
    assert "Words [" not in few
    _, said = sit(project, "write", "svg", "more", "", "", "many", "no words", "quit")
    assert "Words [text]:" in said
    assert "Look [" not in said
    assert "<text" not in (tmp_path / "many.svg").read_text()
    _, said = sit(project, "write", "words = no words", "name = named", "svg", "", "", "", "quit")
    assert "<text" not in (tmp_path / "named.svg").read_text()
    assert "<text" in (tmp_path / "few.svg").read_text()
    _, said = sit(project, "write", "napkin = 3", "quit", "quit")
    assert "Not taken: name one of what, leg, paper," in said


@pytest.mark.usefixtures("new_account")
@pytest.mark.parametrize("leg", [("pdf", "narrowed"), ("leg = narrowed", "pdf", "")])
def test_a_proposed_name_follows_the_leg_at_the_prompts(
    tmp_path: Path, leg: tuple[str, ...]
) -> None:
    """The test's own name goes with both legs alone, also where the leg is said from elsewhere."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))
    _, said = sit(project, "write", *leg, "", "", "quit", "quit")
    assert re.search(r"Name \[\S+-slim-taper\]:", said)
    _, said = sit(project, "write", "pdf", "both", "", "", "quit", "quit")
    assert re.search(r"Name \[\S+-slim-taper-test\]:", said)


@pytest.mark.usefixtures("new_account")
def test_the_sheets_are_said_before_the_last_answer(tmp_path: Path) -> None:
    """Once the leg is known, and again where the paper makes it another number; only of a PDF."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))
    _, said = sit(project, "write", "pdf", "both", "a3", "", "x", "quit")
    before, after = said[: said.index("Name [")], said[said.index("Name [") :]
    counts = re.findall(r"(The narrowed leg|Both legs) takes? (\d+) sheets of (\w+)", before)
    assert [(leg, paper) for leg, _, paper in counts] == [
        ("Both legs", "Letter"), ("Both legs", "A3"),
    ]  # fmt: skip
    assert "sheets of" not in after
    pages = len(PdfReader(tmp_path / "x.pdf").pages)
    assert 0 <= pages - int(counts[-1][1]) <= 8  # what is in front is printed on more
    _, said = sit(project, "write", "svg", "", "", "y", "quit")
    assert "sheets of" not in said


@pytest.mark.usefixtures("new_account")
def test_the_block_is_printed_from_any_later_step(tmp_path: Path) -> None:
    """`print block` means the block as it is though there is a design; help knows the word."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))
    _, said = sit(project, "steps hem", "help print", "print block", "svg", "", "", "b", "quit")
    assert "print block: print the block as it is" in said
    assert "Leg [as the block]:" in said
    assert "leg as the block" in (tmp_path / "b.svg").read_text()
    _, said = sit(project, "steps hem", "more", "print", "svg", "", "", "c", "quit")
    assert "Leg [as the block]:" in said
    assert (tmp_path / "c.svg").read_text() == (tmp_path / "b.svg").read_text()


@pytest.mark.usefixtures("new_account")
def test_how_to_sew_it_is_read_at_the_prompts(tmp_path: Path) -> None:
    """What the sheet of the test has, in its order; without a design all that the shell has."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))
    _, said = sit(project, "sewing", "", "quit")
    both = work_of(build(load(project)), "both")
    assert both.slit
    for paragraph in sewing_text(both).split("\n\n"):
        assert " ".join(paragraph.split()) in said
    project.write_text('format = 1\nname = "Trial"\n')
    _, said = sit(project, "sewing", "", "", "quit")
    for paragraph in sewing_text().split("\n\n"):
        assert " ".join(paragraph.split()) in said
