"""The top of the screen: what is worked on, where every step stands, and why this one asks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from legtaper.model.safe_text import columns, fit
from legtaper_wizard.flow.steps import STEPS, StepState
from legtaper_wizard.tui.layout.styled_text import Line, cut, put, width

SIGNS = {"done": "[x]", "open": "[ ]", "attention": "[!]", "locked": "[-]"}
"""What stands before a step; the step that is shown has [>]."""
HERE = "[>]"
_UNKNOWN = "   "


def title_line(name: str, step_id: str, saved: str, room: int) -> Line:
    """Return the title: the project, which step of how many, and what is saved."""
    number = [step.id for step in STEPS].index(step_id) + 1
    middle = f"Step {number} of {len(STEPS)}: {STEPS[number - 1].title}"
    right = f"{saved} " if saved else ""
    left_room = max(0, room - columns(middle) - columns(right) - 5)
    left = fit(f" {name}", left_room, "...")
    spare = room - columns(left) - columns(middle) - columns(right)
    at = columns(left) + max(1, spare // 2)
    text = f"{left}{' ' * (at - columns(left))}{middle}"
    text = f"{text}{' ' * max(1, room - columns(text) - columns(right))}{right}"
    return ((fit(text, room, ""), "title"),)


def step_line(step_id: str, states: Mapping[str, StepState], room: int) -> Line:
    """Return the steps with their signs; with their names where there is room for all of them."""
    for names in ([step.short for step in STEPS], [str(i + 1) for i in range(len(STEPS))]):
        line = _steps(step_id, states, names)
        if width(line) <= room:
            return line
    return cut(line, room, "")


def _steps(step_id: str, states: Mapping[str, StepState], names: Sequence[str]) -> Line:
    line: Line = ()
    for step, name in zip(STEPS, names, strict=True):
        here = step.id == step_id
        state = states.get(step.id)
        sign = HERE if here else SIGNS[state.marker] if state else _UNKNOWN
        text = f"{sign}{step.short if here and name.isdigit() else name}"
        style = "strong" if here else "care" if sign == SIGNS["attention"] else ""
        line = put(line, width(line) + 1, text, style or ("dim" if sign == "[-]" else ""))
    return line


def rule(room: int, dash: str, *ways: str) -> Line:
    """Return a line across, with words near its end: of several ways the first that has room."""
    words = next((way for way in ways if columns(way) + 6 <= room), "")
    if not words:
        return ((dash * room, "dim"),)
    right = 3
    left = room - columns(words) - right - 2
    return ((f"{dash * left} {words} {dash * right}", "dim"),)
