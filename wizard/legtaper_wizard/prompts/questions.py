"""Questions that are no part of a step, one after the other: what an action or a file needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from legtaper.model.safe_text import clean
from legtaper_wizard.flow.steps import AnswerError, Field
from legtaper_wizard.prompts.console import Voice, is_yes
from legtaper_wizard.prompts.grouped_choice import GroupedChoice
from legtaper_wizard.prompts.prompt_order import meant
from legtaper_wizard.prompts.questions_heard import FREE, IN_A_LINE, by_number_or_words, say_choices

Answers = tuple[str, ...]
Left = Literal["back", "quit", "end"]
"""She went back from the first question, or left them, or the input ended."""


def is_choice(field: Field, typed: str) -> bool:
    """Whether a line is one of the choices of a field, by its word or as it is read out."""
    return any(typed.lower() in (word.lower(), label.lower()) for word, label in field.choices)


@dataclass(frozen=True, slots=True)
class Rules:
    """What questions that follow one another go by.

    check: raises `AnswerError` for answers that cannot be; those not asked yet are the usual.
    wanted: whether a field is asked at all, given the answers so far. aside: for a line that is
    no answer to the field that is asked, the answers after it; nothing for an answer. It raises
    `AnswerError`, too. own: whether a line is meant for the field that is asked, or for these
    questions, where it might be a command, too. follow: the answers with what follows from the
    one just given, of those before and now.
    """

    check: Callable[[Answers], object] = lambda _: None
    wanted: Callable[[Field, Answers], bool] = lambda _, __: True
    aside: Callable[[str, Answers], Answers | None] = lambda _, __: None
    own: Callable[[Field, str], bool] = is_choice
    follow: Callable[[Answers, Answers], Answers] = lambda _, now: now


_ALL = Rules()


def ask_in_turn(
    voice: Voice, fields: Sequence[Field], usual: Answers, rules: Rules = _ALL
) -> Answers | Left:
    """Ask each field; Enter takes what is usual, `back` is one question back.

    Raises `ElsewhereError` for a line that is for the wizard: then nothing is answered.
    """
    answers, at, asked, told = list(usual), 0, list[int](), -1
    while at < len(fields):
        field = fields[at]
        if not rules.wanted(field, tuple(answers)):
            at += 1
            continue
        typed = _ask(voice, field, answers[at], rules, told=told == at)
        told = at
        if typed is None or typed.lower() == "quit":
            return "end" if typed is None else "quit"
        if typed.lower() == "back":
            if not asked:
                return "back"
            given, at = tuple(answers), asked.pop()
            answers[at] = usual[at]
            answers = list(rules.follow(given, tuple(answers)))
            continue
        try:
            others = rules.aside(typed, tuple(answers))
        except AnswerError as error:
            voice.refuse(f"Not taken: {error}.")
            continue
        if others is not None:
            answers = list(rules.follow(tuple(answers), others))
            continue
        given = tuple(answers)
        before, answers[at] = answers[at], meant(field, typed) if typed else answers[at]
        try:
            _check_choice(field, answers[at])
            rules.check(tuple(answers))
        except AnswerError as error:
            if error.key == field.key:
                voice.refuse(f"Not taken: {error}.")
                answers[at] = before
                continue
        answers = list(rules.follow(given, tuple(answers)))
        asked.append(at)
        at += 1
    return tuple(answers)


def doubted(voice: Voice, doubts: Sequence[str], said: str, line: str) -> str:
    """Ask whether a doubtful answer is meant; return "" where it is, else what was typed.

    said: the answer as it would be kept; line: as it was typed. Yes keeps it, and so does the same
    answer once more; Enter, which means go on elsewhere, asks again. From a pipe nobody can answer:
    what is odd is said, and the answer is taken. Raises `ElsewhereError`.
    """
    for text in doubts:
        voice.say(text)
    if not doubts or voice.scripted:
        return ""
    asks = f"Keep {said}? yes, no, or the right answer:"
    while (typed := voice.ask_inside(asks)) in ("", "?"):
        voice.say("Type yes to keep it, no to leave all as it was, or what is right.")
    if typed is None:
        return "quit"
    once_more = "".join(typed.split()) in ("".join(said.split()), "".join(line.split()))
    return "" if is_yes(typed) or once_more else typed


def _check_choice(field: Field, said: str) -> None:
    """Raise `AnswerError` where one of the choices is asked for and none of them was said."""
    if field.kind != "choice" or not said or said in dict(field.choices):
        return
    labels, quoted = [label for _, label in field.choices], f'"{clean(said, 30)}"'
    if found := by_number_or_words(labels, said):
        may = "; ".join(labels[number] for number in found)
        raise AnswerError(field.key, f"{quoted} may be: {may}. Write more of it")
    if len(labels) > IN_A_LINE:
        problem = f"none of the {len(labels)} has {quoted} in it; list reads them again"
        raise AnswerError(field.key, problem)
    raise AnswerError(field.key, f"{quoted} is none of these: {'; '.join(labels)}")


def _ask(voice: Voice, field: Field, usual: str, rules: Rules, *, told: bool) -> str | None:
    """Ask one field, telling its help and its choices as often as they are asked for.

    told: whether they were told just now.
    """
    if field.groups:
        if not told and field.how:
            voice.say(field.how)
        return GroupedChoice(voice, field, lambda line: rules.own(field, line)).ask()
    if not told:
        say_field(voice, field, usual)
    shown, slip = dict(field.choices).get(usual, usual), ""
    asks = f"{field.label} [{shown}]:" if shown else f"{field.label}:"
    while True:
        typed = voice.ask_inside(asks, lambda line: rules.own(field, line))
        if typed == "?":
            voice.say(f"{field.how} Enter takes what is in brackets; back is one question back.")
        elif typed and typed.lower() == "list" and field.kind == "choice":
            say_choices(voice, field)
        elif typed and field.kind in FREE and voice.doubts_word(typed, slip):
            slip = typed
        else:
            return typed


def say_field(voice: Voice, field: Field, usual: str = "") -> None:
    """Say the choices where there are some, and how to answer where nothing is usual."""
    if field.how and not usual:
        voice.say(field.how)
    say_choices(voice, field)
