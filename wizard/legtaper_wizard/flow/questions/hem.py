"""The questions about the hem."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import Length, from_mm, say_length
from legtaper.model.project import Project
from legtaper.model.said_lengths import understood
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.path import put_path
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import Rule

if TYPE_CHECKING:
    from legtaper.pattern import Fit

FOLD_DRAWN = r"""
             \            /
              \   leg    /          The leg narrows towards its hem.
               \        /
      fold      |======|            Folded up here, the hem must lie on
               /        \           the wider leg above. So below the
              /   hem    \          fold it widens again: the mirror
             /____________\         image of the leg.
"""


def _single(_: Project, __: At) -> str:
    return "single"


def _usual_depth(project: Project, _: At) -> str:
    from legtaper.leg.hem import DEPTH

    return from_mm(DEPTH[project.length_unit], project.length_unit).text


def _usual_turn_under(project: Project, _: At) -> str:
    from legtaper.leg.hem import TURN_UNDER

    return from_mm(TURN_UNDER[project.length_unit], project.length_unit).text


_WHERE = Rule("signed", (("block", "at the block's hem"),), at_most=1500, zero=True)
_WAYS = {"higher": 1, "shorter": 1, "lower": -1, "longer": -1}


def _read_end(project: Project, at: At, text: str) -> Answer:
    """Read where the leg ends: "block", "higher 5 in", "2 in lower", or a length with its sign."""
    first, _, rest = text.partition(" ")
    if (last := text.rpartition(" "))[2].lower() in _WAYS:
        first, rest = last[2], last[0]
    if first.lower() not in _WAYS or not rest.strip():
        return read(at.key, _WHERE, text, project.length_unit)
    said = read(at.key, Rule("length", at_most=1500), rest.strip(), project.length_unit)
    lower = isinstance(said, Length) and _WAYS[first.lower()] < 0
    return Length(-said.mm, f"-{said.text}") if lower and isinstance(said, Length) else said


def _in_words(said: object) -> str:
    """Return the answer in the words that it may be typed in."""
    if not isinstance(said, Length):
        return ""
    return f"{'higher' if said.mm > 0 else 'lower'} {said.text.removeprefix('-').strip()}"


def _understood(_: Project, said: Answer) -> str:
    if not isinstance(said, Length) or not said.mm:
        return ""
    plain = Length(abs(said.mm), said.text.removeprefix("-").strip())
    return f"{'higher' if said.mm > 0 else 'lower'} {understood(plain)}"


_LIKELY_DEPTH = (6.0, 110.0)
"""mm; from a narrow hem to one of 4 in: common practice."""


def _put_end(project: Project, at: At, said: object) -> Project:
    new = said if isinstance(said, Length) and said.mm else None
    return put_path(project, ["design", "hem", "height"], new, at.cursor)


def _end(project: Project, at: At, said: object) -> Iterator[str]:
    """Say how long the leg is then, straight down as an inside leg and along its seams."""
    block = standing(project, at.cursor).block
    if not isinstance(said, Length):
        return
    if block is not None:
        yield f"{say_length(block.crotch - said.mm, project.length_unit)} from the crotch down"
    fit = standing(_put_end(project, at, said), at.cursor).fit
    if fit is not None:
        yield say_lengths(fit)


def say_lengths(fit: Fit) -> str:
    """Say how long the finished leg is along both its seams, measured on the front."""
    taper, block, unit = fit.taper, fit.block, fit.project.length_unit
    (outseam,) = block.lengths_along("front_outseam", taper.seams["front_outseam"], (block.top,))
    inseam, hip = taper.lengths["front_inseam"], block.fullest.replace("_", " ")
    return f"inseam {say_length(inseam, unit)}, outseam {say_length(outseam, unit)} from the {hip}"


def _at_block(_: Project, __: At) -> str:
    return "block"


END = Question(
    key="design.hem.height",
    label="Where the leg ends",
    how='"block" keeps the block\'s own hem; "higher [5 in|12 cm]" or "lower [2 in|5 cm]" '
    "moves it.",
    rule=_WHERE,
    if_skipped="the leg ends at the block's hem",
    often="Widths asked at the hem are asked where the leg ends.",
    put=_put_end,
    read=_read_end,
    usual=_at_block,
    says=_understood,
    spells=_in_words,
    preview=_end,
    sewn=True,
)
STYLE = Question(
    key="design.hem.style",
    label="Hem style",
    how="How the hem is finished.",
    rule=Rule(
        "choice",
        (
            ("single", "single: folded up once"),
            ("double", "double: folded up, edge turned under"),
            ("faced", "faced: a separate facing"),
        ),
    ),
    usual=_single,
)
DEPTH = Question(
    key="design.hem.depth",
    label="Hem depth",
    how="From the fold to its upper edge.",
    rule=Rule("length", at_most=500),
    likely=_LIKELY_DEPTH,
    if_skipped="the usual depth is used",
    usual=_usual_depth,
)
TURN_UNDER = Question(
    key="design.hem.turn_under",
    label="Turn under",
    how="What is turned under at the raw edge.",
    rule=Rule("length", at_most=500),
    if_skipped="the usual depth is used",
    usual=_usual_turn_under,
)
QUESTIONS = (STYLE, DEPTH, TURN_UNDER, END)
