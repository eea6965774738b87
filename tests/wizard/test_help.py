"""The help: drawings where a picture says more, and the words of the trade by a key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from app_driver import driving, example, fresh
from typist import sit

from legtaper.files.project_file import read_project
from legtaper.model.project import Unit
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.glossary import GLOSSARY
from legtaper_wizard.flow.steps import LAST, STEPS, answer, help_drawing, help_text
from legtaper_wizard.tui.layout.form_lines import Looks, lay_out
from legtaper_wizard.tui.layout.step_model import page_of

COURIER = read_project(example_text("courier").encode())
QUESTIONS = [(step.id, field.key) for step in STEPS for field in step.fields(COURIER)]


@pytest.mark.parametrize(
    ("step", "key", "words"),
    [
        ("block", "block.front.inseam.knee", "At a level, measure"),
        ("wearer", "wearer.foot_entry", "over the instep"),
        ("liked", "liked.0.width.hem", "seam to seam"),
        ("narrowing", None, "four edges"),
        ("blend", "design.blend.outseam", "eases away"),
        ("foot", None, "as wide as the foot needs"),
        ("hem", "design.hem.depth", "mirror"),
        ("pattern", "allowance.seam", "cut line"),
        ("fitting", None, "off the front edge and p off the back"),
    ],
)
def test_the_help_draws_what_a_picture_says_better(step: str, key: str | None, words: str) -> None:
    """How to measure a level, the foot, a flat leg; what a blend, a fold and a pinch are."""
    assert words in "\n".join(help_drawing(step, key))


@pytest.mark.parametrize(("step", "key"), QUESTIONS)
def test_a_drawing_fits_the_narrowest_screen_and_needs_plain_letters_only(
    step: str, key: str
) -> None:
    """80 columns less the margins; nothing that an ASCII terminal lacks."""
    rows = help_drawing(step, key)
    assert all(len(row) <= 74 and row.isascii() and row == row.rstrip() for row in rows)
    assert len(rows) <= 18


def test_there_is_no_drawing_where_none_helps() -> None:
    """A name needs no picture."""
    assert help_drawing("project", "name") == ()


async def test_f1_shows_the_drawing_as_it_was_drawn(tmp_path: Path) -> None:
    """Its blanks are kept, where words are wrapped."""
    async with driving(example(tmp_path)) as on:
        on.app.sitting[0].go("hem")
        on.form.show()
        await on.press("f1")
        for row in help_drawing("hem", "design.hem.style"):
            assert row in on.text


@pytest.mark.parametrize("key", ["ctrl+r", "f12"])
async def test_the_words_of_the_trade_are_a_key_away(tmp_path: Path, key: str) -> None:
    """They open over the form, and Esc leads back to the same question."""
    async with driving(example(tmp_path)) as on:
        here = on.here
        await on.press(key)
        assert "allowance: " in on.text
        await on.press("escape")
        assert on.here == here


def test_the_trades_words_in_the_help_are_in_the_glossary() -> None:
    """What a step's help takes for known can be looked up."""
    help_of_all = " ".join(help_text(step.id) for step in STEPS).lower()
    used = {"grainline", "inseam", "outseam", "crease line", "muslin", "blend", "slit", "block"}
    assert all(re.search(rf"\b{word}", help_of_all) for word in used)
    assert used <= set(GLOSSARY)


@pytest.mark.parametrize(("unit", "other"), [("in", r"\d ?(?:cm|mm)"), ("cm", r"\d in\b")])
def test_what_a_step_is_about_has_lengths_of_the_project_alone(unit: Unit, other: str) -> None:
    """Inches or centimeters, never both; only the first step tells how either is typed."""
    for step in STEPS[1:]:
        text = help_text(step.id, unit=unit)
        assert not re.search(rf"{other}|[\[|]", text), step.id


@pytest.mark.parametrize("word", ["auto", "none"])
def test_a_slit_reads_alike_at_rest_and_while_it_is_edited(word: str) -> None:
    """The word that is typed is the word that is shown."""
    page = page_of(answer(COURIER, "design.slit.height", word), "foot", LAST)
    rows = lay_out(page.stops, Looks(80, "next", None, "", {}, {}, "...")).lines
    texts = ["".join(text for text, _ in row) for row in rows]
    (shown,) = [text for text in texts if "Slit at the outseam" in text]
    assert shown.split()[-1] == word


async def test_the_help_says_what_skipping_does_to_this_block(tmp_path: Path) -> None:
    """An end of a seam is needed, and so the block stays unfinished: on the page and in F1."""
    session = fresh(tmp_path)
    session.go("block", "block.front.outseam.hem")
    async with driving(session) as on:
        await on.press("f1")
        assert "If you skip it: the block stays unfinished." in on.text
        assert "drawn through the levels" not in on.text
    said = sit(session.path, "?", "quit")[1]
    assert "If you skip it: the block stays unfinished." in said
