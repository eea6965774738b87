"""What stands on the screen is true for the answers beside it, and names what is meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from app_driver import driving, example, fresh, go_to
from typed_example import typed

from legtaper.checks.ease import eased_at
from legtaper.checks.registry import name_of
from legtaper.model.lengths import parse_length
from legtaper.model.project import Fabric, Project, SeenSign
from legtaper.model.said_lengths import understood
from legtaper.muslin.advice import cause_lines
from legtaper.muslin.signs import BY_ID
from legtaper.pattern import build, fit
from legtaper.remedies.mend import mends
from legtaper.search.hem_widths import hem_widths, sentence
from legtaper_wizard.flow.questions import field_at
from legtaper_wizard.flow.shapes import LAST
from legtaper_wizard.flow.steps import actions, answer, shows, step_of, value
from legtaper_wizard.flow.steps.step import Work

WHOLE = typed()


async def test_a_stale_answer_of_another_step_is_named_in_the_line_that_shows(
    tmp_path: Path,
) -> None:
    """At 80x24, without F8: which step, which answer, and above what it would be right."""
    async with driving(fresh(tmp_path)) as on:
        stale = answer(WHOLE, "design.blend.inseam", "27 7/8")
        stale = answer(stale, "design.width.thigh", "26 1/2")
        on.app.session.bring(stale)
        on.app.session.go("narrowing")
        await on.press("pageup", "pagedown")
        for stop in ("design.width.hem", "design.width.thigh"):
            await go_to(on, stop)
            for part in ("Step 7, Inseam blends at: 27 7/8 in", "is above", "29 in, the highest"):
                assert part in on.text
            assert "and up to 30 in." in on.text
    assert shows(stale, "narrowing")[0].kind == "fail"


def test_widths_that_are_not_taken_are_named_with_the_reason() -> None:
    """The button says it before and after; without such a width it says nothing of it."""
    measured = answer(WHOLE, "liked.0.width.thigh", "12")
    label = next(one.label for one in actions(measured, "narrowing") if one.id == "like.0")
    assert label.endswith(", but not the thigh, which the blend makes")
    plain = next(one.label for one in actions(WHOLE, "narrowing") if one.id == "like.0")
    assert "but not" not in plain


def test_a_cause_is_told_as_a_question_until_it_is_answered() -> None:
    """Knees and ankles cannot both be the first to touch."""
    block = fit(WHOLE).block
    _, ankles, knees = cause_lines(SeenSign("leaning-crease"), block)
    assert ankles.startswith("If the ankles touch first: the leg has to hang further out")
    assert knees.startswith("If the knees touch first: the leg has to hang further in")
    (told,) = cause_lines(SeenSign("leaning-crease", "ankles-touch"), block)
    assert told.startswith("The ankles touch first. The leg has to")


@pytest.mark.parametrize("sign", BY_ID.values(), ids=lambda sign: sign.id)
def test_every_cause_reads_after_an_if(sign: object) -> None:
    """What shows a cause is one clause, which may stand behind "If"."""
    for cause in sign.causes:  # type: ignore[attr-defined]
        assert cause.tell.endswith("."), cause.tell
        assert ". " not in cause.tell, cause.tell


def test_a_liked_width_is_asked_for_as_it_was_chosen_to_be_measured() -> None:
    """Flat across, or all the way around."""
    round_ = answer(WHOLE, "liked.0.measured", "round")
    for project, begins in ((WHOLE, "Across the leg"), (round_, "All the way around the leg")):
        asked = {one.key: one.how for one in step_of("liked").asks(Work(project, LAST))}
        assert asked["liked.0.width.hem"].startswith(f"{begins} at the hem")


async def test_a_number_that_is_only_suggested_says_so(tmp_path: Path) -> None:
    """In the block's table, until it is answered."""
    key = "block.front.inseam.hem"
    session = example(tmp_path)
    session.go("block", key)
    async with driving(session) as on:
        await on.settle()
        assert on.here == key
        assert "Enter takes it" not in on.text
        await on.press("ctrl+u", "enter")
        await go_to(on, key)
        assert "Suggested: as its outseam; Enter takes it." in " ".join(on.text.split())


def test_the_foot_is_told_beside_the_hem_that_is_rounded_up() -> None:
    """Where a mark of the tape is more than the foot needs, and only there."""

    def told(entry: str) -> str:
        found = shows(answer(WHOLE, "wearer.foot_entry", entry), "foot")
        return next(note.text for note in found if note.text.startswith("Narrowest hem"))

    assert "rounded up" not in told("12 3/4")
    assert "Narrowest hem without a slit: 12 7/8 in" in (says := told("12 13/16"))
    assert "(12.81 in, rounded up to a mark of the tape)" in says


def test_where_no_hem_works_it_is_said_what_fails() -> None:
    """It is the knee here, not the hem."""
    close = answer(answer(WHOLE, "wearer.knee", "22"), "wearer.knee_bent", "")
    assert "No hem width works with these answers: too close at the knee." in sentence(
        hem_widths(fit(close))
    )


def test_ease_that_a_change_leaves_is_told_once_and_of_the_bent_knee() -> None:
    """The table beside it tells of the knee standing."""
    tight = answer(WHOLE, "wearer.knee_bent", "18")
    tight = answer(tight, "design.width.knee", "17 1/4")
    found = fit(tight)
    assert {eased_at(one) for one in found.findings if one.id == "ease-knee-bent"} == {"bent knee"}
    says = [one.says for each in mends(build(tight)) for one in each.mends]
    assert any("of ease at the bent knee" in text for text in says)
    for text in says:
        assert not ("of ease at the bent knee" in text and "has 0 in of ease" in text)
    assert name_of("ease-knee-bent", "knee") == "Ease at the bent knee"


def test_feet_are_echoed_in_inches_too() -> None:
    """Nobody holds millimeters against an inch tape."""
    assert understood(parse_length("5'6", "in")) == "5'6 = 66 in = 1676.4 mm"
    assert understood(parse_length("66", "in")).count("=") == 1


def test_what_was_not_tested_is_unknown_and_a_firm_fabric_stretches_not() -> None:
    """A 0 would say that it was measured."""
    for kind, usual in (("woven", "0"), ("knit", "unknown")):
        project = replace(Project(), fabric=Fabric(kind=kind))
        assert field_at(project, "fabric.stretch_percent").placeholder == usual
        assert value(project, "fabric.stretch_percent") == ""


def test_only_a_way_that_shrinks_is_told_of() -> None:
    """Shrinkage that was left out is no 0.0 %."""
    along = Fabric(shrink_length_percent=4.0)
    assert along.grown_in_words("longer", "wider") == "4.2 % longer"
    both = replace(along, shrink_width_percent=2.0)
    assert both.grown_in_words("longer", "wider") == "4.2 % longer and 2.0 % wider"


async def test_what_has_no_room_beside_an_answer_is_read_below_it(tmp_path: Path) -> None:
    """Beside it ends in dots; on the question the whole of it is said."""
    session, key = fresh(tmp_path), "fabric.stays_longer_percent"
    session.bring(answer(answer(WHOLE, "fabric.kind", "stretch-woven"), key, "10 %"))
    session.go("wearer", key)
    async with driving(session) as on:
        await on.settle()
        echo = on.form.page.echoes[key]
        beside = next(line for line in on.text.splitlines() if "Stays longer, percent" in line)
        assert "longer than before" in beside
        assert echo not in beside
        assert echo in " ".join(on.text.split())
