"""Many projects at once, for a teacher with a folder of files: a line or a few for each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from legtaper.checks.registry import fails_as
from legtaper.files.atomic_write import shown_path
from legtaper.files.store import load
from legtaper.leg.block import Block
from legtaper.model.project import NO_DESIGN, Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper.muslin.log import next_step, status
from legtaper.outputs.json_report import Json, check_report, heading
from legtaper.pattern import Pattern, block_of, build
from legtaper_wizard.cli.options import Refusal, is_folder, one_line
from legtaper_wizard.flow.settings import FOLDER_SETTINGS
from legtaper_wizard.flow.steps.registry import first_open

_COUNTED = (("fail", "failed"), ("caution", "with a warning"))


@dataclass(frozen=True)
class Standing:
    """Where one project stands. pattern: `None` where it has no design yet."""

    file: Path
    project: Project
    block: Block | None
    pattern: Pattern | None

    @property
    def failed(self) -> bool:
        """Whether a finding fails."""
        return self.pattern is not None and self.pattern.failed

    @property
    def line(self) -> str:
        """What is well and where work stands, in one line."""
        if self.pattern is None:
            return f"{NO_DESIGN}."
        counts = {words: len(self._ids(kind)) for kind, words in _COUNTED}
        found = ", ".join(f"{count} {words}" for words, count in counts.items() if count)
        says = f"{found or 'all OK'}; {status(self.project, self.block)}."
        return says[:1].upper() + says[1:]

    @property
    def lines(self) -> Iterator[str]:
        """Who it is, the step where work goes on, the round, what fails, and what is next."""
        yield clean(self.project.name or "A project without a name", 80)
        yield f"Step: {self._step}. Round: {status(self.project, self.block)}."
        if self.failed:
            yield f"Fails: {'; '.join(fails_as(one) for one in self._ids('fail'))}."
        yield f"Next: {next_step(self.project, self.block)}."

    @property
    def report(self) -> Json:
        """The object of `check --json`, with where work stands."""
        if self.pattern is None:
            made = heading(self.project) | {"design": None, "findings": []}
        else:
            made = check_report(self.pattern)
        return made | {
            "file": shown_path(self.file),
            "step": self._step,
            "status": status(self.project, self.block),
            "next": next_step(self.project, self.block),
        }

    @property
    def _step(self) -> str:
        return first_open(self.project).title

    def _ids(self, kind: str) -> list[str]:
        findings = self.pattern.findings if self.pattern else ()
        return [one.id for one in findings if one.status == kind]


def files_of(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Return the files named, and in the place of a folder its projects, by name.

    Raises `Refusal` where a folder has none.
    """
    found: list[Path] = []
    for path in paths:
        if not is_folder(path):
            found.append(path)
            continue
        with one_line(path):
            inside = [one for one in sorted(path.glob("[!.]*.toml")) if one.name != FOLDER_SETTINGS]
        if not inside:
            raise Refusal("there is no project (NAME.toml) in that folder", path)
        found += inside
    return tuple(found)


def overview(files: Sequence[Path], *, whole: bool) -> tuple[str, int]:
    """Return a line for each project, or `whole` a few, and the exit status of the worst.

    A file that cannot be read gets its line like any other, and the rest are still told of.
    """
    says, worst = [], 0
    for file in files:
        try:
            standing = _standing(file)
            told = ["", *standing.lines] if whole else [standing.line]
            worst = max(worst, int(standing.failed))
        except Refusal as refusal:
            told = [clean(": ".join(filter(None, (refusal.key, refusal.says))), 300)]
            worst = max(worst, refusal.status)
        says.append(f"{shown_path(file)}: " + "\n    ".join(told))
    return "\n".join(says).replace(": \n", ":\n"), worst


def reports(files: Sequence[Path]) -> tuple[list[Json], int]:
    """Return the object of each project, and the exit status of the worst.

    What cannot be checked has its error in place of that, and counts as 2.
    """
    made: list[dict[str, Any]] = []
    worst = 0
    for file in files:
        try:
            standing = _standing(file)
            made.append(standing.report)
            worst = max(worst, int(standing.failed))
        except Refusal as refusal:
            refusal.show()
            made.append(refusal.as_json())
            worst = max(worst, refusal.status)
    return made, worst


def _standing(file: Path) -> Standing:
    with one_line(file):
        project = load(file)
        pattern = build(project) if project.designs else None
        standing = Standing(file, project, _block(project), pattern)
        _ = standing.failed  # the cut lines are only drawn where they are asked for
        return standing


def _block(project: Project) -> Block | None:
    try:
        return block_of(project)
    except ProjectError:
        return None  # a project is saved from its first answer on
