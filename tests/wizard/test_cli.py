"""The commands: what they print, write and refuse, with their exit status."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legtaper.files.store import load
from legtaper.model.lengths import Length, parse_length
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import NAMES, example_text
from legtaper_wizard.flow.words import on_screen

INCH = 25.4
CALL = "from legtaper_wizard.cli.main import main; main()"
COMMANDS = tuple(main.commands)


def run(*arguments: str | Path, **env: str) -> Result:
    """Run a command in this process; the terminal is 80 columns wide."""
    return CliRunner(env={"COLUMNS": "80", **env}).invoke(main, [str(a) for a in arguments])


@pytest.fixture
def courier(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own."""
    path = tmp_path / "courier.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    return path


def changed(path: Path, old: str, new: str) -> Path:
    """Change one thing in a project file."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


def refused(result: Result, *words: str) -> str:
    """Assert exit 2 with one line on standard error that holds all of `words`."""
    assert result.exit_code == 2, result.output
    line = result.stderr
    assert line.count("\n") == 1
    assert line.startswith("legtaper: ")
    assert not result.stdout
    for word in words:
        assert word in line
    return line


def test_help_lists_every_command() -> None:
    """The first help names every command, each with a sentence."""
    text = run("--help").output
    for name in COMMANDS:
        assert f"\n  {name} " in text


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(name: str) -> None:
    """Each command has a help that is more than its usage line."""
    result = run(name, "--help")
    assert result.exit_code == 0
    assert len(result.output.splitlines()) > 5


@pytest.mark.usefixtures("new_account")
@pytest.mark.parametrize("option", ["--plain", "--ascii"])
def test_the_wizard_begins_by_lines_without_a_command(tmp_path: Path, option: str) -> None:
    """`legtaper --plain` asks for a project line by line; with --ascii in plain letters."""
    typed = "hose\ncm\nback\nback\nHose f\u00fcr Zo\u00eb\nquit\n"
    result = CliRunner().invoke(main, [option], input=typed)
    assert result.exit_code == 0, result.output
    assert "Name for a new project:" in result.output
    assert result.output.isascii() == (option == "--ascii")
    assert 'name = "Hose f\u00fcr Zo\u00eb"' in (tmp_path / "hose.toml").read_text("utf-8")


def test_options_of_the_wizard_go_before_or_behind_a_command(courier: Path) -> None:
    """--ascii draws alike in both places; a command that has no such option says so."""
    before, behind = run("--ascii", "draw", courier), run("draw", courier, "--ascii")
    assert before.output == behind.output
    assert before.output.isascii()
    refused(run("--plain", "check", courier), "check has no --plain")


def test_check_says_all_is_well(courier: Path) -> None:
    """The mild design passes; exit status 0."""
    result = run("check", courier, "--design", "easy taper")
    assert result.exit_code == 0
    assert "All OK." in result.output
    assert "15 in finished" in result.output  # 17 1/2 - 4 * 5/8


def test_check_fails_with_status_1(courier: Path) -> None:
    """A hem that the foot does not pass, with no slit, fails and says what is missing."""
    changed(courier, 'hem = "5/8 in"', 'hem = "1 1/4 in"')
    text = courier.read_text().replace('height = "auto"', 'height = "none"')
    courier.write_text(text)
    result = run("check", courier, "--design", "easy taper")
    assert result.exit_code == 1
    says = "[FAILS]   The hem opens to 12 1/2 in and the foot needs 12 5/8 in: 1/8 in too little."
    assert says in result.output


def test_check_json_has_the_shape_of_the_contract(courier: Path) -> None:
    """One object on standard output, numbers in mm, with the sums that hand arithmetic gives."""
    result = run("check", courier, "--design", "easy taper", "--json")
    report = json.loads(result.stdout)
    assert list(report)[:10] == [
        "schema", "project", "design", "length_unit", "levels", "seams", "pairs", "hem", "slit",
        "findings",
    ]  # fmt: skip
    hem = report["levels"][0]
    assert hem["level"] == "hem"
    assert hem["block"] == pytest.approx(17.5 * INCH)
    assert hem["finished"] == pytest.approx(15 * INCH)
    assert hem["take_in"]["back_inseam"] == pytest.approx(0.625 * INCH)
    assert sum(hem["edges"].values()) == pytest.approx(hem["finished"])
    assert report["levels"][-1]["level"] == "hip"
    assert report["levels"][-1]["finished"] is None
    assert set(report["levels"][-1]["edges"]) == {"front_outseam", "back_outseam"}


def test_the_last_design_is_meant_where_none_is_named(courier: Path) -> None:
    """Without --design, the last design of the file is taken."""
    assert json.loads(run("check", courier, "--json").stdout)["design"] == "slim taper"


def meant(file: Path, tmp_path: Path) -> set[str]:
    """Return the designs that the commands say they mean where none is named."""
    out = tmp_path / "meant.svg"
    said = {json.loads(run(one, file, "--json").stdout)["design"]
            for one in ("check", "marks", "limits")}  # fmt: skip
    said |= {row["design"] for row in
             csv.DictReader(io.StringIO(run("marks", file, "--csv").stdout))}  # fmt: skip
    for told in (run("draw", file), run("export", file, out, "--force")):
        found = re.search(r"Design: ([^,.\n]+)", told.output)
        assert found, told.output
        said.add(found[1])
    said.add(json.loads(run("compare", file, "--json").stdout)["current"])
    return said


def test_every_command_means_the_same_design(courier: Path, tmp_path: Path) -> None:
    """The last of the file, else the one accepted last, else the one the file names current."""
    assert meant(courier, tmp_path) == {"slim taper"}
    changed(courier, "date = 2026-03-20", 'date = 2026-03-20\nverdict = "done"')
    assert meant(courier, tmp_path) == {"easy taper"}
    changed(courier, 'length_unit = "in"', 'length_unit = "in"\ncurrent = "slim taper"')
    assert meant(courier, tmp_path) == {"slim taper"}


def test_every_answer_names_project_and_design(courier: Path) -> None:
    """On the screen and as JSON; each JSON object says the number of its schema first."""
    for command in ("check", "draw", "marks", "limits", "compare"):
        text = run(command, courier).output
        assert text.startswith("Courier trousers (invented example)\n"), command
        assert "slim taper" in text
    for command in ("check", "marks", "limits", "compare"):
        report = json.loads(run(command, courier, "--json").stdout)
        assert list(report)[:2] == ["schema", "project"]
        assert report["schema"] == 1
        assert report["project"] == "Courier trousers (invented example)"


def test_draw_in_braille_and_in_ascii(courier: Path) -> None:
    """The outline has braille dots, or with --ascii nothing beyond ASCII; old and new differ."""
    plain = run("draw", courier, "--ascii", "--width", "60").output
    assert plain.isascii()
    assert "#" in plain
    assert "." in plain
    assert all(len(line) <= 60 for line in plain.splitlines()[:-1])
    dots = run("draw", courier, "--width", "60").output
    assert any("⠀" < letter <= "⣿" for letter in dots)


def test_a_dumb_terminal_gets_ascii(courier: Path) -> None:
    """TERM=dumb draws with letters without being told."""
    assert run("draw", courier, TERM="dumb").output.isascii()


@pytest.mark.parametrize("view", ["panels", "front"])
def test_views_name_the_levels(courier: Path, view: str) -> None:
    """Both views carry the level names with the finished widths at the side."""
    text = run("draw", courier, "--view", view, "--ascii").output
    assert "hem    12 in" in text
    assert "knee   17 in" in text


def test_marks_can_be_followed_with_a_ruler(courier: Path) -> None:
    """At the hem each edge comes in 5/8 in; where the seam blends nothing comes off."""
    report = json.loads(run("marks", courier, "--design", "easy taper", "--json").stdout)
    assert report["rounded_to"] == "1/16in"
    front = [mark for mark in report["marks"] if mark["edge"] == "front_inseam"]
    assert front[0]["height"] == 0
    assert front[0]["come_in"] == pytest.approx(0.625 * INCH)
    assert front[0]["from_grainline"] == pytest.approx(3.5 * INCH)
    assert front[-1]["part"] == "old seam"
    assert front[-1]["come_in"] == 0
    assert report["circumference_after_rounding"]["hem"] == pytest.approx(15 * INCH)


def test_marks_as_text_and_csv_hold_the_same_marks(courier: Path) -> None:
    """The CSV has a row for each mark of the JSON; the text names both seams."""
    report = json.loads(run("marks", courier, "--json").stdout)
    rows = list(csv.DictReader(io.StringIO(run("marks", courier, "--csv").stdout)))
    marks = [row for row in rows if row["come_in_mm"]]
    assert [float(row["come_in_mm"]) for row in marks] == [m["come_in"] for m in report["marks"]]
    below = [row["level"] for row in rows if not row["come_in_mm"]]
    assert below == [mark["what"] for mark in report["below_hem"]]
    assert {row["project"] for row in rows} == {report["project"]}
    hem = rows[0]
    assert (hem["come_in_in"], hem["come_in_fraction"]) == ("1.375", "1 3/8 in")
    assert float(hem["height_in"]) == 0
    text = run("marks", courier, "--round-to", "1/16in").output
    assert "Outseam, in inches, rounded to 1/16 in" in text
    assert "Inseam, in inches, rounded to 1/16 in" in text


def test_limits_answer_the_inverse_questions(courier: Path) -> None:
    """The narrowest hem is the foot entry; the blend ranges end at hip and crotch point."""
    report = json.loads(run("limits", courier, "--design", "easy taper", "--json").stdout)
    assert report["narrowest_hem_without_slit"] == pytest.approx(12.625 * INCH)
    assert report["most_take_in_without_slit"] == pytest.approx(
        (17.5 - 12.625) / 4 * INCH, abs=1e-4
    )
    assert report["blend_range"]["outseam"] == pytest.approx([0, 37.5 * INCH])
    assert report["blend_range"]["inseam"] == pytest.approx([0, 29.1875 * INCH])


def test_limits_say_which_hem_widths_work(courier: Path) -> None:
    """A table from the block's hem down, with the finding that ends it; the same in the JSON."""
    text = run("limits", courier, "--design", "easy taper").output
    assert "Narrower fails: too close at the calf." in " ".join(text.split())
    assert re.search(r"^11 +1 5/8 +5 1/4 +7/16! .* \++$", text, re.MULTILINE)
    assert re.search(r"^10 .* x too close at the calf$", text, re.MULTILINE)
    report = json.loads(run("limits", courier, "--design", "easy taper", "--json").stdout)
    rows = report["hem_widths"]
    assert rows[0]["hem"] == pytest.approx(17.5 * INCH)
    assert [row["works"] for row in rows][-1] == "no"
    assert rows[-1]["first_to_fail"] == "ease-calf"
    widest = report["hem_widths_that_work"][0]
    assert (widest["how"], widest["to"]) == ("without a slit", pytest.approx(17.5 * INCH))


