"""What the girths say, and which of them look like a slip of the tape or of the unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from legtaper.leg.foot import foot_entry
from legtaper.model.lengths import say_both, say_length
from legtaper.model.project import Project
from legtaper_wizard.flow.shapes import Cursor, Note
from legtaper_wizard.flow.texts import words_of

_USUAL = {
    "height": (1200, 2300), "waist": (450, 2000), "high_hip": (500, 2200), "hip": (600, 2200),
    "thigh": (300, 1300), "knee": (230, 900), "knee_bent": (230, 950), "calf": (200, 800),
    "ankle": (140, 500), "foot_entry": (220, 600), "foot_length": (170, 380),
}  # fmt: skip
"""Generous bounds in mm; outside them a number is read back and asked about (common practice)."""

_FAR = 0.8
"""The estimate is an upper bound, about a tenth above the middle; what is farther off is asked."""

_HIP_OF_WAIST = (0.75, 2.0)
"""Beyond every one of the 507 adults of `bdims`, whose hips are 0.93 to 1.56 of their waists."""

_PAIRS = (
    ("knee", "knee_bent", "A bent knee is larger than a straight one"),
    ("knee", "thigh", "A thigh is larger than a knee"),
    ("ankle", "calf", "A calf is larger than an ankle"),
    ("ankle", "foot_entry", "The foot entry is larger than the ankle"),
)
"""(the smaller, the larger, what holds)."""


def wearer_notes(project: Project, _: Cursor) -> Iterator[Note]:
    """Yield the foot entry, the usable stretch, and questions about odd numbers."""
    yield from _odd(project)
    yield from _hip_of_waist(project)
    yield from _foot(project)
    yield from _stretch(project)


def _odd(project: Project) -> Iterator[Note]:
    for name, (low, high) in _USUAL.items():
        length = getattr(project.wearer, name)
        if length and not low <= length.mm <= high:
            label = words_of(f"wearer.{name}").label
            inches, cm = say_length(length.mm, "in"), say_length(length.mm, "cm")
            text = f"{label}: read as {inches}, {cm}. Is that the number and the unit you meant?"
            yield Note("question", text, f"wearer.{name}")
    for small, large, holds in _PAIRS:
        one, other = getattr(project.wearer, small), getattr(project.wearer, large)
        if one and other and one.mm > other.mm:
            text = f"{holds}; here {other.text} stands against {one.text}. Measure both once more."
            yield Note("question", text, f"wearer.{large}")


def _hip_of_waist(project: Project) -> Iterator[Note]:
    """Ask where hip and waist are further apart than bodies are."""
    hip, waist = project.wearer.hip, project.wearer.waist
    if hip and waist and not _HIP_OF_WAIST[0] < hip.mm / waist.mm < _HIP_OF_WAIST[1]:
        text = f"The hip is {hip.text} and the waist {waist.text}. Measure both once more."
        yield Note("question", text, "wearer.hip")


def _foot(project: Project) -> Iterator[Note]:
    foot, unit = foot_entry(project.wearer), project.length_unit
    if foot is None:
        yield Note(
            "info",
            "The foot entry is not known yet. Measured it serves best; ankle and height, or the "
            "foot length, give an estimate.",
            "wearer.foot_entry",
        )
    elif foot.estimated_from:
        yield Note(
            "number",
            f"Foot entry about {say_length(foot.mm, unit)}, estimated on the wide side from "
            f"{foot.estimated_from}. An estimate never replaces a measurement.",
            "wearer.foot_entry",
        )
    else:
        yield Note("number", f"The hem must let {say_both(foot.mm, unit)} through.")
        yield from _unlike(project)


def _unlike(project: Project) -> Iterator[Note]:
    """Ask about a foot entry that is far from what the rest of the wearer suggests."""
    measured = project.wearer.foot_entry
    guess = foot_entry(replace(project.wearer, foot_entry=None))
    if measured and guess and not _FAR < measured.mm / guess.mm < 1 / _FAR:
        near = say_length(guess.mm, project.length_unit)
        text = (
            f"Foot entry: {guess.estimated_from} suggest {near} at the most. Was it measured round "
            "heel and instep once?"
        )
        yield Note("question", text, "wearer.foot_entry")


def _stretch(project: Project) -> Iterator[Note]:
    fabric = project.fabric
    if fabric.kind == "woven" and fabric.stretch_percent:
        yield Note(
            "caution",
            f"The cloth counts as firm, so its {fabric.stretch_percent:.3g} % of stretch is not "
            "used. Choose woven with stretch if it is meant to stretch.",
            "fabric.kind",
        )
    elif fabric.stretches:
        usable = 100 * fabric.usable_stretch
        yield Note("number", f"{usable:.3g} % of stretch counts as usable, half of what it gives.")
    elif fabric.kind != "woven":
        yield Note(
            "info",
            "How much the cloth stretches is not known, so none is counted.",
            "fabric.stretch_percent",
        )
