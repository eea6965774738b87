"""The settings: what the file says, else the locale, and that nothing in them stops the work."""

from __future__ import annotations

import locale
import os
from pathlib import Path

import pytest
from app_driver import driving
from click.testing import CliRunner
from typist import sit

from legtaper.files.project_file import read_project
from legtaper.files.store import StoreError, load
from legtaper.model.project import Design, Project
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.export_request import usual_order
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.settings import (
    read_pair,
    read_settings,
    settings,
    settings_file,
    settings_text,
)
from legtaper_wizard.flow.steps import answer, value

TRIED = read_project(example_text("weekend").encode())


@pytest.fixture(autouse=True)
def of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let each test keep settings of its own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def say(*pairs: str) -> str:
    """Run the command and return what it prints."""
    result = CliRunner().invoke(main, ["settings", *pairs])
    assert result.exit_code == 0, result.output
    return result.output


@pytest.mark.parametrize(
    ("name", "paper"),
    [("en_US.UTF-8", "letter"), ("es_MX", "letter"), ("de_DE.UTF-8", "a4"), ("en_GB@euro", "a4")],
)
def test_paper_follows_the_place_of_the_locale(
    monkeypatch: pytest.MonkeyPatch, name: str, paper: str
) -> None:
    """Letter in the Americas where it is usual, A4 elsewhere (CLDR)."""
    monkeypatch.setenv("LANG", name)
    assert settings().paper == paper


def test_lc_all_goes_before_lc_paper_and_that_before_lang(monkeypatch: pytest.MonkeyPatch) -> None:
    """The order is that of POSIX.1-2017, Base Definitions, 8.2."""
    monkeypatch.setenv("LANG", "en_US")
    monkeypatch.setenv("LC_PAPER", "de_DE")
    assert settings().paper == "a4"
    monkeypatch.setenv("LC_ALL", "en_CA")
    assert settings().paper == "letter"


def test_without_a_place_the_unit_of_the_project_decides() -> None:
    """An account that says nothing of a place gets what goes with its tape."""
    assert settings().paper is None
    assert usual_order(Project(length_unit="in"), Design("a"), Path())["paper"] == "letter"
    assert usual_order(Project(length_unit="cm"), Design("a"), Path())["paper"] == "a4"


@pytest.mark.parametrize(
    ("pattern", "order"),
    [
        ("%m/%d/%Y", "month-first"),
        ("%D", "month-first"),
        ("%d.%m.%Y", "day-first"),
        ("%e %b %Y", "day-first"),
        ("%Y-%m-%d", "iso"),
        ("%F", "iso"),
        ("%y/%m/%d", "iso"),
    ],
)
def test_days_are_written_in_the_order_of_the_systems_own_format(
    monkeypatch: pytest.MonkeyPatch, pattern: str, order: str
) -> None:
    """The system's d_fmt says the order; its category is as it was before, afterwards."""
    monkeypatch.setenv("LC_TIME", f"xx_XX.{pattern}")
    before = locale.setlocale(locale.LC_TIME)
    asked: list[str] = []

    def told(_: int, name: str | None = None) -> str:
        asked.append(name or "")
        return before

    monkeypatch.setattr(locale, "setlocale", told)
    monkeypatch.setattr(locale, "nl_langinfo", lambda _: pattern)
    assert settings().dates == order
    assert asked == ["", f"xx_XX.{pattern}", before]


def test_a_locale_that_is_not_installed_writes_the_year_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A remote machine seldom has every locale that is asked of it."""
    monkeypatch.setenv("LC_TIME", "zz_ZZ.UTF-8")
    assert settings().dates == "iso"


def test_the_file_goes_before_the_locale_and_one_setting_leaves_the_other(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What she set stays set; emptied, it is the locale's again."""
    monkeypatch.setenv("LANG", "en_US.UTF-8")
    assert "paper: a3 (set)" in say("paper=a3")
    assert "dates: day-first (set)" in say("dates=day-first")
    assert settings().paper == "a3"
    assert "paper: letter (by the locale)" in say("paper=")
    assert settings().dates == "day-first"


def test_the_paper_that_is_set_is_what_export_and_the_wizard_mean(tmp_path: Path) -> None:
    """A page of A3 is 297 mm wide, 841.89 pt in PDF."""
    from pypdf import PdfReader

    say("paper=a3")
    runner, project = CliRunner(), tmp_path / "one.toml"
    assert runner.invoke(main, ["begin", str(project)]).exit_code == 0
    assert runner.invoke(main, ["export", str(project), str(tmp_path / "one.pdf")]).exit_code == 0
    page = PdfReader(tmp_path / "one.pdf").pages[0].mediabox
    assert min(page.width, page.height) == pytest.approx(841.89, abs=0.02)
    assert usual_order(Project(length_unit="cm"), Design("a"), Path())["paper"] == "a3"


