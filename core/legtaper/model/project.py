"""A project: everything one wearer answered about one garment. Plain values, nothing computed.

Every part may be missing, because a project is saved from the first answer on. What a
computation needs and does not find, it asks for by raising `ProjectError` with the key.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import Literal, get_args

from legtaper.model.lengths import Length
from legtaper.model.sentences import listed

FORMAT = 1

Day = date
"""A name that a field called `date` does not hide."""

Unit = Literal["in", "cm"]
Edge = Literal["front_inseam", "front_outseam", "back_inseam", "back_outseam"]
SeamName = Literal["outseam", "inseam"]
PanelName = Literal["front", "back"]
Side = Literal["left", "right"]
"""A leg, as the wearer has it."""

EDGES: tuple[Edge, ...] = ("front_inseam", "front_outseam", "back_inseam", "back_outseam")
PANELS: dict[PanelName, tuple[Edge, Edge]] = {
    "front": ("front_inseam", "front_outseam"),
    "back": ("back_inseam", "back_outseam"),
}
"""The inseam and the outseam of each panel."""
SEAMS: tuple[SeamName, ...] = ("outseam", "inseam")
_PANEL_OF: dict[Edge, PanelName] = {e: panel for panel, edges in PANELS.items() for e in edges}

Lengths = Mapping[str, Length]
"""Level name -> length."""


def seam_of(edge: Edge) -> SeamName:
    """Return the seam that an edge belongs to."""
    return "outseam" if edge in _OUTSEAMS else "inseam"


def panel_of(edge: Edge) -> PanelName:
    """Return the panel that an edge belongs to."""
    return _PANEL_OF[edge]


SEWN: dict[SeamName, tuple[Edge, Edge]] = {
    "outseam": ("front_outseam", "back_outseam"),
    "inseam": ("front_inseam", "back_inseam"),
}
"""The front and the back edge that are sewn together in each seam."""
_OUTSEAMS = frozenset(SEWN["outseam"])


class ProjectError(ValueError):
    """Something in the project is wrong or missing. `key` names it as the file does."""

    def __init__(self, key: str, problem: str) -> None:
        super().__init__(f"{key}: {problem}" if key else problem)
        self.key = key
        self.problem = problem


NO_DESIGN = "no design yet"
"""Told wherever a project has none."""


class NoDesignError(ProjectError):
    """The project has no design, so nothing comes off yet."""

    def __init__(self) -> None:
        super().__init__("design", f"{NO_DESIGN}; say how much comes off")


Sex = Literal["f", "m"]


@dataclass(frozen=True, slots=True)
class Wearer:
    """Body girths and heights; `None` was not measured.

    age, in whole years, and sex are for estimates where nothing was measured.
    """

    height: Length | None = None
    waist: Length | None = None
    high_hip: Length | None = None
    hip: Length | None = None
    thigh: Length | None = None
    knee: Length | None = None
    knee_bent: Length | None = None
    calf: Length | None = None
    ankle: Length | None = None
    foot_entry: Length | None = None
    foot_length: Length | None = None
    age: int | None = None
    sex: Sex | None = None


MEASURED: tuple[str, ...] = tuple(
    one.name for one in fields(Wearer) if one.name not in ("age", "sex")
)
"""What of a wearer is measured with a tape."""


FabricKind = Literal["woven", "stretch-woven", "knit"]


@dataclass(frozen=True, slots=True)
class Fabric:
    """The fabric of the garment that is being made.

    stays_longer_percent: by how much a strip is longer once it was stretched and let go.
    """

    description: str = ""
    kind: FabricKind = "woven"
    stretch_percent: float = 0.0
    thickness: Length | None = None
    shrink_length_percent: float = 0.0
    shrink_width_percent: float = 0.0
    stays_longer_percent: float | None = None

    @property
    def growth(self) -> tuple[float, float]:
        """By how much the pattern grows across and along, so that the washed leg is as designed.

        A fabric that loses the share s in the wash is cut 1 / (1 - s) as large.
        """
        return 1 / (1 - self.shrink_width_percent / 100), 1 / (1 - self.shrink_length_percent / 100)

    def grown_in_words(self, along: str, across: str) -> str:
        """Return the same in words, as in "3.0 % longer and 2.0 % wider"; not where it is 0."""
        factors = zip((along, across), reversed(self.growth), strict=True)
        return listed([f"{100 * (by - 1):.1f} % {way}" for way, by in factors if by > 1])

    @property
    def usable_stretch(self) -> float:
        """Half of the measured crosswise stretch, as a fraction; 0 for firm woven fabric.

        Source: common practice.
        """
        return 0.0 if self.kind == "woven" else self.stretch_percent / 200

    @property
    def for_a_test(self) -> str:
        """What a muslin of this fabric is sewn in."""
        return "cheap fabric" if self.kind == "woven" else "cheap fabric of like stretch"

    @property
    def stretches(self) -> bool:
        """Whether the smaller ease minima for stretch fabric apply."""
        return self.usable_stretch > 0


CornerRole = Literal["crotch", "hem_inseam", "hem_outseam", "hip", "waist_outseam", "waist_center"]


@dataclass(frozen=True, slots=True)
class PanelOutline:
    """A panel taken from a drawing: the points (x, y) of its net outline in mm, y up.

    The grainline is x = 0, and the line from corner to corner of the hem crosses it at y = 0.
    The outseam of the front lies at the left, that of the back at the right. The ring begins at
    the crotch point, runs down the inseam, along the hem and up the outseam; where the whole
    piece was traced it goes on over the waist and back along the crotch seam.
    `corners` says which point, counted from 0, is the corner of that role, in that order.
    `lines` lie inside (darts, pleats); `notches` on the edge.
    """

    points: tuple[tuple[float, float], ...]
    corners: Mapping[CornerRole, int] = field(default_factory=dict)
    lines: tuple[tuple[tuple[float, float], ...], ...] = ()
    notches: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class BlockTable:
    """A block as measured off paper: level heights and, per edge, reaches from the grainline.

    panel_height: heights of one panel alone, where they are not the block's (a lowered back
    crotch point). An imported block has an `outline` per panel, which stands for the reaches.
    pocket_end: how far down a side pocket or zipper comes, above the hem.
    """

    label: str = ""
    height: Lengths = field(default_factory=dict)
    reach: Mapping[Edge, Lengths] = field(default_factory=dict)
    outline: Mapping[PanelName, PanelOutline] = field(default_factory=dict)
    panel_height: Mapping[PanelName, Lengths] = field(default_factory=dict)
    pocket_end: Length | None = None


@dataclass(frozen=True, slots=True)
class BlockTest:
    """What the muslin of the unaltered block showed; `fingerprint` is of the block sewn."""

    verdict: Literal["hangs clean", "needs fitting"]
    date: date | None = None
    notes: str = ""
    fingerprint: str = ""


@dataclass(frozen=True, slots=True)
class Liked:
    """A garment whose legs she likes, measured level by level.

    `width` is of the whole leg, doubled when `measured` is "flat". `front_width` and
    `back_width` are of one panel from seam to seam; together they go around the leg.
    """

    garment: str
    stretch_percent: float = 0.0
    measured: Literal["flat", "round"] = "flat"
    width: Lengths = field(default_factory=dict)
    front_width: Lengths = field(default_factory=dict)
    back_width: Lengths = field(default_factory=dict)

    @property
    def usable_stretch(self) -> float:
        """Half of the stretch of its own fabric, as a fraction."""
        return self.stretch_percent / 200


Style = Literal["follow", "straight"]
HemStyle = Literal["single", "double", "faced"]


@dataclass(frozen=True, slots=True)
class HemPlan:
    """How the hem is finished. `None` takes the default for the project's unit.

    height: where the leg ends, above the hem of the block; negative is below it.
    """

    style: HemStyle = "single"
    depth: Length | None = None
    turn_under: Length | None = None
    height: Length | None = None


Slit = Literal["auto", "none"] | Length


@dataclass(frozen=True, slots=True)
class Design:
    """One way to narrow the leg. A level stands in `take_in` or in `width`, never in both.

    parent: the design that this one was made from; from_round: the number of the muslin round
    whose pinches it takes up, counted from 1. shift: how far the center of the leg moves towards
    the outseam at a level, the width staying; negative is towards the inseam. back_room: how much
    wider the back panel is at a level than with the same off every edge, half of it at each seam.
    """

    name: str
    take_in: Lengths = field(default_factory=dict)
    width: Lengths = field(default_factory=dict)
    extra: Mapping[SeamName, Lengths] = field(default_factory=dict)
    blend: Mapping[SeamName, Length] = field(default_factory=dict)
    curve: Mapping[SeamName, Length] = field(default_factory=dict)
    style: Style = "follow"
    hem: HemPlan = field(default_factory=HemPlan)
    slit: Slit = "none"
    parent: str | None = None
    from_round: int | None = None
    shift: Lengths = field(default_factory=dict)
    back_room: Lengths = field(default_factory=dict)


AllowanceEdge = Literal["outseam", "inseam", "waist", "crotch", "slit"]


@dataclass(frozen=True, slots=True)
class Allowance:
    """Seam allowances; an edge that is not named takes `seam`, and `None` the unit's default."""

    seam: Length | None = None
    edges: Mapping[AllowanceEdge, Length] = field(default_factory=dict)
    test: Length | None = None
    """Along the outseams of a muslin; `None` takes the unit's default."""


