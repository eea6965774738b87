"""What the commands of the form do: pages that tell, ask or list, and what follows from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from legtaper.model.project import NO_DESIGN, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.command_table import commands_of
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.glossary import glossary_text
from legtaper_wizard.flow.session import LAST_SITTING_ASKED, StoreError
from legtaper_wizard.flow.steps import Action, AnswerError, Field
from legtaper_wizard.tui.layout.heading import HERE, SIGNS
from legtaper_wizard.tui.layout.key_table import COMMANDS, shown_key
from legtaper_wizard.tui.layout.notes_panel import sign_of, whole
from legtaper_wizard.tui.layout.stop import DESIGN, GARMENT, LONGEST
from legtaper_wizard.tui.screens.ask_screen import Ask, in_words
from legtaper_wizard.tui.screens.reader_screen import AS_IT_IS, Option, Pick, Reader, SearchedReader
from legtaper_wizard.tui.write_pages import print_block, write

if TYPE_CHECKING:
    from legtaper.remedies.mend import Mend
    from legtaper_wizard.tui.hosting import Host
    from legtaper_wizard.tui.layout.step_model import Page


def do_command(app: Host, name: str) -> None:
    """Do a command by its id; "do:" begins the id of an action."""
    session, form = app.sitting
    if name.startswith("do:"):
        do_action(app, name.removeprefix("do:"))
    elif name.startswith(DESIGN):
        session.work_on_design(name.removeprefix(DESIGN))
        form.show(told=f"Now at the design {clean(name.removeprefix(DESIGN), 60)}.")
    elif name.startswith(GARMENT):
        session.work_on_garment(int(name.removeprefix(GARMENT)))
        form.show(here=f"liked.{session.at.liked}.garment")
    else:
        _DOES[name](app)


# --- pages that tell ------------------------------------------------------------------------


def _help(app: Host) -> None:
    session, form = app.sitting
    stop, step = form.stop, form.page.step
    key = stop.id if stop.kind == "question" else None
    keys = "\n".join(
        f"{AS_IT_IS}{command.shown:<7}{_also(command.also):<10}{command.words}"
        for command in COMMANDS
    )
    typing = (
        "Enter takes an answer. Selected text is replaced by what you type; the arrow keys "
        "let you change it. Ctrl-U empties the line, Esc brings back what was answered. An empty "
        "answer takes it away. Nothing typed counts before it is taken. In a table Left and Right "
        "go to the cell beside, Home and End into the text. Options in a row are gone through by "
        "Left and Right, those below each other by Up and Down, which Tab leaves; any word of an "
        "option finds it. Where nothing was chosen, Enter alone takes what they point at."
    )
    drawing = "\n".join(f"{AS_IT_IS}{row}" for row in steps.help_drawing(step.id, key))
    skipped = stop.field.if_skipped if stop.field else None
    parts = (
        steps.help_text(step.id, key, skipped, session.project.length_unit),
        drawing,
        typing,
        keys,
    )
    text = "\n\n".join(part for part in parts if part)
    app.push_screen(Reader(app.look, f"Help: {stop.label if key else step.title}", text))


def _glossary(app: Host) -> None:
    app.push_screen(Reader(app.look, "What the words mean", glossary_text()))


def _sewing(app: Host) -> None:
    from legtaper.muslin.sewing import TITLE, sewing_text

    app.push_screen(Reader(app.look, TITLE, sewing_text()))


def _also(key: str) -> str:
    return f"or {shown_key(key)}" if key else ""


def _notes(app: Host) -> None:
    _, form = app.sitting
    page, of_what = form.looked_at()
    lines = [of_what] if of_what else []
    lines += [f"{sign_of(note)} {whole(note)}" for note in page.notes]
    text = "\n\n".join(lines) or "Nothing to say yet."
    app.push_screen(Reader(app.look, f"Notes: {form.page.step.title}", text))


def _hem_widths(app: Host) -> None:
    session, form = app.sitting
    project, at = session.now
    if standing(project, at).fit is None:
        form.tell("That is known once something comes off the block.")
        return

    def text() -> str:
        sentence, *table = steps.hem_widths_page(project, at)
        return "\n".join((sentence, *(AS_IT_IS + row if row else row for row in table)))

    waits = "Looking for the hem widths that work..."
    app.push_screen(SearchedReader(app.look, "Which hem widths work", waits, text))


def _mend(app: Host) -> None:
    """Show the changes that mend the design, and make the one that is chosen."""
    from legtaper_wizard.flow.mend_words import done_words
    from legtaper_wizard.flow.mending import NO_DESIGN_YET
    from legtaper_wizard.tui.screens.mend_screen import MendScreen

    session, form = app.sitting
    if standing(session.project, session.at).fit is None:
        form.tell(NO_DESIGN_YET)
        return

    def take(mend: Mend | None) -> None:
        if mend is None:
            form.show(told=form.pose.told, keep=True)
        else:
            done = done_words(mend, session.project, session.at)
            app.try_to(lambda: session.mend(mend), lambda: form.show(told=clean(done, 400)))

    app.push_screen(MendScreen(app.look, session.project, session.at), take)


_TABLE = 77  # columns of a table where a screen has 80


def _marks(app: Host) -> None:
    session, form = app.sitting
    fit = standing(session.project, session.at).fit
    if fit is None:
        reasons = steps.state(session.project, "pattern", session.at).reasons
        form.tell(f"There are no marks yet: the pattern {'; '.join(reasons[:2])}.")
        return
    from legtaper.outputs.marks_text import marks_text
    from legtaper_wizard.flow.settings import settings

    text = marks_text(fit, settings().step_for(session.project.length_unit))
    rows = "\n".join(
        AS_IT_IS + row[2:] if row.startswith("  ") and len(row) <= _TABLE else row.strip()
        for row in text.splitlines()  # rows of a table stay as they are, notes below it are wrapped
    )
    app.push_screen(Reader(app.look, "The marking table", rows))


def _settings(app: Host) -> None:
    from legtaper_wizard.flow.settings import settings_text

    _, form = app.sitting
    try:
        text = settings_text()
    except StoreError as error:
        form.tell(f"{error}.")
    else:
        app.push_screen(Reader(app.look, "Settings", "\n\n".join(text.splitlines())))


# --- lists ----------------------------------------------------------------------------------


def _steps(app: Host) -> None:
    session, form = app.sitting
    options = []
    for step in steps.STEPS:
        state = steps.state(session.project, step.id, session.at)
        sign = HERE if step.id == session.step_id else SIGNS[state.marker]
        reason = "; ".join(state.reasons[:3])
        why_not = f"{reason}." if state.marker == "locked" else ""
        options.append(
            Option(step.id, f"{sign} {step.title}", why_not=why_not, more=clean(reason, 300))
        )

    def go(step_id: str | None) -> None:
        if step_id:
            session.go(step_id)
            form.show()

    intro = "[x] done  [ ] open  [!] look at it again  [-] waits for another step"
    app.push_screen(Pick(app.look, "All steps", intro, options, session.step_id), go)


def _all(app: Host) -> None:
    _, form = app.sitting
    keys = {command.id: (command.shown, command.short) for command in COMMANDS}
    options = []
    for command in commands_of("screen"):
        if command.id != "all":
            key, short = keys.get(command.id, ("", ""))
            also = f"{command.found_by} {short}"
            options.append(Option(command.id, command.words, key, also=also))

    def do(name: str | None) -> None:
        if name:
            form.action_command(name)

    app.push_screen(Pick(app.look, "All commands", "", options), do)


def _answers(app: Host) -> None:
    session, form = app.sitting
    lines = steps.summary(session.project, session.at)
    options = [
        Option(str(number), clean(f"{line.label}: {line.value}", 200))
        for number, line in enumerate(lines)
    ]

    def go(chosen: str | None) -> None:
        if chosen:
            line = lines[int(chosen)]
            session.go(line.step_id, line.key)
            form.show(here=line.key)

    app.push_screen(Pick(app.look, "All answers", "", options), go)


def _designs(app: Host) -> None:
    session, form = app.sitting
    now = chosen_design(session.project, session.at)
    if now is None:
        form.tell(f"Not shown: {NO_DESIGN}.")
        return
    names = [design.name for design in session.project.designs]
    options = [Option(f"{DESIGN}{name}", clean(name, 60)) for name in names]
    _pick_to_do(app, "Work on a design", options, f"{DESIGN}{now.name}")


def _garments(app: Host) -> None:
    session, form = app.sitting
    if not session.project.liked:
        form.tell("Not shown: no trousers you like are measured yet.")
        return
    session.go("liked")
    names = [liked.garment for liked in session.project.liked]
    options = [Option(f"{GARMENT}{i}", clean(name, 60)) for i, name in enumerate(names)]
    _pick_to_do(app, "Go to a garment", options, f"{GARMENT}{session.at.liked}")


def _pick_to_do(app: Host, title: str, options: Sequence[Option], now: str) -> None:
    """Offer commands, with the cursor on the one that is so now, and do the chosen one."""

    def do(chosen: str | None) -> None:
        if chosen:
            do_command(app, chosen)

    app.push_screen(Pick(app.look, title, "", options, now), do)


def _more(app: Host) -> None:
    session, form = app.sitting
    project, at = session.project, session.at
    options = [
        Option(f"do:{action.id}", clean(action.label, LONGEST), takes_away=action.takes_away)
        for action in steps.actions(project, session.step_id, at)
    ]
    if session.step_id == "liked":
        for number, liked in enumerate(project.liked):
            if number != at.liked:
                words = f"Go to {clean(liked.garment, 60)}"
                options.append(Option(f"{GARMENT}{number}", words))
    now = chosen_design(project, at)
    for design in reversed(project.designs):
        if now is None or design.name != now.name:
            words = f"Work on the design {clean(design.name, 60)}"
            options.append(Option(f"{DESIGN}{design.name}", words))
    if session.step_id == "narrowing" and standing(project, at).fit is not None:
        options.append(Option("hem-widths", "See which hem widths work"))
    if not options:
        form.tell("This step has nothing under F7. Ctrl-P lists every command.")
        return

    def do(chosen: str | None) -> None:
        if chosen:
            do_command(app, chosen)

    app.push_screen(Pick(app.look, f"More: {form.page.step.title}", "", options), do)


# --- actions --------------------------------------------------------------------------------


def do_action(app: Host, action_id: str) -> None:
    """Do an action of the step, after asking for what it needs."""
    session, form = app.sitting
    before = form.page
    known = steps.actions(session.project, session.step_id, session.at)
    action = next((found for found in known if found.id == action_id), None)
    if action is None:
        form.tell("That cannot be done now.")
    elif action.id in _DOES:
        _DOES[action.id](app)
    elif action.paged:
        from legtaper_wizard.tui.import_pages import bring

        bring(app, action.id)
    elif action.needs:
        _ask_for(app, action)
    else:
        app.try_to(lambda: session.do(action.id), lambda: _did(app, action, before))


def _did(app: Host, action: Action, before: Page) -> None:
    """Show what an action did; the cursor is on the first question of what it added.

    What the action asked itself is answered, and so passed; on a page that was there before, so
    is every question that has an answer. before: the page it was done on.
    """
    session, form = app.sitting
    if action.then:
        design = session.project.designs[-1]
        session.go(action.then)
        form.show(told=f'Work goes on with "{clean(design.name, 60)}", not yet printed.')
        return
    added = before.at != session.at and session.step_id != "fitting"
    form.show(told=f"Done: {clean(action.label, LONGEST)}.")
    if added:
        asked = [field.key for field in action.needs]
        first = [stop for stop in form.page.stops if stop.id not in asked]
    else:
        new = [stop for stop in form.page.stops if stop.field and before.stop(stop.id) is None]
        first = [stop for stop in new if not stop.said]
    if first:
        form.show(told=form.pose.told, here=first[0].id)


def _ask_for(app: Host, action: Action) -> None:
    session, form = app.sitting
    before = form.page
    ask = Ask(
        app.look, (clean(action.label, LONGEST), "", "Do it"), action.needs, app.typed(action.id)
    )

    def check(answers: tuple[str, ...]) -> None:
        try:
            session.do(action.id, *answers)
        except (StoreError, ProjectError) as error:
            raise AnswerError(action.needs[0].key, str(error)) from None

    def done(answers: tuple[str, ...] | None) -> None:
        app.keep_typed(action.id, ask.typed if answers is None else ())
        if answers is not None:
            _did(app, action, before)

    ask.check = check
    ask.goes_on = not action.takes_away
    ask.echo = _echo_of(app)
    app.push_screen(ask, done)


def _echo_of(app: Host) -> Callable[[Field, str], str]:
    """Return what says how an answer would be understood, by the kind of its question."""
    session, _ = app.sitting

    def say(field: Field, text: str) -> str:
        if field.kind == "length":
            return steps.echo(session.project, "block.height.crotch", text, session.at)
        return in_words(field, text)

    return say


def _undo(app: Host) -> None:
    """Take the last change back; where that is all of the last sitting, only when agreed to."""
    session, form = app.sitting

    def undo() -> None:
        app.travel(session.undo, "Taken back", "There is nothing to take back.")

    def agreed(chosen: str | None) -> None:
        if chosen == "back":
            undo()
        else:
            form.tell("Nothing was taken back.")

    if not session.undoes_last_sitting():
        undo()
        return
    options = (
        Option("keep", "Leave everything as it is"),
        Option("back", "Take it back", more="F6 makes it again.", takes_away=True),
    )
    app.push_screen(Pick(app.look, "The last sitting", LAST_SITTING_ASKED, options), agreed)


def _redo(app: Host) -> None:
    session, _ = app.sitting
    app.travel(session.redo, "Made again", "There is nothing to make again.")


# --- another program changed the file -------------------------------------------------------


def ask_whose(app: Host, again: Callable[[], None]) -> None:
    """Ask which of two states goes on; the other is kept in a copy either way."""
    session, form = app.sitting
    name = clean(session.path.name, 60)
    options: tuple[Option, ...] = (
        Option("mine", "Keep mine", more=f"What is in {name} now goes into a copy beside it."),
        Option("theirs", "Take theirs", more="What you have here goes into a copy beside it."),
    )
    intro = (
        f"Another program changed {name} since you opened it, so your last answer is not saved "
        "yet. Both are kept, whichever you choose; it stays as it is if you go back."
    )

    if session.is_gone:
        options = (Option("mine", "Write it there again", more="All your answers are in it."),)
        intro = (
            f"{name} is no longer where you opened it: it was moved or deleted. Your last answer "
            "is not saved yet; it stays as it is if you go back."
        )

    def settle(chosen: str | None) -> None:
        try:
            if chosen == "mine":
                copy = session.keep_mine()
                again()
                form.tell(
                    f"Theirs is in {copy.name}." if copy else "The file was gone; it is back."
                )
            elif chosen == "theirs":
                copy = session.take_theirs()
                form.show(told=f"Yours is in {copy.name}.", keep=True)
            else:
                form.refuse(
                    "not taken: "
                    + ("the file is gone" if session.is_gone else "it changed on disk")
                )
        except (StoreError, ProjectError) as error:
            form.refuse(str(error))

    app.push_screen(Pick(app.look, "Two states of one project", intro, options), settle)


# --- pages that are looked at, and the terminal -----------------------------------------------


def _compare(app: Host) -> None:
    from legtaper_wizard.flow.compare_choice import with_offer
    from legtaper_wizard.tui.screens.compare_screen import CompareScreen

    session, form = app.sitting
    try:
        project, first = with_offer(session.project, session.at, session.step_id)
        screen = CompareScreen(app.look, project, first)
    except ProjectError as error:
        form.tell(f"Not shown: {error.problem}.")
    else:
        app.push_screen(screen)


def _redraw(app: Host) -> None:
    app.action_redraw()


def _pause(app: Host) -> None:
    app.action_suspend_process()


def _leave(app: Host) -> None:
    """Ask whether what is typed shall be taken before she leaves."""
    _, form = app.sitting
    stop, typed = form.stop, form.pose.draft or ""
    shown = dict(stop.field.choices).get(typed, typed) if stop.field else typed
    take = f'Take "{clean(shown, 60)}" and leave' if typed else "Take the answer away and leave"
    stays = f'"{clean(stop.said, 60)}" stays' if stop.said else "it stays empty"
    options = (
        Option("take", take),
        Option("drop", f"Leave without it; {stays}"),
        Option("here", "Go on here"),
    )

    def chosen(what: str | None) -> None:
        if what == "take":
            form.leave(app.leave)
        elif what == "drop":
            app.leave()

    app.push_screen(Pick(app.look, f"{stop.label}: typed, not taken", "", options), chosen)


_DOES: dict[str, Callable[[Host], None]] = {
    "help": _help, "notes": _notes, "steps": _steps, "all": _all, "more": _more, "undo": _undo,
    "redo": _redo, "glossary": _glossary, "compare": _compare, "hem-widths": _hem_widths,
    "mend": _mend,
    "answers": _answers, "designs": _designs, "garments": _garments, "marks": _marks,
    "settings": _settings, "write": write, "print-block": print_block, "sewing": _sewing,
    "redraw": _redraw, "pause": _pause, "leave": _leave,
}  # fmt: skip

__all__ = ["ask_whose", "do_action", "do_command"]
