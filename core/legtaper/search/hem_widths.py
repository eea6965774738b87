"""Which hem widths work: every width from the block's own down, judged and set out in a table."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from legtaper.checks.ease import BENT, RAISED, close_places, finding_of
from legtaper.checks.opening import easy_opening
from legtaper.checks.registry import fails_as
from legtaper.geometry.curves import Array
from legtaper.leg.widths import besides
from legtaper.model.lengths import say_length
from legtaper.model.project import Unit
from legtaper.model.said_lengths import bound, say_around, say_bound, say_fine
from legtaper.model.sentences import listed
from legtaper.pattern import Fit, fit_design
from legtaper.search.sweep import (
    EASE_LEVELS,
    PAPER,
    Names,
    Sweep,
    is_quick,
    joined,
    sweep,
    widest_hem,
)

Works = Literal["without a slit", "with a slit", "no"]

_STEP = {"in": 12.7, "cm": 10.0}
_ROUND = {"in": 25.4 / 8, "cm": 1.0}
_MOST_ROWS = 16
_FINE = 512
_CLOSE, _HALVINGS = 0.1, 8  # mm off each edge between rows that do not work alike, and how often
_BELOW = 2  # rows shown below the narrowest that works
_BAR = 10
_SIGNS: dict[Works, str] = {
    "without a slit": "=", "with a slit": "+", "no": "x",
}  # fmt: skip

_CLOSE_MARK, _TUG = "!", "tug"
_BESIDE = {"calf": ("calf", RAISED), "knee": ("knee", BENT), "thigh": ("thigh",)}
"""In which column the mark of each place stands."""

_MEANINGS = {
    _SIGNS["without a slit"]: "works as it is",
    _SIGNS["with a slit"]: "works with a slit",
    _SIGNS["no"]: "does not work; the reason is beside it",
    _CLOSE_MARK: "less ease than the fabric needs, standing, knee bent or up: a warning",
    _TUG: "the foot goes through with a tug: a warning",
}
"""What each sign of the table says; the warnings only where they are used."""


class HemWidth(NamedTuple):
    """One width of the hem around the leg, mm, the design's other answers staying.

    take_in: off each edge. slit: the lowest that lets the foot through and stays open above the
    hem, 0 where none is needed, `None` where none is enough or the foot entry is unknown. ease: at
    calf, knee and thigh, of those that were measured; close: where it is less than the fabric
    needs, at one of those, at the bent knee or the calf with the knee up. first_to_fail: a
    finding's id, or "". tug: no slit, and the foot just passes.
    """

    hem: float
    take_in: float
    works: Works
    slit: float | None
    ease: dict[str, float]
    first_to_fail: str
    close: tuple[str, ...] = ()
    tug: bool = False

    @property
    def warns(self) -> tuple[str, ...]:
        """The ids of the findings that warn of ease, or of a tug, where it works."""
        if self.works == "no":
            return ()
        return (*(["hem-opening"] if self.tug else []), *map(finding_of, self.close))


Close = Mapping[str, NDArray[np.bool_]]
"""For each place, in which rows of a sweep it has less ease than the fabric needs."""

Span = tuple[Works, float, float]
"""How hems work, and the narrowest and the widest of a run that does, mm."""


@dataclass(frozen=True, slots=True)
class HemWidths:
    """The table, widest first, and the hems from widest to narrowest that work alike.

    least: where the table ends: around the ankle, or half of the block's hem where that was not
    measured. ends_at: what fails first below the narrowest that works, "" where nothing does;
    begins_at: the same above the widest that works. close_below: the hem below which there
    is less ease than the fabric needs, and where. no_tug: the narrowest hem that the foot
    passes easily, `None` where it is unknown or fails. besides: what to say after "off each
    edge". open_end: whether narrower hems than the last row may work, too. no_slit: whether the
    design leaves one out.
    """

    rows: tuple[HemWidth, ...]
    spans: tuple[Span, ...]
    foot_known: bool
    unit: Unit
    least: float
    ends_at: str
    begins_at: str = ""
    no_tug: float | None = None
    besides: str = ""
    close_below: tuple[float, str] | None = None
    open_end: bool = False
    no_slit: bool = False


def hem_widths(fitted: Fit) -> HemWidths:
    """Judge the hem widths of a design, as if it had whatever slit the foot needs."""
    opened = fit_design(fitted.project, replace(fitted.design, slit="auto"), fitted.block)
    unit = fitted.project.length_unit
    widest = widest_hem(opened)
    ankle, stretch = fitted.project.wearer.ankle, fitted.project.fabric.usable_stretch
    least = min(widest, ankle.mm / (1 + stretch) if ankle else widest / 2)
    takes = [shown := (widest - _round_widths(widest, least, unit)) / 4]
    takes.append(np.array([(widest - least) / 4]))
    if is_quick(opened):
        takes.append(np.linspace(0, (widest - least) / 4, _FINE))
    if opened.foot and least < opened.foot.mm / (1 + stretch) < widest:
        takes.append(np.array([(widest - opened.foot.mm / (1 + stretch)) / 4]))
    found = sweep(opened, np.concatenate(takes))
    if not is_quick(opened):
        found = _refined(opened, found)
    works = _works(found)
    spans = _runs(found.hem, works)
    narrowest = min((low for how, low, _ in spans if how != "no"), default=math.inf)
    widest_that_works = max((high for how, _, high in spans if how != "no"), default=math.inf)
    below, above = found.hem < narrowest - 1e-6, found.hem > widest_that_works + 1e-6
    ends_at = str(found.first_to_fail[below][found.hem[below].argmax()]) if below.any() else ""
    begins_at = str(found.first_to_fail[above][found.hem[above].argmin()]) if above.any() else ""
    close = close_places(opened.project, found.finished)
    rows = [_row(opened, found, works, close, i) for i in range(len(shown)) if found.hem[i] > 0]
    last = max((i for i, row in enumerate(rows) if row.works != "no"), default=0)
    kept = tuple(rows[: last + 1 + _BELOW])
    easy = easy_hem(opened)
    return HemWidths(
        kept, spans, opened.foot is not None, unit, least, ends_at, begins_at,
        easy if easy is not None and any(_is_inside(easy, span) for span in spans) else None,
        besides(fitted.design, "hem"),
        _close_below(found, close, np.isin(works, ("with a slit", "without a slit"))),
        open_end=not ends_at and ankle is None, no_slit=fitted.design.slit == "none",
    )  # fmt: skip


def easy_hem(fitted: Fit) -> float | None:
    """Return the narrowest hem, mm, that the foot passes without slit or tug, where it is known."""
    if fitted.foot is None:
        return None
    return easy_opening(fitted.project, fitted.foot) / (1 + fitted.project.fabric.usable_stretch)


def _is_inside(hem: float, span: Span) -> bool:
    how, low, high = span
    return how == "without a slit" and low + 0.5 < hem <= high


def _refined(opened: Fit, found: Sweep) -> Sweep:
    """Return a sweep with more rows between neighbors that do not work alike, to `_CLOSE` mm."""
    for _ in range(_HALVINGS):
        order = np.argsort(found.take_in)
        takes, works, fails = found.take_in[order], _works(found)[order], found.first_to_fail[order]
        close = _closeness(opened, found)[order]
        unlike = (works[1:] != works[:-1]) | (fails[1:] != fails[:-1]) | (close[1:] != close[:-1])
        wide = unlike & (np.diff(takes) > _CLOSE)
        if not wide.any():
            break
        found = joined([found, sweep(opened, (takes[1:] + takes[:-1])[wide] / 2)])
    return found


def _closeness(opened: Fit, found: Sweep) -> NDArray[np.int_]:
    """Return at how many places each row of a sweep has less ease than the fabric needs."""
    many = np.zeros(len(found.hem), int)
    for close in close_places(opened.project, found.finished).values():
        many += close
    return many


def _round_widths(widest: float, least: float, unit: Unit) -> Array:
    """Return the widest hem and the round numbers below it, mm: few enough for a screen."""
    step = _STEP[unit]
    while (widest - least) / step > _MOST_ROWS:
        step *= 2
    first, last = math.ceil(widest / step - 1e-6) - 1, math.ceil(least / step - 1e-6)
    below = np.arange(first, last - 1, -1) * step
    return np.append(widest, below)


def _works(found: Sweep) -> Names:
    """Return how each row of a sweep works; "" where there is no leg."""
    failed, slit = found.first_to_fail, found.slit
    how = [failed == PAPER, failed != "", slit > 0]
    names: Names = np.select(how, ["", "no", "with a slit"], "without a slit")
    return names


def _row(fitted: Fit, found: Sweep, works: Names, places: Close, i: int) -> HemWidth:
    girths = _girths(fitted)
    ease = {level: float(found.finished[level][i]) - girth for level, girth in girths.items()}
    how = next(name for name in _SIGNS if name == works[i])
    slit = None if np.isnan(found.slit[i]) else float(found.slit[i])
    if slit:  # a lower one would be closed by the sewn-down hem
        slit = bound(max(slit, fitted.slit.shortest), fitted.project.length_unit, "at least")
    close = tuple(name for name, flags in places.items() if flags[i])
    hem, take = float(found.hem[i]), float(found.take_in[i])
    easy = easy_hem(fitted)
    tug = how == "without a slit" and easy is not None and hem < easy - 1e-9
    return HemWidth(hem, take, how, slit, ease, str(found.first_to_fail[i]), close, tug)


def _girths(fitted: Fit) -> dict[str, float]:
    """Return what was measured around the body at the levels of the ease, mm."""
    measured = {level: getattr(fitted.project.wearer, level) for level in EASE_LEVELS}
    return {
        level: girth.mm for level, girth in measured.items()
        if girth is not None and level in fitted.block.heights
    }  # fmt: skip


def _close_below(found: Sweep, places: Close, works: NDArray[np.bool_]) -> tuple[float, str] | None:
    """Return the hem below which a place is close, and which, where the widest of all is not.

    One that is close with every hem is so by something else.
    """
    if not works.any():
        return None
    hems = found.hem[works]
    begins: list[tuple[float, str]] = []
    for name, flags in places.items():
        close = flags[works]
        if close.any() and not close[hems.argmax()]:
            wider = hems[~close & (hems > hems[close].max())]
            begins.append((float(wider.min()), name))
    return max(begins, default=None)


def _runs(hems: Array, works: Names) -> tuple[Span, ...]:
    """Return the runs of hems that work alike, the widest first."""
    runs: list[Span] = []
    for i in np.argsort(-hems, kind="stable"):
        how = next((name for name in _SIGNS if name == works[i]), None)
        if how is None:  # no leg is left
            continue
        hem = float(hems[i])
        if runs and runs[-1][0] == how:
            runs[-1] = how, hem, runs[-1][2]
        else:
            runs.append((how, hem, hem))
    return tuple(runs)


def sentence(found: HemWidths) -> str:
    """Say which widths work, the narrow ends rounded up to what a tape shows."""
    parts: list[str] = []
    above: Works | None = "no"
    last = max((i for i, (how, *_) in enumerate(found.spans) if how != "no"), default=-1)
    for i, (how, low, high) in enumerate(found.spans):
        if how != "no":
            least = say_bound(low, found.unit, "at least")
            most = say_bound(high, found.unit, "at most")
            bounds = f"from {least} to {most}" if above == "no" else f"down to {least}"
            if found.no_tug is not None and low < found.no_tug <= high and how != "with a slit":
                easy = say_bound(found.no_tug, found.unit, "at least")
                bounds += f", with a tug below {easy}"
            if i == last and found.open_end:
                bounds += " and narrower"
            left_out = ", which the design leaves out," if found.no_slit else ""
            parts.append(f"{how}{left_out if how == 'with a slit' else ''} {bounds}")
        above = how
    if not parts:
        return f"No hem width works with these answers{_why_none(found)}."
    says = f"Hem widths that work: {'; '.join(parts)}."
    if not found.foot_known:
        says += " The foot entry is unknown, so whether the foot passes is not judged."
    if found.begins_at:
        says += f" Wider fails: {fails_as(found.begins_at)}."
    if found.ends_at:
        says += f" Narrower fails: {fails_as(found.ends_at)}."
    if found.close_below:
        hem, level = found.close_below
        easy = say_bound(hem, found.unit, "at least")
        says += f" A hem below {easy} gets a warning: it is close at the {level}."
    return says


def _why_none(found: HemWidths) -> str:
    """Say what fails first in every row, or in the widest and the narrowest."""
    fails = [row.first_to_fail for row in found.rows if row.first_to_fail]
    said = list(dict.fromkeys(fails_as(one) for one in (*fails[:1], *fails[-1:])))
    return f": {' or '.join(said)}" if said else ""


def table(found: HemWidths) -> list[str]:
    """Return the table with its chart as lines of at most 75 columns, in plain letters."""
    unit = found.unit
    heads = (
        ("around", "off each", "slit", *["ease"] * len(EASE_LEVELS), f"({unit})"),
        ("the hem", "edge", "needed", *EASE_LEVELS, ""),
    )
    cells = [
        (
            _fine(row.hem, unit),
            _fine(row.take_in, unit),
            _slit(row, found),
            *_eases(row, unit),
        )
        for row in found.rows
    ]
    columns = zip(*(head[:-1] for head in heads), *cells, strict=True)
    least = (8, 9, 7, 8, 8, 8)
    widths = [
        max(wide, *(len(text) + 1 for text in column))
        for wide, column in zip(least, columns, strict=True)
    ]

    def line(texts: Sequence[str], end: str) -> str:
        padded = (f"{text:<{wide}}" for text, wide in zip(texts, widths, strict=True))
        return f"{''.join(padded)} {end}".rstrip()

    lines = [line(head[:-1], head[-1]) for head in heads]
    longest = max((row.hem for row in found.rows), default=1.0)
    for row, texts in zip(found.rows, cells, strict=True):
        bar = _SIGNS[row.works] * max(1, round(_BAR * row.hem / longest))
        fails = f"x {fails_as(row.first_to_fail)}" if row.first_to_fail else ""
        lines.append(line(texts, fails or bar))
    if found.besides:
        lines += ["", f"off at each edge: {found.besides.strip(', ')}"]
    drawn = {
        *_SIGNS.values(),
        *(_CLOSE_MARK for row in found.rows if row.close),
        *(_TUG for row in found.rows if row.tug),
    }
    says = (f"{sign:<4}{meaning}" for sign, meaning in _MEANINGS.items() if sign in drawn)
    return [*lines, "", *says]


def spoken(found: HemWidths) -> list[str]:
    """Return the table as one sentence for each row, for where columns are not seen."""
    unit = found.unit
    says = []
    for row in found.rows:
        how = row.works if row.works != "no" else f"not, {fails_as(row.first_to_fail)}"
        if row.works == "with a slit" and row.slit:
            how += f" of {say_length(row.slit, unit)}"
        if row.tug:
            how += ", the foot goes through with a tug"
        if row.close and row.works != "no":
            how += f", close at the {listed(row.close)}"
        hem, take = say_around(row.hem, unit), say_fine(row.take_in, unit)
        says.append(f"{hem} around, {take} off each edge{found.besides}: {how}.")
    return says


def _fine(mm: float, unit: Unit) -> str:
    return say_fine(mm, unit).removesuffix(f" {unit}")


def _plain(mm: float, unit: Unit) -> str:
    return say_length(mm, unit).removesuffix(f" {unit}")


def _slit(row: HemWidth, found: HemWidths) -> str:
    if not found.foot_known:
        return "?"
    if row.slit is None:
        return "none does"
    return _plain(row.slit, found.unit) if row.slit else _TUG if row.tug else "none"


def _eases(row: HemWidth, unit: Unit) -> list[str]:
    return [
        _fine(row.ease[level], unit) + _CLOSE_MARK * any(one in row.close for one in _BESIDE[level])
        if level in row.ease
        else "?"
        for level in EASE_LEVELS
    ]
