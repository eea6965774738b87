"""The command `begin`: from a model, with keys set, in the unit that is typed, and what it asks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from legtaper.files.store import load
from legtaper.model.project import BlockTable, Project, Wearer
from legtaper_wizard.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"
PANELS = ("--front", "front", "--back", "back")
BODY = ("--from-body", "hip=104cm", "waist=86cm", "height=172cm")


def run(*arguments: str | Path) -> Result:
    """Run a command in this process."""
    return CliRunner(env={"COLUMNS": "80"}).invoke(main, [str(one) for one in arguments])


def begun(file: Path, *arguments: str | Path) -> Project:
    """Begin a project and return it."""
    result = run("begin", file, *arguments)
    assert result.exit_code == 0, result.output
    return load(file)


def refused(file: Path, *arguments: str | Path) -> str:
    """Return the one line of a refusal; nothing is written."""
    result = run("begin", file, *arguments)
    assert (result.exit_code, result.stderr.count("\n")) == (2, 1), result.output
    assert not file.exists()
    return result.stderr


def test_a_model_gives_everything_but_a_body(tmp_path: Path) -> None:
    """Fabric, the design meant, allowances and unit; the name of the file is the project's."""
    model = load(EXAMPLES / "courier.toml")
    made = begun(tmp_path / "anna.toml", "--like", EXAMPLES / "courier.toml")
    assert (made.name, made.length_unit, made.fabric) == ("anna", "in", model.fabric)
    assert made.allowance == model.allowance
    assert [one.name for one in made.designs] == [model.design().name]
    assert (made.designs[0].width, made.designs[0].hem) == (
        model.design().width,
        model.design().hem,
    )
    assert (made.wearer, made.block, made.rounds, made.liked) == (Wearer(), BlockTable(), (), ())
    assert not made.designs[0].blend


def test_a_model_and_a_body_in_one_call(tmp_path: Path) -> None:
    """Keys of the project beside those of the body; the model's unit counts for bare numbers."""
    made = begun(tmp_path / "ben.toml", "--like", EXAMPLES / "weekend.toml", "name=Ben's", *BODY,
                 "wearer.foot_entry=34")  # fmt: skip
    assert made.name == "Ben's"
    assert made.wearer.foot_entry is not None
    assert made.wearer.foot_entry.mm == 340
    assert made.wearer.hip is not None
    assert made.block.reach or made.block.outline
    assert run("check", tmp_path / "ben.toml").exit_code in (0, 1)


def test_any_key_of_the_file_can_be_set(tmp_path: Path) -> None:
    """Texts, lengths, percentages, days; of a design that is not there one is begun."""
    made = begun(tmp_path / "a.toml", *BODY, "name=Anna", "fabric.stretch_percent=12",
                 "fabric.kind=knit", "design.take_in.hem=2 cm", "allowance.seam=15mm",
                 "block_test.date=2026-03-14", "block_test.verdict=hangs clean")  # fmt: skip
    assert (made.name, made.fabric.stretch_percent, made.fabric.kind) == ("Anna", 12, "knit")
    assert made.design().take_in["hem"].mm == 20
    assert made.allowance.seam is not None
    assert made.allowance.seam.mm == 15
    assert made.block_test is not None
    example = begun(tmp_path / "b.toml", "name=Ben", "design.hem.depth=2 in")
    assert (example.name, example.designs[-1].hem.depth) == (
        example.name,
        example.design().hem.depth,
    )
    assert example.design().hem.depth is not None
    assert example.design().hem.depth.mm == pytest.approx(50.8)
    assert "# " in (tmp_path / "b.toml").read_text()  # the example's remarks stay


@pytest.mark.parametrize(
    ("pairs", "unit"),
    [
        (("hip=104cm", "height=1720mm"), "cm"),
        (("hip=41in", "height=66 in"), "in"),
        (("hip=41", "height=66"), "in"),
        (("hip=104cm", "height=66in"), "in"),
    ],
)
def test_the_unit_of_the_lengths_is_the_projects(
    tmp_path: Path, pairs: tuple[str, ...], unit: str
) -> None:
    """All in centimeters or millimeters: a project in centimeters; else in inches."""
    assert begun(tmp_path / "a.toml", "--from-body", *pairs).length_unit == unit


