"""Arbitrary projects, and arbitrary ways to write one by hand, for property tests."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any, get_args

from hypothesis import strategies as st

from legtaper.model.lengths import Length, from_mm, parse_length
from legtaper.model.levels import LEVELS
from legtaper.model.project import (
    CHECKLIST,
    EDGES,
    MEASURED,
    PANELS,
    SEAMS,
    Allowance,
    AllowanceEdge,
    BlockTable,
    BlockTest,
    CornerRole,
    Design,
    Fabric,
    FabricKind,
    HemPlan,
    HemStyle,
    Liked,
    PanelOutline,
    Pinch,
    Project,
    Round,
    Sex,
    Style,
    Unit,
    Verdict,
    Wearer,
)

UNITS = get_args(Unit)
FORMS = ("{} 1/2 in", "{} in", '{}"', "{}.25 cm", "{},5 cm", "{} mm", "{}", "{} 3/8", "½ in")
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
names = texts.filter(lambda name: bool(name.strip()))
levels = st.sampled_from(LEVELS) | st.from_regex("[A-Za-z0-9_-]{1,40}", fullmatch=True)
percents = st.floats(0, 300) | st.integers(0, 300).map(float)
shrinks = st.floats(0, 30) | st.integers(0, 30).map(float)
days = st.none() | st.dates(date(1900, 1, 1))


@st.composite
def lengths(draw: st.DrawFn, unit: str, *, signed: bool = False) -> Length:
    """Draw a length as someone types it, or as the program words one it computed."""
    if draw(st.booleans()):
        return from_mm(draw(st.floats(-999.0 if signed else 0.0, 999.0)), unit)
    sign = draw(st.sampled_from(["", "-"])) if signed else ""
    text = draw(st.sampled_from(FORMS)).format(draw(st.integers(0, 99)))
    return parse_length(sign + text, unit, signed=signed)


def by_level(unit: str, *, signed: bool = False) -> st.SearchStrategy[dict[str, Length]]:
    """Return mappings of level -> length."""
    return st.dictionaries(levels, lengths(unit, signed=signed), max_size=4)


def some_of(keys: Any, values: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Return mappings that may lack any of their keys."""
    return st.dictionaries(st.sampled_from(tuple(keys)), values, max_size=4)


def blocks(unit: str) -> st.SearchStrategy[BlockTable]:
    """Return blocks, measured or imported."""
    reach = some_of(EDGES, by_level(unit))
    end = st.none() | lengths(unit)
    return st.builds(
        BlockTable, texts, by_level(unit), reach, some_of(PANELS, outlines()), pocket_end=end
    )


@st.composite
def outlines(draw: st.DrawFn) -> PanelOutline:
    """Draw a panel of an imported outline."""
    numbers = st.floats(-5000, 5000)
    points = tuple(draw(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=5)))
    which = st.integers(0, len(points) - 1)
    return PanelOutline(points, draw(some_of(get_args(CornerRole), which)))


def hems(unit: str) -> st.SearchStrategy[HemPlan]:
    """Return hems of any style and end."""
    length, signed = st.none() | lengths(unit), st.none() | lengths(unit, signed=True)
    return st.builds(HemPlan, st.sampled_from(get_args(HemStyle)), length, length, signed)


@st.composite
def designs(draw: st.DrawFn, unit: str, name: str) -> Design:
    """Draw a design; each level of it is in `take_in` or in `width`."""
    take_in, width = draw(by_level(unit)), draw(by_level(unit))
    length = lengths(unit)
    return Design(
        name,
        take_in,
        {level: width[level] for level in width if level not in take_in},
        draw(some_of(SEAMS, by_level(unit, signed=True))),
        draw(some_of(SEAMS, length)),
        draw(some_of(SEAMS, length)),
        draw(st.sampled_from(get_args(Style))),
        draw(hems(unit)),
        draw(st.sampled_from(["auto", "none"]) | length),
        shift=draw(by_level(unit, signed=True)),
        back_room=draw(by_level(unit)),
    )


@st.composite
def lineages(draw: st.DrawFn, designs: list[Design], rounds: int) -> tuple[Design, ...]:
    """Draw for each design which one before it, and which round, it may come from."""
    before: list[str | None] = [None]
    grown = []
    for design in designs:
        number = draw(st.none() | st.integers(1, rounds)) if rounds else None
        grown.append(replace(design, parent=draw(st.sampled_from(before)), from_round=number))
        before.append(design.name)
    return tuple(grown)


