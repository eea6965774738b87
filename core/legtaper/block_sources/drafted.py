"""A plain starting block from body measurements: every number it used is shown and can be changed.

It is a straight leg with stated ease, to be sewn and fitted before anything is tapered. The
proportions that no source is named for are common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Final, Literal

from legtaper.block_sources.measured import KNEE_OF_INSIDE_LEG, block_from_table
from legtaper.leg.foot import foot_entry
from legtaper.model.lengths import Length, from_mm, say_length
from legtaper.model.project import (
    MEASURED,
    PANELS,
    BlockTable,
    Edge,
    PanelName,
    ProjectError,
    Unit,
    Wearer,
)
from legtaper.model.said_lengths import say_ruled

CAUTION: Final = "This is a starting block: sew and fit it before you taper."

LEAST_EASE: Final = 25.4
"""mm at hip, thigh, knee and calf. The last three: Nebraska Extension EC73-455 (1973); hip:
common practice."""

Source = Literal["given", "estimated", "chosen"]

# Inside leg (crotch height) over stature, ANSUR II (Gordon et al. 2014, NATICK/TR-15/007): women
# 0.480 (SD 0.015), men 0.482 (0.014). The longer one: a leg is shortened more easily.
_INSIDE_LEG_OF_HEIGHT = 0.482
# Below a height of 1350 mm: the height of the gluteal furrow, just below the crotch, over stature,
# the 95 % bound of each 100 mm of stature (Snyder et al., UM-HSRI-77-17, 1977; ages 2 to 18).
_CHILDS_INSIDE_LEG: Final = (
    (850, 0.405), (950, 0.425), (1050, 0.444), (1150, 0.465), (1250, 0.473), (1350, 0.482)
)  # fmt: skip
_GROWN: Final = _CHILDS_INSIDE_LEG[-1][0]
# Girths over hip girth, 507 adults (Heinz et al., J. Statistics Education 11(2), 2003): the
# one-sided 95 % bound, and of women and men the larger, so that the estimate errs towards width.
_OF_HIP: Final = {"thigh": 0.631, "knee": 0.410, "calf": 0.416}
_CALF_OF_KNEE: Final = 1.083  # the same adults
_SHARES: Final = {"thigh": (0.4, 1.0), "knee": (0.25, 0.7), "calf": (0.2, 0.7)}
"""What a measured girth may be of the hip's: outside of it, one of the two was misread:
common practice."""

_CHOSEN: Final[Mapping[str, tuple[dict[Unit, float], str]]] = {
    "ease_hip": ({"in": 50.8, "cm": 50.0}, "added to the hip girth"),
    "ease_waist": ({"in": 25.4, "cm": 20.0}, "added to the waist girth"),
    "ease_thigh": ({"in": 63.5, "cm": 60.0}, "added to the thigh girth, at the least"),
    "ease_knee": ({"in": 88.9, "cm": 90.0}, "added to the knee girth"),
    "ease_calf": ({"in": 76.2, "cm": 80.0}, "added to the calf girth, at the least"),
    "back_wider": ({"in": 25.4, "cm": 24.0}, "how much wider the back is than the front"),
    "crotch_drop": ({"in": 12.7, "cm": 15.0}, "how far the crotch seam is below the body"),
    "hem_from_floor": ({"in": 25.4, "cm": 25.0}, "how far the hem stays off the floor"),
}
_RANGES: Final = {
    "hip": (400, 2000), "height": (800, 2300), "inside_leg": (300, 1150), "hem": (200, 1200),
    "back_wider": (4, 120), "crotch_drop": (0, 80), "hem_from_floor": (-50, 400),
    "front_fork": (15, 150), "back_fork": (40, 350), "hip_above_crotch": (30, 250),
    "waist": (350, 2200), "ease_waist": (0, 500), "rise": (150, 500),
    "ease_hip": (LEAST_EASE, 500), "ease_thigh": (LEAST_EASE, 500),
    "ease_knee": (LEAST_EASE, 500), "ease_calf": (LEAST_EASE, 500),
}  # fmt: skip
_STEP: Final[Mapping[Unit, float]] = {"in": 25.4 / 16, "cm": 1.0}
_WIDER: Final[Mapping[PanelName, int]] = {"front": -1, "back": 1}
_HOLLOW: Final = 0.07
"""How much the inseam hollows out down to the thigh level, as a share of its reach:
common practice."""

_MOST_LOWERED: Final = 120.0
"""mm; far more than any back crotch point lies below the front's: common practice."""