def test_compare_sets_designs_side_by_side(courier: Path) -> None:
    """Both designs and the muslin round stand in the answer."""
    text = run("compare", courier).output
    assert "easy taper" in text
    assert "slim taper" in text
    assert 'Round 1, "easy taper": tried on 2026-03-20' in text
    report = json.loads(run("compare", courier, "--json").stdout)
    assert [entry["design"] for entry in report["designs"]] == ["easy taper", "slim taper"]


@pytest.mark.parametrize("name", NAMES)
def test_begin_writes_an_example_that_checks(tmp_path: Path, name: str) -> None:
    """A project begun from an example can be checked at once."""
    path = tmp_path / "mine.toml"
    assert run("begin", path, "--from-example", name).exit_code == 0
    assert run("check", path).exit_code == 0


def test_begin_overwrites_nothing(courier: Path) -> None:
    """A file that is there stays as it is, unless --force is given."""
    before = courier.read_bytes()
    refused(run("begin", courier), str(courier), "--force")
    assert courier.read_bytes() == before
    assert run("begin", courier, "--from-example", "weekend", "--force").exit_code == 0
    assert courier.read_bytes() != before


@pytest.mark.parametrize("ending", ["svg", "pdf", "dxf"])
@pytest.mark.parametrize("leg", ["narrowed", "unaltered", "both"])
def test_export_writes_each_kind(courier: Path, tmp_path: Path, ending: str, leg: str) -> None:
    """Every kind of file and every choice of leg can be written, and is not empty."""
    out = tmp_path / f"pattern.{ending}"
    result = run("export", courier, out, "--leg", leg)
    assert result.exit_code == 0, result.output
    assert str(out) in result.output
    assert out.stat().st_size > 2000


