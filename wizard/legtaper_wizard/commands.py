"""What the commands of the form do: pages that tell, ask or list, and what follows from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.plain_text import clean
from legtaper.project import ProjectError
from legtaper_wizard import steps
from legtaper_wizard.asking.standing import standing
from legtaper_wizard.page.commands import COMMANDS
from legtaper_wizard.page.heading import HERE, SIGNS
from legtaper_wizard.page.said import SIGNS as NOTE_SIGNS
from legtaper_wizard.page.stops import DESIGN, GARMENT
from legtaper_wizard.screens.ask import Ask
from legtaper_wizard.screens.reader import Option, Pick, Reader
from legtaper_wizard.session import StoreError
from legtaper_wizard.steps import Action, AnswerError, Field

if TYPE_CHECKING:
    from legtaper_wizard.app import LegtaperApp


def do_command(app: LegtaperApp, name: str) -> None:
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


def _help(app: LegtaperApp) -> None:
    _, form = app.sitting
    stop, step = form.stop, form.page.step
    key = stop.id if stop.kind == "question" else None
    keys = "\n".join(
        f"{command.shown:<6} {_also(command.also)}{command.words}" for command in COMMANDS
    )
    typing = (
        "Enter takes an answer. What stands selected is replaced by what you type; the arrow keys "
        "let you change it. An empty answer takes it away. Nothing typed counts before it is taken."
    )
    text = f"{steps.help_text(step.id, key)}\n\n{typing}\n\n{keys}"
    app.push_screen(Reader(app.look, f"Help: {stop.label if key else step.title}", text))


def _also(key: str) -> str:
    return f"(or ^{key.removeprefix('ctrl+').upper()}) " if key else ""


def _notes(app: LegtaperApp) -> None:
    _, form = app.sitting
    lines = [f"{NOTE_SIGNS[note.kind][0]} {clean(note.text, 600)}" for note in form.page.notes]
    text = "\n\n".join(lines) or "Nothing to say yet."
    app.push_screen(Reader(app.look, f"Notes: {form.page.step.title}", text))


# --- lists ----------------------------------------------------------------------------------


def _steps(app: LegtaperApp) -> None:
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
    options[-1] = replace(options[-1], key="0")

    def go(step_id: str | None) -> None:
        if step_id:
            session.go(step_id)
            form.show()

    intro = "[x] done  [ ] open  [!] look at it again  [-] waits for another step"
    app.push_screen(Pick(app.look, "All steps", intro, options, session.step_id), go)


def _all(app: LegtaperApp) -> None:
    _, form = app.sitting
    options = [
        Option(command.id, command.words, key=command.shown)
        for command in COMMANDS
        if command.id != "all"
    ]

    def do(name: str | None) -> None:
        if name:
            form.action_command(name)

    app.push_screen(Pick(app.look, "All commands", "", options), do)


def _more(app: LegtaperApp) -> None:
    session, form = app.sitting
    project, at = session.project, session.at
    options = [
        Option(f"do:{action.id}", clean(action.label, 80))
        for action in steps.actions(project, session.step_id, at)
    ]
    if session.step_id == "liked":
        for number, liked in enumerate(project.liked):
            if number != at.liked:
                words = f"Go to {clean(liked.garment, 60)}"
                options.append(Option(f"{GARMENT}{number}", words))
    for design in project.designs:
        if design.name != (at.design or project.designs[-1].name):
            words = f"Work on the design {clean(design.name, 60)}"
            options.append(Option(f"{DESIGN}{design.name}", words))
    if not options:
        form.tell("There is nothing else to do on this step.")
        return

    def do(chosen: str | None) -> None:
        if chosen:
            do_command(app, chosen)

    app.push_screen(Pick(app.look, f"More: {form.page.step.title}", "", options), do)


# --- actions --------------------------------------------------------------------------------


def do_action(app: LegtaperApp, action_id: str) -> None:
    """Do an action of the step, after asking for what it needs."""
    session, form = app.sitting
    known = steps.actions(session.project, session.step_id, session.at)
    action = next((found for found in known if found.id == action_id), None)
    if action is None:
        form.tell("That cannot be done now.")
    elif action.needs:
        _ask_for(app, action)
    else:
        app.try_to(lambda: session.do(action.id), lambda: _did(app, action))


def _did(app: LegtaperApp, action: Action) -> None:
    """Show what an action did; where it added something, the cursor is on its first question."""
    session, form = app.sitting
    added = form.page.at != session.at
    form.show(told=f"Done: {clean(action.label, 80)}.")
    if added:
        form.show(told=form.pose.told, here=form.page.stops[0].id)


def _ask_for(app: LegtaperApp, action: Action) -> None:
    session, _ = app.sitting
    ask = Ask(app.look, (clean(action.label, 80), "", "Do it"), action.needs, app.typed(action.id))

    def check(answers: tuple[str, ...]) -> None:
        try:
            session.do(action.id, *answers)
        except (StoreError, ProjectError) as error:
            raise AnswerError(action.needs[0].key, str(error)) from None

    def done(answers: tuple[str, ...] | None) -> None:
        app.keep_typed(action.id, ask.typed if answers is None else ())
        if answers is not None:
            _did(app, action)

    ask.check = check
    ask.echo = _echo_of(app)
    app.push_screen(ask, done)


def _echo_of(app: LegtaperApp) -> Callable[[Field, str], str]:
    """Return what says how an answer would be understood, by the kind of its question."""
    session, _ = app.sitting

    def say(field: Field, text: str) -> str:
        if field.kind == "length":
            return steps.echo(session.project, "block.height.crotch", text, session.at)
        return dict(field.choices).get(text, text)

    return say


def _undo(app: LegtaperApp) -> None:
    session, _ = app.sitting
    app.travel(session.undo, "Taken back", "There is nothing to take back.")


def _redo(app: LegtaperApp) -> None:
    session, _ = app.sitting
    app.travel(session.redo, "Made again", "There is nothing to make again.")


# --- another program changed the file -------------------------------------------------------


def ask_whose(app: LegtaperApp, again: Callable[[], None]) -> None:
    """Ask which of two states goes on; the other is kept in a copy either way."""
    session, form = app.sitting
    name = clean(session.path.name, 60)
    options = (
        Option("mine", "Keep mine", more=f"What is in {name} now goes into a copy beside it."),
        Option("theirs", "Take theirs", more="What you have here goes into a copy beside it."),
    )
    intro = (
        f"Another program changed {name} since you opened it, so your last answer is not saved "
        "yet. Both are kept, whichever you choose; it stays as it is if you go back."
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
                form.refuse("not taken: another program changed the file")
        except (StoreError, ProjectError) as error:
            form.refuse(str(error))

    app.push_screen(Pick(app.look, "Two states of one project", intro, options), settle)


# --- writing the pattern --------------------------------------------------------------------


def _write(app: LegtaperApp) -> None:
    from legtaper.pattern import cut  # noqa: PLC0415
    from legtaper_wizard.exporting import Order, order_fields, order_of, usual_order  # noqa: PLC0415
    from legtaper_wizard.screens.writing_screen import WritingScreen  # noqa: PLC0415

    session, form = app.sitting
    found = standing(session.project, session.at)
    if found.fit is None:
        state = steps.state(session.project, "pattern", session.at)
        form.tell(f"There is no pattern to write yet: {'; '.join(state.reasons[:2])}.")
        return
    fit = found.fit
    usual = usual_order(session.project, fit.design.name, session.path.parent)
    said = app.typed("write") or usual
    try:
        failed = [finding.says for finding in cut(fit).findings if finding.status == "fail"]
    except ProjectError as error:
        form.tell(f"There is no pattern to write yet: {clean(str(error), 200)}.")
        return
    intro = f"Design: {clean(fit.design.name, 60)}."
    if failed:
        intro += f" Before you cut: {failed[0]}"
    ask = Ask(app.look, ("Write the pattern files", intro, "Write"), order_fields(), said)
    ask.check = order_of

    def write(order: Order) -> None:
        def wrote(files: tuple[str, ...] | None) -> None:
            folder = clean(str(order.files[0].parent), 100)
            said = f"Wrote {len(files or ())} of {len(order.files)} files in {folder}."
            form.show(told=said if files else "Nothing was written.")

        app.push_screen(WritingScreen(app.look, fit, order), wrote)

    def answered(answers: tuple[str, ...] | None) -> None:
        app.keep_typed("write", answers or ask.typed)
        if answers:
            order = order_of(answers)
            _may_replace(app, order.there, lambda: write(order))

    app.push_screen(ask, answered)


def _may_replace(app: LegtaperApp, there: Sequence[Path], go_on: Callable[[], None]) -> None:
    if not there:
        go_on()
        return
    names = ", ".join(clean(file.name, 60) for file in there)
    options = (
        Option("other", "Give another name"),
        Option("over", "Write over", more=names),
        Option("stop", "Write nothing"),
    )

    def chosen(what: str | None) -> None:
        if what == "over":
            go_on()
        elif what == "other":
            _write(app)

    title = "Some of the files are there already"
    app.push_screen(Pick(app.look, title, f"In {there[0].parent}: {names}.", options), chosen)


def _redraw(app: LegtaperApp) -> None:
    app.action_redraw()


def _pause(app: LegtaperApp) -> None:
    app.action_suspend_process()


def _leave(app: LegtaperApp) -> None:
    app.leave()


_DOES: dict[str, Callable[[LegtaperApp], None]] = {
    "help": _help, "notes": _notes, "steps": _steps, "all": _all, "more": _more, "undo": _undo,
    "redo": _redo, "write": _write, "redraw": _redraw, "pause": _pause, "leave": _leave,
}  # fmt: skip

__all__ = ["ask_whose", "do_action", "do_command"]