BODY: Final = (*MEASURED, "inside_leg")
"""What may be measured on the body; hip, and height or inside leg, are needed."""
CHOICES: Final = (*_CHOSEN, "rise", "hip_above_crotch", "front_fork", "back_fork", "hem")
"""What the draft chooses, and anyone may choose otherwise."""


def _inside_leg(height: float) -> float:
    """Return the inside leg, mm, that is usual for a height: a smaller share where shorter."""
    shares = _CHILDS_INSIDE_LEG
    if height >= _GROWN:
        return _INSIDE_LEG_OF_HEIGHT * height
    for (low, share), (high, more) in pairwise(shares):
        if height < high:
            up = max(0.0, (height - low) / (high - low))
            return (share + up * (more - share)) * height
    return shares[-1][1] * height


@dataclass(frozen=True, slots=True)
class DraftNumber:
    """One number of the draft in mm, where it comes from, and why it is what it is."""

    key: str
    mm: float
    source: Source
    why: str


@dataclass(frozen=True)
class Draft:
    """A drafted block with every number it rests on; `wearer` has what was measured added.

    table: the leg by levels; `drafted_top.whole_table` adds the rest where the waist is known.
    """

    table: BlockTable
    unit: Unit
    wearer: Wearer
    numbers: tuple[DraftNumber, ...]
    notes: tuple[str, ...] = ()
    caution: str = CAUTION

    @property
    def reaches_waist(self) -> bool:
        """Whether the waist is known, so that the whole piece can be drawn."""
        return any(number.key == "waist" for number in self.numbers)

    def number(self, key: str) -> float:
        """Return one number, mm."""
        return next(number.mm for number in self.numbers if number.key == key)


def draft_table(wearer: Wearer, unit: Unit, given: Mapping[str, Length] | None = None) -> Draft:
    """Draft a straight starting block.

    `given` holds measurements (`BODY`) that the wearer lacks or that differ, and choices
    (`CHOICES`). Raises `ProjectError` with the key of what is missing, unknown or unlikely.
    """
    given = dict(given or {})
    unknown = next((key for key in given if key not in (*BODY, *CHOICES)), None)
    if unknown is not None:
        listed = ", ".join((*BODY, *CHOICES))
        raise ProjectError(unknown, f"is no number of the draft; use {listed}")
    on_body: Any = {key: length for key, length in given.items() if key in MEASURED}
    wearer = replace(wearer, **on_body)
    numbers = _Numbers(wearer, unit, given)
    numbers.body()
    numbers.choices()
    heights = _heights(numbers)
    reach = _reaches(numbers, heights)
    table, lowered = _with_equal_inseams(
        BlockTable(
            "Drafted starting block",
            {level: from_mm(mm, unit) for level, mm in heights.items()},
            {
                edge: {level: from_mm(mm, unit) for level, mm in by_level.items()}
                for edge, by_level in reach.items()
            },
        ),
        unit,
    )
    notes = _notes(lowered, unit, "waist" in numbers.found)
    return Draft(table, unit, wearer, tuple(numbers.found.values()), notes)


def _with_equal_inseams(table: BlockTable, unit: Unit) -> tuple[BlockTable, float]:
    """Lower the back crotch point, and the thigh with it, until both inseams are equally long.

    Return by how much, mm, beside the table: in steps that a ruler shows.
    """
    step, low, high = _STEP[unit], 0, int(_MOST_LOWERED / _STEP[unit])

    def longer(steps: int) -> float:
        lengths = block_from_table(_lowered(table, steps * step, unit), unit).lengths
        return lengths["back_inseam"] - lengths["front_inseam"]

    if longer(low) <= step / 2:
        return table, 0.0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if longer(middle) > 0 else (low, middle)
    steps = min((low, high), key=lambda tried: abs(longer(tried)))
    return _lowered(table, steps * step, unit), steps * step


