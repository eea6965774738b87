"""No hint, note or button is cut in mid-sentence, also beside the outline at 80x24."""

from __future__ import annotations

import re
from typing import Any

import pytest

from legtaper.files.project_file import read_project
from legtaper.model.project import Project
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.shapes import Action
from legtaper_wizard.flow.steps import LAST, STEPS, Note, answer, do, row_hint
from legtaper_wizard.tui.layout.form_lines import Looks, lay_out
from legtaper_wizard.tui.layout.notes_panel import fitted, note_lines
from legtaper_wizard.tui.layout.picture import View
from legtaper_wizard.tui.layout.plain_page import Means, Pose
from legtaper_wizard.tui.layout.screenful import Sight, assembled, follows, middle
from legtaper_wizard.tui.layout.step_model import Page, page_of
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line

COURIER = read_project(example_text("courier"))
PROJECTS = (Project("Trial"), COURIER, answer(COURIER, "round.printed", "2026-03-28"))
SENTENCE_END = re.compile(r"(?<=[.!?]) +")


def said(line: Line) -> str:
    """Return a line without its styles."""
    return "".join(text for text, _ in line)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
@pytest.mark.parametrize("view", [None, "front", "none"])
def test_only_whole_sentences_are_hints(step: Any, view: View | None) -> None:
    """On every stop, whatever the picture leaves; the notes that are beside it as well."""
    for project in PROJECTS:
        page = page_of(project, step.id, LAST)
        for stop in (one for one in page.stops if one.field or one.action):
            sight = Sight(page, Pose(stop.id, view=view), Means(80, 24, ascii_only=False))
            hints = middle(sight, len(follows(sight)["notes"]))[0]["hint"]
            left = " ".join(said(line).strip() for line in hints)
            for sentence in _sentences(page, stop):
                left = left.replace(sentence, "", 1)
            assert not left.strip(), (stop.id, left)


def _sentences(page: Page, stop: Stop) -> list[str]:
    """Return the sentences that may be a hint, the longest first."""
    texts = [note.text for note in page.notes if note.key == stop.id]
    texts += [stop.action.hint] if stop.action else []
    if stop.field:
        row = row_hint(page.project, stop.id, page.at)
        texts += [stop.field.how, f"If you skip it: {stop.field.if_skipped}.", row]
        texts += [page.echoes.get(stop.id, "")]
        source = f": {stop.field.placeholder_is}" if stop.field.placeholder_is else ""
        texts += [f"Suggested{source}; Enter takes it."] * stop.field.takes_placeholder
    texts += ["What you type replaces it; the End key goes behind it, to add something."]
    found = {" ".join(s.split()) for text in texts for s in SENTENCE_END.split(text) if s}
    return sorted(found, key=len, reverse=True)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
@pytest.mark.parametrize("view", [None, "front", "none"])
def test_the_last_note_that_shows_ends_with_a_sentence(step: Any, view: View | None) -> None:
    """On every stop; only rows of the table of widths are no sentences."""
    for project in PROJECTS:
        page = page_of(project, step.id, LAST)
        for stop in page.stops:
            sight = Sight(page, Pose(stop.id, view=view), Means(80, 24, ascii_only=False))
            parts = dict(follows(sight))
            parts.update(middle(sight, len(parts["notes"]))[0])
            rows = assembled(sight.boxes, {"notes": parts["notes"], "hint": parts["hint"]})
            shown = [re.sub(r" *F8: .*", "", said(row)[: sight.boxes.notes.width]) for row in rows]
            last = next((row.rstrip() for row in reversed(shown) if row.strip()), "")
            assert last.endswith((".", "?", "!", ":", " in", " -")), (stop.id, shown[-9:])


def test_a_note_longer_than_all_rows_keeps_its_whole_sentences() -> None:
    """The rest is under the key that the last line names."""
    lines = note_lines([Note("caution", "Too close. The calf level was not given here.")], 24)
    assert len(lines) == 4
    assert [said(line).strip() for line in fitted(lines, 24, 3)] == [
        "[warning] Too close.",
        "F8: the rest",
    ]


def test_a_button_says_its_whole_action() -> None:
    """A cure with pinches has the longest of labels."""
    project = answer(PROJECTS[-1], "round.date", "2026-03-29")
    project = answer(project, "round.pinch.outseam.knee", "1/4 in")
    for texts in (("binding-knee", "narrowed"), ("riding-hem", "narrowed")):
        project = do(project, "add-sign", *texts)
    stops = [stop for stop in page_of(project, "fitting", LAST).stops if stop.action]
    assert any(stop.label.endswith(", and the pinches") for stop in stops)
    assert [stop.label for stop in stops] == [stop.action.label for stop in stops if stop.action]


@pytest.mark.parametrize("wide", [45, 62, 80])
def test_a_long_button_takes_a_second_line(wide: int) -> None:
    """What a cure changes is read to its end before it is pressed; every row fits."""
    label = "Next design: 1/2 in more around the leg at the knee, and the pinches"
    act = Action("cure-1", label, lambda project, _, __: project)
    stops = [Stop(act.id, "button", label, action=act), Stop("more", "button", "More")]
    looks = Looks(wide, "cure-1", None, "", {}, {}, "...")
    layout = lay_out(stops, looks)
    rows = [said(line) for line in layout.lines]
    assert f"[ {label} ]" in " ".join(" ".join(rows).split())
    assert "[ More ]" in rows[-1]
    assert all(len(row) <= wide for row in rows)
