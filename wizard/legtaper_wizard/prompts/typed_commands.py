"""What can be typed in place of an answer: one row for each word, with what it does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import takewhile

from legtaper.model.safe_text import clean
from legtaper_wizard.flow.command_table import COMMANDS, commands_of
from legtaper_wizard.flow.printed import PRINT_BLOCK
from legtaper_wizard.flow.steps import STEPS, Action, Note, actions, state, step_of, summary, value
from legtaper_wizard.prompts.choosing import BACK, PASSED_ON, chosen, designs, garments, mend
from legtaper_wizard.prompts.compare_prompts import say_side_by_side
from legtaper_wizard.prompts.file_prompts import write_outputs
from legtaper_wizard.prompts.import_prompts import bring
from legtaper_wizard.prompts.output import (
    EVERY_KIND,
    URGENT,
    answer_lines,
    say_help,
    say_steps,
)
from legtaper_wizard.prompts.prompt_order import (
    Prompt,
    moving,
    place_of,
    prompts_of,
    rest_of_part,
    row_begins,
    words_in,
)
from legtaper_wizard.prompts.questions import ask_in_turn
from legtaper_wizard.prompts.sitting import END, Sitting, sign_of
from legtaper_wizard.prompts.telling_commands import (
    be_long,
    be_normal,
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

INSIDE = ("help", "back", "leave", *PASSED_ON)
"""The commands that a dialogue inside the wizard takes as its own, or that mean nothing there."""

_LOOKS_UP = ("all", "notes", "hem-widths", "glossary", "signs", "sewing", "exact")
"""The commands that only tell something, whatever stands behind them."""
_LISTS = ("steps", "settings", "marks")
"""Those that do where nothing stands behind them."""

_LEAST = 3
"""Letters of a word that may be a slip of a command."""
_ALIKE = 0.75
"""How alike they are then: hlep and help are 0.75 so, by difflib."""
_NAMED_AT_MOST = 3
"""So much of what is skipped is named; of more two, and how many more."""

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


def nearly(line: str) -> str:
    """Return the command that a single word is a slip of, as bak is of back; "" for none.

    A slip has no letter that the command has not: black and white are colors. Words that other
    programs know for one are told so, too.
    """
    word = line.lower()
    known = {one for typed in _TYPED for one in (typed.word, typed.other) if len(one) >= _LEAST}
    if word in known or len(word) < _LEAST or not word.isalpha():
        return ""
    called = (command.id for command in COMMANDS if word in command.elsewhere.split(", "))
    if meant := next(called, ""):
        return next(typed.other or typed.word for typed in _TYPED if typed.id == meant)
    made_of_it = sorted(one for one in known if set(word) <= set(one))
    return next(iter(get_close_matches(word, made_of_it, 1, _ALIKE)), "")


def is_look_up(typed: Typed, said: str) -> bool:
    """Whether a command only tells something, so that the question it is typed at stays open."""
    if typed.id == "answers":
        return not said or bool(_step_called(said))
    return typed.id in _LOOKS_UP or typed.id in (("help",) if said else _LISTS)


# --- moving ------------------------------------------------------------------------------------


def go_back(sitting: Sitting) -> None:
    """Go to the question before this one."""
    if sitting.index > 0 and sitting.step < END:
        sitting.index -= 1
        if sitting.cells:  # rows are typed at once
            sitting.index = row_begins(sitting.prompts, sitting.index)
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
        sitting.enter(_behind_locked(sitting, sitting.step + 1))
    return outcome != "end"


def _behind_locked(sitting: Sitting, first: int) -> int:
    """Return the step to go on with; several that wait for the same are passed in one line."""
    why = [state(sitting.project, step.id, sitting.session.at) for step in STEPS[first:]]
    same = takewhile(lambda one: one.marker == "locked" and one.reasons == why[0].reasons, why)
    count = len(list(same))
    if count < 2:  # one says its name
        return first
    waits = why[0].reasons[0].replace("waits", "wait", 1)
    sitting.voice.say(f"Steps {first + 1} to {first + count} {waits}.")
    return first + count


def _back(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    sitting.at_once.clear()
    go_back(sitting)
    return True


def _next(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    return onward(sitting)


def _skip(sitting: Sitting, prompt: Prompt | None, _: str) -> bool:
    if prompt is None:
        return True
    passed, names = rest_of_part(sitting.project, sitting.prompts, sitting.index)
    if len(names) > _NAMED_AT_MOST:
        names[_NAMED_AT_MOST - 1 :] = [f"{len(names) - _NAMED_AT_MOST + 1} more"]
    sitting.voice.say(f"Skipped: {'; '.join(names)}." if names else "Kept as it is.")
    sitting.index += len(passed)
    return True


def _steps(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    def tell() -> None:
        say_steps(sitting.voice, *sitting.session.now)

    if not said:
        tell()
    if sitting.inside:
        return True
    titles = [step.title for step in STEPS]
    asks, short = "Number or name of the step, or Enter to stay:", [step.short for step in STEPS]
    number = chosen(sitting, said, asks, tell, (titles, short))
    if number is None or number < 0:
        return number is not None
    if sitting.locked(number):
        found = state(sitting.project, STEPS[number].id, sitting.session.at)
        sitting.voice.refuse(f"{titles[number]} {found.reasons[0]}.")
        return True if said else _steps(sitting, None, "")
    sitting.enter(number)
    return True


def _answers(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    lines = summary(*sitting.session.now)
    step_id = _step_called(said)
    told = list(answer_lines(lines, step_id))
    if not said or step_id:
        ended = sitting.voice.read_out(told, indent="     ")
        if ended is None:
            return False
        if sitting.inside or ended.lower() in PASSED_ON or sitting.voice.hears(ended):
            sitting.queued = ended or None
            return True
        said = ended
    asks = "Number of an answer to go to it, or Enter to stay:"

    def tell() -> None:
        sitting.voice.read_out(told, indent="     ")

    number = chosen(sitting, said, asks, tell, ([line.label for line in lines],))
    if number is None or number < 0:
        return number is not None
    line = lines[number]
    there = place_of(sitting.project, line.key, sitting.session.at)
    step = next(i for i, step in enumerate(STEPS) if step.id == line.step_id)
    sitting.go(*(there or (step, 0)))
    return True


def _step_called(said: str) -> str:
    """Return the id of the step that is called so, by its names or words of one; else ""."""
    names = {name.lower(): step.id for step in STEPS for name in (step.title, step.short)}
    if said.lower() in names or not words_in(said):
        return names.get(said.lower(), "")
    found = {step_id for name, step_id in names.items() if words_in(said) <= words_in(name)}
    return found.pop() if len(found) == 1 else ""


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
    sitting.clear(prompt)
    return True


def more(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Offer the actions of this step; at the end, those of the last one."""
    ended = sitting.step == END
    known = actions(sitting.project, STEPS[min(sitting.step, END - 1)].id, sitting.session.at)
    if not known:
        sitting.voice.say("There is nothing else to do on this step.")
        return True
    if not ended:
        return offer(sitting, known, said)
    sitting.step = END - 1
    sitting.index = len(sitting.prompts)
    before = (sitting.step, sitting.index, sitting.project)
    going = offer(sitting, known, said)
    if (sitting.step, sitting.index, sitting.project) == before:
        sitting.step = END
    return going


