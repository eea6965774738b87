"""A block that is drafted or traced, as line prompts; nothing is changed before she says yes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.model.project import Project, ProjectError
from legtaper_wizard.flow.drafted_block import CAUTION, Drafting
from legtaper_wizard.flow.steps import AnswerError
from legtaper_wizard.flow.steps.block_levels import block_is_empty
from legtaper_wizard.flow.steps.block_step import DRAFT
from legtaper_wizard.prompts.console import LEAVES, Voice, is_yes
from legtaper_wizard.prompts.draft_prompts import FIRST, DraftTalk, ask_one
from legtaper_wizard.prompts.output import typed_here
from legtaper_wizard.prompts.prompt_order import meant
from legtaper_wizard.prompts.questions_heard import say_choices

if TYPE_CHECKING:
    from legtaper.block_sources.drawing_file import Imported
    from legtaper_wizard.flow.import_flow import Sheet
    from legtaper_wizard.flow.panel_marks import Mark

_MOVE = re.compile(r"(front|back) (.+?) *([+-]) *(\d+(?:\.\d+)?)(?: *mm)?", re.ASCII)
_HOW_TO_CHANGE = (
    "To move a mark, type its panel and name, then + or - and how many mm, as in "
    '"front crotch point +5". Corners go along the outline, the grainline sideways, levels up. '
    '"outlines" asks again which outline is which. '
)


_HELP_WITH_FILE = (
    "Type the name of a file, with its folder where it is not in the project's own. Each panel "
    "is one closed outline in it, at true size. Enter or back leaves this."
)
_HELP_WITH_OUTLINES = (
    "Type an answer or its number. Enter takes what is in brackets; back leaves the drawing."
)


@dataclass
class Kept:
    """What was said on the way to a block that was left, for the next time."""

    texts: Mapping[str, str] = field(default_factory=dict)
    sheet: Sheet | None = None


def bring(
    voice: Voice, project: Project, action_id: str, folder: Path, kept: Kept
) -> Project | None:
    """Ask for a block; return the project with it, or nothing where she leaves it."""
    if action_id == DRAFT:
        changed = _draft(voice, project, kept)
    else:
        changed = _trace(voice, project, folder, kept)
    if changed is None:
        voice.say("Nothing was changed; what you said is kept for the next time.")
    return changed


def _say_left(voice: Voice, typed: str | None) -> None:
    """Say that it is not the wizard that is left, where that was typed."""
    if typed and typed.lower() == "quit":
        voice.say("The block stays as it was; quit once more stops.")


def _agrees(voice: Voice, project: Project) -> bool:
    """Ask before a block is replaced."""
    if block_is_empty(project):
        return True
    voice.say("There is a block already. Undo brings it back once it is replaced.")
    return voice.agrees("Put this one in its place?")


# --- drafted ---------------------------------------------------------------------------------


def _draft(voice: Voice, project: Project, kept: Kept) -> Project | None:
    voice.say(CAUTION)
    drafting = Drafting.of(project, kept.texts)
    for key in FIRST:
        if getattr(project.wearer, key) is None and key not in drafting.texts:
            found = ask_one(voice, drafting, key)
            if not isinstance(found, Drafting):
                _say_left(voice, found)
                return None
            drafting = found
            kept.texts = drafting.texts
    talk = DraftTalk(voice, drafting)
    while True:
        typed = talk.ask()
        if typed is None or typed.lower() in LEAVES:
            _say_left(voice, typed)
            return None
        takes = talk.hear(typed)
        kept.texts = talk.drafting.texts
        if takes:
            return talk.drafting.into(project) if _agrees(voice, project) else None


# --- traced ----------------------------------------------------------------------------------


def _trace(voice: Voice, project: Project, folder: Path, kept: Kept) -> Project | None:
    sheet = _opened(voice, project, folder, kept)
    while sheet is not None:
        kept.sheet = sheet
        asked = _asked(voice, sheet, kept)
        if asked is None:
            return None
        what, sheet = _moved(voice, asked, kept)
        kept.sheet = sheet
        if what == "yes" and _agrees(voice, project):
            return sheet.into(project)
        if what != "outlines":
            return None
    return None


def _opened(voice: Voice, project: Project, folder: Path, kept: Kept) -> Sheet | None:
    """Ask for the drawing until one can be read."""
    from legtaper_wizard.flow.import_flow import open_sheet, place_of

    old = kept.sheet
    usual = f"[{old.path}]" if old else "or Enter to leave it"
    while True:
        typed = voice.ask_inside(f"Drawing, an .svg or .dxf file at true size, {usual}:")
        if not typed:
            return old if typed == "" else None
        if typed.lower() in LEAVES:
            _say_left(voice, typed)
            return None
        if typed == "?":
            voice.say(_HELP_WITH_FILE)
            continue
        path, scale = place_of(typed, folder), ""
        while True:
            try:
                return open_sheet(path, project.length_unit, scale)
            except KeyboardInterrupt:
                voice.say("Stopped; the drawing was not read.")
                break
            except ProjectError as error:
                voice.refuse(f"{typed}: {error}.")
                if error.key != "unit":
                    break
            scale = (
                voice.ask_inside("Unit of the drawing: mm, cm, in, ft or m, or Enter for none:")
                or ""
            )
            if not scale:
                return None


def _asked(voice: Voice, sheet: Sheet, kept: Kept) -> Sheet | None:
    """Ask which outline is which, and how the drawing is meant, until a block comes of it."""
    voice.say("The outlines, the largest first:")
    for number, one in enumerate(sheet.outlines, 1):
        voice.say(f"{number:2}: {one.id}, {sheet.size(one)}", indent="    ")
    if sheet.left_out:
        voice.say(f"{sheet.left_out} smaller ones are not in the list.")
    keys = [one.key for one in sheet.fields()]
    while True:
        for key in keys:
            found = _answered(voice, sheet, key)
            if found is None:
                return None
            kept.sheet = sheet = found
        try:
            sheet.proposed()
        except AnswerError as error:
            voice.refuse(f"Look: {error}")
            keys = [error.key]
        else:
            return sheet


def _answered(voice: Voice, sheet: Sheet, key: str) -> Sheet | None:
    """Ask one thing about a drawing until it can be taken; nothing where she leaves."""
    from legtaper_wizard.flow.import_flow import KEYS

    while True:
        one = next(asked for asked in sheet.fields() if asked.key == key)
        said = getattr(sheet.said, key) or one.placeholder or "none"
        voice.say(one.how)
        choices = [text for text, _ in one.choices]
        if key == "scale":
            voice.say(f"One of: {', '.join(choices)}.")
        elif key not in KEYS.values():  # the outlines were read with their numbers
            say_choices(voice, one)
        typed = voice.ask_inside(f"{one.label} [{said}]:")
        if typed is None or typed.lower() in LEAVES:
            _say_left(voice, typed)
            return None
        if typed == "?":
            voice.say(_HELP_WITH_OUTLINES)
            continue
        text = typed if key == "scale" else meant(one, typed)
        if not text:
            return sheet
        if choices and text not in choices:
            voice.refuse(f"Not taken: it is one of {', '.join(choices)}.")
            continue
        try:
            voice.say(f"{sheet.echo(key, text)}.")
            return sheet.answered(key, text)
        except KeyboardInterrupt:
            voice.say("Stopped; the drawing was not read again.")
        except AnswerError as error:
            voice.refuse(f"Not taken: {error}.")


def _moved(voice: Voice, sheet: Sheet, kept: Kept) -> tuple[str, Sheet]:
    """Say what is proposed and let it be moved; return how that ended, and the drawing."""
    from legtaper_wizard.flow.panel_marks import moved

    known: list[str] | None = None
    while True:
        found = sheet.proposed()
        marks = dict(_marks(sheet, found))
        known = _say_proposed(voice, sheet, found, marks, known)
        typed = voice.ask_inside("Yes takes the block; back leaves it; or a change:")
        if typed and typed.lower() == "list":
            typed = voice.read_out(_mark_lines(marks), indent="    ")
            if typed == "":
                continue
        said = "back" if typed is None else typed.lower()
        if is_yes(said) or said in (*LEAVES, "outlines"):
            _say_left(voice, typed)
            return "yes" if is_yes(said) else said, sheet
        if said == "?":
            voice.say(_HOW_TO_CHANGE)
            continue
        move = _MOVE.fullmatch(said)
        mark = marks.get((move[1], move[2])) if move else None
        if move is None or mark is None:
            voice.refuse("Not taken: write yes, back, list, outlines, or a change as told above.")
            continue
        try:
            mm = float(move[3] + move[4])
            sheet = moved(sheet, found, "front" if move[1] == "front" else "back", mark, mm)
            kept.sheet = sheet
        except AnswerError as error:
            voice.refuse(f"It stays: {error}.")


_Marks = Mapping[tuple[str, str], "Mark"]
"""What can be moved, by its panel and its name."""


def _say_proposed(
    voice: Voice, sheet: Sheet, found: Imported, marks: _Marks, known: list[str] | None
) -> list[str]:
    """Say what is proposed but for what is known; return all of it.

    At first that is what was placed by guess, and how many marks the drawing itself has.
    """
    from legtaper_wizard.flow.panel_marks import PLACED, doubts

    at = _mark_lines(marks)
    says = [*map(typed_here, found.says), *(f"Look: {one}" for one in doubts(sheet, found))]
    first = known is None
    drawn = [line for line in at if not line.endswith(PLACED)]
    for line in [*says, *at]:
        if line not in (drawn if known is None else known):
            voice.say(line, indent="    ")
    if first:
        voice.say(f"{len(drawn)} more marks were found in it; list reads all. {_HOW_TO_CHANGE}")
    return [*says, *at]


def _mark_lines(marks: _Marks) -> list[str]:
    return [f"  {name} {one}: {at.words or 'as it lies'}" for (name, one), at in marks.items()]


def _marks(sheet: Sheet, found: Imported) -> Iterator[tuple[tuple[str, str], Mark]]:
    from legtaper.model.project import PANELS
    from legtaper_wizard.flow.panel_marks import marks_of

    for name in PANELS:
        for mark in marks_of(sheet, found, name):
            yield (name, mark.label.lower().replace(",", "").replace("'s", "")), mark
