"""What `begin` writes: which source was asked for, and the keys that are set on top of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from legtaper_wizard.cli.options import SURE, Refusal, load_project, one_line
from legtaper_wizard.flow import new_project, project_template
from legtaper_wizard.flow.new_project import Beginning
from legtaper_wizard.flow.second_looks import slips_of
from legtaper_wizard.flow.settings import settings

if TYPE_CHECKING:
    from legtaper.model.project import Project, Unit

_SOURCES = {"example": "--from-example", "from_body": "--from-body", "svg": "--from-svg",
            "dxf": "--from-dxf"}  # fmt: skip


@dataclass(frozen=True)
class _Call:
    """A call, sorted: keys of the project file, keys of a body or drawing, unit, and model."""

    file: Path
    keys: Mapping[str, str]
    rest: Mapping[str, str]
    unit: Unit
    model: Project | None

    @property
    def base(self) -> Project | None:
        """The project that a block goes into, with its keys set; `None` for one of no name."""
        if self.model is None and not self.keys:
            return None
        from legtaper.model.project import Project

        started = self.model or Project(self.file.stem, self.unit)
        return project_template.with_keys(started, self.keys)


def made_of(file: Path, pairs: tuple[str, ...], given: Mapping[str, Any]) -> Beginning:
    """Return the new project of a call. Raises `Refusal`, of doubtful numbers too."""
    _check_options(given)
    call = _sorted(file, pairs, given)
    made = _made(file, call, pairs, given)
    if not given["sure"]:
        _check_doubts(file, call, made)
    return made


def _check_doubts(file: Path, call: _Call, made: Beginning) -> None:
    """Refuse what the wizard would ask about: a script must not go on with a slip."""
    from legtaper.files.project_file import read_project

    body = (f"wearer.{key}" for key in call.rest) if made.drafted else ()
    if odd := list(slips_of(read_project(made.text), (*call.keys, *body))):
        raise Refusal(f"{' '.join(odd)} {SURE}", file)


def _made(file: Path, call: _Call, pairs: tuple[str, ...], given: Mapping[str, Any]) -> Beginning:
    drawing = given["svg"] or given["dxf"]
    if call.rest and not (drawing or given["from_body"]):
        raise _not_placed(next(iter(call.rest)), pairs)
    if drawing:
        source = new_project.DrawingFile(
            drawing, ".svg" if given["svg"] else ".dxf", given["front"], given["back"],
            given["px_per_inch"], given["drawing_unit"], given["as_named"],
        )  # fmt: skip
        with one_line(drawing):
            return new_project.from_drawing(source, call.rest, call.unit, call.base)
    with one_line(file):
        if given["from_body"]:
            return new_project.from_body(call.rest, call.unit, call.base)
        if call.model is not None:
            return _like(call)
        return _example(given["example"] or {"in": "courier", "cm": "weekend"}[call.unit], call)


def _check_options(given: Mapping[str, Any]) -> None:
    asked = [option for name, option in _SOURCES.items() if given[name]]
    if len(asked) > 1:
        known = ", ".join(list(_SOURCES.values())[:-1])
        raise Refusal(f"choose one of {known} and {_SOURCES['dxf']}")
    if given["like"] and given["example"]:
        raise Refusal("choose --like or --from-example, not both")
    of_drawings = (given["front"], given["back"], given["drawing_unit"], given["as_named"])
    if not (given["svg"] or given["dxf"]) and (
        any(of_drawings) or given["px_per_inch"] is not None
    ):
        raise Refusal(
            "--front, --back, --as-named, --px-per-inch and --drawing-unit go with a drawing"
        )


def _sorted(file: Path, pairs: tuple[str, ...], given: Mapping[str, Any]) -> _Call:
    with one_line(file):
        read = new_project.pairs_of(pairs, "hip=41in")
    keys = {key: text for key, text in read.items() if project_template.is_project_key(key)}
    rest = {key: text for key, text in read.items() if key not in keys}
    model = None
    if given["like"]:
        model = project_template.like(load_project(given["like"]), keys.get("name", file.stem))
    usual = settings(file.parent)
    unit = given["unit"] or (model.length_unit if model else new_project.unit_of(read, usual.unit))
    blank = model is None and (given["from_body"] or given["svg"] or given["dxf"])
    if blank:
        begins = any(key.startswith("design.") for key in keys)
        unsaid = {key: text for key, text in usual.lengths.items()
                  if begins or not key.startswith("design.")}  # fmt: skip
        keys = {**unsaid, **keys}
    return _Call(file, keys, rest, unit, model)


def _not_placed(key: str, pairs: tuple[str, ...]) -> Refusal:
    if not any("=" in pair for pair in pairs):
        return Refusal(f"{pairs[0][:60]} is one argument too many; KEY=VALUE goes with --from-body")
    near = project_template.nearest(key, ("name", "wearer.hip", "fabric.kind", "current"))
    return Refusal(
        f"{key[:60]}= goes with --from-body or a drawing; of the project file {near} (a key of a "
        f"table is written wearer.{key[:20]}=)"
    )


def _like(call: _Call) -> Beginning:
    from legtaper.files.project_file import write_project

    project = call.base or call.model
    assert project is not None
    says = ("Begun like the model, with nobody's body: measure the wearer and bring a block.",)
    return Beginning(write_project(project), says)


def _example(name: str, call: _Call) -> Beginning:
    from legtaper.files.project_file import read_project, write_project
    from legtaper_wizard.flow.examples import example_text

    text = example_text(name)
    if call.keys:
        text = write_project(project_template.with_keys(read_project(text), call.keys), text)
    return Beginning(text, ("An invented example: every number in it is nobody's. "
                            "Put in your own.",))  # fmt: skip
