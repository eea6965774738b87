"""What is there to look things up: the list of commands, the man page, the words, the Tab key."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from legtaper.muslin.sewing import PARTS
from legtaper.muslin.signs import SIGNS, in_order
from legtaper_wizard.cli import commands
from legtaper_wizard.cli.main import main
from legtaper_wizard.cli.man_page import man_page
from legtaper_wizard.cli.sections import Contents
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.glossary import GLOSSARY

CALL = "from legtaper_wizard.cli.main import main; main(prog_name='legtaper')"


def told(*arguments: str) -> str:
    """Run a command and return what it prints."""
    result = CliRunner(env={"COLUMNS": "80"}).invoke(main, arguments)
    assert result.exit_code == 0, result.output
    return result.output


def test_every_command_has_a_place_of_its_own_in_a_section() -> None:
    """A module of the folder is a command of the program, and carries where the help shows it."""
    by_section = [(section, one) for section, found in main.by_section() for one in found]
    assert sorted(one.name or "" for _, one in by_section) == sorted(main.commands)
    places = [(section, one.place) for section, one in by_section]
    assert len(set(places)) == len(places)
    folder = Path(commands.__file__).parent
    for module in {path.stem for path in folder.glob("*.py")} - {"__init__"}:
        assert any(one.callback.__module__.endswith(f".{module}")
                   for _, one in by_section if one.callback), module  # fmt: skip


def test_help_lists_the_commands_in_the_order_of_the_work() -> None:
    """First what begins, last what is looked up; no sentence is cut short."""
    text = told("--help")
    places = [text.index(f"\n  {one.name} ") for _, found in main.by_section() for one in found]
    assert places == sorted(places)
    assert "..." not in text.partition("Begin:")[2]


def test_the_man_page_tells_of_every_command_option_and_word() -> None:
    """One source: what `--help` knows, the page knows."""
    page = told("manual").replace("\\-", "-")
    for name, command in main.commands.items():
        assert f".SS legtaper {name} " in page
        for option in command.whole().params:
            if isinstance(option, click.Option) and not option.hidden:
                assert option.opts[0] in page
    for word in GLOSSARY:
        assert f"\\fB{word}\\fR" in page
    for part in PARTS:
        assert part.says in page
    for sign in SIGNS:
        assert sign.words in page


@pytest.mark.skipif(not shutil.which("groff"), reason="groff is not installed")
def test_the_man_page_is_roff_without_a_warning() -> None:
    """Checked by groff, the reader of such pages on most systems."""
    done = subprocess.run(
        ["groff", "-man", "-Tutf8", "-ww"], input=told("manual").encode(), capture_output=True,
        check=True, env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"},
    )  # fmt: skip
    assert not done.stderr
    text = re.sub(r"\x1b\[[0-9;]*m|.\x08", "", done.stdout.decode())
    assert "NAME" in text
    assert "legtaper round mine.toml --tried stand --problem sit\n" in text


def test_no_line_of_the_man_page_is_taken_for_a_request_it_is_not() -> None:
    """Words that begin with a dot or a quote are shielded; only known requests begin a line."""
    known = {".TH", ".SH", ".SS", ".PP", ".TP", ".B", ".nf", ".fi"}
    requests = {line.split()[0] for line in told("manual").splitlines() if line[:1] in ".'"}
    assert requests <= known


def test_a_word_is_explained_and_an_unknown_one_is_refused() -> None:
    """Part of the word is enough."""
    assert told("glossary", "Foot").startswith("foot entry: ")
    assert told("glossary").count("\n\n") == len(GLOSSARY) - 1
    result = CliRunner().invoke(main, ["glossary", "zipper"])
    assert result.exit_code == 2
    assert result.stderr.count("\n") == 1


def test_the_words_stand_in_the_order_of_the_alphabet() -> None:
    """So that a word is found by eye."""
    assert list(GLOSSARY) == sorted(GLOSSARY)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shells_script_asks_this_program(shell: str) -> None:
    """Each shell gets lines that call back with the variable it is known by."""
    assert f"_LEGTAPER_COMPLETE={shell}_complete" in told("completion", shell)


def completed(*words: str) -> list[str]:
    """Return what Tab offers in bash after these words, the last of them unfinished."""
    env = {**os.environ, "_LEGTAPER_COMPLETE": "bash_complete", "COMP_WORDS": " ".join(words),
           "COMP_CWORD": str(len(words) - 1)}  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", CALL], env=env, capture_output=True, text=True, check=True
    )
    return [line.partition(",")[2] for line in done.stdout.splitlines() if line]


def test_tab_completes_commands_options_and_designs(tmp_path: Path) -> None:
    """The designs are those of the file on the line; a spoilt file offers none."""
    file = tmp_path / "mine.toml"
    file.write_text(example_text("courier"), encoding="utf-8")
    assert completed("legtaper", "com") == ["compare", "completion"]
    assert "--paper" in completed("legtaper", "export", str(file), "--")
    assert completed("legtaper", "check", str(file), "--design", "e") == ["easy taper"]
    file.write_text("design = 3")
    assert completed("legtaper", "check", str(file), "--design", "") == []


def test_help_is_a_command_too() -> None:
    """Alone it is --help; with a command the help of that; another word is refused."""
    assert told("help") == told("--help")
    assert told("help", "marks") == told("marks", "--help")
    result = CliRunner().invoke(main, ["help", "narrow"])
    assert (result.exit_code, result.stderr.count("\n")) == (2, 1)


def test_signs_are_listed_and_each_is_told_in_full() -> None:
    """All by name; one with its drawing, what to look at, and its causes with amounts."""
    listed = told("signs")
    assert [line.split()[0] for line in listed.splitlines()] == [sign.id for sign in in_order()]
    for sign in SIGNS:
        one = told("signs", sign.id)
        assert sign.look in one
        assert all(row.rstrip() in one for row in sign.drawing)
        assert all(f"- {cause.id}: " in one for cause in sign.causes)
    refused = CliRunner().invoke(main, ["signs", "elbow"])
    assert refused.exit_code == 2
    assert 'no sign "elbow"' in refused.stderr


def test_how_to_sew_it_is_told() -> None:
    """Every part of the one text, in its order."""
    text = " ".join(told("sewing").split())
    places = [text.index(f"{part.name}: {part.says}") for part in PARTS]
    assert places == sorted(places)


def test_the_man_page_has_examples_and_every_exit_status() -> None:
    """Calls of several commands, and the statuses 0 to 130."""
    page = told("manual").replace("\\-", "-")
    examples = page.partition(".SH EXAMPLES")[2].partition(".SH ")[0]
    assert {"begin", "export", "round"} <= set(re.findall(r"^legtaper (\w+)", examples, re.M))
    statuses = page.partition(".SH EXIT STATUS")[2].partition(".SH ")[0]
    assert re.findall(r"fB(\d+)", statuses) == ["0", "1", "2", "70", "74", "130"]


def test_a_module_of_the_folder_is_a_command_of_the_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What DEVELOPERS.md says of adding a command: one module, and nothing else."""
    (tmp_path / "wave.py").write_text(
        "from legtaper_wizard.cli.options import FILE\n"
        "from legtaper_wizard.cli.sections import Section, command\n\n\n"
        '@command("wave", Section.LOOK, 9)\n'
        "@FILE\n"
        "def wave(file):\n"
        '    """Wave at a project."""\n'
    )
    monkeypatch.setattr(commands, "__path__", [*commands.__path__, str(tmp_path)])
    root = Contents("legtaper", commands=commands.ByName())
    found = root.commands["wave"]
    listed = root.get_help(click.Context(root)).partition("Look at the design:")[2]
    assert "wave" in listed.partition("Take it to paper:")[0]
    assert ".SS legtaper wave " in man_page(root, "0")
    assert found.section.name == "LOOK"
