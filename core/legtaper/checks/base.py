"""The findings: what is well, what wants care and what fails, each with one plain sentence."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from legtaper.geometry.seam import KINK_TOLERANCE, OUTSIDE_TOLERANCE
from legtaper.leg.block import HEM_BOW, OUTSEAM_SIDE, Block
from legtaper.leg.foot import FootEntry, SlitPlan
from legtaper.leg.taper import Taper, nearest_ruled_blend
from legtaper.leg.widths import liked_widths
from legtaper.model.lengths import say_length, say_small
from legtaper.model.project import (
    EDGES,
    PANELS,
    SEAMS,
    Design,
    Edge,
    PanelName,
    Project,
    SeamName,
    seam_of,
)
from legtaper.model.safe_text import clean

Status = Literal["pass", "caution", "fail", "unknown"]

EASE_MINIMUM = 25.4
"""mm at thigh, knee and calf; halved for stretch cloth.

Nebraska Extension EC73-455 (1973), "Pants Measurement Chart": 1 to 2 in; New Mexico State
C-209: thigh 1 to 2 in, knee at least 1 in.
"""


@dataclass(frozen=True, slots=True)
class Finding:
    """One check. `value` and `limit` are mm, degrees or a ratio; `where` is a level or an edge."""

    id: str
    status: Status
    value: float | None
    limit: float | None
    where: str
    says: str
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class _Checked:
    """Everything that a check may look at."""

    project: Project
    design: Design
    taper: Taper
    foot: FootEntry | None
    slit: SlitPlan

    @property
    def block(self) -> Block:
        return self.taper.block

    def say(self, mm: float) -> str:
        return say_length(mm, self.project.length_unit)

    def say_small(self, mm: float) -> str:
        return say_small(mm, self.project.length_unit)


def check(
    project: Project, design: Design, taper: Taper, foot: FootEntry | None, slit: SlitPlan
) -> tuple[Finding, ...]:
    """Return every finding on a design, in the order of the job."""
    c = _Checked(project, design, taper, foot, slit)
    groups = (
        _tested(c), _already_narrow(c), _liked_split(c), _blend(c), _hang(c), _hem_opening(c),
        _slit(c), _ease(c), _bent_knee(c), _balance(c), _sewn_pair(c), _hem_join(c), _hem_sag(c),
        _hem_shape(c),
        _proportion(c),
    )  # fmt: skip
    return tuple(finding for group in groups for finding in group)


def _tested(c: _Checked) -> Iterator[Finding]:
    test = c.project.block_test

    def found(status: Status, says: str) -> Finding:
        return Finding("tested", status, None, None, "block", says)

    if test is None:
        yield found("unknown", "Sew the block as it is in cheap cloth and judge it first.")
    elif test.verdict == "needs fitting":
        yield found("caution", "The block needs fitting; narrow the legs after that.")
    elif not test.fingerprint:
        yield found("caution", "It is not recorded which block was tested; judge it once more.")
    elif test.fingerprint != c.block.fingerprint:
        yield found("caution", "The block has changed since it was tested; sew and judge it again.")
    else:
        yield found("pass", "The block was tested as it is and hangs clean.")


def _already_narrow(c: _Checked) -> Iterator[Finding]:
    for asked in c.taper.asked:
        if asked.already_narrow and asked.width is not None:
            has = float(c.taper.circumference(asked.height))
            why = f"the block is already narrower, {c.say(has)}, so the edges stay there"
            if any(asked.extra.values()):
                why = f"with the extra at a seam it comes to {c.say(has)}"
            says = (
                f"You asked for {c.say(asked.width)} at the {asked.level}; {why}. "
                "A taper never lets out."
            )
            yield Finding("already-narrow", "caution", has, asked.width, asked.level, says)


def _liked_split(c: _Checked) -> Iterator[Finding]:
    for liked in c.project.liked:
        for width in liked_widths(liked, c.project.fabric).values():
            height = c.block.heights.get(width.level)
            if (
                width.front is None
                or width.back is None
                or height is None
                or height > c.block.crotch
            ):
                continue
            liked_more = width.back - width.front
            front, back = (
                float(c.block.reach(inseam, height) + c.block.reach(outseam, height))
                for inseam, outseam in PANELS.values()
            )
            apart = liked_more - (back - front)
            status: Status = "pass" if abs(apart) <= 6.35 else "caution"
            says = (
                f"{clean(liked.garment, 60)}: the back is {c.say(liked_more)} wider than the front "
                f"at the {width.level}; in the block it is {c.say(back - front)}. The same still "
                "comes off every edge, so the block keeps its own difference."
            )
            yield Finding("liked-split", status, apart, 6.35, width.level, says)


def _blend(c: _Checked) -> Iterator[Finding]:
    for seam in SEAMS:
        edges = [edge for edge in EDGES if seam_of(edge) == seam]
        worst = max(edges, key=lambda edge: c.taper.seams[edge].outside)
        trued = c.taper.seams[worst]
        outside = trued.outside
        kink = max(c.taper.seams[edge].kink for edge in edges)
        status: Status = "pass"
        says = f"The {seam} runs into the old seam at {c.say(trued.blend)} without a kink."
        if trued.eased is None:
            says = f"The {seam} stays as it is."
        elif kink > KINK_TOLERANCE:
            status, says = "fail", f"The {seam} would bend by {kink:.1f} degrees; blend elsewhere."
        elif outside > OUTSIDE_TOLERANCE and c.taper.style == "straight":
            status, says = "fail", _straight_advice(c, worst, outside)
        elif outside > OUTSIDE_TOLERANCE:
            status = "caution"
            says = (
                f"The {seam} is let out beyond the block by {c.say(outside)}; "
                "see that the paper and the cloth allow it."
            )
        elif turn := _sharp_turn(c, seam):
            status = "caution"
            says = (
                f"The {seam} turns {turn:.0f} degrees within {c.say(trued.curve)}; "
                "ask for less at the highest level, or blend higher."
            )
        yield Finding("blend", status, trued.blend, c.block.blend_top(seam), seam, says)


def _sharp_turn(c: _Checked, seam: SeamName) -> float:
    """Return the turn in degrees where a short curve would make an edge that shows, else 0.

    More than 10 degrees within 5 cm (2 in) is hard to sew flat: common practice.
    """
    turns = [0.0]
    for edge in EDGES:
        trued = c.taper.seams[edge]
        if seam_of(edge) != seam or trued.eased is None or trued.curve > 50.8:
            continue
        below, above = trued.blend - trued.curve, trued.blend
        change = trued.slope(below) - trued.slope(above - 1e-9)
        own = trued.old.slope(below) - trued.old.slope(above - 1e-9)
        turns.append(abs(math.degrees(math.atan(float(change - own)))))
    return max(turns) if max(turns) > 10 else 0.0


def _straight_advice(c: _Checked, edge: Edge, outside: float) -> str:
    near = nearest_ruled_blend(c.taper, c.design, seam_of(edge), c.project.length_unit)
    start = f"A ruled {edge.replace('_', ' ')} would leave the old seam by {c.say_small(outside)}"
    if near is None:
        return f'{start}, and no other blend serves; use the style "follow".'
    return (
        f"{start}; the nearest that fits blends at {near.text}, with the length of the curve "
        'left open, or use the style "follow".'
    )


def _hang(c: _Checked) -> Iterator[Finding]:
    blend = max(c.taper.seams[edge].blend for edge in EDGES if seam_of(edge) == "outseam")
    top, level = c.block.top, c.block.fullest.replace("_", " ")
    if blend <= top + 1e-6:
        yield Finding(
            "hang", "pass", blend, top, "outseam",
            f"The outseam blends no higher than the {level}, so the trousers hang as they did.",
        )  # fmt: skip
    else:
        yield Finding(
            "hang", "fail", blend, top, "outseam",
            f"The outseam blends above the {level}, where the trousers hang from; "
            f"blend at {c.say(top)} or lower.",
        )  # fmt: skip


def _hem_opening(c: _Checked) -> Iterator[Finding]:
    hem = c.taper.finished["hem"]
    opening = hem * (1 + c.project.fabric.usable_stretch)
    if c.foot is None:
        says = (
            "The foot entry is not known. Measure round the heel and over the instep, toes pointed."
        )
        yield Finding("hem-opening", "unknown", opening, None, "hem", says)
        return
    need = c.say(c.foot.mm)
    if c.foot.estimated_from:
        need += f" (estimated from {c.foot.estimated_from}; measure it to be sure)"
    stretched = " stretched" if c.project.fabric.stretches else ""
    status: Status
    if not c.slit.needed:
        status, says = (
            "pass",
            f"The hem opens to {c.say(opening)}{stretched}; the foot needs {need}.",
        )
    elif c.slit.lets_foot_through and c.slit.height is not None:
        status = "caution"
        says = (
            f"The hem opens to {c.say(opening)}{stretched} and the foot needs {need}; "
            f"the slit of {c.say(c.slit.height)} lets it through."
        )
    else:
        status = "fail"
        says = (
            f"The hem opens to {c.say(opening)}{stretched} but the foot needs {need}; "
            f"{_slit_advice(c)}."
        )
    yield Finding(
        "hem-opening", status, opening, c.foot.mm, "hem", says, bool(c.foot.estimated_from)
    )


def _slit_advice(c: _Checked) -> str:
    if c.slit.lowest is None:
        return "no slit below the crotch would do, so take less off"
    return f"add a slit of {c.say(c.slit.lowest)} or take less off the hem"


def _slit(c: _Checked) -> Iterator[Finding]:
    calf = c.block.heights["calf"]
    needs = c.slit.lowest
    height = c.slit.height if c.slit.height is not None else needs

    def found(status: Status, says: str) -> Finding:
        return Finding("slit", status, height, calf, "hem", says)

    if c.foot is None and c.slit.height is None:
        yield found("unknown", "Whether a slit is needed is not known without the foot entry.")
    elif needs is None and c.foot is not None:
        yield found("fail", "The leg is too narrow for the foot all the way up; take less off.")
    elif height is not None and height > calf:
        yield found(
            "caution",
            f"The slit would reach {c.say(height)}, above the calf; make an opening with a zip or "
            "buttons instead, or take less off.",
        )
    elif c.slit.needed and c.slit.height is None:
        yield found("caution", f"The foot would need a slit of {c.say(needs or 0)}; there is none.")
    elif c.slit.needed and needs is not None and not c.slit.lets_foot_through:
        yield found(
            "caution", f"The slit is {c.say(height or 0)} high; the foot needs {c.say(needs)}."
        )
    elif c.slit.height is not None:
        yield found("pass", f"The slit is {c.say(c.slit.height)} high, at the outseam.")
    else:
        yield found("pass", "No slit is needed.")


def _ease(c: _Checked) -> Iterator[Finding]:
    stretch = c.project.fabric.usable_stretch
    minimum = EASE_MINIMUM / 2 if c.project.fabric.stretches else EASE_MINIMUM
    for level in ("thigh", "knee", "calf"):
        girth = getattr(c.project.wearer, level)
        finished = c.taper.finished[level]
        if girth is None:
            says = f"Ease at the {level} is not known: the wearer's {level} was not measured."
            yield Finding(f"ease-{level}", "unknown", None, minimum, level, says)
            continue
        ease = finished - girth.mm
        usual = f"{c.say(minimum)} to {c.say(2 * minimum)}"
        status: Status
        if finished * (1 + stretch) < girth.mm - 1e-9:
            over = c.say_small(girth.mm - finished * (1 + stretch))
            status = "fail"
            says = f"The {level} is {over} larger than the leg there; take less off."
        elif ease < minimum - 1e-9:
            status = "caution"
            says = (
                f"Ease at the {level} is {c.say(ease)}; the usual is {usual}. "
                "Sit and climb in the muslin."
            )
        else:
            status, says = "pass", f"Ease at the {level} is {c.say(ease)}; the usual is {usual}."
        placed = level in c.block.estimated
        if placed:
            says += f" The {level} level was not given and is placed at a usual height."
        yield Finding(f"ease-{level}", status, ease, minimum, level, says, placed)
    yield from _ankle(c)


def _ankle(c: _Checked) -> Iterator[Finding]:
    """Say where a hem would not close round the ankle, slit or no slit: common practice."""
    ankle, hem = c.project.wearer.ankle, c.taper.finished["hem"]
    if ankle and hem * (1 + c.project.fabric.usable_stretch) < ankle.mm - 1e-9:
        says = (
            f"The hem is {c.say(hem)} round and the ankle {c.say(ankle.mm)}, so it would not "
            "close; take less off."
        )
        yield Finding("ease-ankle", "fail", hem - ankle.mm, 0.0, "hem", says)


def _bent_knee(c: _Checked) -> Iterator[Finding]:
    bent = c.project.wearer.knee_bent
    if bent is None:
        says = "Measure the knee bent, too: it is larger than the knee standing."
        yield Finding("ease-knee-bent", "unknown", None, 0.0, "knee", says)
        return
    finished = c.taper.finished["knee"]
    ease = finished - bent.mm
    status: Status = "pass"
    says = f"The bent knee has {c.say(ease)} of ease."
    if finished * (1 + c.project.fabric.usable_stretch) < bent.mm - 1e-9:
        status, says = (
            "fail",
            f"The bent knee is {c.say(-ease)} larger than the leg; it would bind.",
        )
    elif ease < -1e-9:
        status, says = "caution", "The bent knee needs the cloth's stretch; sit in the muslin."
    yield Finding("ease-knee-bent", status, ease, 0.0, "knee", says)


def _balance(c: _Checked) -> Iterator[Finding]:
    for level, limit in (("hem", 2.0), ("knee", 6.0)):
        apart = max(
            abs(c.taper.taken(inseam, level) - c.taper.taken(outseam, level))
            for inseam, outseam in PANELS.values()
        )
        if apart <= limit + 1e-9:
            status: Status = "pass"
            says = (
                f"Inseam and outseam change alike at the {level}; the crease line stays centered."
            )
        else:
            status = "caution"
            cure = (
                "ask for a width at the knee, which takes the same off every edge there"
                if level == "knee"
                else "even it out over the four edges, or see in the muslin how the crease hangs"
            )
            says = f"Inseam and outseam change unalike at the {level}, by {c.say(apart)}; {cure}."
        yield Finding("balance", status, apart, limit, level, says)


def _sewn_pair(c: _Checked) -> Iterator[Finding]:
    for seam in SEAMS:
        front, back = (edge for edge in EDGES if seam_of(edge) == seam)
        new = c.taper.lengths[front] - c.taper.lengths[back]
        apart = abs(new - (c.block.lengths[front] - c.block.lengths[back]))
        status: Status = "pass" if apart <= 1.5 else "caution" if apart <= 3 else "fail"
        says = (
            f"Front and back {seam} still sew together, {c.say_small(apart)} from the block's own "
            "match."
        )
        if status != "pass":
            says = (
                f"Front and back {seam} differ by {c.say_small(apart)} more than in the block; "
                f"ease it in above the knee, or choose another blend for the {seam}: try lower."
            )
        yield Finding("sewn-pair", status, apart, 3.0 if status == "fail" else 1.5, seam, says)


def _hem_join(c: _Checked) -> Iterator[Finding]:
    for seam in SEAMS:
        edges = [edge for edge in EDGES if seam_of(edge) == seam]
        leans = [math.degrees(math.atan(c.taper.seams[edge].hem_slope)) for edge in edges]
        leans += [_hem_lean(c.block, edge) for edge in edges]
        total = 180 + sum(leans)
        status: Status = "pass" if abs(total - 180) <= 6 else "caution"
        says = f"The hem runs on across the {seam}."
        if status == "caution":
            says = (
                f"The hem would make a corner at the {seam} ({total:.0f} degrees); "
                "true the hem line across the seam before you cut."
            )
        yield Finding("hem-join", status, total, 186.0 if total >= 180 else 174.0, seam, says)


def _hem_lean(block: Block, edge: Edge) -> float:
    """Return by how many degrees a slanting hem line widens the corner at an edge."""
    name: PanelName = "front" if edge.startswith("front") else "back"
    outwards = OUTSEAM_SIDE[name] if seam_of(edge) == "outseam" else -OUTSEAM_SIDE[name]
    return math.degrees(math.atan(outwards * block.hem_slope(name)))


def _hem_shape(c: _Checked) -> Iterator[Finding]:
    if c.block.hem_bow > HEM_BOW and c.design.hem.style != "faced":
        says = (
            f"The hem of the block curves by {c.say_small(c.block.hem_bow)} and cannot fold flat, "
            "so it gets a facing of the leg's own shape."
        )
        yield Finding("hem-shape", "caution", c.block.hem_bow, HEM_BOW, "hem", says)


def hem_sag(taper: Taper) -> float:
    """Return how far a straight hem lies off the true one, mm, on the panel where it is worst.

    A narrowing panel is part of a cone; laid flat its hem is an arc of radius width over taper.
    """
    worst = 0.0
    for edges in PANELS.values():
        pair = [taper.seams[edge] for edge in edges]
        width = sum(taper.reaches[edge]["hem"] for edge in edges)
        opening = abs(sum(seam.hem_slope for seam in pair))
        worst = max(worst, sag(width, opening))
    return worst


def sag(chord: float, opening: float) -> float:
    """Return the height of the arc over a straight hem of `chord` mm, 0 where sides are parallel.

    `opening` is how much wider the panel gets for each mm of height (the cone's angle, radians).
    """
    if opening < 1e-9:
        return 0.0
    radius = chord / opening
    return radius - math.sqrt(max(0.0, radius**2 - (chord / 2) ** 2))


def _hem_sag(c: _Checked) -> Iterator[Finding]:
    off = hem_sag(c.taper)
    status: Status = "pass" if off <= 3 else "caution"
    says = f"A straight hem is {c.say_small(off)} off the true one, which nobody sees."
    if status == "caution":
        says = f"A straight hem is {c.say_small(off)} off the true one; shape the hem and face it."
    if c.design.hem.style == "faced" and status == "caution":
        says = f"The true hem curves by {c.say_small(off)}; shape hem and facing alike."
    yield Finding("hem-sag", status, off, 3.0, "hem", says)


def _proportion(c: _Checked) -> Iterator[Finding]:
    hip = c.project.wearer.hip
    hem = c.taper.finished["hem"]
    if hip is None:
        says = "Give the hip girth to see hip and hem in proportion."
        yield Finding("proportion", "unknown", None, None, "hip", says)
        return
    says = f"Hip {c.say(hip.mm)} to hem {c.say(hem)}: {hip.mm / hem:.1f} to 1."
    yield Finding("proportion", "pass", hip.mm / hem, None, "hip", says)