def test_export_overwrites_nothing(courier: Path, tmp_path: Path) -> None:
    """An output that exists needs --force."""
    out = tmp_path / "pattern.svg"
    out.write_text("mine")
    refused(run("export", courier, out), str(out), "--force")
    assert out.read_text() == "mine"
    assert run("export", courier, out, "--force").exit_code == 0
    assert out.read_text() != "mine"


def test_a_reading_command_changes_no_input(courier: Path, tmp_path: Path) -> None:
    """check, draw, marks, limits, compare and export leave the project file as it was."""
    before, stamp = courier.read_bytes(), courier.stat().st_mtime_ns
    for command in ("check", "draw", "marks", "limits", "compare"):
        run(command, courier)
    run("export", courier, tmp_path / "p.svg")
    assert courier.read_bytes() == before
    assert courier.stat().st_mtime_ns == stamp


def test_demo_does_the_whole_job(tmp_path: Path) -> None:
    """The demo prints findings and outline and writes all pattern files, once."""
    folder = tmp_path / "demo"
    result = run("demo", folder)
    assert result.exit_code == 0, result.output
    assert "All OK." in result.output
    names = {path.name for path in folder.iterdir()}
    assert {"courier.toml", "marks.txt", "pattern.svg", "pattern-a4.pdf", "pattern.dxf"} <= names
    refused(run("demo", folder), "--force")
    assert run("demo", folder, "--force").exit_code == 0


