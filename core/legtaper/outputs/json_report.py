"""A fit as plain data: the objects that `--json` prints. Every number in mm or degrees."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from legtaper.leg.block import Block
from legtaper.leg.hem import HemSize, hem_sag
from legtaper.leg.pairs import SewnPair, sewn_pairs
from legtaper.model.project import EDGES, PANELS, Edge, Project, Round
from legtaper.muslin.compare import Column, changes, ease, hip_to_hem, steps
from legtaper.muslin.log import accepted, current, next_step, sew_again, stale, status, tried
from legtaper.outputs.marking_table import marking_table
from legtaper.pattern import Fit, Pattern
from legtaper.remedies.mend import Mend, Mending
from legtaper.search.hem_widths import HemWidths
from legtaper.search.limits import Limits

Json = dict[str, Any]

SCHEMA = 1
"""Of every object that is printed. Keys are added under the same number, never renamed."""

PLACES = 4
"""Decimals of every number in mm or degrees."""


def heading(project: Project, design: str | None = None) -> Json:
    """Return how every object begins: the schema, the project and, where it is of one, a design."""
    named = {} if design is None else {"design": design}
    return {"schema": SCHEMA, "project": project.name, **named}


def rounded(value: Any) -> Any:
    """Return plain data with every number rounded to `PLACES`; -0.0 becomes 0.0."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, dict):
        return {key: rounded(inner) for key, inner in value.items()}
    return [rounded(inner) for inner in value] if isinstance(value, list | tuple) else value


def check_report(pattern: Pattern, mendings: Sequence[Mending] | None = None) -> Json:
    """Return the object of `check --json`; with `mendings` the findings have their remedies."""
    fit = pattern.fit
    found_for = {(one.finding.id, one.finding.where): one.mends for one in mendings or ()}
    return {
        **heading(fit.project, fit.design.name),
        "length_unit": "mm",
        "levels": level_rows(fit),
        "seams": [_seam(fit, edge) for edge in EDGES],
        "pairs": [_pair(pair) for pair in sewn_pairs(fit.grown.taper)],
        "hem": _hem(fit.hem, pattern),
        "slit": {
            "needed": fit.slit.needed,
            "height": fit.slit.height,
            "lowest_that_passes": fit.slit.lowest,
        },
        "findings": [
            {
                "id": found.id,
                "status": found.status,
                "value": found.value,
                "limit": found.limit,
                "where": found.where,
                "says": found.says,
                **({"estimated": True} if found.estimated else {}),
                **(
                    {}
                    if mendings is None
                    else {
                        "remedies": [
                            _remedy(one) for one in found_for.get((found.id, found.where), ())
                        ]
                    }
                ),
            }
            for found in pattern.findings
        ],
    }


def _remedy(mend: Mend) -> Json:
    return {
        "says": mend.says,
        "set": dict(mend.set),
        "fails": mend.fails,
        "cautions": mend.cautions,
    }


def mend_report(fit: Fit, mendings: Sequence[Mending]) -> Json:
    """Return the object of `mend --json`: what mends each finding, or why nothing does."""
    return {
        **heading(fit.project, fit.design.name),
        "mends": [
            {"number": mend.number, "finding": mend.finding, "where": mend.where, **_remedy(mend)}
            for one in mendings
            for mend in one.mends
        ],
        "unmended": [
            {"finding": one.finding.id, "where": one.finding.where, "says": one.why_not}
            for one in mendings
            if not one.mends
        ],
    }


def level_rows(fit: Fit) -> list[Json]:
    """Return one object for each level, hem first."""
    asked = {level.level for level in fit.taper.asked}
    rows = []
    for level, y in fit.block.heights.items():
        edges = [edge for edge in fit.block.edges_at(level) if level in fit.taper.reaches[edge]]
        row: Json = {
            "level": level,
            "height": y,
            "block": fit.block.widths.get(level),
            "finished": fit.taper.finished.get(level),
            "asked": level in asked,
            "edges": {edge: fit.taper.reaches[edge][level] for edge in edges},
            "take_in": {edge: fit.taper.taken(edge, level) for edge in edges},
        }
        if fit.block.apart(level):
            row["heights"] = {name: fit.block.height_on(name, level) for name in PANELS}
        if level in fit.block.estimated:
            row["estimated"] = True
        rows.append(row)
    return rows


def _seam(fit: Fit, edge: Edge) -> Json:
    seam = fit.taper.seams[edge]
    return {
        "edge": edge,
        "block_length": fit.block.lengths[edge],
        "new_length": fit.taper.lengths[edge],
        "blend_height": seam.blend,
        "curve_length": seam.curve,
        "style": seam.style,
        "kink_degrees": seam.kink,
        "outside": seam.outside,
    }


def _pair(pair: SewnPair) -> Json:
    """Return a sewn pair: back less front along the net seams; the zones add up to it."""
    return {
        "seam": pair.seam,
        "longer": pair.longer,
        "difference": pair.difference,
        "block_difference": pair.block_difference,
        "zones": [
            {"from": zone.start, "to": zone.end, "difference": zone.difference}
            for zone in pair.zones
        ],
    }


def _hem(size: HemSize, pattern: Pattern) -> Json:
    return {
        "style": size.style,
        "depth": size.depth,
        "turn_under": size.turn_under,
        "come_in": size.come_in,
        "cut_edge": {name: panel.shape.cut_edge for name, panel in pattern.narrowed.items()},
        "sag": hem_sag(pattern.fit.taper),
    }


