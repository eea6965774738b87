"""The questions of a drafted block: every number it rests on, where it is from, each changeable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from legtaper.model.lengths import say_length
from legtaper.model.project import Project, ProjectError, Unit, Wearer
from legtaper_wizard.flow.new_project import draft_from, length, table_of
from legtaper_wizard.flow.questions import field_at, find
from legtaper_wizard.flow.second_looks import slips
from legtaper_wizard.flow.shapes import AnswerError, Field

if TYPE_CHECKING:
    from legtaper.block_sources.drafted import Draft

_BODY = ("hip", "waist", "height", "inside_leg", "thigh", "knee", "calf", "foot_entry")
_INSIDE_LEG = "Inside of the leg from the crotch to the floor, standing without shoes."
_CHOSEN: Mapping[str, str] = {
    "ease_hip": "Ease at the hip",
    "ease_waist": "Ease at the waist",
    "ease_thigh": "Ease at the thigh",
    "ease_knee": "Ease at the knee",
    "ease_calf": "Ease at the calf",
    "back_wider": "Back wider by",
    "crotch_drop": "Crotch below the body",
    "hem_from_floor": "Hem off the floor",
    "rise": "Waist above crotch",
    "hip_above_crotch": "Hip above crotch",
    "front_fork": "Front crotch",
    "back_fork": "Back crotch",
    "hem": "Hem, around the leg",
}
CAUTION = "A starting block: sew and fit it before you taper."


@dataclass(frozen=True)
class Drafting:
    """A draft in the making: `texts` is what was typed by key, on top of what the wearer has."""

    wearer: Wearer
    unit: Unit
    texts: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, project: Project, texts: Mapping[str, str] | None = None) -> Drafting:
        """Begin with what is known of the wearer."""
        return cls(project.wearer, project.length_unit, dict(texts or {}))

    def draft(self) -> Draft:
        """Return the draft. Raises `ProjectError` naming what is missing or cannot be."""
        return draft_from(self.wearer, self.unit, self.texts)

    def problem(self) -> ProjectError | None:
        """Return why there is no draft yet, nothing where there is one."""
        try:
            self.draft()
        except ProjectError as error:
            return error
        return None

    def told(self) -> str:
        """Say what is still missing for a draft, or what it gives to think of at the machine."""
        if found := self.problem():
            label = label_of(found.key) if found.key in KEYS else found.key
            return f"{label}: {found.problem}."
        return " ".join(self.draft().notes)

    def typed(self, key: str, text: str) -> Drafting:
        """Return it with a number typed; "" takes back what was. Raises `AnswerError`."""
        texts = {name: said for name, said in self.texts.items() if name != key}
        if text.strip():
            try:
                length(key, text.strip(), self.unit)
            except ProjectError as error:
                raise AnswerError(key, error.problem) from None
            texts[key] = text.strip()
        changed = replace(self, texts=texts)
        found = changed.problem()
        if text.strip() and found and found.key == key:
            raise AnswerError(key, found.problem)
        return changed

    def doubts(self, key: str = "") -> Mapping[str, tuple[str, ...]]:
        """Return what is odd about what was typed, by key, as questions; or about one of them."""
        typed: dict[str, Any] = {
            one: length(one, text, self.unit)
            for one, text in self.texts.items()
            if find(f"wearer.{one}")
        }
        body = Project("", self.unit, replace(self.wearer, **typed))
        found = {one: slips(body, f"wearer.{one}") for one in typed if key in ("", one)}
        return {one: odd for one, odd in found.items() if odd}

    def fields(self) -> tuple[Field, ...]:
        """Return every number as a question; what holds without an answer is its placeholder."""
        shown = self._shown()
        return tuple(
            _field(key, shown.get(key, ("", ""))[1])._replace(
                placeholder=shown.get(key, ("", ""))[0],
                optional=key != "hip",
            )
            for key in KEYS
        )

    def sources(self) -> Mapping[str, str]:
        """Return where each number is from, and why it is what it is."""
        return {key: source for key, (_, source) in self._shown().items()}

    def _shown(self) -> dict[str, tuple[str, str]]:
        shown = {}
        for key in _BODY:
            if (known := getattr(self.wearer, key, None)) is not None:
                shown[key] = (say_length(known.mm, self.unit), "given: as the wearer has it")
        if self.problem() is None:
            for one in self.draft().numbers:
                why = f"{one.source}: {one.why}"
                if one.key not in shown or one.key in self.texts:
                    shown[one.key] = (say_length(one.mm, self.unit), why)
        return shown

    def into(self, project: Project) -> Project:
        """Return the project with the block, and with what was measured for it."""
        draft = self.draft()
        table = replace(table_of(draft), label=draft.table.label)
        return replace(project, wearer=draft.wearer, block=table)


KEYS = (*_BODY, *_CHOSEN)
"""Every number in the order in which it is asked for."""


def label_of(key: str) -> str:
    """Return what a number is called."""
    if key == "inside_leg":
        return "Inside leg"
    return _CHOSEN.get(key) or field_at(Project(), f"wearer.{key}").label


def _field(key: str, source: str) -> Field:
    said = f"{source[:1].upper()}{source[1:]}." if source else ""
    if key in _CHOSEN:
        return Field(key, label_of(key), "length", said, group="chosen by the draft")
    how = _INSIDE_LEG if key == "inside_leg" else field_at(Project(), f"wearer.{key}").how
    how = f"{how} {said}".strip()
    return Field(key, label_of(key), "length", how, group="measured on the body")
