"""The invented example as it is typed into the wizard."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper.model.project import Project
from legtaper_wizard.flow.steps import answer, value
from legtaper_wizard.prompts.prompt_order import Prompt, row_from

TYPED: tuple[tuple[str, str], ...] = (
    ("name", "Courier trousers"),
    ("wearer.height", "66"),
    ("wearer.waist", "34"),
    ("wearer.high_hip", "39"),
    ("wearer.hip", "41"),
    ("wearer.thigh", "24"),
    ("wearer.knee", "15 1/2"),
    ("wearer.knee_bent", "16 3/8"),
    ("wearer.calf", "14 3/4"),
    ("wearer.ankle", "9"),
    ("wearer.foot_entry", "12 3/4"),
    ("fabric.description", "8 oz twill"),
    ("fabric.thickness", "0.6 mm"),
    ("block.label", "Trouser block, March"),
    ("block.height.calf", "10 1/2"),
    ("block.height.knee", "17"),
    ("block.height.thigh", "29"),
    ("block.height.crotch", "30"),
    ("block.height.hip", "38"),
    ("block.front.outseam.hem", "4 1/4"),
    ("block.front.outseam.knee", "4 3/4"),
    ("block.front.outseam.crotch", "5 3/4"),
    ("block.front.outseam.hip", "6"),
    ("block.front.inseam.hem", "4 1/4"),
    ("block.front.inseam.knee", "4 3/4"),
    ("block.front.inseam.crotch", "7"),
    ("block.back.outseam.hem", "4 3/4"),
    ("block.back.outseam.knee", "5 1/4"),
    ("block.back.outseam.crotch", "6 3/8"),
    ("block.back.outseam.hip", "6 3/4"),
    ("block.back.inseam.hem", "4 3/4"),
    ("block.back.inseam.knee", "5 3/8"),
    ("block.back.inseam.crotch", "8 3/4"),
    ("block_test.verdict", "hangs clean"),
    ("block_test.date", "2026-03-14"),
    ("liked.0.garment", "Gray corduroys"),
    ("liked.0.width.hem", "7 1/8"),
    ("liked.0.width.knee", "9"),
    ("design.take_in.hem", "5/8"),
    ("design.blend.outseam", "38"),
    ("design.blend.inseam", "29"),
)


def typed(*prefixes: str) -> Project:
    """Return the project after typing all answers, or those whose keys begin like this."""
    project = Project()
    for key, text in TYPED:
        if not prefixes or key.startswith(prefixes):
            project = answer(project, key, text)
    return project


def empty_row(project: Project, prompts: Sequence[Prompt], index: int) -> list[Prompt]:
    """Return the row of the block that Enter passes at a question, where none of it is needed."""
    row = row_from(prompts, index)
    passed = all(one.field.optional and not value(project, one.field.key) for one in row)
    return row if passed else []