def offer(sitting: Sitting, known: Sequence[Action], said: str = "") -> bool:
    """Offer actions by number and words, and do the chosen one; whether the input goes on."""

    def tell() -> None:
        for number, action in enumerate(known, 1):
            hint = f". {action.hint}" if action.id.startswith("next-") else ""
            sitting.voice.say(f"{number:2}: {action.label}{hint}", indent="    ")

    if not said:
        tell()
    labels = [action.label for action in known]
    number = chosen(sitting, said, "Number or words, or Enter for none:", tell, (labels,))
    if number is None or number < 0:
        sitting.index -= number == BACK and sitting.index >= len(sitting.prompts)
        return number is not None
    action = known[number]
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
    before, writes_sign = sitting.project, chosen.id == "add-sign"
    told_again = STEPS[sitting.step].id == "fitting" and not chosen.then  # as it is entered anew

    def says(_: list[Note]) -> str:
        happened = "done" if sitting.project != before else "nothing has changed"
        return f"{chosen.label}: {happened}."

    done = sitting.change(
        lambda: sitting.session.do(chosen.id, *texts),
        says,
        refusal="Not done",
        tells=URGENT if chosen.then else () if told_again and not writes_sign else EVERY_KIND,
    )
    if done is None:
        return True
    sitting.index = min(sitting.index, len(sitting.prompts))
    if chosen.then:
        design = clean(sitting.project.designs[-1].name, 60)
        sitting.voice.say(f'Work goes on with "{design}".')
        sitting.enter(STEPS.index(step_of(chosen.then)))
    elif writes_sign:
        left = sitting.here()
        sitting.index = _first_of_last_sign(sitting.prompts)
        sitting.sign = sign_of(sitting.prompts[sitting.index - 1].field.key)  # it was just named
        sitting.left = (sitting.sign, *left) if left else None
    elif told_again:
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


# --- telling -----------------------------------------------------------------------------------


def _help(sitting: Sitting, prompt: Prompt | None, said: str) -> bool:
    if said:
        _say_commands_like(sitting, said)
        return True
    if prompt:
        key, unit = prompt.field.key, sitting.project.length_unit
        step_id, again = STEPS[sitting.step].id, sitting.helped == key
        say_help(sitting.voice, step_id, prompt.field, unit, whole=again)
        if row := sitting.row_here(prompt):
            order = ", ".join(one.field.group for one in row)
            sitting.voice.say(f"The whole row at once, in this order: {order}.")
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
    Typed("designs", "designs", designs, "NAME"),
    Typed("garments", "garments", garments, "NAME"),
    Typed("compare", "compare", _compare, "1 r1"),
    Typed("mend", "mend", mend, "2"),
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
    Typed("normal", "normal", be_normal),
    Typed("skip", "skip", _skip),
    Typed("clear", "clear", _clear),
)
