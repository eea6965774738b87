"""What is the same in every project: the paper, and how a day is written.

A small file in the user's own folder; what it leaves open is taken from the locale.
"""

from __future__ import annotations

import locale
import os
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from legtaper.files.atomic_write import StoreError, read_plain
from legtaper.model.lengths import RULER_STEP, STEPS, parse_length
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.dates import ORDERS, Order

if TYPE_CHECKING:
    from legtaper.model.project import Unit
    from legtaper.outputs.printing import Correction

LENGTHS: Mapping[str, str] = {"seam": "allowance.seam", "hem": "design.hem.depth"}
"""Settings that are lengths, each with the key of a new project that it is for."""

MEASURED = "measured-"
"""How a setting begins that keeps the printed size of the test rectangle, for one paper."""

_ROLL = "roll"  # every roll is one paper here: they are printed by one plotter

# Where Letter is the usual paper: Unicode CLDR, supplemental data, paperSize "US-Letter"
# (from memory).
_LETTER = frozenset(
    ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")
)
# Where a tape has inches: Unicode CLDR, supplemental data, measurementSystem "US" (from memory),
# and GB and CA, where sewing patterns are in inches still (common practice).
_INCHES = frozenset(("LR", "MM", "PR", "US", "GB", "CA"))
_PAPER_OF_UNIT: Mapping[Unit, str] = {"in": "letter", "cm": "a4"}
_LARGEST = 10_000

FOLDER_SETTINGS = "legtaper-settings.toml"
"""A folder's own settings: beside the project first, then where one works, then a person's."""


class Settings(NamedTuple):
    """What holds. paper: `None` where neither file nor locale says one."""

    paper: str | None
    dates: Order
    measured: Mapping[str, str] = MappingProxyType({})
    """The printed size of the test rectangle by paper, as it was typed."""
    unit: Unit = "in"
    """What a new project counts in where nothing else says so."""
    step: str | None = None
    """What marks are rounded to; `None` goes by the project's unit, as `step_for` says."""
    lengths: Mapping[str, str] = MappingProxyType({})
    """Keys of a new project, as `LENGTHS` has them, with their lengths as they were typed."""

    def correction_for(self, paper: str) -> Correction:
        """Return by how much larger a paper's pages are drawn, for the error of its printer."""
        from legtaper.outputs.printing import TRUE, read_measured

        typed = self.measured.get(measured_key(paper))
        return read_measured(typed) if typed else TRUE

    def paper_for(self, unit: Unit) -> str:
        """Return the paper that is meant where none is named, in a project in `unit`."""
        return self.paper or _PAPER_OF_UNIT[unit]

    def step_for(self, unit: Unit) -> str:
        """Return what marks are rounded to where nothing else is said, in a project in `unit`."""
        return self.step or RULER_STEP[unit]


def settings_file() -> Path:
    """Return where the settings are, whether or not the file is there."""
    from platformdirs import user_config_path

    return user_config_path("legtaper", appauthor=False) / "settings.toml"


class _Place:
    """The folder of the project that is worked on; a session or a command has one at a time."""

    folder: Path | None = None


def work_beside(project: Path | None) -> None:
    """Have the settings beside a project file go before all others from now on."""
    _Place.folder = project.parent if project else None


def settings(folder: Path | None = None) -> Settings:
    """Return what holds now: beside the project, else where one works, else a person's own.

    folder: of a project that is not open yet. A file that cannot be read never stops the work.
    """
    try:
        written: dict[str, str] = {}
        for _, said in _layers(folder):
            written |= said
        return _settle(written)
    except StoreError:
        return _settle({})


def _layers(folder: Path | None = None) -> Iterator[tuple[str, dict[str, str]]]:
    """Return who says what, in words; what comes later goes before. Raises `StoreError`."""
    yield "set", read_settings()
    yield "set in the folder you work in", read_settings(Path(FOLDER_SETTINGS))
    if beside := folder or _Place.folder:
        yield "set beside the project", read_settings(beside / FOLDER_SETTINGS)


def _settle(written: Mapping[str, str]) -> Settings:
    paper = written.get("paper") or _local_paper()
    order = next((known for known in ORDERS if known == written.get("dates")), None)
    measured = {key: value for key, value in written.items() if key.startswith(MEASURED)}
    said: Unit | None = next((one for one in _PAPER_OF_UNIT if one == written.get("unit")), None)
    unit = said or _local_unit()
    lengths = {key: written[name] for name, key in LENGTHS.items() if name in written}
    dates = order or _local_order(_locale_of("LC_TIME"))
    return Settings(paper, dates, measured, unit, written.get("round-to"), lengths)


def read_settings(path: Path | None = None) -> dict[str, str]:
    """Return what a file of settings says, hers where none is named; nothing where there is none.

    Raises `StoreError` where it cannot be read or says something that is not known.
    """
    path = path or settings_file()
    try:
        data = read_plain(path, _LARGEST)
        if len(data) > _LARGEST:
            raise StoreError(path, "is too long to be settings; delete it to start over")
        import tomllib  # here, as most have no such file

        written = tomllib.loads(data.decode("utf-8-sig"))
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise StoreError(path, f"not read: {(error.strerror or str(error)).lower()}") from None
    except (ValueError, RecursionError):
        raise StoreError(path, 'is not TOML; it holds lines such as paper = "a4"') from None
    try:
        return {key: checked(key, value) for key, value in written.items()}
    except ValueError as error:
        raise StoreError(path, str(error)) from None


def choices() -> Mapping[str, tuple[str, ...]]:
    """Return the settings that are one of a few words, each with those."""
    from legtaper.outputs.papers import PAPERS  # here, as most starts have no settings to check

    return {
        "paper": tuple(PAPERS), "dates": ORDERS, "unit": ("in", "cm"), "round-to": tuple(STEPS),
    }  # fmt: skip


