"""Notes, help and answers as lines."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple, get_args

from legtaper.model.project import Project, Unit
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.shapes import Marker, NoteKind
from legtaper_wizard.flow.steps import (
    STEPS,
    Cursor,
    Field,
    Note,
    SummaryLine,
    about,
    echo,
    help_text,
    hem_widths_page,
    shows,
    state,
    step_of,
    value,
)
from legtaper_wizard.flow.steps.round_notes import sign_details
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.prompt_order import Prompt

SPOKEN: Mapping[NoteKind, str] = {
    "fail": "Fails:", "caution": "Warning:", "question": "Look:", "unknown": "Unknown:",
    "number": "", "info": "", "good": "OK:",
}  # fmt: skip
"""Before a note, in words: what signs a voice reads is another's setting."""
_MARKERS: Mapping[Marker, str] = {
    "done": ", done", "open": ", open", "attention": ", needs a look", "locked": "",
}  # fmt: skip
_LONG = 160
"""Letters of a note from which on it is heard once only in a sitting."""
_METRIC = re.compile(r" = -?[\d.]+ mm")
_EXACT = re.compile(r"(?<=\s(?:in|cm|mm)) \(-?\d+(?:\.\d+)?\)")
_PLAIN_NUMBER = re.compile(r"-?\d[\d /.,]*(?: ?(?:in|cm|mm|%))?(?: crosswise)?(?: =|;|$)", re.ASCII)
"""What is understood where it is a number and nothing else; other words stand behind a colon."""
_NUMBER = re.compile(r"\d[\d /.]* (?:in\b|cm\b|%)")


_LENGTHS: Mapping[Unit, str] = {
    "in": "Write it like 2 1/2 or 2.5; or with another unit, as 6.5 cm.",
    "cm": "Write it like 6.5 or 6,5; or with another unit, as 65 mm or 2 1/2 in.",
}
"""How a length is typed, by the unit of the project."""
Now = tuple[Project, Cursor]
"""A project, and which design and garment of it are meant."""
EVERY_KIND: tuple[NoteKind, ...] = get_args(NoteKind)
URGENT: tuple[NoteKind, ...] = ("fail", "caution", "question", "unknown")
"""Kinds of notes that say what is wrong, or is to be looked at; worst first."""
_OF_THEIR_OWN = ("info", "caution", "good")
"""Notes that, where they are about another question than the one that was answered, are no news."""
_TYPED_HERE = (
    ("Under F7 you", "Type more: there you"),
    ("An emptied cell takes a pinch away", "The word clear takes a pinch away"),
    ("There are two other ways to a block:", "Type more to have a block"),
    (", or taken from a drawing at true size (SVG or DXF)", " or taken from a drawing"),
    ("; say it with knee=, its height", "; to move it, type front knee level +10"),
)
"""What the shared texts say for the screen, and what is typed here instead."""


class Heard(NamedTuple):
    """What was heard in a sitting.

    once: texts, of which a warning or a long one is not said again; agreed: doubts that are not
    put again, as the answer is meant so.
    """

    once: Collection[str] = ()
    agreed: Collection[str] = ()


_NOTHING_HEARD = Heard()


def typed_here(text: str) -> str:
    """Return a text of every face as it is said at the prompts."""
    for on_screen, here in _TYPED_HERE:
        text = text.replace(on_screen, here)
    return text


def one_number(text: str) -> str:
    """Return a text without the exact number behind a rounded one, as in 2 1/2 in (2.53)."""
    return _EXACT.sub("", text)


def say_note(voice: Voice, note: Note) -> None:
    """Say one note behind its mark."""
    said = one_number(typed_here(note.text))
    voice.say(f"{SPOKEN[note.kind]} {said}".strip(), indent="  ")


def say_standing(
    voice: Voice, step_id: str, notes: Sequence[Note], *, brief: bool, heard: Collection[str] = ()
) -> None:
    """Say on entering a step what fails and what needs a look, worst first, then the rest.

    What is OK is counted where all is looked over; where the step is about it the first is said,
    as whether the foot passes. brief: what the questions ask for in any case is left out, too; all
    of it is told when asked for. heard: texts that were said in this sitting; a long one of
    them is not said again.
    """
    again = [note for note in notes if note.text in heard and _once_only(note)]
    notes = [note for note in notes if note not in again]
    urgent = [note for kind in URGENT for note in notes if note.kind == kind]
    for note in urgent:
        say_note(voice, note)
        if asks_for_change(note) and note.key:
            voice.say(f"To change it, type back to {label_of(note.key).lower()}.", indent="  ")
    well = [note for note in notes if note.kind == "good"]
    verdict = well[:1] if step_of(step_id).tells_good else []
    for note in notes:
        if note in verdict or (note not in urgent and not _can_wait(step_id, note, brief)):
            say_note(voice, note)
    if well and step_id == "pattern":  # where all of it is looked over
        voice.say(f"{len(well)} check{'s' if len(well) > 1 else ''} OK.")
    warned = sum(note.kind == "caution" for note in again)
    if warned:
        voice.say(f"{warned} warning{'s' if warned > 1 else ''} as before; notes says it again.")
    elif again and not all(_can_wait(step_id, note, brief) for note in again):
        voice.say("The rest is as you heard it; notes says it again.")


