"""Muslin rounds by commands: `round`, `compare`, and what `export` means after them."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from legtaper.files.project_file import read_project, write_project
from legtaper.files.store import Store, load
from legtaper.model.lengths import parse_length
from legtaper.model.project import EDGES, Pinch, Round
from legtaper.muslin.sewn_as import sewn_as
from legtaper.pattern import block_of
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text

INCH = 25.4
ROUGH = 0.01  # mm; four decimals of an inch, round the leg


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own; it has one round of its easy taper."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    return path


def run(*arguments: object) -> Result:
    """Run a command in this process; the terminal is 80 columns wide."""
    return CliRunner(env={"COLUMNS": "80"}).invoke(main, [str(one) for one in arguments])


def done(*arguments: object) -> str:
    """Run a command that goes well and return what it says."""
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.output


def refused(result: Result, *words: str) -> None:
    """Assert exit 2 and one line on standard error with all of `words`."""
    assert result.exit_code == 2, result.output
    assert result.stderr.count("\n") == 1
    assert not result.stdout
    for word in words:
        assert word in result.stderr


def levels(path: Path, design: str) -> dict[str, dict[str, Any]]:
    """Return the levels of a design as `check --json` gives them, lengths in inches."""
    report = json.loads(run("check", path, "--design", design, "--json").stdout)
    return {
        row["level"]: {
            "finished": row["finished"] and row["finished"] / INCH,
            "take_in": {edge: mm / INCH for edge, mm in row["take_in"].items()},
        }
        for row in report["levels"]
    }


def inches(value: float) -> Any:
    """Return a value in inches, to what four decimals say around the leg."""
    return pytest.approx(value, abs=ROUGH / INCH)


def everywhere(value: float) -> dict[str, Any]:
    """Return the same take-in, in inches, for all four edges."""
    return {edge: inches(value) for edge in EDGES}


# --- a story over three rounds ---------------------------------------------------------------


def test_three_rounds_end_in_the_widths_that_hand_arithmetic_gives(
    mine: Path, tmp_path: Path
) -> None:
    """From the slim taper, 12 in at the hem, 15 1/2 at the calf and 17 at the knee, to what fits.

    Its block is 17 1/2 in round at the hem and 19 1/2 in at the knee.
    """
    # Round 2: sewn as designed, it binds at the knee on the pedals.
    assert "printed 2026-04-01, not yet tried on" in done(
        "round", mine, "--printed", "--date", "2026-04-01"
    )
    assert "Now: round 2 printed, not yet tried on." in done("round", mine)
    said = done(
        "round", mine, "--date", "2026-04-03", "--seen", "stand", "--trouble", "bend the knee",
        "--pinch", "knee:outseam:-1/4in", "--notes", "binds on the pedals",
        "--verdict", "too far", "--next", "slim 2",
    )  # fmt: skip
    assert 'Round 2, "slim taper": printed 2026-04-01, tried on 2026-04-03.' in said
    assert "The knee is 17 1/2 in around the leg, before 17 in." in said
    # Let out 1/4 in on two edges is 1/2 in round the leg, spread over all four:
    # 17 + 2 * 1/4 = 17 1/2, and (19 1/2 - 17 1/2) / 4 = 1/2 off each edge.
    second = levels(mine, "slim 2")
    assert second["knee"]["finished"] == inches(17.5)
    assert second["knee"]["take_in"] == everywhere(0.5)
    assert second["hem"]["finished"] == inches(12)

    # Round 3: the knee is well; the ankle could be closer, and the calf at the outseam alone.
    done("round", mine, "--printed", "--date", "2026-04-08")
    said = done(
        "round", mine, "--date", "2026-04-10", "--seen", "bend the knee",
        "--pinch", "hem:outseam:1/16in", "--pinch", "hem:inseam:1/16in",
        "--pinch", "calf:outseam:1/8", "--verdict", "closer",
        "--next", "slim 3", "--spread", "as-pinched",
    )  # fmt: skip
    assert 'Made "slim 3" from round 3.' in said
    # Hem: 12 - 2 * 1/16 - 2 * 1/16 = 11 3/4. Calf: 15 1/2 - 2 * 1/8 = 15 1/4. Knee: as it was.
    third = levels(mine, "slim 3")
    assert third["hem"]["finished"] == inches(11.75)
    assert third["calf"]["finished"] == inches(15.25)
    assert third["knee"]["finished"] == inches(17.5)
    # (17 1/2 - 12) / 4 = 1 3/8 and 1/16 more; at the calf the outseams alone give 1/8 more.
    assert third["hem"]["take_in"] == everywhere(1.4375)
    calf, before = third["calf"]["take_in"], second["calf"]["take_in"]
    assert calf["front_outseam"] - before["front_outseam"] == inches(0.125)
    assert calf["back_inseam"] == inches(before["back_inseam"])

    # Round 4: a level that the design does not name. The seams take there what they took, less.
    done("round", mine, "--printed", "--date", "2026-04-15")
    done(
        "round", mine, "--date", "2026-04-17", "--pinch", "thigh:outseam:-1/16",
        "--verdict", "closer", "--next", "slim 4", "--spread", "as-pinched",
    )  # fmt: skip
    fourth = levels(mine, "slim 4")
    thigh, before = fourth["thigh"]["take_in"], third["thigh"]["take_in"]
    for edge in thigh:
        less = 0.0625 if edge.endswith("outseam") else 0.0
        assert thigh[edge] == inches(before[edge] - less)
    assert fourth["hem"]["finished"] == inches(11.75)
    assert fourth["calf"]["finished"] == inches(15.25)
    assert fourth["knee"]["finished"] == inches(17.5)

    # Round 5: done. An export means that design now.
    done("round", mine, "--date", "2026-04-24", "--seen", "sit", "--verdict", "done")
    assert 'done: "slim 4", accepted in round 5' in done("round", mine)
    out = tmp_path / "pattern.svg"
    assert "Design: slim 4, accepted in round 5." in done("export", mine, out)
    assert "design: slim 4" in out.read_text(encoding="utf-8")

    # Gone back to round 3 and forward again: nothing was lost.
    before_file = mine.read_text(encoding="utf-8")
    assert 'gone back to round 3, "slim 2"' in done("round", mine, "--back", 3)
    assert "Design: slim 2." in done("export", mine, out, "--force")
    done("round", mine, "--accept", 5)
    assert mine.read_text(encoding="utf-8") == before_file
    assert len(read_project(before_file).rounds) == 5


def test_a_pinch_at_a_level_between_by_hand(mine: Path) -> None:
    """The easy taper takes 5/8 in off the hem edges; let out 1/8 in at the knee outseam, evened.

    The outseam blends at 37 1/2 in over 18 3/4 in: its corner lies at 28 1/8 in, above the knee,
    so it takes 5/8 * (1 - 17 / 28 1/8) there. The inseam blends at 28 1/2 in over 14 1/4 in: its
    corner lies at 21 3/8 in and it curves from 14 1/4 in up.
    """
    outseam = 0.625 * (1 - 17 / 28.125)
    inseam = 0.625 / 21.375 * (28.5 - 17) ** 2 / (2 * 14.25)
    edge = (outseam - 0.125 + inseam) / 2
    done("round", mine, "--back", 1)
    done("round", mine, "--next", "easy taper 2")
    knee = levels(mine, "easy taper 2")["knee"]
    assert knee["finished"] == inches(19.5 - 4 * edge)
    assert knee["take_in"] == everywhere(edge)
    grown = read_project(mine.read_text(encoding="utf-8")).designs[-1]
    assert (grown.parent, grown.from_round) == ("easy taper", 1)


def test_the_accepted_design_is_meant_and_not_the_last(mine: Path, tmp_path: Path) -> None:
    """The easy taper is accepted, the slim one stands behind it; --design still has its way."""
    done("round", mine, "--accept", 1)
    out = tmp_path / "pattern.svg"
    assert "Design: easy taper, accepted in round 1." in done("export", mine, out)
    assert "design: easy taper" in out.read_text(encoding="utf-8")
    assert "Design: slim taper." in done("export", mine, out, "--design", "slim taper", "--force")
    # So do the other commands.
    assert json.loads(done("check", mine, "--json"))["design"] == "easy taper"


# --- the command round -----------------------------------------------------------------------


def test_round_explains_itself() -> None:
    """Its help names the checklist and has an example to copy."""
    said = done("round", "--help")
    for words in ("put-the-foot", "knee:outseam:-1/4in", "--verdict closer"):
        assert words in said
    assert "\n  round " in done("--help")


def test_without_an_option_round_only_reads(mine: Path) -> None:
    """It tells of the rounds, where work stands and what comes next."""
    before = mine.read_bytes()
    said = done("round", mine)
    assert 'Round 1, "easy taper": tried on 2026-03-20. Let out 1/8 in at the knee' in said
    assert "Next: print both legs and sew the test." in said
    assert mine.read_bytes() == before
    assert [path.name for path in mine.parent.iterdir()] == [mine.name]


def test_a_round_is_added_and_the_remarks_of_the_file_stay(mine: Path) -> None:
    """Only lines are added, with the fingerprint of the block; the state before is kept."""
    before = mine.read_text(encoding="utf-8")
    done("round", mine, "--pinch", "knee:inseam:½", "--verdict", "closer", "--date", "2026-04-01")
    text = mine.read_text(encoding="utf-8")
    assert set(before.splitlines()) <= set(text.splitlines())
    project = read_project(text)
    assert project.rounds[-1] == Round(
        "slim taper",
        date=project.rounds[-1].date,
        pinches=(Pinch("knee", "inseam", parse_length("½", "in")),),
        verdict="closer",
        fingerprint="7e895211a73b20d0",
        design_fingerprint=sewn_as(project, block_of(project), project.design("slim taper")),
    )
    assert (mine.parent / "mine.toml.bak").read_text(encoding="utf-8") == before


def test_next_can_come_later(mine: Path) -> None:
    """First the round, on another day the design; the name must be new."""
    done("round", mine, "--pinch", "hem:outseam:1/8", "--verdict", "closer")
    assert 'Made "slim 2" from round 2.' in done("round", mine, "--next", "slim 2")
    refused(run("round", mine, "--next", "slim 2"), "mine.toml", '"slim 2" already')


BAD: dict[str, tuple[list[str], list[str]]] = {
    "a pinch without a depth": (["--pinch", "knee:outseam"], ["--pinch", "knee:outseam:1/4in"]),
    "a pinch at no seam": (["--pinch", "knee:crotch:1/4"], ["--pinch", "outseam or inseam"]),
    "a pinch that is no length": (["--pinch", "knee:inseam:much"], ["--pinch", "much"]),
    "a pinch at no level": (["--pinch", "shin:inseam:1/4"], ["pinch 1.level", "knee"]),
    "a pinch where there is no new seam": (["--pinch", "hip:outseam:1/4"], ["37 1/2 in up"]),
    "a pinch of more than there is": (
        ["--pinch", "hem:inseam:3.5", "--pinch", "hem:outseam:3.5", "--sure", "--next", "x"],
        ["than the block has there"],
    ),
    "a pinch of more than any fold": (["--pinch", "hem:inseam:13in"], ["above 3 7/8 in"]),
    "a word that is not on the list": (["--tried", "dance"], ["--tried", '"climb a step"']),
    "a verdict that is none": (["--verdict", "fine"], ["--verdict", "closer"]),
    "a day that is none": (["--date", "soon"], ["--date", "soon"]),
    "a design that is not there": (["--design", "wide", "--notes", "x"], ["easy taper"]),
    "a design and nothing else": (["--design", "easy taper"], ["--printed"]),
    "two things at once": (["--printed", "--verdict", "done"], ["do not go together"]),
    "back to a round that is not there": (["--back", "7"], ["no round 7", "last one is 1"]),
    "a next design without a name": (["--next", " "], ["--next", "name"]),
}  # fmt: skip


@pytest.mark.parametrize("case", list(BAD))
def test_a_wrong_call_changes_nothing(mine: Path, case: str) -> None:
    """One line that says what would be right, exit status 2, the file as it was."""
    arguments, words = BAD[case]
    before = mine.read_bytes()
    refused(run("round", mine, *arguments), *words)
    assert mine.read_bytes() == before


def test_a_project_that_is_open_elsewhere_is_not_written_to(mine: Path) -> None:
    """The lock of the store holds for the command, too."""
    other = Store.open(mine, for_writing=True)
    try:
        refused(run("round", mine, "--verdict", "closer"), "mine.toml", "open in another session")
    finally:
        other.close()
    assert "Saved" not in done("round", mine)


def test_rounds_of_an_older_block_are_marked(mine: Path, tmp_path: Path) -> None:
    """The block changes after round 2: it says so, what to sew again, and deletes nothing."""
    done("round", mine, "--pinch", "knee:outseam:-1/8", "--verdict", "done")
    text = mine.read_text(encoding="utf-8")
    changed = text.replace('hem = "4 1/8 in"', 'hem = "4 1/4 in"')
    mine.write_text(changed, encoding="utf-8")
    said = done("round", mine)
    assert 'Round 2, "slim taper": tried on' in said
    assert "Out of date" in said
    again = 'sew the block as it is, then "slim taper" once more.'
    assert f"The block has changed since its test and round 2; {again}" in said
    assert again in " ".join(done("compare", mine).split())
    assert again in done("export", mine, tmp_path / "p.svg")
    report = json.loads(done("compare", mine, "--json"))
    assert [one["out_of_date"] for one in report["rounds"]] == [False, True]
    assert report["out_of_date"]["block_test"] is True
    assert mine.read_text(encoding="utf-8") == changed


def test_a_project_that_is_only_begun_has_no_rounds(tmp_path: Path) -> None:
    """It says what comes first; a round of nothing is refused."""
    path = tmp_path / "new.toml"
    path.write_text('format = 1\nname = "New"\n', encoding="utf-8")
    assert "Next: say how much comes off." in done("round", path)
    refused(run("round", path, "--verdict", "closer"), "new.toml", "block.height")


# --- compare ---------------------------------------------------------------------------------


def test_compare_on_the_screen(mine: Path) -> None:
    """Figures, what changed, rounds and outlines; nothing wider than the terminal."""
    said = done("compare", mine, "--ascii")
    for words in ("Width around the leg", "Comes off each edge", "Ease", "hip girth",
                  "From easy taper to slim taper", "The hem is 12 in around the leg, before 15 in.",
                  'Round 1, "easy taper"', ". block   o easy taper   # slim taper"):  # fmt: skip
        assert words in said
    assert said.isascii()
    assert max(map(len, said.splitlines())) <= 80
    assert "dotted: block   dashed: easy taper   solid: slim taper" in done("compare", mine)


def test_compare_some_designs_and_rounds(mine: Path) -> None:
    """Named designs and rounds alone, in that order."""
    report = json.loads(done("compare", mine, "--design", "slim taper", "--round", 1, "--json"))
    assert [(one["design"], one["round"]) for one in report["designs"]] == [
        ("slim taper", None),
        ("easy taper", 1),
    ]
    assert report["changes"][0]["to"] == "round 1: easy taper"
    refused(run("compare", mine, "--round", 9), "mine.toml", "no round 9")
    refused(run("compare", mine, "--design", "wide"), "mine.toml", '"easy taper"')


@pytest.mark.parametrize("ending", ["pdf", "svg"])
def test_compare_on_paper(mine: Path, tmp_path: Path, ending: str) -> None:
    """One page, written once."""
    out = tmp_path / f"page.{ending}"
    assert "2 side by side on one page" in done("compare", mine, "--out", out)
    data = out.read_bytes()
    if ending == "pdf":
        assert len(PdfReader(BytesIO(data)).pages) == 1
    else:
        assert b"Width around the leg" in data
    refused(run("compare", mine, "--out", out), str(out), "--force")
    assert out.read_bytes() == data
    done("compare", mine, "--out", out, "--force")


def test_compare_on_paper_needs_an_ending_that_is_known(mine: Path, tmp_path: Path) -> None:
    """Neither a picture nor both answers at once."""
    refused(run("compare", mine, "--out", tmp_path / "p.png"), ".pdf or .svg")
    both = run("compare", mine, "--out", tmp_path / "p.pdf", "--json")
    assert both.exit_code == 2
    assert "not both" in json.loads(both.stdout)["error"]["says"]
    assert [path.name for path in tmp_path.iterdir()] == [mine.name]


def test_export_of_both_legs_prints_the_checklist(mine: Path, tmp_path: Path) -> None:
    """The sheet of a test has it; that of the narrowed leg alone has not."""
    texts = []
    for leg in ("both", "narrowed"):
        out = tmp_path / f"{leg}.pdf"
        said = done("export", mine, out, "--leg", leg)
        assert ("Round 2 counts as printed" in said) == (leg == "both")
        pages = PdfReader(BytesIO(out.read_bytes())).pages
        texts.append("\n".join(page.extract_text() for page in pages))
    assert "Trying it on" in texts[0]
    assert "Trying it on" not in texts[1]
    assert ["What went before" in text for text in texts] == [True, False]


# --- a long term -----------------------------------------------------------------------------


@pytest.fixture
def many(mine: Path) -> Path:
    """Return a project of 300 rounds, each of the design that came of the one before."""
    project = read_project(mine.read_text(encoding="utf-8"))
    first, designs, rounds = project.designs[0], [project.designs[0]], []
    for number in range(1, 301):
        depth = parse_length(f"{number % 7 + 1}/64 in", "in")
        pinch = Pinch("knee", "outseam", depth)
        rounds.append(Round(designs[-1].name, verdict="closer", pinches=(pinch,)))
        extra = {"outseam": {"knee": depth}}
        name = f"easy taper {number + 1}"
        parent = designs[-1].name
        designs.append(replace(first, name=name, parent=parent, from_round=number, extra=extra))
    grown = replace(project, designs=tuple(designs), rounds=tuple(rounds))
    mine.write_text(write_project(grown), encoding="utf-8")
    return mine


def test_hundreds_of_rounds_can_be_worked_with(many: Path) -> None:
    """All commands do their work, the screen shows the last ones, and `--json` has every one."""
    assert "The last 20 of 300 rounds:" in done("round", many)
    said = done("compare", many)
    assert len(said.splitlines()) < 250
    assert "solid: easy taper 301" in said
    report = json.loads(done("compare", many, "--round", 1, "--round", 300, "--json"))
    assert (len(report["designs"]), len(report["rounds"])) == (2, 300)
    added = done("round", many, "--pinch", "knee:outseam:1/8", "--verdict", "closer",
                 "--next", "the next one")  # fmt: skip
    assert 'Made "the next one" from round 301.' in added
    project = read_project(many.read_text(encoding="utf-8"))
    assert (len(project.rounds), len(project.designs)) == (301, 302)


def test_a_day_is_read_as_the_settings_have_it(mine: Path) -> None:
    """Two numbers alone are refused until the settings say which is the month."""
    refused(run("round", mine, "--printed", "--date", "3/4/2026"), "--date", "could be two days")
    assert run("settings", "dates=day-first").exit_code == 0
    done("round", mine, "--printed", "--date", "3/4/2026")
    assert str(load(mine).rounds[-1].printed) == "2026-04-03"


# --- signs ---------------------------------------------------------------------------------------


def test_a_sign_is_written_down_and_its_cures_are_shown(mine: Path) -> None:
    """What to look at, what was tried with what it changes, and how to take one."""
    said = done("round", mine, "--sign", "riding-hem::narrowed, calf", "--verdict", "closer")
    assert "Seen: the hem rides up when you sit" in said
    assert "Sit, then stand up: does it fall back by itself?" in said
    assert "1. 1/2 in more on the back panel alone at the calf. The calf is 16 in around" in said
    assert "--cure N" in said
    assert 'where = "narrowed, calf"' in mine.read_text(encoding="utf-8")


def test_a_cure_is_taken_by_its_number_and_the_next_round_asks_after_it(mine: Path) -> None:
    """From folds under the seat to the next design, and what it changed is exact."""
    done("round", mine, "--sign", "folds-under-seat:calf:narrowed", "--verdict", "closer")
    before = levels(mine, "slim taper")
    said = done("round", mine, "--cure", 1, "--next", "more calf")
    assert 'Made "more calf" from round 2: 1/2 in more on the back panel alone at the calf.' in said
    after = levels(mine, "more calf")
    assert after["calf"]["finished"] - before["calf"]["finished"] == pytest.approx(0.5, abs=0.07)
    assert after["hem"]["finished"] == pytest.approx(before["hem"]["finished"])
    done("round", mine, "--gone", "folds-under-seat", "--verdict", "done")
    assert "Gone: folds or slanting wrinkles under the seat" in done("round", mine)
    report = json.loads(run("compare", mine, "--json").stdout)
    assert report["rounds"][-1]["signs"] == [
        {"sign": "folds-under-seat", "cause": "gone", "where": ""}
    ]


def test_a_sign_that_is_none_is_refused_and_nothing_is_written(mine: Path) -> None:
    """In one line that names the nearest, the causes it has, or what a place may be."""
    before = mine.read_bytes()
    refused(run("round", mine, "--sign", "riding-hems"), "did you mean riding-hem?")
    refused(run("round", mine, "--sign", "riding-hem:seat"), "no cause of riding-hem")
    refused(run("round", mine, "--sign", "riding-hem::elbow"), '"elbow" is no place')
    refused(run("round", mine, "--cure", "7"), "there is no cure 7")
    assert mine.read_bytes() == before


def test_values_need_no_quotes_and_older_names_still_work(mine: Path) -> None:
    """too-far, climb-a-step; --seen, --trouble and --back are the names of before."""
    done("round", mine, "--tried", "climb-a-step", "--problem", "bend-the-knee", "--verdict",
         "too-far", "--date", "2026-04-02")  # fmt: skip
    one = load(mine).rounds[-1]
    assert (one.seen, one.trouble) == (("climb a step",), ("bend the knee",))
    assert (one.verdict, str(one.date)) == ("too far", "2026-04-02")
    done("round", mine, "--seen", "sit", "--trouble", "climb a step", "--verdict", "too far")
    assert load(mine).rounds[-1].trouble == ("climb a step",)
    done("round", mine, "--go-back", "1")
    assert load(mine).design().name == "easy taper"
    done("round", mine, "--back", "1")


def test_rounds_as_json(mine: Path) -> None:
    """Reading, and after writing; the numbers are those that --go-back takes."""
    report = json.loads(done("round", mine, "--json"))
    assert list(report)[:3] == ["schema", "project", "design"]
    assert [one["round"] for one in report["rounds"]] == [1]
    assert report["rounds"][0]["pinches"][0]["edge"] == "outseam"
    after = json.loads(done("round", mine, "--accept", "1", "--json"))
    assert (after["accepted_round"], after["design"]) == (1, "easy taper")
