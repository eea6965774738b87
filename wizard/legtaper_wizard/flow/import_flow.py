"""A drawing on the table: which outline is which panel, how it is read, and where corners lie."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import cast

import numpy as np

from legtaper.block_sources.drawing_file import Imported, Kind, Tracing, Wanted, import_block
from legtaper.block_sources.drawing_file import read_drawing as read
from legtaper.block_sources.panel_outline import Asked, Up
from legtaper.block_sources.traced import Traced, check_size, named
from legtaper.model.cancel import Going, wanted
from legtaper.model.lengths import Length, from_mm, say_length
from legtaper.model.project import PANELS, PanelName, Project, ProjectError, Unit
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import understood
from legtaper_wizard.flow.new_project import bytes_of, length
from legtaper_wizard.flow.shapes import AnswerError, Field

AS_FOUND = "as found"
SHOWN = 8
"""Outlines that can be chosen from, the largest; a pattern has two."""

_SLOW = 0.3  # s

_PX = tuple((f"{px:g}", f"{px:g}") for px in (96.0, 72.0, 90.0, 25.4, 2.54, 300.0, 150.0))
UNITS = tuple((unit, unit) for unit in ("mm", "cm", "in", "ft", "m"))
_UPS = tuple((way, way) for way in (AS_FOUND, "top", "bottom", "left", "right"))
KEYS: Mapping[str, str] = {"front": "as_front", "back": "as_back"}
"""Which question says which outline a panel is."""


@dataclass(frozen=True)
class Said:
    """What was said about a drawing, as texts; "" leaves it to the file or to the proposal."""

    as_front: str = ""
    as_back: str = ""
    up: str = ""
    seam: str = ""
    hem: str = ""
    scale: str = ""


@dataclass(frozen=True, eq=False)
class Sheet:
    """A drawing that was read, what was said about it, and what was moved in it.

    asked: corners and grainlines that were moved. height: levels in mm that were moved. slow:
    whether it took so long to read that it is not read again before that is agreed to.
    """

    path: Path
    data: bytes
    tracing: Tracing
    unit: Unit
    said: Said = field(default_factory=Said)
    asked: Mapping[PanelName, Asked] = field(default_factory=dict)
    height: Mapping[str, float] = field(default_factory=dict)
    slow: bool = False

    # --- which is which ----------------------------------------------------------------------

    @property
    def outlines(self) -> tuple[Traced, ...]:
        """The outlines to choose from."""
        return self.tracing.outlines[:SHOWN]

    @property
    def left_out(self) -> int:
        """How many smaller outlines are not shown."""
        return len(self.tracing.outlines) - len(self.outlines)

    def chosen(self, name: PanelName) -> str:
        """Return the id of the outline that is a panel."""
        return str(getattr(self.said, KEYS[name]))

    def size(self, outline: Traced) -> str:
        """Say how large an outline is."""
        wide, tall = np.ptp(outline.points, axis=0)
        across, unit = say_length(float(wide), self.unit), self.unit
        return f"{across.removesuffix(unit).strip()} x {say_length(float(tall), unit)}"

    def fields(self) -> tuple[Field, ...]:
        """Return what is asked about the drawing."""
        svg = self.path.suffix.lower() == ".svg"
        which = tuple(
            (one.id, f"{n} {clean(one.id, 12)}") for n, one in enumerate(self.outlines, 1)
        )
        if sum(len(label) + 6 for _, label in which) > 60:
            which = tuple((one.id, str(n)) for n, one in enumerate(self.outlines, 1))
        scale = Field("scale", "Px per inch", "choice", _PX_HOW, _PX) if svg else Field(
            "scale", "Unit", "choice", _UNIT_HOW, UNITS
        )  # fmt: skip
        usual = self.tracing.scale.removeprefix("px at ")
        return (
            Field("as_front", "Front", "choice", "Which outline is the front?", which),
            Field("as_back", "Back", "choice", "Which outline is the back?", which),
            Field("up", "Waist is at", "choice", _UP_HOW, _UPS, placeholder=AS_FOUND),
            Field("seam", "Seam allowance", "length", _SEAM_HOW, if_skipped=_NET),
            Field("hem", "Hem allowance", "length", _HEM_HOW, if_skipped="it is as the seams"),
            scale._replace(placeholder=usual),
        )

    def echo(self, key: str, text: str) -> str:
        """Say what an answer would be understood as. Raises `AnswerError`."""
        if key in KEYS.values():
            one = self._outline(key, text)
            return f"{clean(one.id, 40)}, {self.size(one)}"
        if key == "scale":
            return text if self.slow else self.scale_said(text)
        self.answered(key, text)
        return understood(length(key, text, self.unit)) if key in ("seam", "hem") else text

    def scale_said(self, text: str) -> str:
        """Say what a scale makes of the outline that is the front."""
        one = next((found for found in self.outlines if found.id == self.said.as_front), None)
        again = self.answered("scale", text).outlines
        sizes = [self.size(new) for new in again if one is not None and new.id == one.id]
        return f"{text}: the front would be {sizes[0]}" if sizes else text

    def answered(self, key: str, text: str, going: Going = wanted) -> Sheet:
        """Return it with one thing said. Raises `AnswerError`.

        A scale has the drawing read again; raises `Cancelled` where `going` says no.
        """
        text = text.strip()
        if key in KEYS.values() and text:
            text = self._outline(key, text).id
        if key in ("seam", "hem") and text:
            try:
                length(key, text, self.unit)
            except ProjectError as error:
                raise AnswerError(key, error.problem) from None
        if text == getattr(self.said, key):
            return self
        said = replace(self.said, **{key: "" if text == AS_FOUND else text})
        if key == "scale":
            try:
                tracing = _read(self.path, self.data, text, going)
            except ProjectError as error:
                raise AnswerError(key, str(error)) from None
            return replace(self, tracing=tracing, said=said, asked={}, height={})
        which = key in KEYS.values()
        asked = {name: one for name, one in self.asked.items() if which and KEYS[name] != key}
        return replace(self, said=said, asked=asked, height={})

    def _outline(self, key: str, text: str) -> Traced:
        """Return the outline that is meant. Raises `AnswerError`."""
        for one in self.outlines:
            if one.id.strip() == text.strip():
                return one
        raise AnswerError(key, "there is no such outline in the list")

    # --- what comes of it --------------------------------------------------------------------

    def proposed(self) -> Imported:
        """Return the block that is proposed. Raises `AnswerError` naming what to answer else."""
        said = self.said
        for name in PANELS:
            if not self.chosen(name):
                raise AnswerError(KEYS[name], f"say which outline is the {name}")
        if said.as_front == said.as_back:
            raise AnswerError("as_back", "front and back are the same outline; choose another one")
        try:
            for name in PANELS:
                one = named(self.tracing.outlines, self.chosen(name), name)
                check_size(one, name, self.unit, self.tracing.scale, self.tracing.others)
        except ProjectError as error:
            raise AnswerError("scale", str(error)) from None
        try:
            height = {level: self._length(mm) for level, mm in self.height.items()}
            asked = {name: self.asked_of(name) for name in PANELS}
            wanted = Wanted(said.as_front, said.as_back, asked, height)
            return import_block(self.tracing, wanted, self.unit, clean(self.path.stem, 60))
        except ProjectError as error:
            panel = next((name for name in PANELS if error.key.startswith(name)), "")
            raise AnswerError(KEYS.get(panel, "as_front"), _plainly(error)) from None

    def asked_of(self, name: PanelName) -> Asked:
        """Return what is said about a panel, allowances and all."""
        seam = length("seam", self.said.seam, self.unit).mm if self.said.seam else 0.0
        hem = length("hem", self.said.hem, self.unit).mm if self.said.hem else None
        up = cast("Up", self.said.up) if self.said.up else None
        return replace(self.asked.get(name, Asked()), up=up, seam=seam, hem=hem)

    def _length(self, mm: float) -> Length:
        return from_mm(mm, self.unit)

    def into(self, project: Project) -> Project:
        """Return the project with the block. Raises `AnswerError`."""
        return replace(project, block=self.proposed().table)


def _plainly(error: ProjectError) -> str:
    """Return what is wrong without the file's own name for where."""
    where = error.key.removeprefix("block.").removeprefix("outline.").replace(".", " ")
    return f"{where}: {error.problem}" if where else error.problem