def _lowered(table: BlockTable, by: float, unit: Unit) -> BlockTable:
    own = {level: from_mm(table.height[level].mm - by, unit) for level in ("thigh", "crotch")}
    return replace(table, panel_height={"back": own} if by else {})


def _notes(lowered: float, unit: Unit, waist: bool) -> tuple[str, ...]:
    """Say by how much the back crotch point was lowered, and what the draft lacks."""
    notes = []
    if lowered:
        notes.append(
            f"The back crotch point is drawn {say_ruled(lowered, unit)} lower than the front's, "
            "so that both inseams are equally long."
        )
    if not waist:
        notes.append("Give the waist to get the whole piece: without it the leg ends at the hip.")
    return tuple(notes)


def _read(mm: float) -> str:
    """Say how a number was read, in both units: a slip of the unit shows at once."""
    return f"read as {say_length(mm, 'in')}, {say_length(mm, 'cm')}; that"


class _Numbers:
    """Collects the numbers of a draft, each with its source."""

    def __init__(self, wearer: Wearer, unit: Unit, given: Mapping[str, Length]) -> None:
        self.wearer, self.unit, self.given = wearer, unit, given
        self.found: dict[str, DraftNumber] = {}

    def __getitem__(self, key: str) -> float:
        return self.found[key].mm

    def measured(self, key: str) -> float | None:
        length = self.given.get(key) or getattr(self.wearer, key, None)
        return None if length is None else float(length.mm)

    def take(self, key: str, otherwise: float, source: Source, why: str) -> None:
        """Keep what was given for a key, or else the value that the draft has for it."""
        mm = self.measured(key)
        number = DraftNumber(key, otherwise, source, why)
        if mm is not None:
            number = DraftNumber(key, mm, "given", "as you typed it")
            low, high = _RANGES.get(key, (0, 5000))
            if not low - 1e-6 <= mm <= high:
                least, most = say_length(low, self.unit), say_length(high, self.unit)
                raise ProjectError(key, f"{_read(mm)} is out of range, {least} to {most}")
        self.found[key] = number

    def body(self) -> None:
        if self.measured("hip") is None:
            raise ProjectError("hip", "missing; measure around the fullest place below the waist")
        self.take("hip", 0.0, "given", "")
        waist, height = self.measured("waist"), self.measured("height")
        if waist is not None:
            self.take("waist", waist, "given", "")
        if height is not None:
            self.take("height", height, "given", "")
        elif self.measured("inside_leg") is None:
            raise ProjectError("inside_leg", "missing; give the inside leg, or else the height")
        why = "from the height, by ANSUR II; measure it to be sure"
        if height is not None and height < _GROWN:
            why = "from the height, by children's legs measured in 1977; measure it to be sure"
        self.take("inside_leg", _inside_leg(height or 0.0), "estimated", why)
        for key, usual in _OF_HIP.items():
            share = usual
            of = "hip"
            if key == "calf" and self.found["knee"].source == "given":
                of, share = "knee", _CALF_OF_KNEE
            why = f"from the {of}, larger than the {key} of 95 in 100 adults; measure it to be sure"
            usual_girth = share * self[of]
            bent = self.measured("knee_bent")
            if key == "knee" and bent is not None and bent < usual_girth:
                usual_girth, why = bent, "no larger than the bent knee; measure it to be sure"
            self.take(key, usual_girth, "estimated", why)
            low, high = _SHARES[key]
            if not low * self["hip"] <= self[key] <= high * self["hip"]:
                raise ProjectError(key, "does not go with this hip; measure both again")

    def choices(self) -> None:
        for key, (usual, why) in _CHOSEN.items():
            self.take(key, usual[self.unit], "chosen", why)
        hip = self["hip"]
        self.take("hip_above_crotch", 0.08 * hip, "chosen", "hip level above the crotch seam")
        rise = 0.25 * hip + self["crotch_drop"]
        self.take("rise", rise, "chosen", "waist above the crotch seam")
        self.take("front_fork", 0.05 * hip, "chosen", "front crotch, beyond the center front")
        self.take("back_fork", 0.12 * hip, "chosen", "back crotch, beyond the center back")
        foot = foot_entry(self.wearer)
        wide = self["knee"] + self["ease_knee"] - 20.0
        why = "a straight leg: 2 cm less than at the knee"
        if foot is not None and foot.mm > wide:
            wide, why = foot.mm, "what the foot needs to pass"
        self.take("hem", wide, "chosen", why)


