"""Format 1 of the project file, as one table: which key holds what, and which attribute it is.

Reading and writing both walk this table, so they cannot drift apart.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final, get_args

from legtaper.files.tables import Entry, Many, Record
from legtaper.files.values import (
    DAY,
    LINES,
    ORDINAL,
    PERCENT,
    POINT_NUMBER,
    POINTS,
    SHRINKAGE,
    TEXT,
    YEARS,
    Levels,
    Place,
    choice,
    choices,
    length,
    quoted,
)
from legtaper.model.project import (
    CHECKLIST,
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
    SeamName,
    SeenSign,
    Sex,
    Style,
    Unit,
    Verdict,
    Wearer,
)

LENGTH: Final = length()
SIGNED_LENGTH: Final = length(signed=True)
LENGTHS: Final = Levels(LENGTH)
HEIGHTS: Final = Levels(LENGTH, hem=SIGNED_LENGTH)  # the block says that it can only be 0
SIGNED_LENGTHS: Final = Levels(SIGNED_LENGTH)
UNIT: Final = choice(*get_args(Unit))


def _check_outline(outline: PanelOutline, at: Place) -> None:
    last = len(outline.points) - 1
    for role, number in outline.corners.items():
        if number > last:
            place = at.inside("corners").inside(role)
            raise place.wrong(f"there is no point {number}; the last one is {last}")


def _check_design(design: Design, at: Place) -> None:
    if not design.name.strip():
        raise at.inside("name").wrong("is empty; give the design a name")
    for level in design.width:
        if level in design.take_in:
            place = at.inside("width").inside(level)
            raise place.wrong("is in take_in too; keep one of the two")


def _check_project(project: Project, at: Place) -> None:
    names: dict[str, None] = {}
    for number, design in enumerate(project.designs, 1):
        place = at.inside("design").entry(str(number))
        if design.name in names:
            problem = f"{quoted(design.name)} is there twice; give each design its own name"
            raise place.inside("name").wrong(problem)
        _check_lineage(design, names, len(project.rounds), place)
        names[design.name] = None
    for number, one in enumerate(project.rounds, 1):
        place = at.inside("round").entry(str(number)).inside("design")
        _check_known(one.design, names, place)
    if project.current is not None:
        _check_known(project.current, names, at.inside("current"))


def _check_known(name: str, names: Collection[str], at: Place) -> None:
    if name not in names:
        listed = _last_of(names)
        known = f"the file has {listed}" if names else "the file has no design"
        raise at.wrong(f"there is no design {quoted(name)}; {known}")


def _last_of(names: Collection[str]) -> str:
    return ", ".join(map(quoted, list(names)[-8:]))


def _check_lineage(design: Design, before: Collection[str], rounds: int, at: Place) -> None:
    if design.parent is not None and design.parent not in before:
        listed = _last_of(before)
        known = f"the ones before it are {listed}" if before else "this is the first; leave it out"
        problem = f"there is no design {quoted(design.parent)} before this one; {known}"
        raise at.inside("parent").wrong(problem)
    if design.from_round is not None and design.from_round > rounds:
        known = f"the last one is {rounds}" if rounds else "the file has no round"
        raise at.inside("from_round").wrong(f"there is no round {design.from_round}; {known}")


WEARER: Final = Record(
    Wearer,
    (
        *(Entry(name, LENGTH) for name in MEASURED),
        Entry("age", YEARS),
        Entry("sex", choice(*get_args(Sex))),
    ),
)
FABRIC: Final = Record(
    Fabric,
    (
        Entry("description", TEXT),
        Entry("kind", choice(*get_args(FabricKind))),
        Entry("stretch_percent", PERCENT),
        Entry("thickness", LENGTH),
        Entry("shrink_length_percent", SHRINKAGE),
        Entry("shrink_width_percent", SHRINKAGE),
        Entry("stays_longer_percent", PERCENT),
    ),
)
OUTLINE: Final = Record(
    PanelOutline,
    (
        Entry("points", POINTS, required="list the points of the outline in mm"),
        *(Entry(f"corners.{role}", POINT_NUMBER) for role in get_args(CornerRole)),
        Entry("lines", LINES),
        Entry("notches", POINTS),
    ),
    _check_outline,
)
BLOCK: Final = Record(
    BlockTable,
    (
        Entry("label", TEXT),
        Entry("pocket_end", LENGTH),
        Entry("height", HEIGHTS),
        *(Entry(f"{panel}.height", HEIGHTS, f"panel_height.{panel}") for panel in PANELS),
        *(
            Entry(f"{panel}.{seam}", LENGTHS, f"reach.{panel}_{seam}")
            for panel in PANELS
            for seam in SEAMS
        ),
        *(Entry(f"outline.{panel}", OUTLINE) for panel in PANELS),
    ),
)
BLOCK_TEST: Final = Record(
    BlockTest,
    (
        Entry("date", DAY),
        Entry(
            "verdict",
            choice("hangs clean", "needs fitting"),
            required='write "hangs clean" or "needs fitting"',
        ),
        Entry("notes", TEXT),
        Entry("fingerprint", TEXT),
    ),
)
LIKED: Final = Record(
    Liked,
    (
        Entry("garment", TEXT, required="name the garment"),
        Entry("stretch_percent", PERCENT),
        Entry("measured", choice("flat", "round"), always=True),
        Entry("width", LENGTHS),
        Entry("front_width", LENGTHS),
        Entry("back_width", LENGTHS),
    ),
)
HEM: Final = Record(
    HemPlan,
    (
        Entry("style", choice(*get_args(HemStyle))),
        Entry("depth", LENGTH),
        Entry("turn_under", LENGTH),
        Entry("height", SIGNED_LENGTH),
    ),
)
DESIGN: Final = Record(
    Design,
    (
        Entry("name", TEXT, required="give the design a name"),
        Entry("parent", TEXT),
        Entry("from_round", ORDINAL),
        Entry("take_in", LENGTHS),
        Entry("width", LENGTHS),
        *(Entry(f"extra.{seam}", SIGNED_LENGTHS) for seam in SEAMS),
        Entry("shift", SIGNED_LENGTHS),
        Entry("back_room", LENGTHS),
        *(Entry(f"blend.{seam}", LENGTH) for seam in SEAMS),
        *(Entry(f"blend.{seam}_curve", LENGTH, f"curve.{seam}") for seam in SEAMS),
        Entry("blend.style", choice(*get_args(Style)), "style"),
        Entry("hem", HEM),
        Entry("slit.height", length("auto", "none"), "slit"),
    ),
    _check_design,
)
ALLOWANCE: Final = Record(
    Allowance,
    (
        Entry("seam", LENGTH),
        *(Entry(edge, LENGTH, f"edges.{edge}") for edge in get_args(AllowanceEdge)),
        Entry("test", LENGTH),
    ),
)
PINCH: Final = Record(
    Pinch,
    (
        Entry("level", TEXT, required="name the level of the pinch"),
        Entry("edge", choice(*get_args(SeamName)), required='write "outseam" or "inseam"'),
        Entry("depth", SIGNED_LENGTH, required="give the depth of the fold"),
    ),
)
SIGN: Final = Record(
    SeenSign,
    (
        Entry("sign", TEXT, required="name the sign that was seen"),
        Entry("cause", TEXT),
        Entry("where", TEXT),
    ),
)
ROUND: Final = Record(
    Round,
    (
        Entry("design", TEXT, required="name the design that was sewn"),
        Entry("date", DAY),
        Entry("notes", TEXT),
        Entry("printed", DAY),
        Entry("written", DAY),
        Entry("verdict", choice(*get_args(Verdict))),
        Entry("seen", choices(*CHECKLIST)),
        Entry("trouble", choices(*CHECKLIST)),
        Entry("fingerprint", TEXT),
        Entry("design_fingerprint", TEXT),
        Entry("pinch", Many(PINCH), "pinches"),
        Entry("sign", Many(SIGN), "signs"),
    ),
)
PROJECT: Final = Record(
    Project,
    (
        Entry("name", TEXT),
        Entry("length_unit", UNIT, always=True),
        Entry("wearer", WEARER),
        Entry("fabric", FABRIC),
        Entry("block", BLOCK),
        Entry("block_test", BLOCK_TEST),
        Entry("liked", Many(LIKED)),
        Entry("design", Many(DESIGN, named=True), "designs"),
        Entry("allowance", ALLOWANCE),
        Entry("round", Many(ROUND), "rounds"),
        Entry("current", TEXT),
    ),
    _check_project,
)
"""The whole file but for `format`."""
