"""The parts of the form's screen as lines, each for its box of the frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.shapes import Note
from legtaper_wizard.tui.layout.form_lines import Layout, Looks, lay_out
from legtaper_wizard.tui.layout.frame import (
    BESIDE,
    LEAST,
    Frame,
    Wants,
    form_width,
    frame,
    picture_width,
)
from legtaper_wizard.tui.layout.heading import rule, step_line, title_line
from legtaper_wizard.tui.layout.key_table import COMMANDS, key_line, keys_here
from legtaper_wizard.tui.layout.notes_panel import (
    SERIOUS,
    HintRoom,
    beside,
    fitted,
    hint_lines,
    note_lines,
    width_lines,
)
from legtaper_wizard.tui.layout.picture import Room, View, picture_lines
from legtaper_wizard.tui.layout.plain_page import Means, Pose
from legtaper_wizard.tui.layout.question_tables import table_of
from legtaper_wizard.tui.layout.step_model import Page, short_echo
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, cut, hang, plain, width, wrap

Parts = Mapping[str, list[Line]]
"""Lines by the name of their box."""

_TAKEN = 1
"""Rows that the hints may take from the notes in any case, which end with a whole one."""
_MORE_HINTS = 2
"""Rows that the hints may take from the notes where those leave them empty."""
_FOR_TWO = 34
"""Columns from which both panels are drawn unasked."""
_STEPS = {"in": ("1/4 in", "1/8 in"), "cm": ("5 mm", "1 mm")}
"""What the arrow keys move, as they say it."""


@dataclass(frozen=True, eq=False)
class Sight:
    """A page as it is looked at in a terminal. Its form is laid out once for a draw."""

    page: Page
    pose: Pose
    means: Means

    @cached_property
    def view(self) -> View:
        """Which picture is shown."""
        return view_of(self.page, self.pose, self.means)

    @cached_property
    def layout(self) -> Layout:
        """The form in all its length."""
        page, pose, echoes = self.page, self.pose, dict(self.page.echoes)
        if pose.draft is not None:
            echoes[pose.here] = short_echo(pose.live, pose.draft.strip()) if pose.fine else ""
        across = form_width(self.means.width, self.view != "none")
        looks = Looks(
            across, pose.here, pose.draft, pose.refused, echoes, page.marks, self.means.more
        )
        return lay_out(page.stops, looks)

    @cached_property
    def boxes(self) -> Frame:
        """Where the parts of the page stand."""
        means = self.means
        form = len(self.layout.lines)  # with why an answer was refused
        why = 0 if self.pose.folded else len(wrap(self.page.step.why, means.width - 2))
        return frame(means.width, means.height, Wants(why, form), self.view != "none")


def assembled(boxes: Frame, parts: Parts) -> list[Line]:
    """Return the whole screen: the parts in their boxes, the picture beside the others.

    A hint that is longer than its box takes rows of the notes, which are as many as then fit.
    """
    lines: list[Line] = []
    over = max(0, len(parts.get("hint", ())) - boxes.hint.height)
    hint = boxes.hint._replace(height=boxes.hint.height + over)
    notes = boxes.notes._replace(height=max(0, boxes.notes.height - over))
    shown_notes = list(parts.get("notes", ()))
    for name, box in boxes._replace(hint=hint, notes=notes)._asdict().items():
        if name == "picture":
            continue
        shown = list(parts.get(name, ()))[: box.height]
        if name == "notes":
            across = box.width - 1
            told = [*parts.get("mend", ()), *shown_notes]
            if len(told) > box.height:  # the line of keys has the key, too
                told = shown_notes
            told = fitted(told, across, box.height)
            shown = [((" ", ""), *line) for line in told]
        lines += [cut(line, box.width, "") for line in shown]
        lines += [()] * (box.height - len(shown))
    side = boxes.picture
    for y, line in enumerate(parts.get("picture", ())[: side.height], side.y):
        blanks = max(0, side.x - width(lines[y]))
        lines[y] = (*lines[y], (" " * blanks, ""), *line)
    return lines


def view_of(page: Page, pose: Pose, means: Means) -> View:
    """Return which picture is shown: the one asked for, else what the step shows unasked."""
    if pose.view is not None:
        return pose.view
    if page.step.picture == "close" and not _is_locked(page):
        return "close"
    if means.width >= BESIDE or page.step.picture == "panels":
        return "both" if picture_width(means.width) >= _FOR_TWO else "front"
    return "none"


def _is_locked(page: Page) -> bool:
    return not page.early and page.states[page.step.id].marker == "locked"


def heads(sight: Sight, saved: str) -> Parts:
    """Return the title, the steps and the reasons."""
    page, pose, means = sight.page, sight.pose, sight.means
    name = clean(page.project.name or "A project without a name", 60)
    design = chosen_design(page.project, page.at)
    if design and len(page.project.designs) > 1:
        name = f"{name}, {clean(design.name, 40)}"
    steps = step_line(page.step.id, page.states, means.width)
    if means.width < LEAST[0] or means.height < LEAST[1]:
        small = f" Smaller than {LEAST[0]} x {LEAST[1]}: not all of it shows."
        steps = plain(small, "strong")
    title = title_line(name, page.step.id, saved, means.width)
    why = [] if pose.folded else wrap(page.step.why, means.width - 2)
    return {"title": [title, steps], "why": [((" ", ""), (row, "")) for row in why]}


def _too(sight: Sight, stop: Stop) -> str:
    """Return how a whole row is answered, or of an answer what has no room beside it."""
    if not stop.said:
        return steps.row_hint(sight.page.project, stop.id, sight.page.at)
    echo, place = sight.page.echoes.get(stop.id, ""), sight.layout.places.get(stop.id)
    if sight.pose.draft is not None or not echo or place is None:
        return ""
    shown = "".join(text for text, _ in sight.layout.lines[place.line])
    return echo if shown.endswith(sight.means.more) else ""


def middle(sight: Sight, notes: int) -> tuple[Parts, Pose]:
    """Return the form with its rules, hints and keys, and the pose with the top line shown.

    notes: how many lines the notes take; hints may have rows that they leave empty.
    """
    page, pose, means, boxes, layout = (
        sight.page, sight.pose, sight.means, sight.boxes, sight.layout,
    )  # fmt: skip
    box, stop = boxes.form, page.stop(pose.here)
    top = layout.first_line(pose.here, pose.top, box.height)
    live = "" if pose.draft is None or pose.refused else pose.live
    most = boxes.hint.height + min(max(boxes.notes.height - notes, 0), _MORE_HINTS)
    whole = boxes.hint.height + boxes.notes.height
    rows = min(max(most, boxes.hint.height + _TAKEN), whole)
    room = HintRoom(box.width, rows, rows - min(most, rows))
    said = () if pose.refused else page.notes  # the refusal names the range, too
    row = _too(sight, stop) if stop and stop.field else ""
    hints = hint_lines(stop, live, said, room, row) if stop else []
    urgent = () if _to_mend(page) is None else ("mend",)
    fine = ("", "") if pose.refused else _STEPS[page.project.length_unit]  # arrows edit it then
    listed, pointed = layout.lists(pose.here), pose.draft is not None
    keys = keys_here(stop, fine, listed=listed, pointed=pointed)
    hidden = len(layout.lines) - top - box.height
    table, above = table_of(page.stops), _more(top, "above")
    order = table.order if table else ""
    parts = {
        "above": [rule(box.width, means.dash, "; ".join(filter(None, (order, above))), above)],
        "form": layout.shown(top, box.height),
        "below": [rule(box.width, means.dash, _more(hidden, "below"))],
        "hint": [((" ", ""), *line) for line in hints],
        "keys": [key_line(keys, means.width, urgent)],
    }
    return parts, pose._replace(top=top)


def _more(lines: int, where: str) -> str:
    return f"{lines} more {where}" if lines > 0 else ""


def follows(sight: Sight, tried: Page | None = None) -> Parts:
    """Return all the notes and the picture; `tried` holds what is typed and not taken yet."""
    page, pose, means, boxes = tried or sight.page, sight.pose, sight.means, sight.boxes
    across = boxes.notes.width - 1
    if page.early:  # they have their room, and follow
        return {"mend": [], "notes": [], "picture": []}
    lines = hang(">", pose.told, across, "strong", "strong") if pose.told else []
    if page is not sight.page and _is_choice(page.stop(pose.here)):
        lines.append(plain("If you take it:", "strong"))
    widths = _widths(page)
    aside = beside(page.stop(pose.here), page.notes)
    if widths:  # the table says what these notes say
        aside += [note for note in page.notes if note.kind == "number" and not note.key]
    rest = [note for note in page.notes if note not in aside]
    serious = [note for kind in SERIOUS for note in rest if note.kind == kind]
    lines += [*note_lines(serious, across), *widths]
    lines += note_lines(_calm(page, [note for note in rest if note not in serious]), across)
    room = Room(boxes.picture.width, boxes.picture.height, means.ascii_only)
    return {
        "mend": _mends(page, across),
        "notes": lines,
        "picture": picture_lines(page.project, page.at, sight.view, room, page.step.id),
    }


def _is_choice(stop: Stop | None) -> bool:
    return stop is not None and stop.field is not None and stop.field.kind == "choice"


def _to_mend(page: Page) -> int | None:
    """Return how many changes mend what the step finds fault with; `None` where nothing is."""
    if page.early:
        return None
    from legtaper_wizard.flow.mending import can_be_mended

    return can_be_mended(page.project, page.step.id, page.at)


def _mends(page: Page, across: int) -> list[Line]:
    """Say how to come to the changes that mend what the notes find fault with."""
    count = _to_mend(page)
    if count is None:
        return []
    key = next(command.shown for command in COMMANDS if command.id == "mend")
    if count < 0:
        words = "looks for changes that mend this:"
    elif count:
        words = f"{count} change{'' if count == 1 else 's'} to mend this:"
    else:
        words = "says why no change mends this:"
    return hang(f"{key}", words, across, "strong")


def _calm(page: Page, notes: list[Note]) -> list[Note]:
    """Return the notes with all that is OK in one line, but where that is the answer itself."""
    good = [note for note in notes if note.kind == "good"]
    if len(good) < 2 or page.step.tells_good:
        return notes
    others = [note for note in notes if note.kind != "good"]
    return [*others, Note("good", f"{len(good)} checks OK.")]


def _widths(page: Page) -> list[Line]:
    if not page.step.widths:
        return []
    from legtaper_wizard.flow.derived_state import standing

    fit = standing(page.project, page.at).fit
    return width_lines(fit, page.step.widths == "with the hem") if fit else []
