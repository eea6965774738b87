"""The questions about the fabric."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from legtaper.model.lengths import Length, factor, say_length
from legtaper.model.project import Project, Unit
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.questions.question import STRETCH_SAMPLE, At, Question
from legtaper_wizard.flow.shapes import AnswerError, Choices, Rule

FABRICS: Choices = (
    ("woven", "woven, firm"),
    ("stretch-woven", "woven with stretch"),
    ("knit", "knit"),
)
MOST_STRETCH = 300.0
"""Percent; more than any fabric gives (common practice)."""
MOST_LIKELY = (0.0, 100.0)
"""Percent; a fabric that stretches more is asked about (common practice)."""
PERCENT = Rule("percent", at_most=MOST_STRETCH, zero=True)


def crosswise(_: Project, percent: Answer) -> str:
    """Say a percentage of stretch as it is understood."""
    return f"{percent:g} % crosswise"


def usable(_: Project, __: At, percent: object) -> Iterator[str]:
    """Say how much of the stretch counts."""
    if isinstance(percent, float):
        yield f"half of it, {percent / 2:.3g} %, counts as usable"


def no_stretch(_: Project, __: At) -> str:
    """Return the stretch of a fabric of which nothing is said."""
    return "0"


def _not_tested(project: Project, _: At) -> str:
    """Return the stretch where nothing is said of it: none in a firm fabric, else unknown."""
    return "0" if project.fabric.kind == "woven" else NOT_TESTED


NOT_TESTED = "unknown"
"""What holds of the stretch of a fabric that may stretch, and was not tested."""


def _woven(_: Project, __: At) -> str:
    return "woven"


def _kept_nowhere(_: Project, __: At) -> object:
    return None  # the stretch test is only a way to the percentage


def _put_stretch(project: Project, _: At, percent: object) -> Project:
    if not isinstance(percent, float):
        return project
    return replace(project, fabric=replace(project.fabric, stretch_percent=percent))


def _tested(project: Project, at: At, text: str) -> Answer:
    """Return by how many percent a sample of fabric stretched; percent are taken as they are."""
    if text.strip().endswith("%"):
        return read(at.key, PERCENT, text, project.length_unit)
    stretched = read(at.key, _TEST, text, project.length_unit)
    if not isinstance(stretched, Length):
        return stretched
    sample = STRETCH_SAMPLE[project.length_unit]
    if stretched.mm < sample.mm:
        problem = f"{stretched.text} is shorter than the {sample.text} it began with"
        raise AnswerError(at.key, problem)
    percent = 100 * (stretched.mm - sample.mm) / sample.mm
    if percent > MOST_STRETCH:
        problem = f"{stretched.text} is more than any fabric stretches; measure it again"
        raise AnswerError(at.key, problem)
    return round(percent, 9)


def _by_how_much(_: Project, percent: Answer) -> str:
    return f"stretches by {percent:.3g} %"


_SQUARE: Mapping[Unit, Length] = {"in": Length(508.0, "20 in"), "cm": Length(500.0, "50 cm")}
"""The square of fabric that is washed and measured again."""
_MOST_SHRINKAGE = 15.0
"""Percent; a larger bare number is the square as it was measured (common practice)."""
_SHRUNK = Rule("percent", at_most=_MOST_SHRINKAGE, zero=True)


def _read_shrinkage(project: Project, at: At, text: str) -> Answer:
    """Read a percentage, or what the square measures after the wash."""
    square = _SQUARE[project.length_unit]
    said = _percent_or_length(project, at, text, _SHRUNK)
    if not isinstance(said, Length):
        return said
    percent = 100 * (1 - said.mm / square.mm)
    if not 0 <= percent <= _MOST_SHRINKAGE:
        least = say_length((1 - _MOST_SHRINKAGE / 100) * square.mm, project.length_unit)
        problem = f"from {least} to {square.text} is left of {square.text} after a wash"
        raise AnswerError(at.key, problem)
    return round(percent, 4)


def _percent_or_length(project: Project, at: At, text: str, rule: Rule) -> Answer:
    """Read a percentage, or a length where it has its unit or is more than a percentage can be."""
    bare = text.removesuffix("%").strip().replace(",", ".")
    if text.endswith("%") or (_is_number(bare) and float(bare) <= rule.at_most):
        return read(at.key, rule, text, project.length_unit)
    return read(at.key, Rule("length", at_most=1000), text, project.length_unit)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def _shrinks(_: Project, percent: Answer) -> str:
    return f"{percent:.3g} %; the pattern is cut larger"


_WASHED = re.compile(r"\b(?:pre)?-?(?:washed|shrunk)\b", re.IGNORECASE)
_NOT = re.compile(r"\b(?:not|un|never)[ -]?(?:yet )?(?:pre)?-?(?:washed|shrunk)\b", re.IGNORECASE)


def _washed_already(project: Project, _: At, percent: object) -> Iterator[str]:
    """Ask about shrinkage of a fabric that is described as washed: it shrinks no more."""
    described = project.fabric.description
    if percent and _WASHED.search(described) and not _NOT.search(described):
        yield (
            f"The fabric is called {described}. What is washed already shrinks no more, and the "
            "pattern would be cut too large: was the square washed once more? If not, clear this."
        )


def _shrinkage(way: str, along: str, how: str) -> Question:
    return Question(
        key=f"fabric.shrink_{way}_percent",
        label=f"Shrinkage {along}",
        how=how,
        rule=_SHRUNK,
        if_skipped="the fabric counts as washed, or as one that does not shrink",
        often="A fabric that you have washed already shrinks no more: leave this out then.",
        usual=no_stretch,
        read=_read_shrinkage,
        says=_shrinks,
        likely=(0.0, 10.0),  # percent; firm fabric shrinks less (common practice)
        slips=_washed_already,
        group="cloth",
    )


_MOST_LONGER = 50.0  # percent; more is no fabric that goes back at all: common practice
_EITHER = 1.25
"""A bare number up to so many times the sample may be its length as well as a percentage:
common practice."""
_LONGER = Rule("percent", at_most=_MOST_LONGER, zero=True)


def _read_longer(project: Project, at: At, text: str) -> Answer:
    """Read a percentage, or what the stretched sample measures once it was let go."""
    sample, unit = STRETCH_SAMPLE[project.length_unit], project.length_unit
    bare = text.replace(",", ".")
    if _is_number(bare) and 1 <= float(bare) * factor(unit) / sample.mm <= _EITHER:
        raise AnswerError(at.key, f"{text} may be either: write {text} % or {text} {unit}")
    said = _percent_or_length(project, at, text, _LONGER)
    if not isinstance(said, Length):
        return said
    percent = 100 * (said.mm / sample.mm - 1)
    if not 0 <= percent <= _MOST_LONGER:
        most = say_length((1 + _MOST_LONGER / 100) * sample.mm, project.length_unit)
        raise AnswerError(at.key, f"{sample.text} comes back to {sample.text} or up to {most}")
    return round(percent, 4)


def _stays(_: Project, percent: Answer) -> str:
    return f"{percent:.3g} % longer than before"


def _bags(_: Project, __: At, percent: object) -> Iterator[str]:
    """Say whether a fabric that stays so much longer bags at the knee."""
    from legtaper.checks.recovery import STAYS_LONGER

    if isinstance(percent, float):
        bags = percent > STAYS_LONGER
        yield f"above {STAYS_LONGER:g} % it bags at the knee" if bags else "it goes back well"


_TEST = Rule("length", at_most=400)
QUESTIONS = (
    Question(
        key="fabric.description",
        label="Fabric",
        how="A few words, such as 8 oz twill.",
        rule=Rule("text", at_most=80),
        group="cloth",
    ),
    Question(
        key="fabric.kind",
        label="Kind of fabric",
        how="Firm woven fabric, woven fabric with stretch, or a knit.",
        rule=Rule("choice", FABRICS),
        usual=_woven,
        group="cloth",
    ),
    Question(
        key="fabric.stretch_test",
        label="Stretch test",
        how="Fold the fabric, mark {sample} crosswise, stretch it as far as it goes without force: "
        "what do the {sample} come to?",
        rule=_TEST,
        if_skipped="nothing is lost; the percentage may be typed instead",
        often="It fills in the stretch below.",
        get=_kept_nowhere,
        put=_put_stretch,
        read=_tested,
        says=_by_how_much,
        preview=usable,
        group="cloth",
    ),
    Question(
        key="fabric.stretch_percent",
        label="Stretch, percent",
        how="Crosswise, as measured. Half of it counts as usable.",
        rule=PERCENT,
        if_skipped="stretch counts as none",
        usual=_not_tested,
        says=crosswise,
        preview=usable,
        likely=MOST_LIKELY,
        group="cloth",
    ),
    Question(
        key="fabric.stays_longer_percent",
        label="Stays longer, percent",
        how="Stretch the {sample} for a minute, let go, wait a minute. What do they measure, with "
        "the unit, or in percent?",
        rule=_LONGER,
        if_skipped="whether the knees will bag stays unknown",
        often="A fabric that goes back measures as before, or hardly more.",
        read=_read_longer,
        says=_stays,
        preview=_bags,
        likely=(0.0, 25.0),  # percent: common practice
        group="cloth",
    ),
    Question(
        key="fabric.thickness",
        label="Thickness",
        how="Of one layer: fold it to four, measure, and divide by four.",
        rule=Rule("length", at_most=20, zero=True),
        likely=(0.0, 3.0),  # mm; trousers are hardly made of thicker cloth (common practice)
        if_skipped="nothing is lost in thin fabric; in thick fabric the fold-up is drawn a "
        "little too wide to lie inside",
        group="cloth",
    ),
    _shrinkage("length", "lengthwise", "What [20 in|50 cm] measures once washed; or percent."),
    _shrinkage("width", "crosswise", "The same across."),
)
RECOVERY = next(one for one in QUESTIONS if one.key == "fabric.stays_longer_percent")
"""Asked of a knit or a stretch fabric alone."""