_PX_HOW = (
    "Only counts where the file is in px: 96 today, 72 or 90 in older programs. At 25.4 one px "
    "is 1 mm, at 2.54 it is 1 cm."
)
_UNIT_HOW = "What one unit of the drawing is."
_UP_HOW = "Where the waist is in the drawing; as found takes the wide end as the top."
_SEAM_HOW = "Where the outline is a cut edge: how wide the seam allowance on it is."
_HEM_HOW = "The hem's allowance, where it is not as wide as the seams'."
_NET = "the outline counts as the seam line"


def place_of(text: str, folder: Path) -> Path:
    """Return the file that is meant: in the project's folder where it is there, else from here."""
    path = Path(text)
    with contextlib.suppress(RuntimeError):  # no such account
        path = path.expanduser()
    with contextlib.suppress(OSError):  # no name that a file can have
        if (folder / path).is_file():
            return folder / path
    return path


def open_sheet(path: Path, unit: Unit, scale: str = "", going: Going = wanted) -> Sheet:
    """Read a drawing, and guess which outline is which. Raises `ProjectError` in one line.

    The key of the error is "unit" where the file does not say its own and `scale` is "". Raises
    `Cancelled` where `going` says no.
    """
    if path.suffix.lower() not in (".svg", ".dxf"):
        raise ProjectError("", "its name must end in .svg or .dxf")
    try:
        data = bytes_of(path)
    except OSError:  # too long, for one
        raise ProjectError("", "that is no name that a file can have") from None
    began = time.monotonic()
    tracing = _read(path, data, scale, going)
    slow = time.monotonic() - began > _SLOW
    sheet = Sheet(path, data, tracing, unit, Said(scale=scale), slow=slow)
    if not sheet.outlines:
        raise ProjectError("", "it has no closed outline of the size of a leg; trace each panel")
    front, back = _guess(sheet.outlines)
    return replace(sheet, said=replace(sheet.said, as_front=front, as_back=back))


def _read(path: Path, data: bytes, scale: str, going: Going = wanted) -> Tracing:
    kind = cast("Kind", path.suffix.lower())
    if kind == ".svg":
        return read(data, kind, px_per_inch=float(scale) if scale else None, going=going)
    return read(data, kind, unit=scale or None, going=going)


def _guess(outlines: tuple[Traced, ...]) -> tuple[str, str]:
    """Return front and back by their names, else of the two largest the smaller as the front."""
    if len(outlines) == 1:
        return outlines[0].id, ""
    by_name = []
    for name in PANELS:
        fits = [one.id for one in outlines if name in one.id.lower()]
        by_name.append(min(fits, key=len, default=""))
    if all(by_name) and by_name[0] != by_name[1]:
        return by_name[0], by_name[1]
    return outlines[1].id, outlines[0].id