def _once_only(note: Note) -> bool:
    """Whether a note that was heard is only counted: a warning, or what is long."""
    return note.kind == "caution" or (len(note.text) > _LONG and note.kind not in ("fail", "good"))


def _can_wait(step_id: str, note: Note, brief: bool) -> bool:
    """Whether a note need not come before the first question; a fitting is about its numbers."""
    told_by_help = {text for unit in get_args(Unit) for text in about(step_id, unit)}
    if note.kind == "good" or note.text in told_by_help:
        return True
    here = step_id == "fitting" or note.text != typed_here(note.text)  # tells of a command
    return not here and (brief or note.kind == "number")


def asks_for_change(note: Note) -> bool:
    """Whether a note is about an answer that is likely to be changed."""
    return note.kind == "fail" or (note.kind == "question" and note.text.endswith("?"))


def say_help(voice: Voice, step_id: str, field: Field, unit: Unit, *, whole: bool) -> None:
    """Say the help of a question, an example, and what is so without an answer.

    whole: what its step is about instead, where that was heard.
    """
    step = about(step_id, unit)
    told = help_text(step_id, field.key, field.if_skipped, unit).split("\n\n")
    own = [text for text in told[1:] if text not in step]
    if field.kind in ("length", "signed"):
        own.append(_LENGTHS[unit])
    for paragraph in step if whole else own:
        voice.say(typed_here(paragraph))
    if not whole:
        voice.say("Type ? once more for what this step is about.")


def work_moved(before: Now, after: Now) -> str:
    """Say which design is worked on, where it is another one than before."""
    was, now = chosen_design(*before), chosen_design(*after)
    moved = now is not None and (was is None or was.name != now.name)
    return f'; work goes on with "{clean(now.name, 60)}"' if now and moved else ""


def say_step(
    voice: Voice, number: int, now: Now, *, brief: bool, heard: Heard = _NOTHING_HEARD
) -> None:
    """Say what a step is for, in a sentence or in full, and how it stands."""
    step, found = STEPS[number], state(now[0], STEPS[number].id, now[1])
    count = "" if brief else f" of {len(STEPS)}"
    title = f"Step {number + 1}{count}: {step.title}"
    if found.marker == "locked":
        voice.say(f"{title} {found.reasons[0]}.")
        return
    voice.say()
    voice.say(title)
    if not brief and found.marker != "done":
        voice.say(step.why)
    elif not brief or found.marker != "done":
        voice.say(_first_sentence(step.why))
    notes = list(shows(now[0], step.id, now[1]))
    details = sign_details(*now) if step.id == "fitting" and brief else ()
    notes = [note for note in notes if note.text not in (*details, *heard.agreed)]
    say_standing(voice, step.id, notes, brief=brief or number == 0, heard=heard.once)
    if details:
        voice.say("Type notes for what to look at and the changes that were tried.")


def _first_sentence(text: str) -> str:
    return re.split(r"(?<=[.!?]) ", text, maxsplit=1)[0]


def news_of(step_id: str, before: Now, after: Now, key: str) -> list[Note]:
    """Return what is different on a step.

    `key` is the question that was answered; remarks about other questions are not news.
    """
    known = shows(before[0], step_id, before[1])
    return [
        note
        for note in shows(after[0], step_id, after[1])
        if note not in known and not _is_elsewhere(note, key)
    ]


def _is_elsewhere(note: Note, key: str) -> bool:
    """Whether a note is a remark about another question, or about the width of another level."""
    if note.kind in _OF_THEIR_OWN:
        return note.key not in ("", key)
    widths = note.key.startswith("design.width.") and key.startswith(
        ("design.width.", "design.take")
    )
    return widths and note.key.rpartition(".")[2] != key.rpartition(".")[2]


def held_back(step_id: str, now: Now, number: int) -> list[Note]:
    """Return the warnings about a garment as a whole, said once all of it was asked."""
    key = f"liked.{number}.garment"
    return [
        note for note in shows(now[0], step_id, now[1]) if (note.kind, note.key) == ("caution", key)
    ]


