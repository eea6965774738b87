"""The questions about the fabric."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from legtaper.model.lengths import Length, say_length
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


def _woven(_: Project, __: At) -> str:
    return "woven"


def _kept_nowhere(_: Project, __: At) -> object:
    return None  # the stretch test is only a way to the percentage


def _put_stretch(project: Project, _: At, percent: object) -> Project:
    if not isinstance(percent, float):
        return project
    return replace(project, fabric=replace(project.fabric, stretch_percent=percent))


def _tested(project: Project, at: At, text: str) -> Answer:
    """Return by how many percent a sample of fabric stretched."""
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
    bare = text.removesuffix("%").strip().replace(",", ".")
    if text.endswith("%") or (_is_number(bare) and float(bare) <= _MOST_SHRINKAGE):
        return read(at.key, _SHRUNK, text, project.length_unit)
    measured = read(at.key, Rule("length", at_most=1000), text, project.length_unit)
    if not isinstance(measured, Length):
        return measured
    percent = 100 * (1 - measured.mm / square.mm)
    if not 0 <= percent <= _MOST_SHRINKAGE:
        least = say_length((1 - _MOST_SHRINKAGE / 100) * square.mm, project.length_unit)
        problem = f"from {least} to {square.text} is left of {square.text} after a wash"
        raise AnswerError(at.key, problem)
    return round(percent, 4)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def _shrinks(_: Project, percent: Answer) -> str:
    return f"shrinks by {percent:.3g} %; the pattern is cut that much larger"


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
        group="cloth",
    )


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
        if_skipped="stretch counts as none",
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
        usual=no_stretch,
        says=crosswise,
        preview=usable,
        likely=MOST_LIKELY,
        group="cloth",
    ),
    Question(
        key="fabric.thickness",
        label="Thickness",
        how="Of one layer. Fold it to four layers, measure them, and divide by four.",
        rule=Rule("length", at_most=20, zero=True),
        likely=(0.0, 5.0),  # mm; thicker than any coating (common practice)
        if_skipped="the fabric counts as thin, so the fold-up is not brought in for the turn of "
        "the fabric",
        group="cloth",
    ),
    _shrinkage("length", "lengthwise", "What 20 in (50 cm) measures once washed; or percent."),
    _shrinkage("width", "crosswise", "The same across."),
)
