"""What can be typed in place of an answer: one row for each word, with what it does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from legtaper.model.project import NoDesignError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.command_table import COMMANDS, commands_of
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.mend_words import done_words, mend_lines
from legtaper_wizard.flow.mending import LOOKING, NO_DESIGN_YET, known_mends, look_for_mends
from legtaper_wizard.flow.printed import PRINT_BLOCK
from legtaper_wizard.flow.steps import STEPS, Action, actions, state, step_of, summary, value
from legtaper_wizard.prompts.compare_prompts import say_side_by_side
from legtaper_wizard.prompts.file_prompts import write_outputs
from legtaper_wizard.prompts.import_prompts import bring
from legtaper_wizard.prompts.output import (
    SPOKEN,
    answer_lines,
    say_help,
    say_steps,
)
from legtaper_wizard.prompts.prompt_order import Prompt, moving, place_of, prompts_of, words_in
from legtaper_wizard.prompts.questions import ask_in_turn, by_number_or_words
from legtaper_wizard.prompts.sitting import END, NARROWING, Sitting
from legtaper_wizard.prompts.telling_commands import (
    be_long,
    be_short,
    read_out,
    tell_exact,
    tell_marks,
    tell_notes,
    tell_settings,
    tell_sewing,
    tell_signs,
    tell_widths,
    tell_words,
)

_STAY, _BACK = -1, -2
"""Said in place of one of several: none of them, or the question before."""

INSIDE = ("help", "back", "undo", "leave", "skip", "clear")
"""The commands that a dialogue inside the wizard takes as its own, or that mean nothing there."""

Does = Callable[[Sitting, "Prompt | None", str], bool]
"""Does a command at a question, with what was typed behind its word; whether the input goes on."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A word for a command, and another one that is taken as well.

    id: of the command in every face; more: what may stand behind it.
    """

    word: str
    id: str
    does: Does
    more: str = ""
    other: str = ""


def commands() -> tuple[Typed, ...]:
    """Return every word that is a command, in the order in which they are told."""
    order = [command.id for command in COMMANDS]
    return tuple(sorted(_TYPED, key=lambda typed: order.index(typed.id)))


def command_in(line: str) -> tuple[Typed, str] | None:
    """Return the command that a line is, and what stands behind its word; nothing for an answer."""
    word, _, rest = line.lower().partition(" ")
    found = next((typed for typed in _TYPED if word and word in (typed.word, typed.other)), None)
    return (found, rest.strip()) if found and (not rest or found.more) else None


# --- moving ------------------------------------------------------------------------------------


def go_back(sitting: Sitting) -> None:
    """Go to the question before this one."""
    if sitting.index > 0 and sitting.step < END:
        sitting.index -= 1
    else:
        _back_a_step(sitting)


def _back_a_step(sitting: Sitting) -> None:
    """Go to what was asked last before this step; behind the pattern that is what to write."""
    earlier = [step for step in range(sitting.step) if not sitting.locked(step)]
    if not earlier:
        sitting.voice.say("This is the first question.")
        return
    count = len(prompts_of(sitting.project, earlier[-1], sitting.session.at))
    behind = STEPS[earlier[-1]].id == "pattern"
    sitting.enter(earlier[-1], count if behind else max(count - 1, 0))


def onward(sitting: Sitting) -> bool:
    """Go to the next step; behind the pattern its files can be written."""
    if sitting.step == END:
        return True
    at_pattern = STEPS[sitting.step].id == "pattern" and not sitting.locked(sitting.step)
    outcome = write_outputs(sitting, unasked=True) if at_pattern else "on"
    if outcome == "back":
        sitting.index = max(len(sitting.prompts) - 1, 0)
    elif outcome == "on":
        sitting.enter(sitting.step + 1)
    return outcome != "end"


def _back(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    sitting.at_once.clear()
    go_back(sitting)
    return True


def _next(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    return onward(sitting)


def _skip(sitting: Sitting, prompt: Prompt | None, _: str) -> bool:
    prompts = sitting.prompts
    while prompt and sitting.index < len(prompts):
        here = prompts[sitting.index]
        if (here.field.group, here.at) != (prompt.field.group, prompt.at):
            break
        sitting.index += 1
    return True


def _steps(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    if not said:
        say_steps(sitting.voice, *sitting.session.now)
    titles = [step.title for step in STEPS]
    asks, short = "Number or name of the step, or Enter to stay:", [step.short for step in STEPS]
    chosen = _chosen(sitting, titles, said, asks, short)
    if chosen is None or chosen < 0:
        return chosen is not None
    if sitting.locked(chosen):
        found = state(sitting.project, STEPS[chosen].id, sitting.session.at)
        sitting.voice.refuse(f"{titles[chosen]} {found.reasons[0]}.")
        return True if said else _steps(sitting, None, "")
    sitting.enter(chosen)
    return True


def _chosen(
    sitting: Sitting, names: Sequence[str], said: str, asks: str, others: Sequence[str] = ()
) -> int | None:
    """Return which of several things is meant, asking until it is plain where nothing was said.

    `_STAY` or `_BACK` where none is, nothing where the input ends.
    """
    asked = not said
    while True:
        typed = sitting.voice.ask(asks) if asked else said
        if typed is None or typed.lower() in ("", "back", "quit"):
            return None if typed is None else _BACK if typed.lower() == "back" else _STAY
        if asked and (command_in(typed) or sitting.voice.hears(typed)):
            sitting.queued = typed
            return _STAY
        found = by_number_or_words(names, typed, others)
        if len(found) == 1:
            return found[0]
        if found:
            may = "; ".join(clean(names[number], 60) for number in found)
            sitting.voice.refuse(f'"{clean(typed, 40)}" may be: {may}. Write more of it.')
        else:
            sitting.voice.refuse(f"Type a number from 1 to {len(names)}, or a name.")
        if not asked:
            return _STAY


def _answers(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    lines = summary(*sitting.session.now)
    step_id = _step_called(said)
    if not said or step_id:
        ended = sitting.voice.read_out(list(answer_lines(lines, step_id)), indent="     ")
        if ended is None:
            return False
        if sitting.voice.hears(ended):
            sitting.queued = ended
            return True
        said = ended
    asks = "Number of an answer to go to it, or Enter to stay:"
    chosen = _chosen(sitting, [line.label for line in lines], said, asks)
    if chosen is None or chosen < 0:
        return chosen is not None
    line = lines[chosen]
    there = place_of(sitting.project, line.key, sitting.session.at)
    step = next(i for i, step in enumerate(STEPS) if step.id == line.step_id)
    sitting.go(*(there or (step, 0)))
    return True


def _step_called(said: str) -> str:
    """Return the id of the step that is called so, "" where none is."""
    names = {name.lower(): step.id for step in STEPS for name in (step.title, step.short)}
    return names.get(said.lower(), "")


# --- changes -----------------------------------------------------------------------------------


def _undo(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    sitting.undo()
    return True


def _redo(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    sitting.redo()
    return True


def _clear(sitting: Sitting, prompt: Prompt | None, _: str) -> bool:
    if prompt is None or not value(sitting.project, prompt.field.key, prompt.at):
        sitting.voice.say("Nothing is answered here.")
        return True
    key, label = prompt.field.key, prompt.field.label
    sitting.change(lambda: sitting.session.answer(key, ""), f"{label}: cleared.", prompt)
    return True


def more(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Offer the actions of this step."""
    if sitting.step == END:
        sitting.voice.say("There is nothing else to do here.")
        return True
    known = actions(sitting.project, STEPS[sitting.step].id, sitting.session.at)
    if not known:
        sitting.voice.say("There is nothing else to do on this step.")
        return True
    return offer(sitting, known, said)


