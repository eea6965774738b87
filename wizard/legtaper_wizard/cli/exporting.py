"""Pattern files of one project or many: which files are written, and what is told of each."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from legtaper.outputs.formats import FORMATS, Options, format_of, suffix_words
from legtaper_wizard.cli.options import Refusal, load_project, one_line
from legtaper_wizard.flow.shapes import SIGNS

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.pattern import Pattern

STANDARD = Path("-")


@dataclass(frozen=True)
class Job:
    """What one call of `export` asks for.

    out: the one file that is named; else `formats` go into the folder `into`, under names made of
    project and design. taken: names this call has used, and for which file. by_settings: which
    options were not said, so that the settings of each project say them.
    """

    design: str | None
    options: Options
    force: bool
    out: Path | None = None
    into: Path | None = None
    formats: tuple[str, ...] = ()
    taken: dict[str, Path] = field(default_factory=dict)
    by_settings: frozenset[str] = frozenset()

    def __call__(self, file: Path) -> int:
        """Write the files of a project; return 1 where a finding fails, else 0."""
        project = load_project(file)
        return replace(self, options=self._settled())._export(project, file)

    def _settled(self) -> Options:
        """Return the options of today, what was not said as the settings of the project have it."""
        from legtaper_wizard.flow.settings import settings
        from legtaper_wizard.flow.writing import today

        options, kept = replace(self.options, on=today()), settings()
        if "paper" in self.by_settings:
            options = replace(options, paper=kept.paper or "a4")
        if "measured" in self.by_settings:
            options = replace(options, correction=kept.correction_for(options.paper))
        return replace(options, step=options.step or kept.step)

    def _export(self, project: Project, file: Path) -> int:
        from legtaper_wizard.flow.printed import count_as_printed, pattern_to_print
        from legtaper_wizard.flow.words import say, which_text
        from legtaper_wizard.flow.writing import today

        with one_line(file):
            pattern = pattern_to_print(project, self.options.leg, self.design)
            alone = self.options.leg == "unaltered"
            failing = [] if alone else [f.says for f in pattern.findings if f.status == "fail"]
            says = [self._write(pattern, out, kind) for out, kind in self._outs(pattern, file)]
        shown = [line for line in says if line]
        for line in shown:
            click.echo(line)
        if shown and self.out and not alone:
            say(which_text(pattern.fit))
        if shown and self._is_muslin:
            say(count_as_printed(file, pattern.fit.design.name, today()))
        for line in failing:
            Refusal(f"{SIGNS['fail']} {line}", file).show()
        return 1 if failing else 0

    @property
    def _is_muslin(self) -> bool:
        """Whether both legs are drawn into a file."""
        rows = [format_of(self.out)] if self.out else [FORMATS[kind] for kind in self.formats]
        return self.options.leg == "both" and any("leg" in row.needs for row in rows)

    def _outs(self, pattern: Pattern, file: Path) -> list[tuple[Path, str]]:
        """Return each file to write, with the name of its format where its suffix does not say."""
        if self.out:
            return [(self.out, self.formats[0] if self.formats else "")]
        from legtaper_wizard.flow.export_request import stem

        fit = pattern.fit
        leg = "test" if self.options.leg == "both" else ""
        parts = [fit.project.name, fit.design.name or "block", leg]
        name = stem(" ".join(parts))
        if self.taken.setdefault(name, file) != file:  # two projects of one name
            name = stem(" ".join([file.stem, *parts]))
            self.taken.setdefault(name, file)
        folder = self.into or Path()
        return [(folder / f"{name}{FORMATS[kind].ending}", "") for kind in self.formats]

    def _write(self, pattern: Pattern, out: Path, kind: str) -> str:
        from legtaper_wizard.flow.writing import write_pattern_file

        if out != STANDARD:
            self._say_sheets(pattern, out)
            return write_pattern_file(pattern, out, self.options, force=self.force)
        sys.stdout.buffer.write(FORMATS[kind].render(pattern, self.options, ""))
        return ""

    def _say_sheets(self, pattern: Pattern, out: Path) -> None:
        """Say how much paper is taken, before it is written and time to stop is over."""
        from legtaper.outputs.sheet_count import count_lines

        if out.suffix.lower() in suffixes_on_paper():
            click.echo("\n".join(count_lines(pattern, self.options)))


def suffixes_on_paper() -> tuple[str, ...]:
    """Return the suffixes of the files that are printed on paper."""
    return tuple(end for row in FORMATS.values() if "paper" in row.needs for end in row.suffixes)


def sort_out(
    paths: Sequence[Path], out: Path | None, into: Path | None, formats: str | None
) -> tuple[tuple[Path, ...], Path | None, tuple[str, ...]]:
    """Return projects, the one output that is named, and formats. Raises `Refusal`."""
    kinds = _kinds(formats)
    piped = len(paths) == 2 and paths[1] == STANDARD
    several = into is not None or (formats is not None and out is None and not piped)
    if not several and out is None and len(paths) == 2:
        *paths, out = paths
    if out is None and not several:
        ask = "say where to, as in export FILE OUT" if len(paths) == 1 else "name a folder"
        raise Refusal(f"{ask}; several files go with --into DIR")
    if out and into:
        raise Refusal("choose --out or --into, not both")
    if out and len(paths) > 1:
        raise Refusal("one OUT holds one project; several files go with --into DIR")
    if out and out.suffix.lower() == ".toml":
        raise Refusal(f"the name of the file must end in {suffix_words()}; "
                      "several projects go with --into DIR", out)  # fmt: skip
    if out == STANDARD and len(kinds) != 1:
        raise Refusal("standard output takes one format: add --format pdf, svg, dxf or marks")
    _refuse_another_format(out, kinds)
    for path in paths[1:]:
        is_output = path != STANDARD and path.suffix.lower() in _suffixes()
        if is_output and not os.path.exists(path):  # noqa: PTH110  which takes long names, too
            raise Refusal("is no project; with --format, say by --out where to", path)
    return tuple(paths), out, kinds or (() if out else ("pdf",))


def _suffixes() -> set[str]:
    return {suffix for row in FORMATS.values() for suffix in row.suffixes}


def _refuse_another_format(out: Path | None, kinds: tuple[str, ...]) -> None:
    """Refuse a format beside a name that ends as another does: only one of them can be meant."""
    if out is None or out == STANDARD or not kinds:
        return
    try:
        named = format_of(out).name
    except ValueError:
        return  # a name without an ending, which is told where it is written
    if kinds != (named,):
        says = f"by its name this is {named}, and --format says {', '.join(kinds)}"
        raise Refusal(f"{says}; leave --format out, or name a folder with --into", out)


def _kinds(formats: str | None) -> tuple[str, ...]:
    kinds = tuple(dict.fromkeys(part.strip().lower() for part in (formats or "").split(",")))
    kinds = tuple(kind for kind in kinds if kind)
    for kind in kinds:
        if kind not in FORMATS:
            known = ", ".join(FORMATS)
            raise Refusal(f"{kind[:30]} is no format; there are {known}", key="--format")
    return kinds


def make_folder(folder: Path) -> None:
    """Make the folder that outputs go to, where it is not there. Raises `Refusal`."""
    from legtaper.files.atomic_write import told

    with one_line(folder), told(folder):
        if folder.exists() and not folder.is_dir():
            raise Refusal("is no folder; name another", folder)
        folder.mkdir(parents=True, exist_ok=True)
