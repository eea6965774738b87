"""A choice as lines: its options in a row where they fit, else below each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import NamedTuple

from legtaper.model.safe_text import columns
from legtaper_wizard.tui.layout.styled_text import Line, Run, hang, plain, put, width, wrap

LONG = 6
"""Options; a longer list stands below its question, and is folded where the cursor is not."""

_SET_IN = 4  # columns before options that stand below their question


class Option(NamedTuple):
    """One option as it is looked at."""

    label: str
    chosen: bool
    style: str

    @property
    def sign(self) -> str:
        """Return what stands before it."""
        return f"({'*' if self.chosen else ' '})"


class ChoiceLines(NamedTuple):
    """The lines of a choice.

    listed: whether its options stand below each other. line, x: where what is chosen is pointed
    at, from the first line. above: how many lines of the question stand above the options.
    """

    lines: Sequence[Line]
    listed: bool = False
    line: int = 0
    x: int = 0
    above: int = 0


def choice_lines(
    mark: Run, label: Run, options: Sequence[Option], x: int, room: int
) -> ChoiceLines:
    """Return a choice in `room` columns, its options from column `x` where they fit there.

    mark: what stands before the label.
    """
    beside = label_lines(mark, label, x - 4)
    texts = [f"{option.sign} {option.label}" for option in options]
    if sum(columns(text) + 2 for text in texts) - 2 <= room - x:
        row: Line = ()
        for text, option in zip(texts, options, strict=True):
            row = put(row, width(row) + 2 if row else 0, text, option.style)
        return ChoiceLines(side_by_side(beside, [row], x))
    fits = max(map(columns, texts)) <= room - x and len(options) <= LONG
    left = x if fits else _SET_IN
    listed: list[Line] = []
    at = None
    for option in options:
        at = len(listed) if option.chosen else at
        listed += hang(option.sign, option.label, room - left, option.style, option.style)
    head = [] if fits else label_lines(mark, label, room - 2)
    lines = [*head, *side_by_side(beside if fits else [], listed, left)]
    line, pointer = (0, 0) if at is None else (len(head) + at, left - 2)
    return ChoiceLines(lines, True, line, pointer, len(head))


def label_lines(mark: Run, label: Run, room: int) -> list[Line]:
    """Return a label behind its mark, wrapped to `room` columns."""
    text, style = label
    rows = wrap(text, room) or [""]
    return [put(plain(*mark) if i == 0 else (), 2, row, style) for i, row in enumerate(rows)]


def side_by_side(left: Sequence[Line], right: Sequence[Line], x: int) -> list[Line]:
    """Return lines with others beside them from column `x`."""
    pairs = zip_longest(left, right, fillvalue=())
    return [(*one, (" " * (x - width(one)), ""), *other) if other else one for one, other in pairs]
