"""The picture beside the form: the block as it grows, the old line and the new, and the hem."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Literal, NamedTuple, cast

from legtaper.model.safe_text import UNBROKEN
from legtaper_wizard.flow.derived_state import Known, standing
from legtaper_wizard.tui.layout.styled_text import Line, hang

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper_wizard.flow.steps import Cursor
    from legtaper_wizard.tui.layout.outline_plot import Picture

View = Literal["close", "both", "front", "back", "none"]
VIEWS: tuple[View, ...] = ("both", "front", "back", "none")
"""What is shown, in the order in which a key goes through them. "close" is the hem."""

_WIDEST = 4  # how much wider than true a single panel may be drawn
_TO_SCALE = 1.25  # a picture that could only be drawn this little wider stays to scale


class Room(NamedTuple):
    """The size of the picture in cells, and whether letters have to do."""

    width: int
    height: int
    ascii_only: bool


def picture_lines(
    project: Project, at: Cursor, view: View, room: Room, step_id: str = ""
) -> list[Line]:
    """Return a picture with its caption.

    The step "blend" shows where the new line runs into the old, "fitting" what was sewn and what
    it offers next.
    """
    if view == "none" or room.width < 8 or room.height < 4:
        return []
    return list(_drawn(Known(project), at, view, room, step_id))


@lru_cache(maxsize=2)  # what is typed and then taken is the same picture, wherever the cursor is
def _drawn(key: Known, at: Cursor, view: View, room: Room, step_id: str) -> list[Line]:
    from legtaper_wizard.tui.layout import outline_plot as traces

    project = key.project
    found = standing(project, at)
    if view == "close" and found.fit is not None:
        return framed(traces.hem(found.fit), room)
    if found.block is None:
        return framed(traces.partial(project, view), room)
    if step_id == "fitting":
        from legtaper_wizard.flow.round_answers import offer

        next_one = offer(project, at)
        if next_one.sewn and next_one.even:
            return framed(traces.offered(next_one.sewn, next_one.even, view), room)
    return framed(traces.panels(project.length_unit, found, view, step_id == "blend"), room)


def framed(picture: Picture, room: Room) -> list[Line]:
    """Draw as large as the room allows, one panel wider than true, and say so below."""
    from legtaper.outputs.terminal_plot import Trace, paint

    if not picture.traces:
        return hang("", picture.words, room.width)[: room.height]
    factor = 1.0 if picture.widened else _stretch(picture, room)
    drawn = [Trace(trace.points * (factor, 1), trace.pattern) for trace in picture.traces]
    caption = _caption(picture, factor, room)
    rows = max(room.height - len(caption), 2)
    painted = paint(
        drawn, width=room.width, height=rows, ascii_only=room.ascii_only, tags=picture.tags
    )
    lines = [cast(Line, tuple(line)) for line in painted]
    return [*lines, *caption][: room.height]


def _caption(picture: Picture, factor: float, room: Room) -> list[Line]:
    """Return what the lines mean, named by what they look like, and the scale."""
    signs = {"{old}": (".", "dotted"), "{new}": ("#", "solid"), "{other}": ("o", "dashed")}
    signs["{fold}"] = ("-", "tick")
    words = picture.words
    for name, (letter, said) in signs.items():
        sign = letter if room.ascii_only else said
        words = words.replace(name, f"{sign}{UNBROKEN}")
    if picture.widened > 1:
        scale = f"Leaning is drawn {picture.widened:g} times as large."
    else:
        scale = "To scale." if factor == 1 else f"Sideways {factor:g} times as large."
    return [line for text in (words, scale) for line in hang("", text, room.width, words="dim")]


def _stretch(picture: Picture, room: Room) -> float:
    """Return how many times as wide as true the picture may be drawn to fill its room."""
    import numpy as np

    points = np.concatenate([trace.points for trace in picture.traces])
    wide, tall = np.maximum(points.max(axis=0) - points.min(axis=0), 1.0)
    margin = max((len(tag.text) + 2 for tag in picture.tags), default=0)
    across, down = max(room.width - margin, 4), 2 * max(room.height - 3, 2)
    factor = min(float(across / down * tall / wide), float(_WIDEST))
    return 1.0 if factor < _TO_SCALE else int(factor * 2) / 2 if factor >= 1.5 else 1.25
