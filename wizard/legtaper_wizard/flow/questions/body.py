"""The questions about the wearer, and which answers look like a slip of the tape or the unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from legtaper.leg.children import OLDEST, YOUNGEST
from legtaper.model.lengths import Length, say_length
from legtaper.model.project import Project
from legtaper_wizard.flow.answer_parser import Answer
from legtaper_wizard.flow.questions.question import At, Question, Remarks
from legtaper_wizard.flow.shapes import AnswerError, Rule

FOOT = r"""
            |      |
            |      |
            |      |
            |      *_               * * *  the tape: from the back of
           /     *   \                     the heel, over the instep,
          |    *      \__                  and under again
           \_*           \___
              \_____         \__
                    \___________)   toes pointed, as going into the leg
"""

_FAR = 0.8
"""The estimate is an upper bound, about a tenth above the middle; what is farther off is asked
(common practice)."""

_HIP_OF_WAIST = (0.75, 2.0)
"""Beyond every one of the 507 adults of Heinz et al. (2003), whose hips are 0.93 to 1.56 of
their waists."""

_GIRTH = "Tape level, close but not pulled."
_LENGTH = Rule("length", at_most=3000)


def _smaller(other: str, holds: str) -> Remarks:
    """Return what asks about a girth that is smaller than another one of the same body."""

    def ask(project: Project, _: At, said: object) -> Iterator[str]:
        than = getattr(project.wearer, other)
        if isinstance(said, Length) and than and than.mm > said.mm:
            yield f"{holds}; here {said.text} and {than.text}. Measure both once more."

    return ask


def _hip_of_waist(name: str) -> Remarks:
    """Return what asks where hip or high hip and the waist are further apart than bodies are."""

    def ask(project: Project, _: At, said: object) -> Iterator[str]:
        waist = project.wearer.waist
        if not isinstance(said, Length) or not waist:
            return
        if not _HIP_OF_WAIST[0] < said.mm / waist.mm < _HIP_OF_WAIST[1]:
            yield f"The {name} is {said.text} and the waist {waist.text}. Measure both once more."

    return ask


def _foot_slips(project: Project, at: At, said: object) -> Iterator[str]:
    """Ask about a foot entry that is far from what the rest of the wearer suggests."""
    yield from _smaller("ankle", "The foot entry is larger than the ankle")(project, at, said)
    from legtaper.leg.foot import foot_entry

    guess = foot_entry(replace(project.wearer, foot_entry=None))
    if isinstance(said, Length) and guess and not _FAR < said.mm / guess.mm < 1 / _FAR:
        near = say_length(guess.mm, project.length_unit)
        yield (
            f"Foot entry: {guess.estimated_from} suggest {near} at the most. Was it measured round "
            "heel and instep once?"
        )


def _read_age(_: Project, at: At, text: str) -> Answer:
    """Read whole years, with or without the word."""
    said = re.fullmatch(r"(\d{1,3})(?: ?years?)?(?: old)?", text, re.ASCII | re.IGNORECASE)
    if said is None or not YOUNGEST <= int(said[1]) <= OLDEST:
        problem = f"write whole years from {YOUNGEST} to {OLDEST}, such as 8"
        raise AnswerError(at.key, problem)
    return int(said[1])


def _years(_: Project, said: Answer) -> str:
    return f"{said} years"


MEASURED: Mapping[str, tuple[float, float]] = {
    "height": (1172, 1993), "waist": (579, 1379), "hip": (589.5, 1341), "thigh": (337, 870),
    "knee": (290, 600), "calf": (234, 523), "ankle": (158.5, 293), "foot_entry": (258, 403),
}  # fmt: skip
"""The least and the largest of measured people, mm. Largest: ANSUR II (NATICK/TR-15/007), with the
lower thigh for the knee. Least: the smaller median of girls and boys of six (UM-HSRI-77-17), and
where those have none that of adults: bdims (Heinz et al. 2003) and ANSUR II."""
_BEYOND = 0.1
"""By which share a number may be beyond those before it is asked about (common practice)."""


def _likely(key: str) -> tuple[float, float]:
    least, largest = MEASURED[key]
    return least * (1 - _BEYOND), largest * (1 + _BEYOND)


# Where nothing is named beside it, a bound of `likely` is common practice.
QUESTIONS = (
    Question(
        key="wearer.height",
        label="Height",
        how="Standing against a wall without shoes.",
        rule=_LENGTH,
        if_skipped="the foot entry cannot be estimated from ankle and height",
        often="5 ft 6 in, 66 in and 168 cm are all understood.",
        likely=_likely("height"),
        group="wearer",
    ),
    Question(
        key="wearer.waist",
        label="Waist",
        how=f"Where the trousers are to sit; for the top of a drafted block. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="nothing is lost but the top of a drafted block, which then ends at the hip",
        likely=_likely("waist"),
        group="wearer",
    ),
    Question(
        key="wearer.high_hip",
        label="High hip",
        how=f"Around the body about [4 in|10 cm] below the waist. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="nothing is lost; whether the leg hangs from hip or high hip is read from the "
        "block",
        likely=_likely("hip"),
        slips=_hip_of_waist("high hip"),
        group="wearer",
    ),
    Question(
        key="wearer.hip",
        label="Hip",
        how=f"Around the fullest level below the waist. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="hip and hem in proportion stay unknown",
        likely=_likely("hip"),
        slips=_hip_of_waist("hip"),
        group="wearer",
    ),
    Question(
        key="wearer.thigh",
        label="Thigh",
        how=f"Just below the crotch, standing. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="ease at the thigh stays unknown",
        likely=_likely("thigh"),
        slips=_smaller("knee", "A thigh is larger than a knee"),
        group="wearer",
    ),
    Question(
        key="wearer.knee",
        label="Knee",
        how=f"Over the kneecap, leg straight. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="ease at the knee stays unknown",
        likely=_likely("knee"),
        group="wearer",
    ),
    Question(
        key="wearer.knee_bent",
        label="Knee, bent",
        how="Over the kneecap, sitting with the knee well bent.",
        rule=_LENGTH,
        if_skipped="whether the leg binds when sitting stays unknown",
        often="It is larger than the knee standing.",
        likely=(230, 720),
        slips=_smaller("knee", "A bent knee is larger than a straight one"),
        group="wearer",
    ),
    Question(
        key="wearer.calf",
        label="Calf",
        how=f"At the fullest place. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="ease at the calf stays unknown",
        likely=_likely("calf"),
        slips=_smaller("ankle", "A calf is larger than an ankle"),
        group="wearer",
    ),
    Question(
        key="wearer.ankle",
        label="Ankle",
        how=f"At the narrowest place above the ankle bone. {_GIRTH}",
        rule=_LENGTH,
        if_skipped="the foot entry cannot be estimated from ankle and height",
        likely=_likely("ankle"),
        group="wearer",
    ),
    Question(
        key="wearer.foot_entry",
        label="Foot entry",
        how="Point the toes; measure around the heel and over the instep.",
        rule=_LENGTH,
        if_skipped="whether the foot passes stays unknown, or is estimated",
        often="Around the heel, not the ankle: it is the largest girth the hem must let through.",
        likely=_likely("foot_entry"),
        slips=_foot_slips,
        drawing=FOOT,
        group="wearer",
    ),
    Question(
        key="wearer.foot_length",
        label="Foot length",
        how="Heel to longest toe, standing. Only used to estimate the foot entry.",
        rule=_LENGTH,
        if_skipped="nothing is lost where the foot entry is measured",
        likely=(150, 325),
        drawing=FOOT,
        group="wearer",
    ),
    Question(
        key="wearer.age",
        label="Age, of a child",
        how=f"Whole years, {YOUNGEST} to {OLDEST}. Only used to estimate what was not measured.",
        rule=Rule("text", at_most=12),
        if_skipped="nothing is estimated from it",
        often="Children of one age differ widely. Measure first: an estimate never replaces that.",
        read=_read_age,
        says=_years,
        group="wearer",
    ),
    Question(
        key="wearer.sex",
        label="Girl or boy",
        how="Feet of girls and boys are estimated apart.",
        rule=Rule("choice", (("f", "girl or woman"), ("m", "boy or man"))),
        if_skipped="the larger of both estimates counts",
        group="wearer",
    ),
)
OF_A_CHILD = tuple(one for one in QUESTIONS if one.key in ("wearer.age", "wearer.sex"))
FOOT_ENTRY = next(question for question in QUESTIONS if question.key == "wearer.foot_entry")