@dataclass(frozen=True, slots=True)
class Pinch:
    """A fold pinched out of the muslin at a seam; negative lets out."""

    level: str
    edge: SeamName
    depth: Length


LEGS: tuple[str, ...] = ("narrowed", "unaltered", "both")
"""Which leg of a muslin shows a sign."""


@dataclass(frozen=True, slots=True)
class SeenSign:
    """A sign seen in the muslin: its name, what it was put down to, and where on which leg."""

    sign: str
    cause: str = ""
    where: str = ""


Verdict = Literal["closer", "too far", "done"]
Trial = Literal["put the foot through", "stand", "bend the knee", "sit", "climb a step"]

CHECKLIST: tuple[Trial, ...] = get_args(Trial)
"""What the wearer does in the muslin, in the order of `Trial`: no pose is taken twice.

Common practice.
"""


@dataclass(frozen=True, slots=True)
class Round:
    """One muslin round: which design was sewn, when, what was seen, what was pinched.

    printed: when the pattern of it was printed, `date`: when it was tried on. seen: what of the
    checklist was tried, trouble: what of it did not go well. fingerprint: of the block it was
    sewn on, design_fingerprint: of the design as it was then. signs: what fabric and seams showed.
    written: when the pattern of the design that it accepted was written.
    """

    design: str
    date: date | None = None
    notes: str = ""
    pinches: tuple[Pinch, ...] = ()
    printed: Day | None = None
    verdict: Verdict | None = None
    seen: tuple[Trial, ...] = ()
    trouble: tuple[Trial, ...] = ()
    fingerprint: str = ""
    design_fingerprint: str = ""
    signs: tuple[SeenSign, ...] = ()
    written: Day | None = None


