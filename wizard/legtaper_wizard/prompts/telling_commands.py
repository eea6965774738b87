"""The commands of the line prompts that only tell something: notes, words, signs, marks."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.glossary import glossary_text
from legtaper_wizard.flow.round_answers import is_done
from legtaper_wizard.flow.steps import STEPS, shows
from legtaper_wizard.prompts.choosing import PASSED_ON, chosen
from legtaper_wizard.prompts.marks_prompts import say_marks
from legtaper_wizard.prompts.output import hem_width_lines, in_full, say_note
from legtaper_wizard.prompts.prompt_order import Prompt
from legtaper_wizard.prompts.questions_heard import by_number_or_words
from legtaper_wizard.prompts.sitting import END, Sitting


def read_out(sitting: Sitting, lines: Sequence[str]) -> bool:
    """Read a list in parts; a line that ends it is heard. Whether the input goes on."""
    ended = sitting.voice.read_out(lines, indent="  ")
    sitting.queued = ended or None
    return ended is not None


def tell_signs(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Read the signs in the order in which one tries on, those that are meant, or all of one."""
    from legtaper.muslin.signs import in_order

    signs = in_order()
    names = [sign.words for sign in signs]
    found = by_number_or_words(names, said) if said else list(range(len(signs)))
    if not found:
        sitting.voice.refuse(f'No sign has "{clean(said, 40)}" in it; signs lists them all.')
    if len(found) != 1:
        return _one_of(sitting, [names[number] for number in found])
    sign = signs[found[0]]
    sitting.voice.say(f"{sign.words}. {sign.pose}, from the {sign.view}. {sign.look}")
    for cause in sign.causes:
        words = " ".join(filter(None, [cause.tell, cause.says, cause.instead]))
        sitting.voice.say(words, indent="  ")
    return True


def _one_of(sitting: Sitting, names: Sequence[str]) -> bool:
    """Read the names of signs and tell all about the one that is chosen of them."""
    told = [f"{number}: {name}." for number, name in enumerate(names, 1)]
    ended = sitting.voice.read_out(told, indent="  ")
    if ended is None or not names:
        return ended is not None
    if ended.lower() in PASSED_ON or sitting.voice.hears(ended):
        sitting.queued = ended
        return True

    def tell() -> None:
        sitting.voice.read_out(told, indent="  ")

    asks = "Number of a sign to hear all of it, or Enter:"
    number = chosen(sitting, ended, asks, tell, (names,))
    if number is None or number < 0:
        return number is not None
    return tell_signs(sitting, None, names[number])


def tell_notes(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say every note of the step, what is OK too."""
    project, at = sitting.session.now
    for note in shows(project, STEPS[min(sitting.step, END - 1)].id, at):
        say_note(sitting.voice, note)
    return True


def _is_word(said: str) -> bool:
    return bool(glossary_text(said))


def tell_words(sitting: Sitting, _: Prompt | None, word: str) -> bool:
    """Say what a word of the trade means."""
    asks = "Which word, or Enter for all of them:"
    typed = word or sitting.voice.ask_inside(asks, _is_word, tells=True)
    if typed is None:
        return False
    text = glossary_text(typed) or f'There is no word with "{clean(typed, 40)}" in it.'
    for paragraph in text.split("\n\n"):
        sitting.voice.say(paragraph, indent="  ")
    return True


def tell_widths(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say which hem widths work."""
    return read_out(sitting, hem_width_lines(*sitting.session.now))


def tell_marks(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Read the marking table, mark by mark."""
    return say_marks(sitting.voice, *sitting.session.now, said)


def tell_settings(sitting: Sitting, _: Prompt | None, said: str) -> bool:
    """Say the settings, and change one."""
    from legtaper_wizard.flow.settings import change_settings, read_pair, settings_text

    try:
        changed = dict([read_pair(said.replace(" ", ""))]) if said else {}
        if changed:
            change_settings(changed)
        for line in settings_text().splitlines():
            if not changed or line.partition(":")[0] in changed:
                sitting.voice.say(line.replace("legtaper settings", "settings"))
    except ValueError as error:
        sitting.voice.refuse(f"Not changed: {error}.")
    return True


def tell_sewing(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say how to sew the design that is worked on: its test until it is done; else all of it."""
    from legtaper.muslin.sewing import sewing_text
    from legtaper.outputs.front_sheet import work_of
    from legtaper.pattern import cut

    fit, done = standing(*sitting.session.now).fit, is_done(*sitting.session.now)
    try:
        work = work_of(cut(fit), "narrowed" if done else "both") if fit else None
    except ProjectError:  # it cannot be cut; its own step says why
        work = None
    if fit and work:
        sitting.voice.say(f'To sew {"" if done else "the test of "}"{clean(fit.design.name, 60)}":')
    return read_out(sitting, sewing_text(work).split("\n\n"))


def tell_exact(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say in full what is held now of the question that was answered or changed last."""
    if sitting.last is None:
        sitting.voice.say("Nothing was answered yet in this sitting.")
        return True
    held = in_full(sitting.project, *sitting.last)
    sitting.voice.say(f"{held} {sitting.session.saved}.")
    return True


def be_short(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say the questions alone from now on."""
    sitting.manner = "short"
    sitting.voice.say("Only the questions are said; normal says what is new, too.")
    return True


def be_long(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say everything each time from now on."""
    sitting.manner = "long"
    sitting.voice.say("Everything is said each time; normal says only what is new.")
    return True


def be_normal(sitting: Sitting, _: Prompt | None, __: str) -> bool:
    """Say what is new from now on, as where nothing was said."""
    sitting.manner = "usual"
    sitting.voice.say("What is new is said.")
    return True