def offer(sitting: Sitting, known: Sequence[Action], said: str = "") -> bool:
    """Offer actions by number and words, and do the chosen one; whether the input goes on."""
    if not said:
        for number, action in enumerate(known, 1):
            sitting.voice.say(f"{number:2}: {action.label}")
    labels = [action.label for action in known]
    chosen = _chosen(sitting, labels, said, "Number or words, or Enter for none:")
    if chosen is None or chosen < 0:
        sitting.index -= chosen == _BACK and sitting.index >= len(sitting.prompts)
        return chosen is not None
    action = known[chosen]
    if action.id == PRINT_BLOCK.id:
        return write_outputs(sitting, block=True) != "end"
    return _bring(sitting, action) if action.paged else do_action(sitting, action)


def action_in(sitting: Sitting, line: str) -> bool:
    """Whether a line is something else that can be done on this step, as `more` says it."""
    here = STEPS[min(sitting.step, END - 1)].id
    known = actions(sitting.project, here, sitting.session.at)
    return any(action.label.lower() == line.lower() for action in known)


def do_action(sitting: Sitting, chosen: Action) -> bool:
    """Do an action, after asking for what it needs; whether the input goes on."""
    needs = chosen.needs
    texts = ask_in_turn(sitting.voice, needs, ("",) * len(needs))
    if isinstance(texts, str):
        sitting.voice.say(f"{chosen.label}: not done.")
        return texts != "end"
    done = sitting.change(
        lambda: sitting.session.do(chosen.id, *texts), f"{chosen.label}: done.", refusal="Not done"
    )
    if done is None:
        return True
    sitting.index = min(sitting.index, len(sitting.prompts))
    if chosen.then:
        design = clean(sitting.project.designs[-1].name, 60)
        sitting.voice.say(f'Work goes on with "{design}".')
        sitting.enter(STEPS.index(step_of(chosen.then)))
    elif chosen.id == "add-sign":
        sitting.index = _first_of_last_sign(sitting.prompts)
    elif STEPS[sitting.step].id == "fitting":
        sitting.enter(sitting.step)
    return True