@dataclass(frozen=True, slots=True)
class Project:
    """One wearer and one garment.

    `current` names the design that is meant where none is named; `design` says what `None` means.
    """

    name: str = ""
    length_unit: Unit = "in"
    wearer: Wearer = field(default_factory=Wearer)
    fabric: Fabric = field(default_factory=Fabric)
    block: BlockTable = field(default_factory=BlockTable)
    block_test: BlockTest | None = None
    liked: tuple[Liked, ...] = ()
    designs: tuple[Design, ...] = ()
    allowance: Allowance = field(default_factory=Allowance)
    rounds: tuple[Round, ...] = ()
    current: str | None = None

    def design(self, name: str | None = None) -> Design:
        """Return the named design, else the one that is meant where none is named.

        That is the one `current` names, else the one accepted last, else the last of the file.
        Raises `ProjectError` for a name that is unknown, `NoDesignError` where there is none.
        """
        if not self.designs:
            raise NoDesignError
        if name is None:
            name = self.current or self._accepted_last or self.designs[-1].name
        for design in self.designs:
            if design.name == name:
                return design
        known = ", ".join(f'"{design.name}"' for design in self.designs)
        raise ProjectError("design", f'there is no design "{name}"; the file has {known}')

    @property
    def accepted_designs(self) -> dict[str, int]:
        """The designs whose last verdict is "done", each with the number of that round."""
        judged = {one.design: n for n, one in enumerate(self.rounds, 1) if one.verdict}
        return {name: n for name, n in judged.items() if self.rounds[n - 1].verdict == "done"}

    @property
    def _accepted_last(self) -> str | None:
        done = self.accepted_designs
        return max(done, key=done.__getitem__) if done else None

    def with_design(self, changed: Design) -> Project:
        """Return the project with the design of that name replaced, or added at the end."""
        names = [design.name for design in self.designs]
        if changed.name not in names:
            return replace(self, designs=(*self.designs, changed))
        kept = tuple(changed if old.name == changed.name else old for old in self.designs)
        return replace(self, designs=kept)

    def renamed(self, old: str, new: str) -> Project:
        """Return the project with a design renamed, and everything that names it with it."""

        def name(given: str | None) -> str | None:
            return new if given == old else given

        designs = tuple(
            replace(design, name=name(design.name) or "", parent=name(design.parent))
            for design in self.designs
        )
        rounds = tuple(replace(one, design=name(one.design) or "") for one in self.rounds)
        return replace(self, designs=designs, rounds=rounds, current=name(self.current))

    def without_design(self, name: str) -> Project:
        """Return the project without a design; what was made from it comes from its parent.

        Raises `ProjectError` where a round has sewn it, for nothing that was sewn is deleted.
        """
        gone = self.design(name)
        if any(one.design == name for one in self.rounds):
            raise ProjectError("design", f'"{name}" was sewn in a round, so it stays')
        designs = tuple(
            replace(design, parent=gone.parent) if design.parent == name else design
            for design in self.designs
            if design is not gone
        )
        current = None if self.current == name else self.current
        return replace(self, designs=designs, current=current)