BAD = {
    "a missing key": ('crotch = "29 1/2 in"\nhip', "hip", ["block.height.crotch"]),
    "a duplicate key": ('knee = "17 in"\n', 'knee = "17 in"\nknee = "18 in"\n', ["knee"]),
    "a wrong type": ('length_unit = "in"', "length_unit = 7", ["length_unit"]),
    "levels out of order": ('knee = "17 in"', 'knee = "8 in"', ["block.height.knee", "calf"]),
    "an inseam inside the grainline": (
        '[block.front.inseam]               # up to the crotch point\nhem = "4 1/8 in"',
        '[block.front.inseam]\nhem = "-4 1/8 in"',
        ["block.front.inseam.hem"],
    ),
    "a blend below an asked level": (
        'calf = "15 1/2 in"\nknee = "17 in"\n[design.blend]\noutseam = "37 1/2 in"',
        'calf = "15 1/2 in"\nknee = "17 in"\n[design.blend]\noutseam = "16 in"',
        ["slim taper", "blend.outseam"],
    ),
    "a hem above the calf": (
        'depth = "1 1/2 in"\nturn_under',
        'depth = "12 in"\nturn_under',
        ["hem.depth", "calf"],
    ),
    "a newer format": ("format = 1", "format = 2", ["format"]),
    "a length that is two": ('hip = "40 1/2 in"', 'hip = "40 1/2 in 3"', ["wearer.hip"]),
    "an absurd girth": ('hip = "40 1/2 in"', 'hip = "4050 cm"', ["wearer.hip"]),
    "an unknown key": ("[wearer]", '[wearer]\nneck = "14 in"', ["wearer.neck"]),
}


@pytest.mark.parametrize("case", list(BAD))
def test_bad_input_gets_one_line(courier: Path, tmp_path: Path, case: str) -> None:
    """Each names the file and the key, exits with 2, and writes nothing."""
    old, new, words = BAD[case]
    changed(courier, old, new)
    out = tmp_path / "p.svg"
    refused(run("check", courier), str(courier), *words)
    refused(run("export", courier, out), *words)
    assert not out.exists()


