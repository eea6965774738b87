"""A canvas of styled lines that sends only the cells that changed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import compress, count, repeat
from operator import ne

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from legtaper.model.safe_text import columns, to_ascii
from legtaper_wizard.tui.layout.styled_text import Line, cut
from legtaper_wizard.tui.widgets.palette import Palette

_NEAR = 8  # cells between two changes that cost less than moving the cursor

Cell = tuple[str, str]
"""What one column shows, and its style."""


class Lines(Widget):
    """Shows lines from its top left corner; what does not fit is cut off."""

    def __init__(self, palette: Palette, *, ascii_only: bool) -> None:
        super().__init__()
        self._palette = palette
        self._ascii = ascii_only
        self._given: list[Line] = []
        self._shown: list[Line] = []
        self._strips: list[Strip] = []
        self._extent = (0, 0)

    @property
    def text(self) -> str:
        """What is shown, without styles."""
        return "\n".join("".join(text for text, _ in line).rstrip() for line in self._shown)

    def show(self, lines: Sequence[Line], wide: int, tall: int) -> None:
        """Show these lines in place of those before, in so many columns and rows."""
        before, self._given = self._given, [*lines[:tall], *[()] * (tall - len(lines))]
        if self._extent != (wide, tall):
            self._extent = (wide, tall)
            self._shown = [self._fitted(line, wide) for line in self._given]
            self._strips = [self._strip(row, wide) for row in self._shown]
            self.refresh()
            return
        changed: list[Region] = []
        for y, (same, line) in enumerate(zip(before, self._given, strict=True)):
            if line == same:
                continue
            old, new = self._shown[y], self._fitted(line, wide)
            if old != new:
                spans = _changes(_cells(old, wide), _cells(new, wide))
                self._shown[y], self._strips[y] = new, self._strip(new, wide)
                changed += (Region(start, y, end - start, 1) for start, end in spans)
        if changed:
            self.refresh(*changed)

    def render_line(self, y: int) -> Strip:
        """Return one line as Textual draws it."""
        return self._strips[y] if y < len(self._strips) else Strip.blank(self.size.width)

    def _fitted(self, line: Line, wide: int) -> Line:
        if self._ascii:
            line = tuple((to_ascii(text), style) for text, style in line)
        return cut(line, wide, "")

    def _strip(self, line: Line, wide: int) -> Strip:
        segments = [Segment(text, self._palette[style]) for text, style in line if text]
        return Strip(segments).adjust_cell_length(wide)


def _cells(line: Line, wide: int) -> list[Cell]:
    """Return a line cell by cell, padded; the second cell of a wide character is empty."""
    cells: list[Cell] = []
    for text, style in line:
        if text.isascii():
            cells += zip(text, repeat(style))
            continue
        for character in text:
            size = columns(character)
            if size == 0 and cells:
                cells[-1] = (cells[-1][0] + character, style)
            else:
                cells += [(character, style), ("", style)][: max(size, 1)]
    return cells + [(" ", "")] * (wide - len(cells))


def _changes(old: Sequence[Cell], new: Sequence[Cell]) -> list[tuple[int, int]]:
    """Return the spans of cells that differ, those near to each other as one."""
    spans: list[tuple[int, int]] = []
    for x in compress(count(), map(ne, old, new)):
        start, end = spans[-1] if spans else (x, x)
        if spans and x - end <= _NEAR:
            spans[-1] = (start, x + 1)
        else:
            spans.append((x, x + 1))
    return spans
