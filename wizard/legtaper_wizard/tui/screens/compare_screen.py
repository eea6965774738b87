"""Designs and rounds side by side: figures and words, outlines, and which of them are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from legtaper.model.project import Project, ProjectError
from legtaper.muslin.compare import MOST, Column, outlines
from legtaper.outputs.leg_views import overlay_patterns, overlay_view
from legtaper_wizard.flow.compare_choice import Item, columns_of, known_items
from legtaper_wizard.flow.words import compare_figures
from legtaper_wizard.tui.layout.outline_plot import Picture
from legtaper_wizard.tui.layout.picture import Room, framed
from legtaper_wizard.tui.layout.styled_text import Line, joined, put, width, wrap
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.reader_screen import LinesScreen, Scrolled

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

_SIGNS = {"old": ("dotted", "."), "other": ("dashed", "o"), "new": ("solid", "#")}


class CompareScreen(Scrolled):
    """Shows figures first; Left and Right turn to the outlines and back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape,enter,ctrl+f", "close", "Close", "compare.close"),
        key("left,right,tab,f2", "turn", "Outlines or figures", "compare.turn"),
        key("space,f7", "choose", "Others", "compare.choose"),
    ]

    def __init__(self, look: Look, project: Project, ids: Sequence[str]) -> None:
        """Show these first. Raises `ProjectError` where they have no pattern."""
        super().__init__(look, "Side by side")
        self._project = project
        self._ids = tuple(ids)
        self._shown: tuple[Column, ...] = columns_of(project, ids)
        self._outlines = False

    def draw(self) -> None:
        """Show the figures, or the outlines as large as the screen allows."""
        keys = [("Left/Right", "figures" if self._outlines else "outlines")]
        keys += [("Space", "choose others"), ("Esc", "back")]
        if self._outlines:
            self.show(self._picture(), keys)
            return
        rows = compare_figures(self._shown, min(self.means.width - 2, 110))
        self.show_from_top(rows, keys, [("PgDn", "scroll")])

    def _picture(self) -> list[Line]:
        made = outlines(self._shown)
        traces, tags = overlay_view(self._shown[0].fit.block, [one.seams for one in made])
        signs = [_SIGNS[pattern][self.means.ascii_only] for pattern in overlay_patterns(len(made))]
        named = [f"{sign}: {one.label}" for sign, one in zip(signs, made, strict=True)]
        across = self.means.width - 2
        legend = [row for line in joined(named, across) for row in wrap(line, across)]
        picture = Picture(tuple(traces), tuple(tags), "Front and back.")
        room = Room(across, max(self.means.height - 3 - len(legend), 4), self.means.ascii_only)
        rows = [*framed(picture, room), *(((row, ""),) for row in legend)]
        return [((" ", ""), *row) for row in rows]

    def action_turn(self) -> None:
        """Turn from the figures to the outlines, or back."""
        self._outlines = not self._outlines
        self.draw()

    def take_key(self, character: str) -> None:
        """Choose others with the space bar."""
        if character == " ":
            self.action_choose()

    def action_choose(self) -> None:
        """Ask which are shown."""

        def chosen(ids: tuple[str, ...] | None) -> None:
            if ids:
                self._ids, self.top = ids, 0
                self._shown = columns_of(self._project, ids)
            self.draw()

        self.app.push_screen(ChooseScreen(self.look, self._project, self._ids), chosen)


class ChooseScreen(LinesScreen[tuple[str, ...] | None]):
    """Asks which designs and rounds are shown; the answer is their ids."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("enter", "show", "Show them", "choose.show"),
        key("escape", "close", "Back", "choose.close"),
        key("down,tab", "move(1)", "Down", "choose.down"),
        key("up,shift+tab", "move(-1)", "Up", "choose.up"),
        key("pagedown", "move(15)", "Page down", "choose.page-down"),
        key("pageup", "move(-15)", "Page up", "choose.page-up"),
        key("space", "mark", "Mark", "choose.mark"),
    ]

    def __init__(self, look: Look, project: Project, ids: Sequence[str]) -> None:
        super().__init__(look, f"Which to set side by side, {MOST} at most")
        self._project = project
        self._items: tuple[Item, ...] = known_items(project)
        self._marked = list(ids)
        known = [item.id for item in self._items]
        self._at = known.index(ids[0]) if ids and ids[0] in known else 0
        self._refused = ""

    def draw(self) -> None:
        """Show the items around the one the cursor is on."""
        room = max(self.means.height - 4, 1)
        top = max(0, min(self._at - room // 2, len(self._items) - room))
        rows: list[Line] = []
        for number in range(top, min(top + room, len(self._items))):
            item, here = self._items[number], number == self._at
            sign = "[x]" if item.id in self._marked else "[ ]"
            line: Line = (("> " if here else "  ", "strong"), (f"{sign} ", ""))
            rows.append(put(line, width(line), item.label, "focus" if here else ""))
        rows += [()] * (room - len(rows)) + [((" ", ""), (self._refused, "fail"))]
        keys = [("Space", "mark or not"), ("Enter", "show"), ("Up/Down", "move"), ("Esc", "back")]
        self.show(rows, keys)

    def action_move(self, by: int) -> None:
        """Go to another item."""
        self._at = max(0, min(self._at + by, len(self._items) - 1))
        self._refused = ""
        self.draw()

    def take_key(self, character: str) -> None:
        """Mark with the space bar."""
        if character == " ":
            self.action_mark()

    def action_mark(self) -> None:
        """Mark the item under the cursor, or take its mark away."""
        here, self._refused = self._items[self._at].id, ""
        if here in self._marked:
            self._marked.remove(here)
        elif len(self._marked) < MOST:
            self._marked.append(here)
        else:
            self._refused = f"{MOST} are marked already; take one away first."
        self.draw()

    def action_show(self) -> None:
        """Answer with the marked items, or say why they cannot be shown."""
        if not self._marked:
            self._refused = "Mark at least one with the space bar."
        else:
            try:
                columns_of(self._project, self._marked)
            except ProjectError as error:
                self._refused = f"{error.problem}."
            else:
                self.dismiss(tuple(self._marked))
                return
        self.draw()

    def action_close(self) -> None:
        """Go back without a choice."""
        self.dismiss(None)
