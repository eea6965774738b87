"""The last prompts of the plain wizard: which pattern files to write, and where."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from legtaper.project import Project
from legtaper_wizard.plain.voice import Voice

_LEGS = ("narrowed", "unaltered", "both")
_KINDS = ("pdf", "svg", "dxf")


def write_outputs(voice: Voice, project: Project, folder: Path) -> bool:
    """Ask which pattern files are wanted and write them beside the project file.

    Returns whether a test was written: both legs, every file of it.
    """
    kinds = _ask_kinds(voice)
    if not kinds:
        return False
    paper = "a4" if project.length_unit == "cm" else "letter"
    if "pdf" in kinds:
        voice.say("Paper for the PDF: a4, letter, a3, a0, or roll: and a width, as in roll:36 in.")
        paper = voice.ask(f"Paper [{paper}]:") or paper
    voice.say("Which leg: narrowed, unaltered, or both for the muslin.")
    leg = voice.ask("Leg [narrowed]:") or "narrowed"
    if leg not in _LEGS:
        voice.say(f"Not written: the leg is one of {', '.join(_LEGS)}.")
        return False
    name = voice.ask(f"Name of the files, in {folder} [pattern]:") or "pattern"
    if Path(name).name != name or name in (".", ".."):
        voice.say("Not written: give a name without a folder.")
        return False
    files = [folder / f"{name}.{kind}" for kind in kinds]
    return _write(voice, project, files, (paper, leg)) and leg == "both"


def _ask_kinds(voice: Voice) -> list[str]:
    voice.say("The pattern can be written at true size: pdf, svg or dxf, or several of them.")
    typed = (voice.ask("Write which [none]:") or "").replace(",", " ").lower().split()
    unknown = [kind for kind in typed if kind not in _KINDS and kind != "none"]
    if unknown:
        voice.say(f"Not written: {unknown[0]} is not one of {', '.join(_KINDS)}.")
        return []
    return [kind for kind in _KINDS if kind in typed]


def _write(voice: Voice, project: Project, files: Sequence[Path], how: tuple[str, str]) -> bool:
    """Write the files, and return whether all of them are written."""
    from legtaper.fittings import current  # noqa: PLC0415
    from legtaper.outputs.tiles import PaperError  # noqa: PLC0415  only where files are written
    from legtaper.pattern import build  # noqa: PLC0415
    from legtaper.project import ProjectError  # noqa: PLC0415
    from legtaper.store import StoreError  # noqa: PLC0415
    from legtaper_wizard.writing import write_pattern_file  # noqa: PLC0415

    paper, leg = how
    whole = True
    try:
        pattern = build(project, current(project).name)
        for file in files:
            question = f"{file} is there already. Write over it?"
            force = file.exists() and voice.agrees(question)
            if file.exists() and not force:
                voice.say(f"{file}: left as it was.")
                whole = False
                continue
            voice.say(write_pattern_file(pattern, file, paper=paper, leg=leg, force=force))
    except (PaperError, ProjectError, StoreError) as error:
        voice.say(f"Not written: {error}")
        return False
    return whole