def _heights(n: _Numbers) -> dict[str, float]:
    """Return the heights of the levels above the finished hem, mm, to what a ruler shows."""
    crotch = n["inside_leg"] - n["crotch_drop"] - n["hem_from_floor"]
    knee = KNEE_OF_INSIDE_LEG * n["inside_leg"] - n["hem_from_floor"]
    thigh = crotch - (25.4 if n.unit == "in" else 25.0)
    levels = {"hem": 0.0, "calf": knee * 5 / 8, "knee": knee, "thigh": thigh, "crotch": crotch}
    levels["hip"] = crotch + n["hip_above_crotch"]
    step = _STEP[n.unit]
    rounded = {level: step * round(mm / step) for level, mm in levels.items()}
    for low, high in pairwise(rounded):
        if rounded[high] - rounded[low] < 20:
            raise ProjectError("inside_leg", f"leaves no room between {low} and {high}; change it")
    return rounded


def _reaches(n: _Numbers, heights: Mapping[str, float]) -> dict[Edge, dict[str, float]]:
    """Return the reach of every edge by level, mm, rounded up to what a ruler shows."""
    hem, knee = n["hem"], n["knee"] + n["ease_knee"]
    share = heights["calf"] / heights["knee"]
    calf = max(hem + share * (knee - hem), n["calf"] + n["ease_calf"])
    reach: dict[Edge, dict[str, float]] = {}
    for name, sign in _WIDER.items():
        lower = {"hem": hem, "calf": calf, "knee": knee}
        each = {level: (width + sign * n["back_wider"]) / 4 for level, width in lower.items()}
        for edge in PANELS[name]:
            reach[edge] = dict(each)
    for edge, by_level in _upper(n, heights, reach).items():
        reach[edge] |= by_level
    step = _STEP[n.unit]
    return {
        edge: {level: step * math.ceil(mm / step - 1e-9) for level, mm in by_level.items()}
        for edge, by_level in reach.items()
    }


def _upper(
    n: _Numbers, heights: Mapping[str, float], lower: Mapping[Edge, Mapping[str, float]]
) -> dict[Edge, dict[str, float]]:
    """Return the reaches at thigh, crotch and hip.

    The front's grainline halves its crotch line. The back goes out as much further at the
    outseam as it is wider there, and has the rest at the inseam.
    """
    quarter, wider = (n["hip"] + n["ease_hip"]) / 4, n["back_wider"]
    front = (quarter - wider / 4 + n["front_fork"]) / 2
    rest = quarter + wider / 4 + n["back_fork"] - front - wider / 2
    outer: dict[Edge, float] = {"front_outseam": front, "back_outseam": front + wider / 2}
    inner: dict[Edge, float] = {
        "front_inseam": front, "back_inseam": max(rest, front + wider / 2)
    }  # fmt: skip
    way = (heights["crotch"] - heights["thigh"]) / (heights["crotch"] - heights["knee"])
    thigh = {edge: mm - way * (mm - lower[edge]["knee"]) for edge, mm in outer.items()}
    thigh |= {edge: (1 - _HOLLOW) * mm for edge, mm in inner.items()}
    least = max(n["thigh"] + n["ease_thigh"], sum(edges["knee"] for edges in lower.values()))
    short = max(0.0, least - sum(thigh.values()))
    parts: dict[Edge, float] = {"front_inseam": short / 3, "back_inseam": 2 * short / 3}
    upper = {
        edge: {"thigh": thigh[edge] + parts.get(edge, 0.0), "crotch": mm + parts.get(edge, 0.0)}
        for edge, mm in (inner | outer).items()
    }
    for edge, mm in outer.items():
        upper[edge]["hip"] = mm
    return upper