def test_a_day_is_asked_for_and_shown_as_the_settings_say() -> None:
    """Typed by number, kept in the file as a date, shown without doubt."""
    say("dates=day-first")
    tested = answer(TRIED, "block_test.date", "3.4.2026")
    assert tested.block_test is not None
    assert str(tested.block_test.date) == "2026-04-03"
    assert value(tested, "block_test.date") == "3 Apr 2026"


@pytest.mark.parametrize(
    ("pair", "problem"),
    [
        ("paper", "is not KEY=VALUE"),
        ("paper=a5", "a4, letter, legal, a3"),
        ("color=red", "is not a setting"),
        ("dates=", ""),
    ],
)
def test_a_wrong_setting_gets_one_line_and_nothing_is_written(pair: str, problem: str) -> None:
    """The line says what would be right."""
    result = CliRunner().invoke(main, ["settings", pair])
    if problem:
        assert result.exit_code == 2
        assert problem in result.stderr
        assert result.stderr.count("\n") == 1
        assert not settings_file().exists()
    else:
        assert result.exit_code == 0


@pytest.mark.parametrize("text", ["paper = ", 'paper = "a9"', "color = 1", "\x00" * 20_000])
def test_a_spoilt_settings_file_is_told_of_and_never_stops_the_work(text: str) -> None:
    """`settings` says what is wrong; everything else goes on without it and leaves it alone."""
    settings_file().parent.mkdir(parents=True)
    settings_file().write_text(text)
    assert settings().paper is None
    for call in (["settings"], ["settings", "paper=a3"]):
        result = CliRunner().invoke(main, call)
        assert result.exit_code == 2
        assert str(settings_file()) in result.stderr
        assert result.stderr.count("\n") == 1
    assert settings_file().read_text() == text


@pytest.mark.parametrize("odd", ["pipe", "device", "folder"])
def test_something_odd_in_place_of_the_file_holds_nothing_up(odd: str) -> None:
    """A pipe, a device or a folder there never stops the work, and a command says what it is."""
    file = settings_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    if odd == "pipe":
        os.mkfifo(file)
    elif odd == "device":
        file.symlink_to("/dev/zero")
    else:
        file.mkdir()
    assert settings().paper_for("cm") == "a4"
    with pytest.raises(StoreError, match=r"plain file|folder"):
        read_settings()


def test_a_measured_rectangle_is_kept_for_its_paper(tmp_path: Path) -> None:
    """Export --measured corrects now and later on that paper alone; 150 by 250 mm ends it."""
    project = tmp_path / "p.toml"
    project.write_text(example_text("courier"))

    def widths(*more: str) -> float:
        out = str(tmp_path / "o.pdf")
        call = ["export", str(project), out, "--force", "--only", "pattern", *more]
        done = CliRunner().invoke(main, call)
        assert done.exit_code in (0, 1), done.output
        return 1.0 if "printer's error" not in done.output else 2.0

    assert widths("--paper", "letter") == 1.0
    assert widths("--paper", "letter", "--measured", "147.6mmx246mm") == 2.0
    assert read_settings() == {"measured-letter": "147.6mmx246mm"}
    assert settings().correction_for("Letter") == pytest.approx((150 / 147.6, 250 / 246))
    assert widths("--paper", "letter") == 2.0
    assert widths("--paper", "a4") == 1.0
    assert widths("--paper", "letter", "--measured", "150mmx250mm") == 1.0
    assert read_settings() == {}


@pytest.mark.parametrize("pair", ["measured-letter=140mmx250mm", "measured-b7=147mmx250mm"])
def test_a_measure_that_cannot_be_is_refused(pair: str) -> None:
    """Beyond 3 %, or for no paper that is known: one line, nothing kept."""
    with pytest.raises(ValueError, match=r"3 %|not a setting"):
        read_pair(pair)