def marks_report(fit: Fit, step: str) -> Json:
    """Return the object of `marks --json`."""
    table = marking_table(fit, step)
    return {
        **heading(fit.project, fit.design.name),
        "length_unit": "mm",
        "rounded_to": step,
        "marks": [
            {
                "edge": mark.edge,
                "level": mark.level,
                "height": mark.height,
                "come_in": mark.come_in,
                "from_grainline": mark.from_grainline,
                "part": mark.part,
                "up": mark.up,
                "exact_come_in": mark.exact_come_in,
                "exact_from_grainline": mark.exact_from_grainline,
            }
            for mark in table.marks
        ],
        "pieces": [
            {"edge": join.edge, "from": join.start, "to": join.end, "by": join.by}
            for join in table.pieces
        ],
        "below_hem": [
            {
                "panel": mark.panel,
                "edge": mark.edge,
                "what": mark.what,
                "height": mark.height,
                "from_grainline": mark.from_grainline,
                "allowance": mark.beside,
            }
            for mark in table.below_hem
        ],
        "circumference_after_rounding": table.after_rounding,
        "circumference_after_coming_in": table.after_coming_in,
    }


def limits_report(fit: Fit, found: Limits, widths: HemWidths) -> Json:
    """Return the object of `limits --json`."""
    return {
        **heading(fit.project, fit.design.name),
        "length_unit": "mm",
        "narrowest_hem_without_slit": found.narrowest_hem,
        "foot_entry_estimated": found.estimated,
        "most_take_in_per_edge": found.most_take_in,
        "most_take_in_without_slit": found.without_slit,
        "first_to_fail": found.first_to_fail,
        "blend_range": {
            seam: None if span is None else list(span) for seam, span in found.blend_range.items()
        },
        "hem_widths": [
            {
                "hem": row.hem,
                "take_in_per_edge": row.take_in,
                "works": row.works,
                "slit": row.slit,
                "ease": row.ease,
                "first_to_fail": row.first_to_fail or None,
                "warns": list(row.warns),
            }
            for row in widths.rows
        ],
        "hem_widths_that_work": [
            {"how": how, "from": low, "to": high} for how, low, high in widths.spans if how != "no"
        ],
    }


def compare_report(shown: Sequence[Column]) -> Json:
    """Return the object of `compare --json`: designs and rounds side by side.

    `rounds` holds every round of the project, whichever designs are compared.
    """
    project, block = shown[0].fit.project, shown[0].fit.block
    old = stale(project, block)
    return {
        **heading(project),
        "length_unit": "mm",
        "designs": [_compared(column) for column in shown],
        "rounds": [
            _round(one, number in old.rounds) for number, one in enumerate(project.rounds, 1)
        ],
        "changes": [
            {
                "from": before.label,
                "to": after.label,
                "says": list(changes(before.fit, after.fit)),
            }
            for before, after in steps(shown)
        ],
        "current": current(project).name,
        "accepted_round": accepted(project),
        "status": status(project, block),
        "next": next_step(project, block),
        "out_of_date": {
            "block_test": old.test,
            "rounds": list(old.rounds),
            "says": sew_again(project, block),
        },
    }


def rounds_report(project: Project, block: Block | None) -> Json:
    """Return the object of `round --json`. block: `None` where it is not all there yet."""
    old = stale(project, block) if block else None
    design = current(project).name if project.designs else None
    return {
        **heading(project),
        "design": design,
        "length_unit": "mm",
        "rounds": [
            {"round": number, **_round(one, old is not None and number in old.rounds)}
            for number, one in enumerate(project.rounds, 1)
        ],
        "accepted_round": accepted(project) if design else None,
        "status": status(project, block),
        "next": next_step(project, block),
    }


def _compared(column: Column) -> Json:
    fit = column.fit
    return {
        "design": fit.design.name,
        "round": column.number,
        "parent": fit.design.parent,
        "from_round": fit.design.from_round,
        "levels": level_rows(fit),
        "seams": [_seam(fit, edge) for edge in EDGES],
        "ease": ease(fit),
        "opening": fit.taper.finished["hem"],
        "hip_to_hem": hip_to_hem(fit),
        "slit": fit.slit.height,
        "hem": {
            "style": fit.hem.style,
            "depth": fit.hem.depth,
            "turn_under": fit.hem.turn_under,
            "sag": hem_sag(fit.taper),
        },
        "failed": [found.id for found in fit.findings if found.status == "fail"],
        "cautions": [found.id for found in fit.findings if found.status == "caution"],
    }


def _round(one: Round, out_of_date: bool) -> Json:
    return {
        "design": one.design,
        "printed": one.printed.isoformat() if one.printed else None,
        "date": one.date.isoformat() if one.date else None,
        "written": one.written.isoformat() if one.written else None,
        "verdict": one.verdict,
        "seen": list(tried(one)),
        "trouble": list(one.trouble),
        "notes": one.notes,
        "pinches": [
            {"level": pinch.level, "edge": pinch.edge, "depth": pinch.depth.mm}
            for pinch in one.pinches
        ],
        "signs": [
            {"sign": seen.sign, "cause": seen.cause, "where": seen.where} for seen in one.signs
        ],
        "out_of_date": out_of_date,
    }
