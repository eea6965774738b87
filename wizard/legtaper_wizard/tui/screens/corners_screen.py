"""The page that shows the proposed corners, grainline and levels of a panel, and moves them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from legtaper.model.project import PanelName
from legtaper_wizard.flow.import_flow import Sheet
from legtaper_wizard.flow.panel_marks import STEPS, Mark, marks_of, moved, put_back
from legtaper_wizard.flow.steps import AnswerError
from legtaper_wizard.tui.layout.drawing_figures import close_up, panel_picture
from legtaper_wizard.tui.layout.picture import Room
from legtaper_wizard.tui.layout.plain_page import sheet as page_of
from legtaper_wizard.tui.layout.styled_text import Line, plain, put, width, wrap
from legtaper_wizard.tui.screens.page_screen import PageScreen, key

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

_LIST = 39  # columns of the list of marks
_HOW = {
    "corner": "Left/Right: along the outline by {0}; [ ] by {1}. Backspace: as it was proposed.",
    "line": "Left/Right: sideways by {0}; [ ] by {1}. Backspace: as it was proposed.",
    "level": "Left/Right: down or up by {0}; [ ] by {1}. Backspace: as it was proposed.",
}
_SHOWN_STEPS = {"in": ("1/4 in", "1/8 in"), "cm": ("5 mm", "1 mm")}


class CornersScreen(PageScreen[Sheet | None]):
    """Hands over the drawing with what was moved; the drawing as it stands is in `drawing`."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Back", "corners.close"),
        key("enter", "enter", "Go on", "corners.enter"),
        key("down,tab", "mark(1)", "Down", "corners.down"),
        key("up,shift+tab", "mark(-1)", "Up", "corners.up"),
        key("right", "shift(1)", "Right", "corners.right"),
        key("left", "shift(-1)", "Left", "corners.left"),
        key("backspace", "put_back", "As proposed", "corners.put-back"),
        key("pagedown", "panel('back')", "Back panel", "corners.back-panel"),
        key("pageup", "panel('front')", "Front panel", "corners.front-panel"),
    ]

    def __init__(self, look: Look, drawing: Sheet) -> None:
        super().__init__(look)
        self.drawing = drawing
        self._found = drawing.proposed()
        self._name: PanelName = "front"
        self._at = 0
        self._told = ""

    def compose(self) -> ComposeResult:
        """Yield the page."""
        yield self.canvas

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All that can be moved on the panel that is shown."""
        return marks_of(self.drawing, self._found, self._name)

    @property
    def here(self) -> Mark:
        """What is moved now."""
        marks = self.marks
        return marks[min(self._at, len(marks) - 1)]

    # --- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Show the list of marks, what was understood, the panel and a close-up."""
        means = self.means
        tall = max(means.height - 4, 4)
        rows: list[Line] = [*self._list(), (), *self._said(_LIST - 2)]
        rows = (rows + [()] * tall)[:tall]
        rest = means.width - _LIST - 2
        small = max(rest * 2 // 5, 8)
        close = Room(max(rest - small - 1, 8), tall, means.ascii_only)
        panel = self._found.panels[self._name]
        whole = panel_picture(panel, self.marks, self.here, Room(small, tall, means.ascii_only))
        near = close_up(panel, self.marks, self.here, close)
        for y in range(tall):
            rows[y] = _beside(_beside(rows[y], _LIST, whole[y]), _LIST + small + 1, near[y])
        keys = [("Enter", "go on"), ("Esc", "back"), ("Up/Down", "which")]
        keys += [("Left/Right [ ]", "move"), ("PgUp/PgDn", "panel")]
        title = f"{self._name.capitalize()}: corners, grainline and levels"
        self.canvas.show(page_of(title, rows, keys, means), means.width, means.height)

    def _list(self) -> list[Line]:
        lines = []
        for mark in self.marks:
            moves = mark.id == self.here.id
            line = put(plain(">" if moves else " ", "strong"), 2, mark.label, "strong" * moves)
            lines.append(put(line, 19, mark.words, "" if moves else "dim"))
        return lines

    def _said(self, across: int) -> list[Line]:
        usual, fine = _SHOWN_STEPS[self.drawing.unit]
        how = _HOW[self.here.kind].format(usual, fine)
        lines = [plain(f" {row}", "fail") for row in wrap(self._told, across)]
        lines += [plain(f" {row}", "dim") for row in wrap(how, across)]
        start = f"{self._name.capitalize()}: "
        for says in self._found.says:
            if says.startswith(start):
                lines += [plain(f" {row}") for row in wrap(says.removeprefix(start), across)]
        return lines

    # --- keys --------------------------------------------------------------------------------

    def action_mark(self, by: int) -> None:
        """Go to another mark."""
        self._at = max(0, min(self._at + by, len(self.marks) - 1))
        self._told = ""
        self.draw()

    def action_shift(self, by: int) -> None:
        """Move the mark by a usual step."""
        self._move(by * STEPS[self.drawing.unit][0])

    def take_key(self, character: str) -> None:
        """Move the mark by a fine step."""
        if character in "[]":
            self._move((1 if character == "]" else -1) * STEPS[self.drawing.unit][1])

    def _move(self, mm: float) -> None:
        here = self.here
        self._try(lambda: moved(self.drawing, self._found, self._name, here, mm))

    def action_put_back(self) -> None:
        """Put the mark back to where it was proposed."""
        here = self.here
        self._try(lambda: put_back(self.drawing, self._name, here))

    def _try(self, change: Callable[[], Sheet]) -> None:
        """Change the drawing, or say why it stays."""
        try:
            changed = change()
            self._found = changed.proposed()
        except AnswerError as error:
            self._told = f"It stays: {error}."
        else:
            self.drawing, self._told = changed, ""
        self.draw()

    def action_panel(self, name: PanelName) -> None:
        """Show the other panel."""
        self._name, self._told = name, ""
        self.draw()

    def action_enter(self) -> None:
        """Go on to the back, and from there with what was understood."""
        if self._name == "front":
            self._at = 0
            self.action_panel("back")
        else:
            self.dismiss(self.drawing)

    def action_close(self) -> None:
        """Go back to the front, and from there to the outlines; what was moved is kept."""
        if self._name == "back":
            self.action_panel("front")
        else:
            self.dismiss(None)


def _beside(line: Line, x: int, more: Line) -> Line:
    """Return a line with another one beside it, from column `x`."""
    blanks: Line = ((" " * max(0, x - width(line)), ""),)
    return (*line, *blanks, *more) if more else line
