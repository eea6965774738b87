"""What of a design was sewn, as a round keeps it, and whether the design is still that.

A record of the second kind begins with "2:" and a hash of what is asked for: take-ins, widths,
pinches, style, end, a moved center, room at the back. Behind it stand, in mm, where the seams run
into the old ones, how long their curves are, the slit and the hem; a star says that the program
would choose it so. What is typed in later as it was sewn anyway, or taken away, is then no change.
A record of the first kind is a hash alone, of what is asked for with blends and curves as typed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace

from legtaper.leg.block import Block
from legtaper.leg.hem import planned_size
from legtaper.leg.taper import blend_height
from legtaper.model.project import SEAMS, Design, Project, ProjectError, Unit

_ASKED = ("take_in", "width", "shift", "back_room")
_SECOND = "2:"
_USUAL = "*"
_SAME = 0.05  # mm; rounding


def sewn_as(project: Project, block: Block, design: Design) -> str:
    """Return the record of a design as it is sewn now."""
    plain = replace(design, curve={}, slit="auto")
    chosen = _chosen(project, block, plain)  # a curve and a slit hang on where the seams blend
    blends = _chosen(project, block, replace(plain, blend={}))
    chosen |= {seam: blends[seam] for seam in SEAMS if seam in blends}
    parts = []
    for name, mm in _left_open(design):
        usual = chosen.get(name)
        sewn = usual if mm is None else mm
        if sewn is None:  # what cannot be made cannot be sewn either; it is told elsewhere
            return fingerprint(design)
        is_usual = usual is not None and abs(sewn - usual) <= _SAME
        parts.append(f"{name}={sewn:.2f}{_USUAL if is_usual else ''}")
    return ";".join([_head(design), *parts, _hem(design, project.length_unit)])


def _chosen(project: Project, block: Block, design: Design) -> dict[str, float]:
    """Return where seams blend, their curves and the slit, mm, of a design that can be made."""
    from legtaper.pattern import fit_design

    try:
        fit = fit_design(project, design, block)
    except ProjectError:
        return {}
    found, leg = {"slit": fit.slit.height or 0.0}, fit.taper
    for seam in SEAMS:
        last = leg.last_asked(seam)
        found[seam] = blend_height(leg.block, design, seam, last, project.length_unit)
        found[f"{seam}_curve"] = min(edge.curve for edge in leg.edges(seam))
    return found


def is_otherwise(project: Project, design: Design, record: str) -> bool:
    """Whether a design is another than the record of it says; an empty one says nothing."""
    if not record.startswith(_SECOND):
        return bool(record) and record != fingerprint(design)
    head, *parts = record.split(";")
    sewn = dict(part.partition("=")[::2] for part in parts)
    if (
        head != f"{_SECOND}{_hash(design, _ASKED)}"
        or _hem(design, project.length_unit) not in parts
    ):
        return True
    return any(not _is_same(sewn.get(name, ""), mm) for name, mm in _left_open(design))


def _is_same(sewn: str, mm: float | None) -> bool:
    if mm is None:
        return sewn.endswith(_USUAL)
    try:
        return abs(float(sewn.removesuffix(_USUAL)) - mm) <= _SAME
    except ValueError:  # written by hand
        return False


def _left_open(design: Design) -> Iterator[tuple[str, float | None]]:
    """Yield what a design may leave to the program, by name, mm; `None` where it does."""
    for seam in SEAMS:
        for name, said in ((seam, design.blend), (f"{seam}_curve", design.curve)):
            yield name, said[seam].mm if seam in said else None
    slit = design.slit
    yield "slit", None if slit == "auto" else 0.0 if slit == "none" else slit.mm


def _head(design: Design) -> str:
    return f"{_SECOND}{_hash(design, _ASKED)}"


def _hem(design: Design, unit: Unit) -> str:
    depth, turn = planned_size(design.hem, unit)
    return f"hem={design.hem.style},{depth:.2f},{turn:.2f}"


def fingerprint(design: Design) -> str:
    """Return a record of the first kind; in other words or units it is the same."""
    return _hash(design, (*_ASKED, "blend", "curve"))


def _hash(design: Design, names: tuple[str, ...]) -> str:
    seams = {f"extra {seam}": lengths for seam, lengths in design.extra.items()}
    asked = {name: getattr(design, name) for name in names} | seams
    numbers = sorted((name, at, mm.mm) for name, each in asked.items() for at, mm in each.items())
    end = design.hem.height.mm if design.hem.height else 0.0
    text = ";".join([design.style, f"{end:.6f}", *(f"{n}:{at}:{mm:.6f}" for n, at, mm in numbers)])
    return hashlib.sha256(text.encode()).hexdigest()[:16]
