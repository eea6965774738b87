"""Somebody at the line prompts: what is typed comes from a terminal, line by line."""

from __future__ import annotations

import io
from pathlib import Path
from tempfile import TemporaryDirectory

from legtaper.files.project_file import write_project
from legtaper.files.store import load, save_new
from legtaper.model.project import Project
from legtaper_wizard.flow.session import Session
from legtaper_wizard.prompts import run
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.loop import PlainWizard


class Typist(io.StringIO):
    """Lines that a person types; each Enter shows on the output, as a terminal echoes it."""

    def __init__(self, lines: tuple[str, ...] | list[str], out: io.StringIO) -> None:
        super().__init__("".join(f"{line}\n" for line in lines))
        self._shown = out

    def isatty(self) -> bool:
        """Whether somebody sits there."""
        return True

    def readline(self, *args: int) -> str:  # type: ignore[override]
        """Return the next line."""
        line = super().readline(*args)
        if line:
            self._shown.write("\n")
        return line


def sit(path: Path | None, *lines: str) -> tuple[int, str]:
    """Type lines at the prompts; return the exit status and what was said, as one line."""
    out = io.StringIO()
    status = run(path, stdin=Typist(lines, out), stdout=out)
    return status, " ".join(out.getvalue().split())


class Sitting:
    """One sitting with a project in a file, from typed lines to the end of the input."""

    def __init__(
        self, *lines: str, project: Project | None = None, ascii_only: bool = False
    ) -> None:
        out = io.StringIO()
        with TemporaryDirectory() as folder:
            file = Path(folder) / "sitting.toml"
            save_new(file, write_project(project or Project()))
            session = Session.open(file)
            PlainWizard(Voice(Typist(lines, out), out, ascii_only), session).run()
            self.project, self.changes = session.project, len(session.history.past)
            session.close()
            self.saved = load(file)
        self.text = out.getvalue()
        self.words = " ".join(self.text.split())