def test_settings_for_a_class_and_a_folders_own_go_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Unit, ruler, allowance and a roll; a file in the folder overrules what she set."""
    monkeypatch.chdir(tmp_path)
    for pair in ("unit=cm", "round-to=1mm", "seam=12 mm", "paper=roll:91cm"):
        assert pair.partition("=")[2] in say(pair)
    runner = CliRunner()
    body = ["--from-body", "hip=104", "height=172"]
    assert runner.invoke(main, ["begin", "a.toml", *body]).exit_code == 0
    made = load(tmp_path / "a.toml")
    assert made.length_unit == "cm"
    assert made.allowance.seam is not None
    assert made.allowance.seam.mm == 12
    assert settings().paper == "roll:91cm"
    (tmp_path / "legtaper-settings.toml").write_text('paper = "a3"\nseam = "2 cm"\n')
    assert settings().paper == "a3"
    assert runner.invoke(main, ["begin", "b.toml", *body]).exit_code == 0
    again = load(tmp_path / "b.toml")
    assert again.allowance.seam is not None
    assert again.allowance.seam.mm == 20
    assert runner.invoke(main, ["settings", "seam=wide"]).exit_code == 2


@pytest.mark.parametrize(
    ("place", "unit"),
    [("de_DE.UTF-8", "cm"), ("en_US.UTF-8", "in"), ("ja_JP", "cm"), ("C.UTF-8", "in")],
)
def test_a_new_project_counts_as_its_country_measures(
    monkeypatch: pytest.MonkeyPatch, place: str, unit: str
) -> None:
    """By the locale, where no setting says otherwise."""
    monkeypatch.delenv("LC_ALL", raising=False)
    monkeypatch.setenv("LC_MEASUREMENT", place)
    assert settings().unit == unit
    say("unit=in")
    assert settings().unit == "in"


def test_the_settings_beside_a_project_go_before_those_where_one_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Person, folder one works in, folder of the project: the last that says something holds."""
    at_work, beside = tmp_path / "work", tmp_path / "class"
    for folder in (at_work, beside):
        folder.mkdir()
    monkeypatch.chdir(at_work)
    say("paper=a2")
    (at_work / "legtaper-settings.toml").write_text('paper = "a3"\ndates = "iso"\n')
    assert settings().paper == "a3"
    (beside / "legtaper-settings.toml").write_text('paper = "a0"\n')
    project = beside / "mine.toml"
    project.write_text(example_text("courier"))
    runner = CliRunner()
    done = runner.invoke(main, ["export", str(project), "x.pdf", "--leg", "unaltered"])
    assert "of A0" in done.stdout
    assert settings().dates == "iso"
    assert "paper: a0 (set beside the project)" in settings_text()
    assert "dates: iso (set in the folder you work in)" in settings_text()
    (beside / "legtaper-settings.toml").unlink()
    done = runner.invoke(main, ["export", str(project), "y.pdf", "--leg", "unaltered"])
    assert "of A3" in done.stdout


def test_a_project_begun_in_the_wizard_takes_the_settings(tmp_path: Path) -> None:
    """Unit and seam allowance at once, the hem's depth with the first answer about a design."""
    (tmp_path / "legtaper-settings.toml").write_text('unit = "cm"\nseam = "12 mm"\nhem = "5"\n')
    session = Session.begin_file(tmp_path / "new.toml")
    try:
        made = session.project
        assert made.length_unit == "cm"
        assert made.allowance.seam is not None
        assert made.allowance.seam.mm == 12
        assert made.designs == ()
    finally:
        session.close()
    assert value(answer(made, "design.hem.style", "faced"), "design.hem.depth") == "5"
    assert value(answer(made, "design.hem.depth", "6"), "design.hem.depth") == "6 cm"


async def test_every_face_rounds_marks_as_the_settings_say(tmp_path: Path) -> None:
    """Command, file, line prompts and screen name the same step; another setting is another."""
    file = tmp_path / "mine.toml"
    for step, said in (("1/8in", "1/8 in"), ("1mm", "1 mm")):
        say(f"round-to={step}")
        into = tmp_path / step.replace("/", "-")
        file.write_text(example_text("courier"), encoding="utf-8")
        printed = CliRunner().invoke(main, ["marks", str(file)]).output
        assert f"rounded to {said}" in printed
        args = [
            "export",
            str(file),
            "--into",
            str(into),
            "--format",
            "marks",
        ]
        assert CliRunner().invoke(main, args).exit_code in (0, 1)
        (written,) = into.glob("*-marks.txt")
        assert f"rounded to {said}" in written.read_text(encoding="utf-8")
        assert f"rounded to {said}" in sit(file, "marks", "quit", "quit")[1]
        session = Session.open(file)
        async with driving(session) as on:
            await on.press("ctrl+p", *"marking", "enter")
            assert f"rounded to {said}" in on.text
        session.close()
