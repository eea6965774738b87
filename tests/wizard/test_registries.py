"""The registries of the wizard, walked: questions, steps, checks, actions in every face."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from app_driver import driving
from click.testing import CliRunner
from typed_example import typed

from legtaper.checks.base import Check, Finding
from legtaper.checks.registry import CHECKS
from legtaper.files.project_file import write_project
from legtaper.files.store import save_new
from legtaper.model.lengths import parse_length
from legtaper.model.project import Project, SeenSign
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.drafted_block import Drafting
from legtaper_wizard.flow.questions import QUESTIONS, Asked, find
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.shapes import LAST, SIGNS
from legtaper_wizard.flow.steps import STEPS, actions, answer, help_text, shows, state
from legtaper_wizard.flow.steps.findings import failing, findings_on

WHOLE = typed()
TODAY = date.today().isoformat()


def answered(project: Project, *answers: tuple[str, str]) -> Project:
    """Return the project with some more answers."""
    for key, text in answers:
        project = answer(project, key, text)
    return project


def tried_on() -> Project:
    """Return the example after a round in which the knee was pinched, with a level of its own."""
    pinched = answered(
        WHOLE,
        ("block.height.mid_thigh", "25"),
        ("design.hem.style", "double"),
        ("block.back.height.crotch", "29 3/4"),
        ("design.shift.hem", "1/8"),
        ("design.back_room.calf", "1/4"),
        ("round.printed", TODAY),
        ("round.date", TODAY),
        ("round.pinch.outseam.knee", "1/4"),
        ("round.verdict", "closer"),
    )
    extra = {"outseam": {"knee": parse_length("1/8 in", "in")}}
    return pinched.with_design(replace(pinched.designs[-1], extra=extra))


def with_signs() -> Project:
    """Return the example with a round made for what the one before showed, which shows more."""
    project = tried_on()
    seen = replace(project.rounds[-1], signs=(SeenSign("riding-hem", "calf", "narrowed"),))
    project = replace(project, rounds=(*project.rounds[:-1], seen))
    old = project.designs[-1]
    after = replace(old, name="after", parent=old.name, from_round=len(project.rounds))
    sewn = answered(project.with_design(after), ("round.printed", TODAY))
    shown = replace(sewn.rounds[-1], signs=(SeenSign("loose-folds"), SeenSign("slanting-lines")))
    return replace(sewn, rounds=(*sewn.rounds[:-1], shown))


def drafted() -> Project:
    """Return the example on a drafted block of whole pieces, whose heights the drawing gives."""
    return Drafting.of(WHOLE, {"inside_leg": "30 in"}).into(WHOLE)


def with_wrong_hem() -> Project:
    """Return the example as a file may have it: a hem that is not at 0."""
    height = {**WHOLE.block.height, "hem": parse_length("1 in", "in")}
    return replace(WHOLE, block=replace(WHOLE.block, height=height))


PROJECTS = {
    "empty": Project(),
    "whole": WHOLE,
    "tried on": tried_on(),
    "printed": answered(WHOLE, ("round.printed", TODAY)),
    "drafted": drafted(),
    "signs": with_signs(),
    "wrong hem": with_wrong_hem(),
    "narrow": answered(WHOLE, ("design.take_in.hem", "1 1/2")),
    "girl": answered(Project(), ("fabric.kind", "knit"), ("wearer.age", "8"), ("wearer.sex", "f")),
    "changed": answered(WHOLE, ("block.front.outseam.knee", "4 5/8")),
}


def questions_asked(project: Project) -> Iterator[Asked]:
    """Yield every question that the steps ask of a project."""
    for step in STEPS:
        for field in step.fields(project):
            found = find(field.key)
            assert found is not None, field.key
            yield found


# --- questions -----------------------------------------------------------------------------------


def test_every_question_is_asked_by_a_step() -> None:
    """No question is in the registry that no step asks, and none is asked that is not in it."""
    seen = {
        found.question.key for project in PROJECTS.values() for found in questions_asked(project)
    }
    assert seen == {question.key for question in QUESTIONS}


def test_no_key_is_answered_by_two_questions() -> None:
    """A key finds the question that asks it; of two with one key the other could not be reached."""
    keys = [question.key for question in QUESTIONS]
    assert len(keys) == len(set(keys))
    for project in PROJECTS.values():
        for found in questions_asked(project):
            matches = [one.key for one in QUESTIONS if one.parts_of(found.at.key) is not None]
            # The height of the hem is its own question, as it can only be 0.
            assert matches in ([found.question.key], ["block.height.hem", "block.height.{level}"])


@pytest.mark.parametrize("name", PROJECTS)
def test_every_question_has_words_for_its_help(name: str) -> None:
    """Each says what it is called and how to answer it, with nothing left in braces."""
    for step in STEPS:
        for field in step.fields(PROJECTS[name]):
            assert field.label, field.key
            assert field.how, field.key
            assert field.how.rstrip()[-1] in ".?:", field.key
            text = help_text(step.id, field.key)
            asked = find(field.key)
            assert asked is not None
            assert asked.label in text
            assert field.label.startswith(asked.label), "what is added to it stands behind it"
            assert not re.search(r"[{}]", text), field.key


SAMPLES = {
    "length": parse_length("2 in", "in"),
    "signed": parse_length("1/2 in", "in"),
    "percent": 12.5,
    "text": "a few words",
    "note": "a few words",
    "date": date(2026, 3, 14),
}
"""An answer of each kind; of a choice its first one is taken."""

KEPT_ELSEWHERE = {"fabric.stretch_test": "fabric.stretch_percent"}
"""Questions that are only a way to another answer."""


@pytest.mark.parametrize("name", ["whole", "tried on"])
def test_what_is_put_is_what_is_got(name: str) -> None:
    """Every question gives back what was put; cleared, it gives what a blank project has."""
    project = PROJECTS[name]
    for found in questions_asked(project):
        said = found.rule.choices[0][0] if found.rule.kind == "choice" else SAMPLES[found.rule.kind]
        if found.question.key in KEPT_ELSEWHERE:
            said = 12.5
        if found.at.key == "round.printed":
            continue  # asked before there is a round; seen in the next test
        changed = found.put(project, said)
        there = find(KEPT_ELSEWHERE.get(found.at.key, found.at.key))
        assert there is not None
        assert there.get(changed) == said, found.at.key
        cleared = found.get(found.put(changed, None))
        assert cleared != said or said in ("in", "woven", "flat", "follow", "single"), found.at.key


def test_a_round_is_begun_by_the_day_it_is_printed() -> None:
    """The day is got back until the test is tried on."""
    printed = find("round.printed")
    assert printed is not None
    assert printed.get(printed.put(WHOLE, date(2026, 3, 14))) == date(2026, 3, 14)


# --- steps ---------------------------------------------------------------------------------------


def test_every_step_has_a_name_for_little_room_and_words_of_its_own() -> None:
    """Titles and short names tell the steps apart."""
    for part in ("id", "title", "short", "why"):
        said = [getattr(step, part) for step in STEPS]
        assert len(set(said)) == len(STEPS)
        assert all(said)


def _failed(check: Check) -> Finding:
    return Finding(check.id, "fail", None, None, "hem", f"{check.name} fails.")


AT_EVERY_ANSWER = [check for check in CHECKS if not check.cut]
"""Those that need the cut pattern are looked at where it is written."""


@pytest.mark.parametrize("check", AT_EVERY_ANSWER, ids=lambda check: check.id)
def test_a_failing_check_shows_on_a_step_that_can_mend_it(check: Check) -> None:
    """Every step of a failing check is to be looked at; the first one is not done before."""
    fit = standing(WHOLE, LAST).fit
    assert fit is not None
    assert check.steps
    assert set(check.steps) <= {step.id for step in STEPS}
    failed = replace(fit, findings=(_failed(check),))
    for step in STEPS:
        found = failing(step.id, failed)
        assert (found is not None) == (step.id in check.steps)
        if found is not None:
            assert found.marker == "attention"
            assert found.wants == (step.id == check.steps[0])
            assert list(findings_on(step.id, failed)) == list(failed.findings)


@pytest.mark.parametrize(
    ("key", "text", "finding"),
    [
        ("wearer.ankle", "16", "ankle"),
        ("wearer.calf", "20", "calf"),
        ("wearer.thigh", "28", "thigh"),
    ],
)
def test_a_leg_that_fails_is_told_where_it_can_be_mended(key: str, text: str, finding: str) -> None:
    """A failing finding of a real leg marks every step of its check and is the first note there."""
    project = answer(WHOLE, key, text)
    fit = standing(project, LAST).fit
    assert fit is not None
    failed = [one for one in fit.findings if one.status == "fail" and finding in one.says.lower()]
    assert failed
    for one in failed:
        steps = next(check.steps for check in CHECKS if check.id == one.id)
        for step in steps:
            assert state(project, step).marker == "attention"
            assert one.says in [note.text for note in shows(project, step) if note.kind == "fail"]


def test_a_note_has_its_sign_in_one_place() -> None:
    """Every kind has a sign or is plain, the worst first; no two signs are the same."""
    signs = [sign for sign in SIGNS.values() if sign]
    assert len(signs) == len(set(signs))
    assert next(iter(SIGNS)) == "fail"
    assert list(SIGNS)[-1] == "good"


# --- actions -------------------------------------------------------------------------------------


def saved(folder: Path, project: Project) -> Path:
    """Return a file of a project."""
    file = folder / "some.toml"
    save_new(file, write_project(project))
    return file


@pytest.mark.parametrize("name", ["whole", "tried on", "narrow", "changed"])
@pytest.mark.usefixtures("new_account")
async def test_the_screen_offers_every_action(name: str, tmp_path: Path) -> None:
    """Whatever can be done on a step stands under F7."""
    project = PROJECTS[name]
    async with driving(Session.open(saved(tmp_path, project)), (120, 40)) as on:
        for step in STEPS:
            if known := actions(project, step.id):
                on.app.session.go(step.id)  # type: ignore[union-attr]
                on.form.show()
                await on.press("f7")
                assert [one.label for one in known if one.label not in on.text] == []
                await on.press("escape")


@pytest.mark.parametrize("name", ["whole", "tried on", "narrow", "changed"])
@pytest.mark.usefixtures("new_account")
def test_the_line_prompts_offer_every_action(name: str, tmp_path: Path) -> None:
    """Whatever can be done on a step is told by the word more."""
    project = PROJECTS[name]
    file = saved(tmp_path, project)
    for number, step in enumerate(STEPS, 1):
        if known := actions(project, step.id):
            typed_lines = f"steps\n{number}\nmore\n\nquit\n"
            said = (
                CliRunner().invoke(main, ["open", str(file), "--plain"], input=typed_lines).output
            )
            words = " ".join(said.split())
            assert [one.label for one in known if one.label not in words] == []


@pytest.mark.parametrize("name", PROJECTS)
def test_an_action_says_how_it_is_done(name: str) -> None:
    """Each has its own id, and is done here or asked page by page by each front end."""
    for step in STEPS:
        known = actions(PROJECTS[name], step.id)
        ids = [one.id for one in known]
        assert len(ids) == len(set(ids))
        assert all(one.label for one in known)
        assert {one.id for one in known if one.paged} <= {
            "draft-block", "trace-block", "print-block",
        }  # fmt: skip
