"""Saying a change in plain words: what is done, and what else that does."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.checks.base import Finding, edges_of
from legtaper.checks.ease import eased_at
from legtaper.checks.registry import name_of
from legtaper.model.lengths import say_length
from legtaper.model.levels import LEG_LEVELS, say_level
from legtaper.model.project import PANELS, SEAMS
from legtaper.model.said_lengths import say_around
from legtaper.model.sentences import listed
from legtaper.pattern import Fit
from legtaper.remedies.trying import Trial

_CHANGED = 3.0  # mm around the leg; less is not told: common practice


def say_change(before: Trial, after: Trial, finding: Finding) -> str:
    """Return one sentence: the acts, then the widths and findings that are others with them."""
    acts = list(dict.fromkeys(_acts(before.fit, after)))
    says = " and ".join(acts)
    effects = [*_widths(before.fit, after, finding), *_others(before, after, finding)]
    return f"{says[:1].upper()}{says[1:]}: {'; '.join(effects) or 'nothing else changes'}."


def _acts(before: Fit, after: Trial) -> Iterator[str]:
    for key, text in after.change.items():
        part, _, rest = key.partition(".")
        if part == "blend":
            yield _blend_act(before, after.fit, rest, text)
        elif part in ("width", "take_in"):
            yield _width_act(before, after, part, rest)
        elif part == "slit":
            yield _slit_act(after.fit)
        elif key == "hem.style":
            yield "face the hem with a strip of the leg's own shape"
        elif key == "hem.depth":
            yield f"make the hem {text} deep"
        elif key == "hem.turn_under":
            yield "fold it once"
        elif part == "shift":
            yield f"leave the middle of the leg where it is at the {say_level(rest)}"
        elif part == "back_room":
            yield _room_act(after.fit, text, rest)
        elif part == "extra":
            level = rest.split(".")[-1]
            if not after.change.keys() & {f"width.{level}", f"take_in.{level}"}:  # which says it
                amount = _evened(after.fit, level)
                yield f"take the same off both seams at the {say_level(level)}{amount}"
        else:
            yield f"set {key} to {text}"


def _blend_act(before: Fit, after: Fit, rest: str, text: str | None) -> str:
    unit = before.project.length_unit
    if rest == "style":
        return (
            "draw the seams straight, by ruler"
            if text == "straight"
            else "let the new seams follow the old ones"
        )
    seam = next(name for name in SEAMS if rest.startswith(name))
    edge = edges_of(seam)[0]
    old, new = before.taper.seams[edge], after.taper.seams[edge]
    if rest.endswith("_curve"):
        if text is None:
            return f"leave the {seam}'s curve to the program"
        return f"let the {seam} curve over {text} instead of {say_length(old.curve, unit)}"
    now = text or say_length(new.blend, unit)
    return f"blend the {seam} at {now} instead of {say_length(old.blend, unit)}"


def _width_act(before: Fit, after: Trial, part: str, level: str) -> str:
    unit, name = before.project.length_unit, say_level(level)
    text = after.change[f"{part}.{level}"]
    if text is None:
        return f"ask for nothing at the {name}"
    old, new = before.taper.finished[level], after.fit.taper.finished[level]
    if part == "take_in":
        had = before.design.take_in.get(level)
        instead = f" instead of {had.text}" if had else ""
        around = say_around(new, unit)
        return f"take {text} off each edge at the {name}{instead}, {around} around"
    if abs(new - old) < _CHANGED:
        return f"ask for {text} around the {name}, about as now{_evened(after.fit, level)}"
    return f"make the leg {text} around at the {name} instead of {say_around(old, unit)}"


def _evened(fit: Fit, level: str) -> str:
    """Say how much comes off each edge at a level, "" where one seam gives more than the other.

    A leg whose middle is moved there counts as if it were not.
    """
    taper, unit = fit.taper, fit.project.length_unit
    if level not in taper.finished:
        return ""
    step = "1/16in" if unit == "in" else None
    front, back = (
        {
            say_length(taper.taken(edge, level) - taper.shifted(edge, level), unit, step)
            for edge in on
        }
        for on in PANELS.values()
    )
    if len(front) > 1 or len(back) > 1:
        return ""
    each = f"{min(front)} off each"
    if front == back:
        return f", {each} edge"
    return f", {each} front edge, {min(back)} off each back edge"


def _room_act(after: Fit, text: str | None, level: str) -> str:
    if text is None:
        same = f"take the same off front and back at the {say_level(level)}"
        return f"{same}{_evened(after, level)}"
    return f"leave the back panel {text} more room at the {say_level(level)}"


def _slit_act(after: Fit) -> str:
    if after.slit.height is None:
        return "leave out the slit"
    return f"sew a slit {say_length(after.slit.height, after.project.length_unit)} high"


def _widths(before: Fit, after: Trial, finding: Finding) -> Iterator[str]:
    """Yield what the leg measures where that is another width, and the ease that was at issue."""
    unit, said = before.project.length_unit, {key.split(".")[-1] for key in after.change}
    parts = []
    for level in LEG_LEVELS[::-1]:
        old, new = (one.taper.finished.get(level, 0.0) for one in (before, after.fit))
        if level not in said and abs(new - old) >= _CHANGED:
            parts.append(f"{level} {say_around(new, unit)}")
    if parts:
        yield ", ".join(parts)
    found = after.findings.get((finding.id, finding.where))
    if not found or found.status != "pass" or found.value is None:
        return  # a warning says its ease itself
    if finding.id.startswith("ease-") and found.value >= 0:
        yield f"{say_around(found.value, unit)} of ease at the {eased_at(finding)}"


def _others(before: Trial, after: Trial, finding: Finding) -> Iterator[str]:
    """Yield what passes then as well, and what does not."""
    mended, worse = [], []
    for place, old in before.findings.items():
        new = after.findings.get(place)
        status = new.status if new else "pass"
        if status == old.status or "unknown" in (status, old.status):
            continue
        if place == (finding.id, finding.where):
            if new and status == "caution":
                yield f"a warning remains: {new.says.split('. ')[0].rstrip('.')}"
        elif status == "pass" or old.status == "fail":
            mended.append(f'"{name_of(*place)}"')
        else:
            worse.append(f'"{name_of(*place)}"')
    if mended:
        yield f"mends {listed(mended)} too"
    if worse:
        yield f"warns of {listed(worse)}"
