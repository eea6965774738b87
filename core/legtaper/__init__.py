"""The geometry core as a library: from a measured trouser block to a tapered pattern.

It prints nothing, asks nothing, and knows no terminal. What `__all__` names is promised; the
modules below are not. Importing it loads next to nothing: every part is loaded when it is used.

>>> import legtaper
>>> project = legtaper.load("examples/courier.toml")
>>> fitted = legtaper.fit(project, "easy taper")
>>> round(fitted.taper.finished["hem"], 1)  # mm around the leg: 15 in
381.0
>>> [finding.id for finding in fitted.findings if finding.status == "fail"]
[]
>>> pattern = legtaper.build(project, "easy taper")
>>> legtaper.render(pattern, "pdf")[:5]
b'%PDF-'

Every length is a `Length`: millimeters, and the text it was typed as. A design asks per level for
a take-in at each of the four edges, or for a finished width around the leg:

>>> wide = legtaper.Design("wide", width={"hem": legtaper.parse_length("16 1/2 in", "in")})
>>> round(legtaper.fit(project.with_design(wide), "wide").taper.finished["hem"] / 25.4, 3)
16.5
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, overload

from legtaper.model.version import __version__

if TYPE_CHECKING:
    from legtaper.checks.base import Finding
    from legtaper.files.atomic_write import StoreError
    from legtaper.model.lengths import Length, LengthError, parse_length
    from legtaper.model.project import (
        Allowance,
        BlockTable,
        Design,
        Fabric,
        HemPlan,
        NoDesignError,
        Project,
        ProjectError,
        Wearer,
    )
    from legtaper.outputs.formats import Options
    from legtaper.outputs.papers import PaperError
    from legtaper.pattern import Fit, Pattern

__all__ = [
    "Allowance",
    "BlockTable",
    "Design",
    "Fabric",
    "Finding",
    "Fit",
    "HemPlan",
    "Length",
    "LengthError",
    "NoDesignError",
    "Options",
    "PaperError",
    "Pattern",
    "Project",
    "ProjectError",
    "StoreError",
    "Wearer",
    "__version__",
    "build",
    "fit",
    "load",
    "parse_length",
    "render",
    "save",
]

_PLACES = {
    "legtaper.checks.base": ("Finding",),
    "legtaper.files.atomic_write": ("StoreError",),
    "legtaper.model.lengths": ("Length", "LengthError", "parse_length"),
    "legtaper.model.project": (
        "Allowance", "BlockTable", "Design", "Fabric", "HemPlan", "NoDesignError", "Project",
        "ProjectError", "Wearer",
    ),
    "legtaper.outputs.formats": ("Options",),
    "legtaper.outputs.papers": ("PaperError",),
    "legtaper.pattern": ("Fit", "Pattern"),
}  # fmt: skip


def __getattr__(name: str) -> Any:
    """Load what is asked for the first time (PEP 562)."""
    for module, names in _PLACES.items():
        if name in names:
            return getattr(import_module(module), name)
    raise AttributeError(f"module 'legtaper' has no attribute {name!r}")


def __dir__() -> list[str]:
    """Return what is promised."""
    return sorted(__all__)


def load(path: str | Path) -> Project:
    """Return the project of a file, which is only read.

    Raises `StoreError` where it cannot be read, `ProjectError` naming the key that is wrong.
    """
    from legtaper.files import store

    return store.load(Path(path))


def save(project: Project, path: str | Path) -> None:
    """Write a project: a new file, or into the project file that is there.

    What a person wrote into that file stays: comments, order, the spelling of what means the
    same; its state before is kept beside it as `NAME.bak`. Raises `StoreError` where it cannot be
    written or another program has it open, `ProjectError` where what is there is no project, or
    the project holds what a file must not.
    """
    from legtaper.files import store
    from legtaper.files.project_file import write_project

    path = Path(path)
    if not path.exists():
        store.save_new(path, write_project(project))
        return
    opened = store.Store.open(path, for_writing=True)
    try:
        if opened.read_only:
            raise store.StoreError(path, f"not saved: {opened.why_read_only}")
        opened.save(project)
    finally:
        opened.close()


def fit(project: Project, design: str | None = None) -> Fit:
    """Narrow the leg as a design asks, true the seams and judge the result.

    design: its name; `None` is the current one of the project. `.taper.finished` are the widths
    around the leg by level, mm; `.findings` what the checks say. Raises `ProjectError` naming
    what is missing or impossible, `NoDesignError` where there is no design.
    """
    from legtaper import pattern

    return pattern.fit(project, design)


def build(project: Project, design: str | None = None) -> Pattern:
    """Fit a design and cut it: both legs with hem, allowances and notches. Raises as `fit`."""
    from legtaper import pattern

    return pattern.build(project, design)


@overload
def render(
    pattern: Pattern, format: Literal["svg", "text", "marks"], options: Options | None = None
) -> str: ...
@overload
def render(
    pattern: Pattern, format: Literal["pdf", "dxf"], options: Options | None = None
) -> bytes: ...
@overload
def render(pattern: Pattern, format: str, options: Options | None = None) -> bytes | str: ...
def render(pattern: Pattern, format: str, options: Options | None = None) -> bytes | str:
    """Return a pattern as a file of that kind would hold it.

    format: "svg", "pdf" or "dxf" at true size, "marks" as a table, "text" as an outline for a
    terminal; bytes for pdf and dxf, else text. options: leg, paper, day. Raises `ValueError` for
    another format, `PaperError` for a paper that is not known or too small.
    """
    from legtaper.outputs import formats

    return formats.render(pattern, format, options)