def checked(key: str, value: object) -> str:
    """Return a value of a setting. Raises `ValueError` with what would be right."""
    from legtaper.outputs.papers import PAPERS, paper
    from legtaper.outputs.printing import read_measured

    if key.removeprefix(MEASURED) in (*PAPERS, _ROLL) and key.startswith(MEASURED):
        read_measured(str(value))
        return str(value)
    if key in LENGTHS:
        parse_length(str(value), "cm")
        return str(value)
    if key == "paper":
        paper(str(value))
        return str(value)
    words = choices()
    if key not in words:
        known = f"{', '.join((*words, *LENGTHS))} and {MEASURED}PAPER"
        raise ValueError(f"{clean(key, 30)} is not a setting; there are {known}")
    if value not in words[key]:
        known = ", ".join(words[key])
        raise ValueError(f"{key} can't be {clean(str(value), 30)}; it is one of {known}")
    return str(value)


def read_pair(pair: str) -> tuple[str, str]:
    """Return key and value of KEY=VALUE; an empty value leaves the setting to the locale.

    Raises `ValueError` with what would be right.
    """
    key, equals, value = pair.partition("=")
    if not equals:
        raise ValueError(f"{clean(pair, 30)} is not KEY=VALUE, such as paper=letter")
    if not value and (key.startswith(MEASURED) or key in LENGTHS):
        return key, ""
    return key, checked(key, value or choices().get(key, ("",))[0]) and value


def measured_key(paper: str) -> str:
    """Return the setting that keeps the printed size of the test rectangle on a paper."""
    name = paper.strip().lower()
    return MEASURED + (_ROLL if name.startswith("roll:") else name)


def change_settings(pairs: Mapping[str, str]) -> None:
    """Write settings; "" leaves one to the locale. Raises `StoreError`."""
    from legtaper.files.atomic_write import write_output

    written = {key: value for key, value in {**read_settings(), **pairs}.items() if value}
    path = settings_file()
    try:
        path.parent.mkdir(0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(path, f"not written: {(error.strerror or str(error)).lower()}") from None
    text = "".join(f'{key} = "{value}"\n' for key, value in sorted(written.items()))
    write_output(path, text.encode(), force=True)


def settings_text() -> str:
    """Return what holds and where it comes from, in lines. Raises `StoreError`."""
    now, said_by = settings(), dict[str, str]()
    written: dict[str, str] = {}
    for who, said in _layers():
        written |= said
        said_by |= dict.fromkeys(said, who)

    def where(key: str) -> str:
        return said_by.get(key, "by the locale")

    paper = now.paper or "letter in projects in inches, a4 in centimeters; export takes a4"
    return "\n".join((
        f"paper: {paper} ({where('paper')})" if now.paper else f"paper: {paper}",
        f"dates: {now.dates} ({where('dates')})",
        f"unit: {now.unit} ({where('unit')})",
        *(f"{key}: {value} (the printed test rectangle)" for key, value in now.measured.items()),
        *(f"{key}: {written[key]} ({where(key)})"
          for key in ("round-to", *LENGTHS) if key in written),
        f"Kept in {clean(str(settings_file()), 500)}",
        f"A file {FOLDER_SETTINGS} beside the project goes before all, one in the folder "
        "you work in before this.",
        "Change them with: legtaper settings paper=letter dates=day-first round-to=1/8in",
        "Leave one to the locale again with: legtaper settings paper=",
    ))  # fmt: skip


# --- the locale ------------------------------------------------------------------------------


def _locale_of(category: str) -> str:
    """Return the name of the locale by the order POSIX gives its variables."""
    return next((value for name in ("LC_ALL", category, "LANG")
                 if (value := os.environ.get(name))), "C")  # fmt: skip


def _local_paper() -> str | None:
    place = _place_of("LC_PAPER")
    return place and ("letter" if place in _LETTER else "a4")


def _local_unit() -> Unit:
    place = _place_of("LC_MEASUREMENT")
    return "cm" if place and place not in _INCHES else "in"


def _place_of(category: str) -> str | None:
    """Return the country of a locale, `None` where it names none."""
    name = _locale_of(category).partition(".")[0].partition("@")[0]
    return name.partition("_")[2].upper() or None


@lru_cache(maxsize=8)
def _local_order(name: str) -> Order:
    """Return the order of a day in the system's own date format of a locale."""
    if name.partition(".")[0] in {"C", "POSIX"}:
        return "iso"
    before = locale.setlocale(locale.LC_TIME)
    try:
        locale.setlocale(locale.LC_TIME, name)
        pattern = locale.nl_langinfo(locale.D_FMT)
    except (locale.Error, AttributeError):  # not installed here, or no such call on this system
        return "iso"
    finally:
        locale.setlocale(locale.LC_TIME, before)
    return _order_in(pattern)


def _order_in(pattern: str) -> Order:
    """Return the order in a pattern such as %d.%m.%Y; %D is %m/%d/%y, %F is %Y-%m-%d."""
    pattern = pattern.replace("%D", "%m/%d/%y").replace("%F", "%Y-%m-%d")
    places = {sign: pattern.find(f"%{sign}") for sign in ("d", "e", "m", "b", "B")}
    day = max(places["d"], places["e"])
    month = max(places["m"], places["b"], places["B"])
    years = [at for at in (pattern.find("%Y"), pattern.find("%y")) if at >= 0]
    if day < 0 or month < 0 or (years and min(years) < min(day, month)):
        return "iso"
    return "day-first" if day < month else "month-first"
