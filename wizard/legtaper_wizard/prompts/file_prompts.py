"""The last prompts of the plain wizard: which pattern files to write, and where."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from legtaper.model.project import Project
from legtaper.outputs.formats import FORMATS, LEGS, Options, needed
from legtaper.outputs.papers import PaperError, paper, paper_words
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.prompts.console import Voice

if TYPE_CHECKING:
    from legtaper.outputs.piece_words import LegChoice

Outcome = Literal["test", "back", "on"]
"""A test was written, both legs of it; or she goes back from the first question; or neither."""


@dataclass(frozen=True)
class _Question:
    """`read` returns the answer as it is meant, or raises `ValueError` with what would be right."""

    key: str
    says: str
    prompt: str
    usual: str
    read: Callable[[str], str]


def write_outputs(voice: Voice, project: Project, folder: Path) -> Outcome:
    """Ask which pattern files are wanted and write them beside the project file.

    A wrong answer is asked for again; `back` leads to the question before.
    """
    questions, said = _questions(project, folder), dict[str, str]()
    while True:
        ended = _ask_all(voice, questions, said)
        if ended:
            return ended
        try:
            whole = _write(voice, project, folder, said)
        except PaperError as error:  # known, but too small for this pattern
            voice.say(f"Not written: {error}.")
            del said["paper"]
        else:
            return "test" if whole and said.get("leg") == "both" else "on"


def _ask_all(voice: Voice, questions: Sequence[_Question], said: dict[str, str]) -> Outcome | None:
    """Fill in what is not said yet; return how it ended where nothing is to be written."""
    while one := _next(questions, said):
        typed = _ask(voice, one)
        if typed is None or typed == "none":
            return "on"
        if typed != "back":
            said[one.key] = typed
        elif said:
            said.popitem()
        else:
            return "back"
    return None


def _next(questions: Sequence[_Question], said: Mapping[str, str]) -> _Question | None:
    """Return the first question that is still open; only a PDF asks for its paper."""
    needs = needed(said.get("which", "").split() or FORMATS)
    asked = (one for one in questions if one.key in ("which", "name") or one.key in needs)
    return next((one for one in asked if one.key not in said), None)


def _ask(voice: Voice, one: _Question) -> str | None:
    """Ask one question until it can be taken; nothing where she leaves or the input ends."""
    voice.say(one.says)
    while True:
        typed = voice.ask(f"{one.prompt} [{one.usual}]:")
        if typed is None or typed.lower() == "quit":
            if typed:
                voice.say("Nothing was written; quit once more stops.")
            return None
        if typed == "?":
            voice.say(f"{one.says} Enter takes what stands in brackets; back is one question back.")
            continue
        if typed.lower() == "back":
            return "back"
        try:
            return one.read(typed or one.usual)
        except ValueError as error:
            voice.say(f"Not taken: {error}.")


def _questions(project: Project, folder: Path) -> tuple[_Question, ...]:
    usual = settings().paper_for(project.length_unit)
    return (
        _Question(
            "which",
            f"What can be written: {', '.join(FORMATS)}, or several of them.",
            "Write which",
            "none",
            _read_kinds,
        ),
        _Question(
            "paper",
            f"Paper for the PDF: {paper_words()}.",
            "Paper",
            usual,
            _read_paper,
        ),
        _Question(
            "leg",
            f"Which leg: {', '.join(LEGS)}; both is for the muslin.",
            "Leg",
            "narrowed",
            _read_leg,
        ),
        _Question(
            "name",
            "A name without an ending; each kind adds its own.",
            f"Name of the files, in {folder}",
            "pattern",
            _read_name,
        ),
    )


def _read_kinds(typed: str) -> str:
    wanted = typed.replace(",", " ").lower().split()
    if wanted == ["none"]:
        return "none"
    for kind in wanted:
        if kind not in FORMATS:
            known = ", ".join(FORMATS)
            raise ValueError(f"{kind} is not one of {known}; write one, several or none")
    return " ".join(kind for kind in FORMATS if kind in wanted)


def _read_paper(typed: str) -> str:
    paper(typed)
    return typed


def _read_leg(typed: str) -> str:
    if typed.lower() not in LEGS:
        raise ValueError(f"the leg is one of {', '.join(LEGS)}")
    return typed.lower()


def _read_name(typed: str) -> str:
    if Path(typed).name != typed or typed in (".", ".."):
        raise ValueError("give a name without a folder")
    return typed


def _write(voice: Voice, project: Project, folder: Path, said: Mapping[str, str]) -> bool:
    """Write the files, and return whether all of them are written. Raises `PaperError`."""
    from legtaper.files.store import StoreError
    from legtaper.model.project import ProjectError
    from legtaper.muslin.log import current
    from legtaper.pattern import build
    from legtaper_wizard.flow.writing import write_pattern_file

    leg, whole = cast("LegChoice", said.get("leg", "narrowed")), True
    options = Options(leg, said.get("paper", "a4"))
    try:
        pattern = build(project, current(project).name)
        for kind in said["which"].split():
            file = folder / f"{said['name']}{FORMATS[kind].ending}"
            force = file.exists() and voice.agrees(f"{file} is there already. Write over it?")
            if file.exists() and not force:
                voice.say(f"{file}: left as it was.")
                whole = False
                continue
            voice.say(write_pattern_file(pattern, file, options, force=force))
    except (ProjectError, StoreError) as error:
        voice.say(f"Not written: {error}")
        return False
    return whole
