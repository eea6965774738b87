"""Every question's key, and what an answer to it may be. Keys are dotted as in the project file."""

from __future__ import annotations

import re
from dataclasses import dataclass

from legtaper_wizard.flow.shapes import Kind

Choices = tuple[tuple[str, str], ...]

UNITS: Choices = (("in", "inches"), ("cm", "centimeters"))
FABRICS: Choices = (
    ("woven", "woven, firm"),
    ("stretch-woven", "woven with stretch"),
    ("knit", "knit"),
)
VERDICTS: Choices = (("hangs clean", "hangs clean"), ("needs fitting", "needs fitting first"))
MEASURED: Choices = (
    ("flat", "flat, one side; it is doubled"),
    ("round", "all the way round"),
)
STYLES: Choices = (
    ("follow", "follow: keep the line of the old seam"),
    ("straight", "straight: a line a yardstick can mark"),
)
HEMS: Choices = (
    ("single", "single: folded up once"),
    ("double", "double: folded up, edge turned under"),
    ("faced", "faced: a separate facing"),
)
TRIED: Choices = (("well", "went well"), ("trouble", "trouble"))
ROUND_VERDICTS: Choices = (
    ("closer", "closer"),
    ("too far", "too far"),
    ("done", "done, cut the real cloth"),
)
SLITS: Choices = (("auto", "as high as the foot needs"), ("none", "no slit"))

LEG_LEVELS = ("hem", "calf", "knee", "thigh")
"""The levels at which a width round the leg is asked for, from the hem upwards."""


MOST_STRETCH = 300.0
"""Percent; more than any cloth gives."""


@dataclass(frozen=True, slots=True)
class Rule:
    """What an answer may be. `at_most` in mm or percent; `zero` is whether 0 is an answer."""

    kind: Kind
    choices: Choices = ()
    at_most: float = 5000.0
    zero: bool = False


_LEVEL = r"(?P<level>[A-Za-z0-9_-]{1,40})"
_WEARER = "height|waist|high_hip|hip|thigh|knee|knee_bent|calf|ankle|foot_entry|foot_length"
_RULES: tuple[tuple[str, Rule], ...] = (
    (r"name", Rule("text", at_most=80)),
    (r"length_unit", Rule("choice", UNITS)),
    (rf"wearer\.(?:{_WEARER})", Rule("length", at_most=3000)),
    (r"fabric\.description", Rule("text", at_most=80)),
    (r"fabric\.kind", Rule("choice", FABRICS)),
    (r"fabric\.stretch_percent", Rule("percent", at_most=MOST_STRETCH, zero=True)),
    (r"fabric\.stretch_test", Rule("length", at_most=400)),
    (r"fabric\.thickness", Rule("length", at_most=20, zero=True)),
    (r"block\.label", Rule("text", at_most=80)),
    (r"block\.height\.hem", Rule("length", at_most=0.0, zero=True)),
    (rf"block\.height\.{_LEVEL}", Rule("length", at_most=2000)),
    (rf"block\.(?:front|back)\.(?:outseam|inseam)\.{_LEVEL}", Rule("length", at_most=1000)),
    (r"block_test\.verdict", Rule("choice", VERDICTS)),
    (r"block_test\.date", Rule("date")),
    (r"block_test\.notes", Rule("note", at_most=2000)),
    (r"liked\.\d{1,3}\.garment", Rule("text", at_most=80)),
    (r"liked\.\d{1,3}\.stretch_percent", Rule("percent", at_most=MOST_STRETCH, zero=True)),
    (r"liked\.\d{1,3}\.measured", Rule("choice", MEASURED)),
    (rf"liked\.\d{{1,3}}\.(?:front_|back_)?width\.{_LEVEL}", Rule("length", at_most=2000)),
    (rf"design\.take_in\.{_LEVEL}", Rule("length", at_most=500, zero=True)),
    (rf"design\.width\.{_LEVEL}", Rule("length", at_most=2000)),
    (rf"design\.extra\.(?:outseam|inseam)\.{_LEVEL}", Rule("signed", at_most=500, zero=True)),
    (r"design\.blend\.(?:outseam|inseam)(?:_curve)?", Rule("length", at_most=2000)),
    (r"design\.blend\.style", Rule("choice", STYLES)),
    (r"design\.hem\.style", Rule("choice", HEMS)),
    (r"design\.hem\.(?:depth|turn_under)", Rule("length", at_most=500)),
    (r"design\.slit\.height", Rule("length", SLITS, at_most=1500)),
    (
        r"allowance\.(?:seam|outseam|inseam|waist|crotch|slit)",
        Rule("length", at_most=101.6, zero=True),
    ),
    (r"round\.(?:printed|date)", Rule("date")),
    (r"round\.trial\.(?:stand|sit|climb|bend|foot)", Rule("choice", TRIED)),
    (r"round\.notes", Rule("note", at_most=2000)),
    (rf"round\.pinch\.(?:outseam|inseam)\.{_LEVEL}", Rule("signed", at_most=100)),
    (r"round\.verdict", Rule("choice", ROUND_VERDICTS)),
)
_COMPILED = tuple((re.compile(pattern), rule) for pattern, rule in _RULES)


def rule_of(key: str) -> Rule | None:
    """Return what an answer to a question may be, or `None` where there is no such question."""
    return next((rule for pattern, rule in _COMPILED if pattern.fullmatch(key)), None)


def level_of(key: str) -> str:
    """Return the level that a key ends in, "" where it names none."""
    for pattern, _ in _COMPILED:
        if found := pattern.fullmatch(key):
            return found.groupdict().get("level") or ("hem" if key.endswith(".hem") else "")
    return ""


def say_level(level: str) -> str:
    """Return a level as people write it."""
    return level.replace("_", " ")
