"""The lines of the wizard's pictures, in mm: panels, a block that is half measured, the hem."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from legtaper.geometry.curves import Array, MonotoneCubic, foot
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.hem import fold_up
from legtaper.model.lengths import say_length
from legtaper.model.project import EDGES, PANELS, Edge, PanelName, Project, Unit, seam_of
from legtaper.outputs import leg_views
from legtaper.outputs.terminal_plot import Tag, Trace
from legtaper.pattern import Fit
from legtaper_wizard.flow.derived_state import Standing
from legtaper_wizard.tui.layout.question_tables import say


@dataclass(frozen=True, eq=False)
class Picture:
    """Lines in mm, tags of heights, and the words below.

    `widened` is how many times as wide as true it is drawn already, 0 where that is free.
    """

    traces: tuple[Trace, ...]
    tags: tuple[Tag, ...]
    words: str
    widened: float = 0.0


_POINTS = 121
_GAP = 40.0  # mm between two panels


def panels(unit: Unit, found: Standing, view: str, marked: bool) -> Picture:
    """Return the old line, and the new one where there is a fit; `marked` shows where it blends."""
    block, fit = found.block, found.fit
    if block is None:
        raise ValueError("there is no block to draw")
    parts = leg_views.Parts(_chosen(view), top=False, blends=marked)
    traces, tags = leg_views.panels_view(block, unit, fit, parts)
    words = _words(view, fit is not None, unit)
    if fit is not None and marked:
        words = words.replace("narrowed.", "narrowed, {fold}where it blends.")
    if fit is not None and fit.taper.shifts:
        words = words.replace("{new}narrowed", "{new}narrowed, {other}crease line")
    return Picture(tuple(traces), _short(tags, unit), words)


def offered(sewn: Fit, fit: Fit, view: str) -> Picture:
    """Return the seams that were sewn, and those of the next design."""
    block, unit = fit.block, fit.project.length_unit
    seams = [dict(one.taper.seams) for one in (sewn, fit)]
    traces, _ = leg_views.overlay_view(block, seams, _chosen(view))
    words = _words(view, True, unit).replace("{old}block, {new}narrowed", "{old}sewn, {new}next")
    tags = leg_views.width_tags(block, unit, fit)
    return Picture(tuple(traces), _short(tags, unit), words)


def _words(view: str, narrowed: bool, unit: Unit) -> str:
    lines = "{old}block, {new}narrowed" if narrowed else "the block"
    panels = view.capitalize() if view in PANELS else "Front and back"
    inches = "inches" if unit == "in" else "cm"
    return f"{panels}: {lines}. Numbers: {inches} around the leg."


def _chosen(view: str) -> tuple[PanelName, ...]:
    """Return which panels are shown."""
    return tuple(name for name in PANELS if name == view) or tuple(PANELS)


def _short(tags: Sequence[Tag], unit: Unit) -> tuple[Tag, ...]:
    """Leave the unit to the words below, and begin as everywhere on the screen."""
    return tuple(
        Tag(tag.text[:1].upper() + tag.text[1:].removesuffix(f" {unit}"), tag.y) for tag in tags
    )


# --- a block that is not finished -----------------------------------------------------------


def partial(project: Project, view: str) -> Picture:
    """Return what is measured so far: the grainlines, and each seam through its levels."""
    table = project.block
    heights = {"hem": 0.0} | {level: length.mm for level, length in table.height.items()}
    known = {edge: _known(project, edge, heights) for edge in EDGES}
    top = max(heights.values())
    if top <= 0:
        return Picture((), (), "The outline grows here as you type its numbers.")
    inner = max((points[:, 1].max() for points in known.values() if len(points)), default=100.0)
    traces: list[Trace] = []
    for number, name in enumerate(_chosen(view)):
        at = number * (2 * float(inner) + _GAP)
        traces.append(Trace(np.array([(at, 0.0), (at, top)]), "thin"))
        for edge in PANELS[name]:
            side = OUTSEAM_SIDE[name] if seam_of(edge) == "outseam" else -OUTSEAM_SIDE[name]
            if len(known[edge]):
                traces.append(Trace(_through(known[edge]) * (side, 1) + (at, 0), "new"))
    tags = tuple(Tag(say(level), y) for level, y in heights.items())
    return Picture(tuple(traces), tags, "The block, as far as it is measured.")


def _known(project: Project, edge: Edge, heights: Mapping[str, float]) -> Array:
    """Return the measured points of an edge as (height, reach) rows, from the hem upwards."""
    reach = project.block.reach.get(edge, {})
    points = sorted((heights[level], mm.mm) for level, mm in reach.items() if level in heights)
    different = [p for i, p in enumerate(points) if i == 0 or p[0] > points[i - 1][0]]
    return np.array(different).reshape(-1, 2)


def _through(points: Array) -> Array:
    """Return the seam through points as (reach, height) rows; one point is a short mark."""
    if len(points) == 1:
        (y, x) = points[0]
        return np.array([(x, y), (x, y + 8)])
    y = np.linspace(points[0, 0], points[-1, 0], _POINTS)
    seam = MonotoneCubic.through(points[:, 0].tolist(), points[:, 1].tolist())
    return np.column_stack([seam.at(y), y])


# --- the hem, close up ----------------------------------------------------------------------

_SHOWN = 1.6  # how far up the leg is shown, in hem depths
_HALF = 1.1  # half the width of the picture at the hem line, in hem depths
_LEAN = 0.45  # how far an edge leans in the picture within one hem depth, in hem depths


def hem(fit: Fit) -> Picture:
    """Return the front at its hem: leg above the fold, the fold-up below it as its mirror.

    The edges lean so little that sideways they are drawn larger, by a whole factor.
    """
    left, right = _hem_edges(fit)
    size = fit.hem
    half, factor = _HALF * size.depth, _lean_factor(left, right, size.depth)
    sides = ((left, -1), (right, 1))
    traces = [Trace(_leaning(edge, edge[0, 0], sign * half, factor), "new") for edge, sign in sides]
    tags = [Tag("leg", _SHOWN * size.depth), Tag("hem line", 0.0)]
    if size.style == "faced":
        return Picture(tuple(traces), tuple(tags), "Front hem; the facing is cut apart.", factor)
    flap = fold_up(left, right, size)
    for edge, (start, sign) in zip((flap.left, flap.right), sides, strict=True):
        traces.append(Trace(_leaning(edge, start[0, 0], sign * half, factor), "new"))
        y = start[0, 1]
        traces.append(Trace(np.array([(sign * half, y), (sign * half, y - size.depth)]), "old"))
    for fold in flap.folds:
        traces.append(Trace(np.column_stack([(-half, half), fold[:, 1]]), "fold"))
    low = float(min(flap.left[-1, 1], flap.right[-1, 1]))
    tags.append(Tag(f"cut {say_length(flap.cut_edge, fit.project.length_unit)}", low))
    words = "Front hem: {new}leg and fold-up, {old}straight down."
    return Picture(tuple(traces), tuple(tags), words, factor)


def _hem_edges(fit: Fit) -> tuple[Array, Array]:
    """Return the two edges of the front panel from the hem line upwards, left one first."""
    (inseam, outseam), side = PANELS["front"], OUTSEAM_SIDE["front"]
    slope, up = fit.block.hem_slope("front"), np.linspace(0, _SHOWN * fit.hem.depth, 41)
    edges = {}
    for edge, way in ((inseam, -side), (outseam, side)):
        seam = fit.taper.seams[edge]
        y = foot(seam, way, slope) + up
        edges[way] = np.column_stack([way * seam.at(y), y])
    return edges[-1], edges[1]


def _lean_factor(left: Array, right: Array, depth: float) -> float:
    """Return the factor, a whole number, at which the steeper edge leans as the picture wants."""
    leans = [
        abs(float(np.interp(depth, e[:, 1] - e[0, 1], e[:, 0]) - e[0, 0])) for e in (left, right)
    ]
    return float(max(1, round(_LEAN * depth / max(*leans, 0.01 * depth))))


def _leaning(edge: Array, origin: float, at: float, factor: float) -> Array:
    return np.column_stack([at + factor * (edge[:, 0] - origin), edge[:, 1]])
