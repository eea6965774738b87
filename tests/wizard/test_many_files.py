"""Many projects in one call: what is written where, what is told, and what is one file's alone."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legtaper.files.project_file import read_project
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text

NAMES = ("anna", "ben", "cleo")


def run(*arguments: str | Path, **extra: str) -> Result:
    """Run a command in this process."""
    return CliRunner(env={"COLUMNS": "80"}).invoke(main, [str(a) for a in arguments], **extra)  # type: ignore[arg-type]


@pytest.fixture
def students(tmp_path: Path) -> list[Path]:
    """Return three projects of three names; nothing of them fails."""
    folder = tmp_path / "class"
    folder.mkdir()
    text = example_text("courier")
    for name in NAMES:
        named = text.replace("Courier trousers (invented example)", f"Trousers of {name}")
        (folder / f"{name}.toml").write_text(named, encoding="utf-8")
    return [folder / f"{name}.toml" for name in NAMES]


def fail(file: Path) -> None:
    """Let the foot not pass the hem of a project."""
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('hem = "12 in"', 'hem = "5 in"'), encoding="utf-8")


def test_export_writes_every_format_of_every_project_into_a_folder(
    students: list[Path], tmp_path: Path
) -> None:
    """The folder is made; names are of project and design; the files lie directly in it."""
    into = tmp_path / "patterns" / "may"
    done = run("export", *students, "--into", into, "--format", "svg,marks")
    assert done.exit_code == 0, done.output
    assert {path.name for path in into.iterdir()} == {
        f"trousers-of-{name}-slim-taper{ending}"
        for name in NAMES for ending in (".svg", "-marks.txt")
    }  # fmt: skip
    again = run("export", *students, "--into", into, "--format", "svg")
    assert again.exit_code == 2
    assert again.stderr.count("is there already") == 3
    assert run("export", *students, "--into", into, "--format", "svg", "--force").exit_code == 0


def test_what_fails_is_told_and_the_rest_is_written(students: list[Path], tmp_path: Path) -> None:
    """A spoiled file and a failing finding each get their line; the status is 1."""
    students[0].write_text("wearr = 1")
    fail(students[1])
    done = run("export", *students, "--into", tmp_path / "out", "--format", "svg")
    assert done.exit_code == 1
    lines = done.stderr.splitlines()
    assert lines[0].startswith(f"legtaper: {students[0]}: ")
    assert all(line.startswith(f"legtaper: {students[1]}: [FAILS] ") for line in lines[1:])
    assert len(lines) > 1
    assert len(list((tmp_path / "out").iterdir())) == 2


def test_projects_of_one_name_do_not_take_each_others_place(
    students: list[Path], tmp_path: Path
) -> None:
    """The second is named after its file as well, with --force too."""
    for file in students:
        file.write_text(example_text("courier"), encoding="utf-8")
    into = tmp_path / "out"
    done = run("export", *students, "--into", into, "--format", "svg", "--force")
    assert done.exit_code == 0, done.output
    assert len(list(into.iterdir())) == 3


def test_one_project_may_have_several_formats(students: list[Path], tmp_path: Path) -> None:
    """--format alone writes into the folder the caller stands in; --into alone makes a PDF."""
    done = run("export", students[0], "--into", tmp_path / "out")
    assert [path.suffix for path in (tmp_path / "out").iterdir()] == [".pdf"]
    assert done.exit_code == 0


@pytest.mark.parametrize(
    ("options", "word"),
    [
        ((), "--into DIR"),
        (("-o", "x.pdf"), "--into DIR"),
        (("--into", "out", "--format", "png"), "pdf, svg, dxf, marks"),
        (("--into", "out", "-o", "x.pdf"), "not both"),
    ],
)
def test_calls_that_could_mean_two_things_are_refused(
    students: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...], word: str,
) -> None:  # fmt: skip
    """One line says what would be right, and nothing is written; two projects are no OUT."""
    monkeypatch.chdir(tmp_path)
    for files in (students, students[:2]):
        done = run("export", *files, *options)
        assert (done.exit_code, done.stderr.count("\n")) == (2, 1)
        assert word in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["class"]


def test_a_pattern_goes_through_a_pipe(students: list[Path]) -> None:
    """A project on standard input, a pattern on standard output and nothing beside it."""
    text = students[0].read_text(encoding="utf-8")
    done = run("export", "-", "-", "--format", "svg", input=text)
    assert done.exit_code == 0
    assert done.stdout.startswith("<")
    assert done.stdout.rstrip().endswith("</svg>")
    assert "Trousers of anna" in run("check", "-", input=text).stdout
    assert run("export", students[0], "-").exit_code == 2


def test_the_unaltered_leg_needs_no_design(students: list[Path], tmp_path: Path) -> None:
    """A block that nothing comes off yet is printed for its test."""
    text = students[0].read_text(encoding="utf-8").partition("[[design]]")[0]
    students[0].write_text(text, encoding="utf-8")
    out = tmp_path / "block.svg"
    done = run("export", students[0], out, "--leg", "unaltered")
    assert done.exit_code == 0, done.output
    assert out.is_file()
    assert "no design yet" in run("export", students[0], tmp_path / "b.svg").stderr


def test_the_unaltered_leg_has_nothing_of_a_design(students: list[Path], tmp_path: Path) -> None:
    """One that is named changes nothing in the file, and one that is not there is refused."""
    plain, named = tmp_path / "plain.svg", tmp_path / "named.svg"
    design = read_project(students[0].read_bytes()).designs[0].name
    run("export", students[0], plain, "--leg", "unaltered")
    done = run("export", students[0], named, "--leg", "unaltered", "--design", design)
    assert done.exit_code == 0, done.output
    assert named.read_bytes() == plain.read_bytes()
    done = run("export", students[0], tmp_path / "b.svg", "--leg", "unaltered", "--design", "none")
    assert done.exit_code == 2


def test_limits_and_marks_of_many(students: list[Path], tmp_path: Path) -> None:
    """An array each as JSON; one table as CSV, with the project in a column."""
    for command in ("limits", "marks"):
        made = json.loads(run(command, *students, "--json").stdout)
        assert [one["project"] for one in made] == [f"Trousers of {name}" for name in NAMES]
    out = tmp_path / "all.csv"
    done = run("marks", *students, "-o", out)
    assert (done.exit_code, done.stdout) == (0, "")
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"))))
    assert {row["project"] for row in rows} == {f"Trousers of {name}" for name in NAMES}
    assert run("marks", *students, "-o", out).exit_code == 2  # it is there
    text = run("limits", *students).stdout
    assert [text.count(f"Trousers of {name}") for name in NAMES] == [1, 1, 1]


def test_a_folder_is_told_as_an_overview(students: list[Path]) -> None:
    """Who, which step, which round, what fails, what is next; the folder's settings are none."""
    fail(students[1])
    folder = students[0].parent
    (folder / "legtaper-settings.toml").write_text('paper = "letter"\n')
    (folder / "dora.toml").write_text('format = 1\nname = "Dora"\n')
    done = run("check", folder)
    assert done.exit_code == 1
    parts = done.stdout.split(f"{folder}/")[1:]
    assert [part.splitlines()[0] for part in parts] == [
        "anna.toml:", "ben.toml:", "cleo.toml:", "dora.toml:"]  # fmt: skip
    assert "Trousers of ben" in parts[1]
    assert "Fails: " in parts[1]
    assert "Fails: " not in parts[0]
    assert all("Step: " in part and "Round: " in part and "Next: " in part for part in parts)
    assert "no design yet" in parts[3]
    made = json.loads(run("check", folder, "--json").stdout)
    assert [one["project"] for one in made][3] == "Dora"
    assert all({"schema", "step", "status", "next", "file"} <= set(one) for one in made)
    empty = folder / "empty"
    empty.mkdir()
    assert run("check", empty).exit_code == 2
