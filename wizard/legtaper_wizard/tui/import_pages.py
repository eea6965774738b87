"""How the form brings a block in that is drafted or traced: page after page, back and forth."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.drafted_block import CAUTION, Drafting
from legtaper_wizard.flow.steps import AnswerError, Field
from legtaper_wizard.flow.steps.block_levels import block_is_empty
from legtaper_wizard.flow.steps.block_step import DRAFT
from legtaper_wizard.tui.layout.stop import NEXT
from legtaper_wizard.tui.screens.reader_screen import Option, Pick

if TYPE_CHECKING:
    from collections.abc import Callable

    from legtaper.model.cancel import Going
    from legtaper.model.project import Unit
    from legtaper_wizard.flow.import_flow import Sheet
    from legtaper_wizard.tui.hosting import Host

_FILE = Field(
    "file",
    "File",
    "text",
    "A drawing at true size, .svg or .dxf: its name, with the folder unless it is the project's.",
)
_FILE_INTRO = (
    "Each panel is one closed outline, traced at true size in any drawing program. What is "
    "inside it comes along: darts, notches, grainline. Nothing is changed before you say so."
)
_UNIT_INTRO = "The drawing does not say its unit."


def bring(app: Host, action_id: str) -> None:
    """Bring a block in; nothing is changed before the last page is answered."""
    session, form = app.sitting
    if session.read_only:
        form.refuse_change()
    elif action_id == DRAFT:
        _draft(app)
    else:
        _file(app)


# --- drafted ---------------------------------------------------------------------------------


def _draft(app: Host) -> None:
    from legtaper_wizard.tui.screens.draft_screen import DraftScreen

    session, _ = app.sitting
    screen = DraftScreen(app.look, Drafting.of(session.project, app.bringing.texts))

    def done(drafting: Drafting | None) -> None:
        app.bringing.texts = screen.drafting.texts
        if drafting is not None:
            changed = drafting.into(session.project)
            _settle(app, changed, ("", CAUTION), lambda: _draft(app))

    app.push_screen(screen, done)


# --- traced ----------------------------------------------------------------------------------


def _file(app: Host) -> None:
    """Ask for the drawing, and read it."""
    from legtaper_wizard.flow.import_flow import place_of
    from legtaper_wizard.tui.screens.slow_ask import SlowAsk

    session, _ = app.sitting
    kept, folder, unit = app.bringing, session.path.parent, session.project.length_unit
    found: list[tuple[Path, Sheet | None]] = []

    def work(answers: tuple[str, ...], going: Going) -> None:
        path = place_of(answers[0], folder)
        try:
            sheet = _read(kept.sheet, (path, unit), going=going)
        except ProjectError as error:
            if error.key != "unit":
                raise AnswerError("file", str(error)) from None
            sheet = None
        found.append((path, sheet))

    def done(answers: tuple[str, ...] | None) -> None:
        kept.file = (answers or ask.typed)[0]
        if answers is None:
            return
        path, kept.sheet = found[-1]
        if kept.sheet is None:
            _unit(app, path)
        else:
            _outlines(app)

    words = ("Take the block from a drawing", _FILE_INTRO, "Read it")
    ask = SlowAsk(app.look, words, (_FILE,), (kept.file,), work)
    app.push_screen(ask, done)


def _read(old: Sheet | None, what: tuple[Path, Unit], scale: str = "", *, going: Going) -> Sheet:
    """Read a drawing; `old`, which was read before, is taken up where it was left."""
    from legtaper_wizard.flow.import_flow import open_sheet
    from legtaper_wizard.flow.new_project import bytes_of

    path, unit = what
    known = old is not None and (old.path, old.unit) == what and not scale
    if old is not None and known and old.data == bytes_of(path):
        return old
    return open_sheet(path, unit, scale, going)


def _unit(app: Host, path: Path) -> None:
    """Ask for the unit of a drawing that does not say its own."""
    from legtaper_wizard.flow.import_flow import UNITS
    from legtaper_wizard.tui.screens.slow_ask import SlowAsk

    session, _ = app.sitting
    unit = session.project.length_unit
    found: list[Sheet] = []

    def work(answers: tuple[str, ...], going: Going) -> None:
        try:
            found.append(_read(None, (path, unit), answers[0], going=going))
        except ProjectError as error:
            raise AnswerError("unit", str(error)) from None

    def done(answers: tuple[str, ...] | None) -> None:
        if answers is None:
            _file(app)
        else:
            app.bringing.sheet = found[-1]
            _outlines(app)

    field = Field("unit", "Unit", "choice", "What one unit of the drawing is.", UNITS)
    words = ("The unit of the drawing", _UNIT_INTRO, "Read it")
    ask = SlowAsk(app.look, words, (field,), ("mm",), work)
    app.push_screen(ask, done)


def _outlines(app: Host) -> None:
    from legtaper_wizard.tui.screens.outlines_screen import OutlinesScreen

    if app.bringing.sheet is None:
        return
    screen = OutlinesScreen(app.look, app.bringing.sheet)

    def done(sheet: Sheet | None) -> None:
        app.bringing.sheet = screen.drawing
        _file(app) if sheet is None else _corners(app, sheet)

    app.push_screen(screen, done)


def _corners(app: Host, sheet: Sheet) -> None:
    from legtaper_wizard.flow.panel_marks import doubts
    from legtaper_wizard.tui.screens.corners_screen import CornersScreen

    session, _ = app.sitting
    screen = CornersScreen(app.look, sheet)

    def done(agreed: Sheet | None) -> None:
        app.bringing.sheet = screen.drawing
        if agreed is None:
            _outlines(app)
            return
        made = agreed.proposed()
        changed = agreed.into(session.project)
        says = " ".join((*doubts(agreed, made), *made.says))
        _settle(app, changed, (says, ""), lambda: _corners(app, screen.drawing))

    app.push_screen(screen, done)


# --- taken -----------------------------------------------------------------------------------


def _settle(app: Host, changed: Project, words: tuple[str, str], back: Callable[[], None]) -> None:
    """Ask before a block is replaced, then take the new one; `back` leads to the page before.

    words: what is said before, and what after.
    """
    session, form = app.sitting
    says, after = words
    told = f"The block is in. {after}".strip()

    def chosen(what: str | None) -> None:
        if what == "take":
            app.try_to(lambda: session.bring(changed), lambda: form.show(told=told, here=NEXT))
        else:
            back()

    if block_is_empty(session.project) and not says:
        chosen("take")
        return
    take = Option("take", "Take it as the block")
    if not block_is_empty(session.project):
        name = clean(session.project.block.label, 60) or "without a label"
        more = "F5 brings the old one back. Its test, if any, then counts as out of date."
        take = Option("take", f"Put it in the place of the block there is ({name})", more=more)
    stay = Option("back", "Go back and change it")
    app.push_screen(Pick(app.look, "Take this block?", says, (take, stay)), chosen)
