"""Choosing from a list that was read out, and the commands that do no more than that."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from legtaper.model.project import NoDesignError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.mend_words import done_words, mend_lines
from legtaper_wizard.flow.mending import LOOKING, NO_DESIGN_YET, known_mends, look_for_mends
from legtaper_wizard.prompts.output import SPOKEN
from legtaper_wizard.prompts.prompt_order import Prompt, place_of
from legtaper_wizard.prompts.questions_heard import by_number_or_words
from legtaper_wizard.prompts.sitting import NARROWING, Sitting

if TYPE_CHECKING:
    from legtaper.remedies.mend import Mend

STAY, BACK = -1, -2
"""Said in place of one of several: none of them, or the question before."""
PASSED_ON = ("undo", "skip", "clear")
"""Words that a list leaves to the question behind it."""
_HOW = "Type a number or some of its words; list reads them again, Enter chooses none."

Names = tuple[Sequence[str], ...]
"""The names of several things, and perhaps second names in the same order."""


def chosen(
    sitting: Sitting, said: str, asks: str, tell: Callable[[], None], names: Names
) -> int | None:
    """Return which of several things is meant, asking until it is plain where nothing was said.

    tell: says the list once more. names: of each, and second ones. `STAY` or `BACK` where none
    is, nothing where the input ends.
    """
    asked = not said
    while True:
        typed = sitting.voice.ask(asks) if asked else said
        if asked and typed and (told := sitting.voice.looks_up(typed)) is not None:
            if not told:
                continue
            typed = told
        if typed is None or typed.lower() in ("", "back", "quit"):
            return None if typed is None else BACK if typed.lower() == "back" else STAY
        if asked and typed.lower() in ("?", "help"):
            sitting.voice.say(_HOW)
            continue
        if asked and typed.lower() == "list":
            tell()
            continue
        if asked and (typed.lower() in PASSED_ON or sitting.voice.hears(typed)):
            sitting.queued = typed
            return STAY
        found = by_number_or_words(names[0], typed, *names[1:])
        if len(found) == 1:
            return found[0]
        if found:
            may = "; ".join(clean(names[0][number], 60) for number in found)
            sitting.voice.refuse(f'"{clean(typed, 40)}" may be: {may}. Write more of it.')
        else:
            sitting.voice.refuse(f"Type a number from 1 to {len(names[0])}, or a name.")
        if not asked:
            return STAY


def mend(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Say which changes mend the design, and make one."""
    if standing(*sitting.session.now).fit is None:
        sitting.voice.say(NO_DESIGN_YET)
        return True
    if known_mends(*sitting.session.now) is None:
        sitting.voice.say(LOOKING)
    found = list(look_for_mends(*sitting.session.now))
    known: dict[int, Mend] = {}
    for each in (mend for one in found for mend in one.mends):
        known.setdefault(each.number, each)
    offered = list(known.values())

    def tell() -> None:
        for line in mend_lines(found, SPOKEN, behind=":"):
            sitting.voice.say(" ".join(line.split()), indent="    ")

    if not said or not offered:
        tell()
    if not offered:
        return True
    asks = "Number of the change to make, or Enter for none:"
    number = chosen(sitting, said, asks, tell, ([each.says for each in offered],))
    if number is None or number < 0:
        return number is not None
    change = offered[number]
    done = done_words(change, *sitting.session.now)
    sitting.change(lambda: sitting.session.mend(change), done, refusal="Not done")
    sitting.index = min(sitting.index, len(sitting.prompts))
    return True


def designs(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Say the designs, and go to one."""
    project, now = sitting.project, chosen_design(*sitting.session.now)
    if now is None:
        sitting.voice.say(f"Not shown: {NoDesignError().problem}.")
        return True
    names = [design.name for design in project.designs]

    def tell() -> None:
        _say_names(sitting, names, names.index(now.name))

    if not said:
        tell()
    asks = "Number or name of the design to work on, or Enter to stay:"
    number = chosen(sitting, said, asks, tell, (names,))
    if number is None or number < 0:
        return number is not None
    sitting.session.work_on_design(names[number])
    sitting.voice.say(f'Work goes on with the design "{clean(names[number], 60)}".')
    sitting.enter(NARROWING)
    return True


def garments(sitting: Sitting, prompt: Prompt | None, said: str) -> bool:
    """Say the trousers that are liked, and go to a pair."""
    names = [liked.garment for liked in sitting.project.liked]
    if not names:
        sitting.voice.say("No trousers you like are measured yet; Legs you like asks for them.")
        return True

    def tell() -> None:
        _say_names(sitting, names, prompt.at.liked if prompt else -1)

    if not said:
        tell()
    asks = "Number or name of the garment, or Enter to stay:"
    number = chosen(sitting, said, asks, tell, (names,))
    if number is None or number < 0:
        return number is not None
    if there := place_of(sitting.project, f"liked.{number}.garment", sitting.session.at):
        sitting.go(*there)
    return True


def _say_names(sitting: Sitting, names: Sequence[str], now: int) -> None:
    for number, name in enumerate(names, 1):
        here = ", worked on now" if number - 1 == now else ""
        sitting.voice.say(f"{number:2}: {clean(name, 60)}{here}")
