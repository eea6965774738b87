"""What the checks are called, where their ids would mean nothing to whoever reads them."""

from __future__ import annotations

_NAMES = {
    "tested": "Test of the block", "already-narrow": "What was asked",
    "liked-split": "Liked widths",
    "blend": "Blend", "hang": "Hang", "hem-opening": "Hem opening", "slit": "Slit",
    "ease-thigh": "Ease at the thigh", "ease-knee": "Ease at the knee",
    "ease-calf": "Ease at the calf", "ease-ankle": "Ease at the ankle",
    "ease-knee-bent": "Ease at the bent knee", "balance": "Balance",
    "sewn-pair": "Front and back sewn together", "hem-join": "Hem across the seam",
    "hem-sag": "Straight hem", "hem-shape": "Shape of the hem", "proportion": "Hip to hem",
    "cut-line": "Cut line",
}  # fmt: skip


def fails_as(finding_id: str) -> str:
    """Say in a few words what it means that a finding fails, where it goes with a narrower hem."""
    known = {
        "ease-calf": "too close at the calf", "ease-knee": "too close at the knee",
        "ease-thigh": "too close at the thigh", "ease-knee-bent": "too close at a bent knee",
        "ease-ankle": "too close at the ankle", "sewn-pair": "front and back sew unevenly",
        "hem-opening": "the foot does not pass", "slit": "slit not high enough",
        "blend": "the seams make a corner", "hang": "would hang otherwise",
        "cut-line": "cut line crosses itself",
    }  # fmt: skip
    return known.get(finding_id, finding_id.replace("-", " "))


def name_of(finding_id: str, where: str) -> str:
    """Return what a check is called, and the seam or level where that is not in its name."""
    name = _NAMES.get(finding_id, finding_id.replace("-", " "))
    place = where.replace("_", " ")
    return name if place in name or place in ("block", "hem", "hip", "") else f"{name}, {place}"