def rounds(unit: str, known: list[str]) -> st.SearchStrategy[tuple[Round, ...]]:
    """Return muslin rounds of the known designs."""
    if not known:
        return st.just(())
    pinch = st.builds(Pinch, texts, st.sampled_from(SEAMS), lengths(unit, signed=True))
    pinches = st.lists(pinch, max_size=2).map(tuple)
    verdicts = st.none() | st.sampled_from(get_args(Verdict))
    trials = st.lists(st.sampled_from(CHECKLIST), max_size=3).map(tuple)
    one = st.builds(
        Round, st.sampled_from(known), days, texts, pinches, days, verdicts, trials, trials, texts
    )
    return st.lists(one, max_size=3).map(tuple)


@st.composite
def projects(draw: st.DrawFn, unit: str | None = None) -> Project:
    """Draw a project in any state of completion, its lengths read under its own unit."""
    unit = unit or draw(st.sampled_from(UNITS))
    length, maybe = lengths(unit), st.none() | lengths(unit)
    width = by_level(unit)
    verdicts = st.sampled_from(["hangs clean", "needs fitting"])
    measured = st.sampled_from(["flat", "round"])
    kinds = st.sampled_from(get_args(FabricKind))
    called = draw(st.lists(names, max_size=3, unique=True))
    liked = st.builds(Liked, texts, percents, measured, width, width, width)
    sewn = draw(rounds(unit, called))
    designed = [draw(designs(unit, name)) for name in called]
    return Project(
        draw(texts),
        unit,
        Wearer(
            *(draw(maybe) for _ in MEASURED),
            draw(st.none() | st.integers(0, 120)),
            draw(st.sampled_from([None, *get_args(Sex)])),
        ),
        draw(
            st.builds(Fabric, texts, kinds, percents, maybe, shrinks, shrinks, st.none() | percents)
        ),
        draw(blocks(unit)),
        draw(st.none() | st.builds(BlockTest, verdicts, days, texts, texts)),
        tuple(draw(st.lists(liked, max_size=2))),
        draw(lineages(designed, len(sewn))),
        draw(st.builds(Allowance, maybe, some_of(get_args(AllowanceEdge), length))),
        sewn,
        draw(st.sampled_from([None, *called])),
    )


class _Hand:
    """Writes plain values as TOML in the ways that a person might, with remarks."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.remarks = 0

    def remark(self) -> str:
        self.remarks += 1
        return f"# remark {self.remarks}, with ] and \" and 'in' it"

    def some(self, text: str) -> str:
        return text if self.draw(st.integers(0, 4)) == 0 else ""

    def one(self, value: Any) -> str:
        """Write a value on one line, or an array over several."""
        if isinstance(value, str):
            return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
        if isinstance(value, Mapping):
            return "{" + ", ".join(f"{key} = {self.one(one)}" for key, one in value.items()) + "}"
        if isinstance(value, list):
            gap = self.some("\n  " + self.remark() + "\n  ")
            return "[" + ",".join(gap + self.one(one) for one in value) + gap + "]"
        return str(value)

    def body(self, table: Mapping[str, Any], names: str, prefix: str = "") -> tuple[str, list[str]]:
        """Return the lines of a table, and the sections of the tables in it, in any order."""
        lines, sections = "", []
        for key in self.draw(st.permutations(list(table))):
            value = table[key]
            tables = isinstance(value, list) and value and isinstance(value[0], Mapping)
            styles = ["inline"]
            if not prefix and (tables or isinstance(value, Mapping)):
                styles += ["header"] * 3
            if isinstance(value, Mapping) and value:
                styles += ["dotted"]
            style = self.draw(st.sampled_from(styles))
            if style == "header" and tables:
                sections.append("".join(self.entry(f"{names}{key}", one) for one in value))
            elif style == "header":
                sections += self.section(f"[{names}{key}]", value)
            elif style == "dotted":
                lines += self.body(value, "", f"{prefix}{key}.")[0]
            else:
                lines += self.some(self.remark() + "\n") + self.some("\n")
                end = self.some("  " + self.remark())
                lines += f"{self.some('  ')}{prefix}{key}  = {self.one(value)}{end}\n"
        return lines, list(self.draw(st.permutations(sections)))

    def section(self, head: str, table: Mapping[str, Any]) -> list[str]:
        """Return the section of a table, and those of the tables in it."""
        lines, sections = self.body(table, f"{head.strip('[]')}.")
        above = self.some("\n") + self.some(self.remark() + "\n")
        beside = self.some(" " + self.remark())
        if sections and not lines and not head.startswith("[[") and self.some("no head"):
            return sections
        return [f"{above}{head}{beside}\n{lines}", *sections]

    def entry(self, path: str, table: Mapping[str, Any]) -> str:
        """Return one entry of an array of tables, which must stand together."""
        return "".join(self.section(f"[[{path}]]", table))


@st.composite
def by_hand(draw: st.DrawFn, plain: Mapping[str, Any]) -> str:
    """Draw a TOML text that says `plain`, in some order and layout, with remarks in it."""
    lines, sections = _Hand(draw).body(plain, "")
    return lines + "".join(sections)