@pytest.mark.parametrize(
    ("arguments", "advice"),
    [
        (("wearer.hpi=98cm", *BODY), "did you mean hip?"),
        (("--from-svg", "outline.svg", *PANELS, "inseam=2cm"), "allowances are seam= and hem="),
        (("--from-svg", "outline.svg", *PANELS, "kne=30cm"), "did you mean knee?"),
        (("--from-svg", "outline.svg", *PANELS, "seam.hip=2cm"), "outseam, inseam"),
        (("kne=30cm", "--from-body", "hip=100cm", "height=170cm"), "knee"),
        (("fabric.kind=linen",), "woven"),
        (("block_test.date=2026-02-31",), "no such day"),
        (("--from-svg", "outline.svg", "--front", "front", "--back", "front"), "is named for"),
        (("--from-svg", "outline.svg", "--front", "back", "--back", "front"), "exchanged?"),
        (("--from-svg", "outline.svg"), " by "),
        (("--like", "courier.toml", "--from-example", "weekend"), "not both"),
    ],
)
def test_what_is_not_known_is_refused_with_what_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], advice: str
) -> None:
    """One line with the nearest key, or the question; nothing is written."""
    monkeypatch.chdir(EXAMPLES)
    assert advice in refused(tmp_path / "new.toml", *arguments)


def test_what_was_taken_for_granted_is_said(tmp_path: Path) -> None:
    """Scale with the size it makes, seam line or allowances, and the knee."""
    svg = EXAMPLES / "outline.svg"
    said = run("begin", tmp_path / "a.toml", "--from-svg", svg, *PANELS, "--unit", "cm").output
    assert "Read with px at 96: the front is" in said
    assert "taken for the seam line" in said
    assert "The knee was placed" in said
    said = run("begin", tmp_path / "b.toml", "--from-svg", svg, *PANELS, "seam=10mm", "hem=3cm",
               "back.seam.inseam=15mm", "knee=43cm").output  # fmt: skip
    assert "Front: Taken off: 10 mm of allowance along the seams and 30 mm at the hem." in said
    assert "Back: Taken off: 10 mm of allowance along the seams, 15 mm at the inseam and" in said
    assert "The knee was placed" not in said


def test_an_edge_may_have_an_allowance_of_its_own(tmp_path: Path) -> None:
    """2 cm off one inseam alone narrows that panel by 2 cm; the other stays as it is."""
    svg = EXAMPLES / "outline.svg"
    whole = begun(tmp_path / "a.toml", "--from-svg", svg, *PANELS, "--unit", "cm")
    less = begun(tmp_path / "b.toml", "--from-svg", svg, *PANELS, "back.seam.inseam=2cm",
                 "--unit", "cm")  # fmt: skip

    def hem(project: Project, panel: str) -> float:
        outline = project.block.outline["front" if panel == "front" else "back"]
        ends = [outline.points[outline.corners[role]] for role in ("hem_inseam", "hem_outseam")]
        return abs(ends[0][0] - ends[1][0])

    assert hem(less, "front") == hem(whole, "front")
    assert hem(less, "back") == pytest.approx(hem(whole, "back") - 20, abs=0.2)


@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_outlines_lists_what_a_drawing_holds(kind: str) -> None:
    """Id, names, sizes, closed or not, and the scale; the same as JSON, in mm."""
    drawing = EXAMPLES / f"outline.{kind}"
    text = run("outlines", drawing).output
    report = json.loads(run("outlines", drawing, "--json").stdout)
    assert list(report) == ["schema", "drawing", "length_unit", "unit", "scale", "outlines"]
    assert f"Read with {report['scale']}" in text
    assert report["outlines"]
    for row in report["outlines"]:
        assert list(row) == ["id", "label", "layer", "width", "height", "closed"]
        assert row["id"][:20] in text
        assert row["height"] > 100
    assert run("outlines", EXAMPLES / "courier.toml").exit_code == 2
    assert run("outlines", "none.svg").exit_code == 2
