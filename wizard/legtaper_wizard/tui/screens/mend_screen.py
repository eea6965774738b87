"""The changes that mend a design: each finding, its changes, and the widths before and after."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.message import Message

from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.mend_words import NOTHING, told_once
from legtaper_wizard.flow.mending import LOOKING, look_for_mends, mended_fit, widths_then
from legtaper_wizard.flow.shapes import KINDS, SIGNS, Cursor
from legtaper_wizard.tui.layout.outline_plot import Picture
from legtaper_wizard.tui.layout.picture import Room, framed
from legtaper_wizard.tui.layout.styled_text import Line, hang, plain
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.reader_screen import LinesScreen

if TYPE_CHECKING:
    from legtaper.pattern import Fit
    from legtaper.remedies.mend import Mend, Mending
    from legtaper_wizard.terminal import Look

_STYLES = {"fail": "fail", "caution": "care"}


class MendScreen(LinesScreen["Mend | None"]):
    """Asks which change is made; the answer is that, or nothing.

    The search runs in a thread of its own: what it found so far can be chosen at once.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape,f11,ctrl+backslash", "close", "Back", "mend.close"),
        key("enter", "choose", "Make this change", "mend.choose"),
        key("down,tab", "move(1)", "Down", "mend.down"),
        key("up,shift+tab", "move(-1)", "Up", "mend.up"),
        key("pagedown", "move(5)", "Page down", "mend.page-down"),
        key("pageup", "move(-5)", "Page up", "mend.page-up"),
        key("left,right,f2", "turn", "Outlines or changes", "mend.turn"),
    ]

    @dataclass
    class Found(Message):
        """A finding with what mends it, from the thread that searches."""

        mending: Mending

    @dataclass
    class Ended(Message):
        """The search is over; `problem` says why it ended early."""

        problem: str = ""

    def __init__(self, look: Look, project: Project, at: Cursor) -> None:
        super().__init__(look, "Changes that mend what fails or warns")
        self._project, self._cursor = project, at
        self._stop = threading.Event()
        self._found: list[Mending] = []
        self._fits: dict[int, Fit | None] = {}
        self._at = self._top = 0
        self._keeps_cursor = True  # whether the change under the cursor has to be in sight
        self._over = self._outlines = False
        self._problem = ""

    def on_mount(self) -> None:
        """Begin to search."""
        super().on_mount()
        self.run_worker(self._search, thread=True, exit_on_error=False)

    def on_unmount(self) -> None:
        """End the search once the finding it is at is done."""
        self._stop.set()

    def _search(self) -> None:
        """Search in a thread of its own; all it finds goes through messages."""
        try:
            for one in look_for_mends(self._project, self._cursor, lambda: not self._stop.is_set()):
                self.post_message(self.Found(one))
        except ProjectError as error:
            self.post_message(self.Ended(f"Not searched: {clean(str(error), 300)}."))
        else:
            self.post_message(self.Ended())

    def on_mend_screen_found(self, event: Found) -> None:
        """Show one more finding."""
        self._found.append(event.mending)
        self.draw()

    def on_mend_screen_ended(self, event: Ended) -> None:
        """Show that all is found."""
        self._over, self._problem = True, event.problem
        self.draw()

    @property
    def searching(self) -> bool:
        """Whether more may be found."""
        return not self._over

    @property
    def _offered(self) -> list[Mend]:
        return [mend for one in self._found for mend in one.mends]

    @property
    def _here(self) -> Mend | None:
        return self._offered[self._at] if self._offered else None

    # --- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Show the changes with the one under the cursor, and its widths below."""
        keys = [("Enter", "make this change")] if self._here else []
        if self._outlines:
            keys += [("Left/Right", "changes"), ("Esc", "back")]
            self.show(self._picture(), keys)
            return
        across = min(self.means.width - 2, 96)
        rows, here = self._rows(across)
        below = self._widths()
        room = max(self.means.height - 3 - len(below), 1)
        shown = self._in_sight(rows, here, room)
        body = [*shown, *[()] * (room - len(shown)), *below]
        keys += [("Up/Down", "move")] if self._here or len(rows) > room else []
        keys += [("Left/Right", "outlines")] if self._here else []
        self.show([((" ", ""), *line) for line in body], [*keys, ("Esc", "back")])

    def _in_sight(self, rows: list[Line], here: tuple[int, int], room: int) -> list[Line]:
        """Return as many lines as there is room for; the first and last say what is hidden.

        here: the first and the last line of the change under the cursor, or of its finding.
        """
        top, (first, last) = self._top, here
        if self._keeps_cursor:  # beside the line that says what is hidden
            top = min(max(top, last + 2 - room), max(first - 1, 0))
        self._top = top = max(0, min(top, len(rows) - room))
        shown, hidden = rows[top : top + room], len(rows) - top - room
        if top:
            shown[0] = plain(f"{top + 1} more above", "dim")
        if hidden > 0:
            shown[-1] = plain(f"{hidden + 1} more below", "dim")
        return shown

    def _rows(self, across: int) -> tuple[list[Line], tuple[int, int]]:
        """Return all lines, and the first and last of the change that the cursor is on."""
        rows: list[Line] = []
        where, number = (0, 0), 0
        for one, mends in told_once(self._found):
            status = one.finding.status
            style, head = _STYLES.get(status, ""), len(rows)
            rows += hang(SIGNS[KINDS[status]], clean(one.finding.says, 400), across, style)
            for mend, says in mends:
                here = number == self._at
                first = head if mend is one.mends[0] else len(rows)
                sign = f"{'>' if here else ' '} {mend.number:>2}"
                words = "focus" if here else ""
                rows += hang(sign, clean(says, 400), across, "strong", words)
                where = (first, len(rows) - 1) if here else where
                number += 1
            if one.why_not:
                rows += hang("    ", clean(one.why_not, 400), across, "", "dim")
            rows.append(())
        rows += hang("", self._state, across, words="strong") if self._state else []
        return rows, where

    @property
    def _state(self) -> str:
        if not self._over:
            return LOOKING
        return self._problem or ("" if self._found else NOTHING)

    def _widths(self) -> list[Line]:
        """Return the widths around the leg, now and with the change under the cursor."""
        now, then = standing(self._project, self._cursor).fit, self._then()
        if now is None or then is None:
            return []
        cells = [("Around", "Now", "Then"), *widths_then(now, then)]
        wide = [max(len(cell) for cell in cells_of_one) + 3 for cells_of_one in cells]
        texts = [
            "".join(f"{row[i]:<{w}}" for row, w in zip(cells, wide, strict=True)) for i in range(3)
        ]
        return [(), *(plain(text.rstrip(), "" if i else "dim") for i, text in enumerate(texts))]

    def _then(self) -> Fit | None:
        """Return the design with the change under the cursor."""
        mend = self._here
        if mend is None:
            return None
        if mend.number not in self._fits:
            self._fits[mend.number] = mended_fit(self._project, self._cursor, mend)
        return self._fits[mend.number]

    def _picture(self) -> list[Line]:
        """Return the outline now, dotted, and with the change, solid."""
        from legtaper.outputs.leg_views import overlay_view

        now, then = standing(self._project, self._cursor).fit, self._then()
        if now is None or then is None:
            return []
        traces, tags = overlay_view(now.block, [now.taper.seams, then.taper.seams])
        across = self.means.width - 2
        says = hang("", clean(self._here.says if self._here else "", 400), across)
        picture = Picture(
            tuple(traces), tuple(tags), "{old}now, {new}with the change. Front, back."
        )
        room = Room(across, max(self.means.height - 3 - len(says), 4), self.means.ascii_only)
        return [((" ", ""), *row) for row in (*says, *framed(picture, room))]

    # --- keys --------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        """Go to another change; at the first and the last one go on to what is beyond it."""
        there = max(0, min(self._at + by, len(self._offered) - 1))
        self._keeps_cursor = there != self._at
        self._top += 0 if self._keeps_cursor else by
        self._at = there
        self.draw()

    def action_turn(self) -> None:
        """Turn from the changes to the outlines, or back."""
        self._outlines = self._here is not None and not self._outlines
        self.draw()

    def action_choose(self) -> None:
        """Answer with the change under the cursor, once it is in sight."""
        top, self._keeps_cursor = self._top, True
        self.draw()
        if self._top != top:
            return
        if self._here is not None:
            self.dismiss(self._here)
        elif self._over:
            self.dismiss(None)

    def take_key(self, character: str) -> None:
        """Go to the change of a number."""
        numbers = [str(mend.number) for mend in self._offered]
        if character in numbers:
            self._at, self._keeps_cursor = numbers.index(character), True
            self.draw()

    def action_close(self) -> None:
        """Go back without a change."""
        self.dismiss(None)
