"""What can be done with whole designs: a new one from this, another name, taken out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from legtaper.model.project import Project
from legtaper_wizard.flow.answer_parser import read
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.questions.naming import NAME
from legtaper_wizard.flow.questions.path import first_design
from legtaper_wizard.flow.shapes import Action, AnswerError, Cursor, Field
from legtaper_wizard.flow.steps.step import Work

_KEY = "design.name"


def design_actions(work: Work) -> Iterator[Action]:
    """Yield what can be done with the design that is worked on."""
    design = work.design
    if design is None:
        return
    name = Field(_KEY, "Name of the design", "text", "A few words, such as easy taper.")
    yield Action("new-design", f'New design from "{design.name}"', _new, (name,))
    yield Action("rename-design", f'Rename "{design.name}"', _rename, (name,))
    if design.name not in [sewn.design for sewn in work.project.rounds]:
        label = f'Remove "{design.name}"'  # a round keeps its design
        yield Action("remove-design", label, _remove, takes_away=True)


def _name(project: Project, text: str) -> str:
    text = text.strip()
    if not text:
        raise AnswerError(_KEY, "a design needs a name, such as easy taper")
    if text in [design.name for design in project.designs]:
        raise AnswerError(_KEY, f'there is a design "{text}" already')
    return str(read(_KEY, NAME.rule, text, project.length_unit))


def _new(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    name = _name(project, texts[0])
    design = chosen_design(project, at)
    parent = design.name if design else None
    grown = replace(design or first_design(project), name=name, parent=parent, from_round=None)
    if not project.rounds:
        return replace(project, designs=(*project.designs, grown), current=None)
    from legtaper.muslin.log import with_next

    return with_next(project, grown)


def _rename(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    old, name = chosen_design(project, at), _name(project, texts[0])
    return project.renamed(old.name, name) if old else project


def _remove(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
    gone = chosen_design(project, at)
    return project.without_design(gone.name) if gone else project