def test_an_unknown_design_names_those_there_are(courier: Path) -> None:
    """A design that the file does not have is refused with the names that it has."""
    refused(run("check", courier, "--design", "loose"), "loose", "easy taper", "slim taper")


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    """Bytes that are not UTF-8 are refused in one line."""
    path = tmp_path / "x.toml"
    path.write_bytes(b"format = 1\nname = '\xff\xfe'\n")
    refused(run("check", path), str(path), "UTF-8")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A missing file is named."""
    refused(run("check", tmp_path / "none.toml"), "none.toml")


def test_open_without_a_file_says_what_opens_the_wizard() -> None:
    """With the flags that were given, which the program takes, too."""
    refused(run("open"), "open takes a FILE", "opens with: legtaper")
    refused(run("open", "--ascii", "--plain"), "opens with: legtaper --ascii --plain")


def test_a_folder_that_cannot_be_written(courier: Path, tmp_path: Path) -> None:
    """An output in a folder that does not exist is refused; nothing is made."""
    out = tmp_path / "nowhere" / "p.svg"
    refused(run("export", courier, out), "nowhere")
    assert not out.parent.exists()


def test_an_ending_that_is_not_known(courier: Path, tmp_path: Path) -> None:
    """An output must end in .svg, .pdf or .dxf."""
    refused(run("export", courier, tmp_path / "p.png"), ".svg", ".pdf", ".dxf")


def test_an_unknown_paper(courier: Path, tmp_path: Path) -> None:
    """A paper that is not known is refused with those that are; nothing is written."""
    out = tmp_path / "p.pdf"
    refused(run("export", courier, out, "--paper", "b7"), "a4", "letter", "roll")
    assert not out.exists()


def test_a_project_without_a_design_says_what_is_next(tmp_path: Path) -> None:
    """A project that is only begun is no crash."""
    path = tmp_path / "new.toml"
    path.write_text('format = 1\nname = "New"\n')
    refused(run("check", path), "design")


def test_names_cannot_drive_the_terminal(courier: Path) -> None:
    """Escape sequences in names never reach the screen."""
    changed(courier, 'name = "Courier trousers (invented example)"', 'name = "x\\u001b[2Jy\\u202e"')
    for command in ("check", "compare", "marks"):
        output = run(command, courier).output
        assert "\x1b" not in output
        assert "\u202e" not in output


def test_csv_levels_are_no_formulas(courier: Path) -> None:
    """A level named like a formula does not become one in a spreadsheet."""
    text = run("marks", courier, "--csv").stdout
    assert not any(
        cell[:1] in "=+@" for line in text.splitlines() for cell in line.split(",") if cell
    )


def test_a_fraction_below_the_hem_is_a_word_and_no_minus(courier: Path) -> None:
    """What a spreadsheet might take for a formula says "below", without an apostrophe."""
    rows = list(csv.DictReader(io.StringIO(run("marks", courier, "--csv").stdout)))
    below = [row for row in rows if float(row["height_mm"]) < 0]
    assert below
    for row in below:
        assert row["height_fraction"].endswith(" in below")
        inches = row["height_fraction"].removesuffix(" below")
        assert parse_length(inches, "in").mm == pytest.approx(-float(row["height_mm"]), abs=0.8)
    cells = [cell for row in rows for key, cell in row.items() if key.endswith("_fraction")]
    assert not any(cell.startswith(("'", "-")) for cell in cells)


def test_a_hem_and_what_comes_off_for_it_belong_together(courier: Path) -> None:
    """Typed as said it is that hem or, where it is "a little over", less than a step wider."""
    text = run("limits", courier).output
    found = re.search(r"alone: ([^;]+); that is (a little over )?(.+ in) off each edge", text)
    assert found
    hem, off = parse_length(found[1], "in").mm, parse_length(found[3], "in").mm
    widest = parse_length("17 1/2", "in").mm
    over = (widest - hem) / 4 - off
    assert 0 <= over < INCH / 16
    assert bool(found[2]) == (over > 0.01)
    zeros = [line for line in text.splitlines() if re.match(r"[\d /]+? +0 +none", line)]
    assert len(zeros) == 1


@pytest.mark.parametrize("hip", ["37 7/16 in", "37.45 in", "37.3 in", "37 1/2 in"])
def test_a_blend_is_never_higher_than_it_may_be(courier: Path, hip: str) -> None:
    """`check` names no height above the one up to which `limits` lets the seam blend."""
    text = courier.read_text(encoding="utf-8")
    courier.write_text(text.replace('"37 1/2 in"', f'"{hip}"'), encoding="utf-8")
    at = re.search(
        r"outseam runs into the old seam at (.+ in) without", run("check", courier).output
    )
    up_to = re.search(r"outseam may blend .* up to (.+ in)\.", run("limits", courier).output)
    assert at
    assert up_to
    assert parse_length(at[1], "in").mm <= parse_length(up_to[1], "in").mm


def test_the_environment_of_a_script(courier: Path) -> None:
    """With a locale of plain ASCII the commands print without stumbling."""
    import subprocess
    import sys

    env = {**os.environ, "LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-c", CALL, "draw", str(courier)],
        capture_output=True,
        env=env,
        check=False,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()


def test_begin_drafts_from_a_body(tmp_path: Path) -> None:
    """A body makes a project; every number is told, and stands in the file as a remark."""
    path = tmp_path / "new.toml"
    result = run("begin", path, "--from-body", "hip=41 in", "height=66 in", "knee=15 1/2")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("This is a starting block: sew and fit it before you taper.\n")
    assert "knee = 15 1/2 in (given" in result.output
    assert "inside_leg = 31 3/4 in (estimated" in result.output
    text = path.read_text("utf-8")
    assert text.startswith("# This is a starting block")
    assert 'hip = "41 in"' in text


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["--from-body"], "hip: missing"),
        (["--from-body", "hip"], "write it like hip=41in"),
        (["--from-body", "hip=wide"], "hip: "),
        (["--from-body", "hip=41", "hip=42"], "given twice"),
        (["hip=41in"], "goes with --from-body"),
    ],
)
def test_begin_refuses_a_body_it_cannot_use(
    tmp_path: Path, arguments: list[str], word: str
) -> None:
    """One line says which key is wrong, and nothing is written."""
    refused(run("begin", tmp_path / "new.toml", *arguments), word)
    assert not list(tmp_path.iterdir())


def test_begin_takes_a_block_from_a_drawing(tmp_path: Path) -> None:
    """An exported SVG or DXF makes a project whose whole pieces are checked and exported again."""
    body = tmp_path / "body.toml"
    assert run("begin", body, "--from-body", "hip=41", "waist=33", "height=66").exit_code == 0
    with body.open("a") as file:
        file.write('[[design]]\nname = "a"\n[design.take_in]\nhem = "5/8 in"\n')
    for kind, front, back in (
        ("svg", "unaltered-front-net", "unaltered-back-net"),
        ("dxf", "unaltered-front", "unaltered-back"),
    ):
        drawing, again = tmp_path / f"a.{kind}", tmp_path / f"{kind}.toml"
        assert run("export", body, drawing, "--leg", "both").exit_code == 0
        result = run("begin", again, f"--from-{kind}", drawing, "--front", front, "--back", back,
                     "hip=33 1/4", "knee=17 1/2")  # fmt: skip
        assert result.exit_code == 0, result.output
        assert "Front: hem 9" in result.output
        text = again.read_text()
        assert "[block.outline.front]" in text
        again.write_text(text + '[[design]]\nname = "a"\n[design.take_in]\nhem = "1/2 in"\n')
        assert run("check", again).exit_code == 0
        assert run("export", again, tmp_path / f"again.{kind}").exit_code == 0


def test_begin_says_what_it_needs_of_a_drawing(tmp_path: Path) -> None:
    """A missing file, a missing name, a wrong place and two sources get one line each."""
    drawing, new = tmp_path / "a.svg", tmp_path / "new.toml"
    refused(run("begin", new, "--from-svg", drawing), "a.svg", "no such file")
    refused(run("begin", new, "--from-svg", tmp_path), "no plain file")
    leg = "M0 0H200V-900H-40V-860z"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
        f'<path id="left" d="{leg}"/></svg>'
    )
    refused(run("begin", new, "--from-svg", drawing), "--front", "left")
    both = ("--front", "left", "--back", "left")
    refused(run("begin", new, "--from-svg", drawing, *both, "front.crotch=1"), "front.crotch")
    refused(run("begin", new, "--from-svg", drawing, *both, "front.up=down"), "front.up", "bottom")
    refused(run("begin", new, "--from-svg", drawing, *both, "knee"), "knee")
    refused(run("begin", new, "--from-svg", drawing, "--front", "x", "--back", "y"), "left")
    refused(run("begin", new, "--from-svg", drawing, "--from-body"), "choose one")
    refused(run("begin", new, "--from-dxf", drawing, *both), "a.svg", "no DXF drawing")
    assert not new.exists()


def test_a_wide_table_stacks_its_header_to_fit_a_terminal(courier: Path) -> None:
    """Nothing of the marking table but its closing sentence is wider than 80 columns."""
    lines = run("marks", courier).stdout.splitlines()
    assert all(len(line) <= 80 for line in lines if not line.startswith(("  Come in", "  Heights")))
    head = next(i for i, line in enumerate(lines) if line.startswith("  Above"))
    assert lines[head].split() == ["Above", "Up", "to", "Front:", "from", "Back:", "from"]
    assert lines[head + 1].split()[:3] == ["hem", "Level", "next"]


def test_long_lines_are_broken_between_words_and_set_in() -> None:
    """A finding goes on below its words, any other line two columns in; short ones stay."""
    text = "[warning] one two three four five six\n  and then one more line\n\nshort"
    assert on_screen(text, 22).split("\n") == [
        "[warning] one two",
        "          three four",
        "          five six",
        "  and then one more",
        "    line",
        "",
        "short",
    ]


def test_a_bare_number_of_the_wrong_unit_is_read_back(tmp_path: Path) -> None:
    """98 in for a hip is not measured wrong, it is the wrong unit: both are said."""
    result = run("begin", tmp_path / "a.toml", "--from-body", "hip=98", "height=66")
    refused(result, "hip", "read as 98 in, 248.9 cm", "out of range")
    body = tmp_path / "b.toml"
    assert run("begin", body, "--from-body", "hip=98", "height=172", "--unit", "cm").exit_code == 0
    assert load(body).wearer.hip == Length(980.0, "98 cm")


def test_many_files_get_a_line_each(courier: Path, tmp_path: Path) -> None:
    """A teacher sees where each stands; a broken file is told of, and the worst status counts."""
    well, broken, fresh = tmp_path / "well.toml", tmp_path / "broken.toml", tmp_path / "fresh.toml"
    story = Path(__file__).parents[2] / "examples" / "story"
    well.write_text((story / "5-done.toml").read_text(encoding="utf-8"), encoding="utf-8")
    fresh.write_text((story / "1-block.toml").read_text(encoding="utf-8"), encoding="utf-8")
    result = run("check", well, fresh)
    assert result.exit_code == 0
    assert f"{well}: All OK; done:" in result.stdout
    assert f"{fresh}: no design yet." in result.stdout
    broken.write_text("wearr = 1")
    changed(courier, 'hem = "12 in"', 'hem = "5 in"')
    assert run("check", well, courier).exit_code == 1
    result = run("check", well, broken, courier)
    assert result.exit_code == 2
    assert [line.split(":")[0] for line in result.stdout.splitlines()] == [
        str(file) for file in (well, broken, courier)
    ]
    refused(run("check", well, courier, "--design", "slim taper"), "one FILE")


def test_a_block_without_a_design_is_drawn_and_told_of(tmp_path: Path) -> None:
    """`draw` shows the block; what needs a design says how to come to one."""
    story = Path(__file__).parents[2] / "examples" / "story" / "1-block.toml"
    file = tmp_path / "mine.toml"
    file.write_text(story.read_text(encoding="utf-8"), encoding="utf-8")
    result = run("draw", file, "--ascii")
    assert result.exit_code == 0
    assert "hem" in result.stdout
    assert "of the block" in result.stdout
    for command in ("check", "marks", "limits"):
        refused(run(command, file), "no design yet", f"legtaper open {file}")


def test_bounds_are_kept_by_whoever_takes_them_as_they_are_said(courier: Path) -> None:
    """The most is rounded down and the least up: put into the file, what is printed passes."""
    changed(courier, 'height = "auto"', 'height = "none"')
    text = run("limits", courier, "--design", "easy taper").output
    most = re.search(r"Most that can come off each edge at the hem: ([^;]+);", text)
    least = re.search(r"Narrowest hem without a slit, by the foot alone: ([^;]+);", text)
    assert most
    assert least
    changed(courier, 'hem = "5/8 in"', f'hem = "{most[1]}"')
    assert run("check", courier, "--design", "easy taper").exit_code == 0
    changed(courier, f'hem = "{most[1]}"', 'hem = "5/8 in"')
    changed(courier, "[design.take_in] ", "[design.width] ")
    changed(courier, 'hem = "5/8 in"', f'hem = "{least[1]}"')
    assert run("check", courier, "--design", "easy taper").exit_code == 0


def test_an_extra_at_the_hem_counts_in_what_may_come_off(courier: Path) -> None:
    """1/2 in more off both outseam edges leaves an inch less around the hem for all four."""
    changed(courier, 'height = "auto"', 'height = "none"')
    extra = '[design.extra.outseam]\nhem = "1/2 in"\n'
    changed(courier, "[design.take_in]", f"{extra}[design.take_in]")
    report = json.loads(run("limits", courier, "--design", "easy taper", "--json").stdout)
    assert report["most_take_in_without_slit"] == pytest.approx(
        (16.5 - 12.625) / 4 * INCH, abs=1e-4
    )
    assert report["most_take_in_per_edge"] == pytest.approx((16.5 - 12.625) / 4 * INCH, abs=1e-3)


def test_an_example_comes_in_the_unit_that_is_asked_for(tmp_path: Path) -> None:
    """Centimeters begin the example in centimeters; one that is named goes before that."""
    for number, (options, unit) in enumerate(
        (
            ((), "in"),
            (("--unit", "cm"), "cm"),
            (("--unit", "cm", "--from-example", "courier"), "in"),
        )
    ):
        file = tmp_path / f"{number}.toml"
        result = run("begin", file, *options)
        assert "An invented example" in result.stdout
        assert load(file).length_unit == unit


@pytest.mark.parametrize(
    ("options", "word"),
    [
        (("--from-body", "hip=41", "height=66", "--front", "a"), "go with a drawing"),
        (("--px-per-inch", "96"), "go with a drawing"),
        (("--from-body", "hip=41", "--from-example", "weekend"), "choose one of"),
        (("--from-svg", "examples/outline.svg", "--front", "front", "--back", "back",
          "--px-per-inch", "0"), "px"),
        (("--from-svg", "examples/outline.svg", "--front", "front", "--back", "back",
          "front.crotch=12cm,43cm"), "a place in mm"),
    ],
)  # fmt: skip
def test_options_that_do_not_belong_together_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], word: str
) -> None:
    """Nothing is dropped without a word, and nothing is written."""
    monkeypatch.chdir(Path(__file__).parents[2])
    file = tmp_path / "mine.toml"
    refused(run("begin", file, *options), word)
    assert not file.exists()


def test_an_error_is_json_where_json_was_asked_for(courier: Path, tmp_path: Path) -> None:
    """One object on standard output: file, key, words; the line on standard error stays."""
    changed(courier, 'knee = "17 in"', 'knee = "8 in"')
    none = tmp_path / "none.toml"
    for call, file, key, word in (
        (("check", courier), str(courier), "block.height.knee", "calf"),
        (("limits", none), str(none), None, "not found"),
        (("check", none, "--width", "3"), None, None, "--width"),
    ):
        result = run(*call, "--json")
        assert result.exit_code == 2
        assert result.stderr.count("\n") == 1
        assert word in result.stderr
        report = json.loads(result.stdout)
        assert list(report) == ["schema", "error"]
        assert (report["error"]["file"], report["error"]["key"]) == (file, key)
        assert word in report["error"]["says"]


def test_what_the_system_will_not_write_has_a_status_of_its_own(
    courier: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """74 where the disk is full; 2 where the folder is not there, for the call names it."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "no room")

    refused(run("export", courier, tmp_path / "no" / "p.svg"), "folder does not exist")
    monkeypatch.setattr("tempfile.mkstemp", full)
    result = run("export", courier, tmp_path / "p.svg")
    assert result.exit_code == 74
    assert result.stderr.count("\n") == 1
    assert "the disk is full" in result.stderr
    assert not (tmp_path / "p.svg").exists()


def test_a_reader_who_leaves_is_no_failing_finding(courier: Path) -> None:
    """Into a closed pipe the status is 74, without a word."""
    import subprocess
    import sys

    into, out = os.pipe()
    os.close(into)
    with os.fdopen(out, "w") as closed:
        done = subprocess.run([sys.executable, "-c", CALL, "check", str(courier)], stdout=closed,
                              stderr=subprocess.PIPE, text=True, check=False)  # fmt: skip
    assert (done.returncode, done.stderr) == (74, "")
