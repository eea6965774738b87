"""Where everything stands on a screen of a given size."""

from __future__ import annotations

from typing import NamedTuple

LEAST = (80, 24)
"""Columns and rows that every step fits into."""
BESIDE = 110
"""From so many columns on the outline stands beside the form unasked."""

_TITLE = 2  # the title and the steps
_KEYS = 1
_RULES = 2  # above and below the form
_NOTES = 4  # lines that the notes have at least
_SMALL_PICTURE = 34
_FORM = 78  # columns that the widest table wants


class Box(NamedTuple):
    """A part of the screen, in cells."""

    x: int
    y: int
    width: int
    height: int


class Wants(NamedTuple):
    """How many lines the reasons and the form of a step would take."""

    why: int
    form: int


class Frame(NamedTuple):
    """The boxes of a screen. `picture` has no size where none is shown."""

    title: Box
    why: Box
    above: Box
    form: Box
    below: Box
    hint: Box
    notes: Box
    picture: Box
    keys: Box


def frame(width: int, height: int, wants: Wants, picture: bool) -> Frame:
    """Return the boxes, from the top down; none overlap. A small screen makes them small."""
    width, height = max(width, 1), max(height, 1)
    beside = picture_width(width) if picture else 0
    left = width - beside - (1 if beside else 0)
    top = min(_TITLE, height)
    keys = min(_KEYS, max(0, height - top - 1))
    why = max(0, min(wants.why, height - top - keys - 8))
    body = max(0, height - top - keys - why)
    hint = 3 if beside and width < BESIDE else 2
    hint = min(hint, max(0, body - _RULES - 2))
    rest = max(0, body - _RULES - hint)
    asked = min(wants.form, max(rest - _NOTES, rest // 2))
    rows = (top, why, 1, asked, 1, hint, rest - asked, keys)
    boxes: list[Box] = []
    y = 0
    for part in rows:
        wide = width if not boxes else left
        tall = max(0, min(part, height - y))
        boxes.append(Box(0, y, wide, tall))
        y += tall
    title, reasons, above, form, below, hints, said, last = boxes
    reasons, last = reasons._replace(width=width), last._replace(width=width)
    side = Box(left + 1, above.y, beside, max(0, last.y - above.y)) if beside else Box(0, 0, 0, 0)
    return Frame(title, reasons, above, form, below, hints, said, side, last)


def form_width(width: int, picture: bool) -> int:
    """Return how many columns the form has."""
    return frame(width, LEAST[1], Wants(0, 1), picture).form.width


def picture_width(width: int) -> int:
    """Return how many columns a picture takes where one is shown."""
    if width < LEAST[0]:
        return 0
    if width < BESIDE:
        return _SMALL_PICTURE
    return min(max(width - _FORM - 1, _SMALL_PICTURE - 3), 60)
