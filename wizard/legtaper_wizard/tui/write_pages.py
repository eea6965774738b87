"""The pages that write files: what is asked before, the writing, and what is said after it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.printed import (
    fit_of_leg,
    fit_to_print,
    said_of_one_leg,
    test_is_due,
    wants_block,
)
from legtaper_wizard.flow.round_answers import is_done
from legtaper_wizard.tui.layout.stop import WRITE
from legtaper_wizard.tui.screens.ask_screen import Ask
from legtaper_wizard.tui.screens.reader_screen import Option, Pick

if TYPE_CHECKING:
    from legtaper.model.project import Design
    from legtaper.pattern import Fit
    from legtaper_wizard.flow.export_request import Order
    from legtaper_wizard.tui.hosting import Host


def write(app: Host, here: str = "") -> None:
    """Ask what to write, with the cursor on the question `here` where one is named."""
    _ask_order(app, here)


def print_block(app: Host) -> None:
    """Ask where the block as it is shall be written to, to be printed."""
    _ask_order(app, block=True)


def _ask_order(app: Host, here: str = "", *, block: bool = False) -> None:
    """Ask what to write; block: the block as it is is meant, whichever step it is."""
    from legtaper_wizard.flow.export_request import with_name

    session, form = app.sitting
    fit = fit_to_print(session.project, session.at)
    if fit is None:
        state = steps.state(session.project, "pattern", session.at)
        form.tell(f"There is no pattern to write yet: {'; '.join(state.reasons[:2])}.")
        return
    block = block or wants_block(fit, session.step_id)
    kind, said = _usual_order(app, fit.design, block=block)
    try:
        ask = _order_page(app, fit, _before_writing(fit, block=block), said)
        ask.follow = partial(with_name, session.project, fit.design)
    except ProjectError as error:
        form.tell(f"There is no pattern to write yet: {clean(str(error), 200)}.")
        return
    ask.begin_at(here)

    def answered(answers: tuple[str, ...] | None) -> None:
        app.keep_typed(f"{kind} {fit.design.name}", answers or ask.typed)
        if answers:
            app.keep_typed(kind, answers)
            _write_order(app, fit, answers, partial(_ask_order, app, "name", block=block))

    app.push_screen(ask, answered)


def _before_writing(fit: Fit, *, block: bool) -> str:
    """Return what is written, and what fails of it. Raises `ProjectError` where it has no cut."""
    from legtaper.pattern import cut

    failed = [finding.says for finding in cut(fit).findings if finding.status == "fail"]
    if block:
        return "The block as it is."
    before = f" Before you cut: {failed[0]}" if failed else ""
    return f"Design: {clean(fit.design.name, 60)}.{before}"


def _order_page(app: Host, fit: Fit, intro: str, said: tuple[str, ...]) -> Ask:
    """Return the page that asks for an order, with what is `said` of it so far."""
    from legtaper_wizard.flow.export_request import (
        named,
        order_of,
        order_parts,
        read_part,
        sheets_said,
    )

    project, parts = app.sitting[0].project, order_parts()
    ask = Ask(
        app.look,
        ("Write the pattern files", intro, "Write"),
        [part.field for part in parts],
        said,
        later=sum(part.detail for part in parts),
    )

    def check(answers: tuple[str, ...]) -> None:
        fit_of_leg(project, fit, order_of(named(answers)).options.leg)

    ask.check = check
    ask.echo = read_part
    ask.aside = lambda answers: sheets_said(project, fit, named(answers))
    return ask


def _write_order(app: Host, fit: Fit, answers: tuple[str, ...], again: Callable[[], None]) -> None:
    """Write what was ordered; `again` asks once more, where files are there that shall stay."""
    from legtaper_wizard.flow.export_request import named, order_of
    from legtaper_wizard.tui.screens.writing_screen import WritingScreen

    order = order_of(named(answers))

    def go_on() -> None:
        cut_of = fit_of_leg(app.sitting[0].project, fit, order.options.leg)
        screen = WritingScreen(app.look, cut_of, order)
        app.push_screen(screen, lambda files: _wrote(app, order, files or ()))

    _may_replace(app, order.there, go_on, again)


def _usual_order(app: Host, design: Design, *, block: bool) -> tuple[str, tuple[str, ...]]:
    """Return what is written now, and what was last said of that, or what is meant unasked.

    A test is meant as that of the round before was written, under a name of its own.
    """
    from legtaper_wizard.flow.export_request import named, usual_order, with_name

    session, _ = app.sitting
    done = is_done(session.project, session.at)
    test = test_is_due(session.project, session.at, session.step_id)
    kind = "block" if block else "done" if done else "test" if test else "pattern"
    what, folder = f"write {kind}", session.path.parent
    usual = usual_order(session.project, design, folder, test=test, block=block)
    before = named(app.typed(what)) if test else {}
    meant = tuple((usual | before | {"name": usual["name"]}).values())
    meant = with_name(session.project, design, tuple(usual.values()), meant)
    said = named(meant) | named(app.typed(f"{what} {design.name}"))
    texts = tuple(said.values())
    return what, with_name(session.project, design, texts, texts)


def _wrote(app: Host, order: Order, files: tuple[str, ...]) -> None:
    """Say what was written; where it is both legs, the test counts as printed."""
    session, form = app.sitting
    folder = clean(str(order.files[0].parent), 100)
    said = f"Wrote {len(files)} of {len(order.files)} files in {folder}."
    if len(order.files) == 1:
        said = f"Wrote {clean(order.files[0].name, 60)} in {folder}."
    alone = said_of_one_leg(*session.now, session.step_id, order.options.leg)
    form.show(told=f"{said} {alone}".strip() if files else "Nothing was written.")
    if order.prints_test(order.files[: len(files)]):
        said, today = f"The test counts as printed today. {said}", date.today().isoformat()
        app.try_to(
            lambda: session.answer("round.printed", today),
            lambda: form.show(told=said, here=WRITE),  # an Enter too many does not try it on
        )
    elif files and order.options.leg == "narrowed":
        told = f"{said} {alone}".strip()
        app.try_to(
            lambda: session.wrote_pattern(date.today()),
            lambda: form.show(told=told, here=WRITE),
        )


def _may_replace(
    app: Host, there: Sequence[Path], go_on: Callable[[], None], again: Callable[[], None]
) -> None:
    """Ask before files are written over; `again` asks for another name."""
    if not there:
        go_on()
        return
    names = ", ".join(clean(file.name, 60) for file in there)
    options = (
        Option("other", "Give another name"),
        Option("over", "Write over", more=names, takes_away=True),
        Option("stop", "Write nothing"),
    )

    def chosen(what: str | None) -> None:
        if what == "over":
            go_on()
        elif what == "other":
            again()

    title = "Some of the files are there already"
    app.push_screen(Pick(app.look, title, f"In {there[0].parent}: {names}.", options), chosen)