def say_news(
    voice: Voice, news: Sequence[Note], asked: Sequence[str], *, mended: Collection[str]
) -> None:
    """Say what is new, what is wrong first.

    What is OK is said alone, or where it was not before. asked: what is put to her as a question
    instead. mended: texts of what was not OK before.
    """
    good = [note for note in news if note.kind == "good"]
    left_out = [note for note in good if len(good) > 1 and note.text not in mended]
    for note in sorted(news, key=lambda note: note.kind not in URGENT):
        if note not in left_out and note.text not in asked:
            say_note(voice, note)


def in_short(understood: str, news: Sequence[Note]) -> str:
    """Return what was understood, without exact numbers and without what the news say as well."""
    first, *others = one_number(_METRIC.sub("", understood, count=1)).split("; ")
    told = {
        number for note in news if note.kind == "number" for number in _NUMBER.findall(note.text)
    }
    kept = [one for one in others if not told.issuperset(_NUMBER.findall(one) or [one])]
    return "; ".join((first, *kept))


def understood_as(project: Project, prompt: Prompt, text: str, *, cells_named: bool = True) -> str:
    """Return what an answer to a question is understood as. Raises `AnswerError`."""
    field = prompt.field
    understood = echo(project, field.key, text, prompt.at, cells_named=cells_named)
    understood = dict(field.choices).get(understood, understood)
    return understood.split(":")[0] if field.kind == "choice" else understood


def colon_before(field: Field, understood: str) -> str:
    """Return what parts the name of a question from what is understood: a colon but for numbers."""
    numeric = field.kind in ("length", "signed", "percent")
    return "" if numeric and _PLAIN_NUMBER.match(understood) else ":"


def in_full(project: Project, prompt: Prompt, others: Sequence[str]) -> str:
    """Say what is held of a question, unrounded. others: keys that were typed with it at once."""
    held = [value(project, key, prompt.at) for key in (prompt.field.key, *others)]
    if not held[0]:
        return f"{prompt.name} is empty."
    text = " ".join(held) if all(held) else held[0]
    understood = understood_as(project, prompt, text)
    return f"{prompt.name}{colon_before(prompt.field, understood)} {understood}."


def mended_since(before: Now, after: Now) -> set[str]:
    """Return what is said of checks that are OK now and were a warning or failed before."""
    was, now = standing(*before).fit, standing(*after).fit
    if was is None or now is None:
        return set()
    wrong = {found.id for found in was.findings if found.status in ("caution", "fail")}
    return {found.says for found in now.findings if found.status == "pass" and found.id in wrong}


def says_again(line: str, news: Sequence[Note]) -> bool:
    """Whether the news say a width that was understood, with what the block has there."""
    numbers = set(_NUMBER.findall(line))
    new = [note.text for note in news if note.kind == "number" and ": block " in note.text]
    return bool(numbers) and any(numbers <= set(_NUMBER.findall(text)) for text in new)


def says_no_more(note: Note, line: str) -> bool:
    """Whether a note has no other number than a line has just said, or is well as it has said."""
    if note.kind == "good":
        said = line.partition(": ")[2].removesuffix(".")
        return bool(said) and said in note.text
    numbers = _NUMBER.findall(note.text)
    return note.kind == "number" and bool(numbers) and set(numbers) <= set(_NUMBER.findall(line))


def answer_lines(lines: Sequence[SummaryLine], only: str = "") -> Iterator[str]:
    """Yield everything that is answered, by number; of one step, by its id, or with all titles."""
    heading = only
    for number, line in enumerate(lines, 1):
        if only and line.step_id != only:
            continue
        title = "" if line.step_id == heading else f"{step_of(line.step_id).title}\n"
        heading = line.step_id
        yield f"{title}{number:3}: {line.label}: {line.value}"


def say_steps(voice: Voice, project: Project, at: Cursor) -> None:
    """Say where all steps stand."""
    for number, step in enumerate(STEPS, 1):
        found = state(project, step.id, at)
        why = f" {found.reasons[0]}" if found.reasons else ""
        why = f":{why}" if why and found.marker != "locked" else why
        voice.say(f"{number:2}: {step.title}{_MARKERS[found.marker]}{why}.", indent="    ")


def hem_width_lines(project: Project, at: Cursor) -> list[str]:
    """Return which hem widths work, a sentence a line."""
    lines = hem_widths_page(project, at, spoken=True)
    return lines or ["That is known once the block is there and something comes off it."]