def _first_of_last_sign(prompts: Sequence[Prompt]) -> int:
    """Return the number of the first question about the last sign, but for the leg just said."""
    of_sign = {
        number: prompt.field.key.rpartition(".")[0]
        for number, prompt in enumerate(prompts)
        if prompt.field.key.startswith("round.sign.")
    }
    last = list(of_sign.values())[-1]
    return next(number for number, sign in of_sign.items() if sign == last) + 1


def _mend(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Say which changes mend the design, and make one."""
    if standing(*sitting.session.now).fit is None:
        sitting.voice.say(NO_DESIGN_YET)
        return True
    if known_mends(*sitting.session.now) is None:
        sitting.voice.say(LOOKING)
    found = list(look_for_mends(*sitting.session.now))
    offered = [mend for one in found for mend in one.mends]
    if not said or not offered:
        for line in mend_lines(found, SPOKEN):
            sitting.voice.say(" ".join(line.split()), indent="    ")
    if not offered:
        return True
    asks = "Number of the change to make, or Enter for none:"
    chosen = _chosen(sitting, [mend.says for mend in offered], said, asks)
    if chosen is None or chosen < 0:
        return chosen is not None
    mend = offered[chosen]
    done = done_words(mend, *sitting.session.now)
    sitting.change(lambda: sitting.session.mend(mend), done, refusal="Not done")
    sitting.index = min(sitting.index, len(sitting.prompts))
    return True


def _bring(sitting: Sitting, chosen: Action) -> bool:
    """Have a block drafted or traced, and go on behind it."""
    session = sitting.session
    folder = session.path.parent
    changed = bring(sitting.voice, session.project, chosen.id, folder, sitting.kept)
    if changed is not None:
        made = sitting.change(lambda: session.bring(changed), "The block is in.")
        if made is not None:
            sitting.enter(sitting.step + 1)
    return True


# --- which design, which garment ---------------------------------------------------------------


def _designs(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    project, now = sitting.project, chosen_design(*sitting.session.now)
    if now is None:
        sitting.voice.say(f"Not shown: {NoDesignError().problem}.")
        return True
    names = [design.name for design in project.designs]
    if not said:
        _say_names(sitting, names, names.index(now.name))
    asks = "Number or name of the design to work on, or Enter to stay:"
    chosen = _chosen(sitting, names, said, asks)
    if chosen is None or chosen < 0:
        return chosen is not None
    sitting.session.work_on_design(names[chosen])
    sitting.voice.say(f'Work goes on with the design "{clean(names[chosen], 60)}".')
    sitting.enter(NARROWING)
    return True


def _garments(sitting: Sitting, prompt: Prompt | None, said: str) -> bool:
    names = [liked.garment for liked in sitting.project.liked]
    if not names:
        sitting.voice.say("No trousers you like are measured yet; Legs you like asks for them.")
        return True
    if not said:
        _say_names(sitting, names, prompt.at.liked if prompt else -1)
    chosen = _chosen(sitting, names, said, "Number or name of the garment, or Enter to stay:")
    if chosen is None or chosen < 0:
        return chosen is not None
    if there := place_of(sitting.project, f"liked.{chosen}.garment", sitting.session.at):
        sitting.go(*there)
    return True


def _say_names(sitting: Sitting, names: Sequence[str], now: int) -> None:
    for number, name in enumerate(names, 1):
        here = ", worked on now" if number - 1 == now else ""
        sitting.voice.say(f"{number:2}: {clean(name, 60)}{here}")


# --- telling -----------------------------------------------------------------------------------


def _help(sitting: Sitting, prompt: Prompt | None, said: str) -> bool:
    if said:
        _say_commands_like(sitting, said)
        return True
    if prompt:
        key = prompt.field.key
        say_help(sitting.voice, STEPS[sitting.step].id, key, whole=sitting.helped == key)
        if says := moving(sitting.project, prompt):
            sitting.voice.say(says)
        sitting.helped = key
    sitting.voice.say("Type commands to hear what else can be typed.")
    return True


def _command_lines() -> list[str]:
    """Return every word that can be typed, with what it does."""
    words = {command.id: command.words for command in commands_of("prompts")}
    lines = []
    for typed in commands():
        does = words[typed.id]
        word = " or ".join(filter(None, [typed.word, typed.other]))
        lines.append(f"{word} {typed.more}".strip() + f": {does[:1].lower()}{does[1:]}")
    return lines


def _say_commands_like(sitting: Sitting, said: str) -> None:
    """Say the commands in which all of the words that were typed stand."""
    wanted = words_in(said)
    found = [line for line in _command_lines() if wanted <= words_in(line)]
    for line in found or [f'No command has "{clean(said, 40)}" in it; commands lists them all.']:
        sitting.voice.say(line, indent="  ")


def _all(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    by_name = (
        "back 3 goes three questions back, back hip to that question. hip = 41 answers a "
        "question by its name, from anywhere. When the answer itself is such a word, as in back, "
        "type =back."
    )
    return read_out(sitting, [*_command_lines(), by_name])


def _compare(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    return say_side_by_side(sitting, said)


def _write(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    return write_outputs(sitting) != "end"


def _print_block(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    if said not in ("", "block"):
        sitting.voice.refuse("Not printed: type print block, or write for the pattern.")
        return True
    return write_outputs(sitting, block=True) != "end"


def _quit(_: Sitting, __: Prompt | None, ___: str) -> bool:
    return False


_TYPED = (
    Typed("?", "help", _help, "print", other="help"),
    Typed("commands", "all", _all),
    Typed("back", "back", _back),
    Typed("next", "next", _next),
    Typed("undo", "undo", _undo),
    Typed("redo", "redo", _redo),
    Typed("steps", "steps", _steps, "6"),
    Typed("answers", "answers", _answers, "12"),
    Typed("notes", "notes", tell_notes),
    Typed("more", "more", more, "WORDS"),
    Typed("designs", "designs", _designs, "NAME"),
    Typed("garments", "garments", _garments, "NAME"),
    Typed("compare", "compare", _compare, "1 r1"),
    Typed("mend", "mend", _mend, "2"),
    Typed("widths", "hem-widths", tell_widths, other="limits"),
    Typed("marks", "marks", tell_marks, "1/8in"),
    Typed("write", "write", _write),
    Typed("print", "print-block", _print_block, "block"),
    Typed("settings", "settings", tell_settings, "paper=a4"),
    Typed("words", "glossary", tell_words, "WORD"),
    Typed("signs", "signs", tell_signs, "WORDS"),
    Typed("sewing", "sewing", tell_sewing),
    Typed("quit", "leave", _quit),
    Typed("exact", "exact", tell_exact),
    Typed("short", "short", be_short),
    Typed("long", "long", be_long),
    Typed("skip", "skip", _skip),
    Typed("clear", "clear", _clear),
)
