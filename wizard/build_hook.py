"""What a wheel carries beside the packages: the man page and what makes Tab complete in a shell."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

COMPLETIONS = {
    "bash": "share/bash-completion/completions/legtaper",
    "zsh": "share/zsh/site-functions/_legtaper",
    "fish": "share/fish/vendor_completions.d/legtaper.fish",
}
MAN_PAGE = "share/man/man1/legtaper.1"


class CustomBuildHook(BuildHookInterface):
    """Makes the files from the program itself, so that they say what it does."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Add the files to a wheel; an editable install has the commands that print them."""
        if version == "editable":
            return
        sys.path[:0] = [str(Path(self.root, folder)) for folder in ("core", "wizard")]
        from legtaper import __version__
        from legtaper_wizard.cli.completion import script
        from legtaper_wizard.cli.main import main
        from legtaper_wizard.cli.man_page import man_page

        made = {MAN_PAGE: man_page(main, __version__)}
        made |= {place: script(main, shell) for shell, place in COMPLETIONS.items()}
        folder = Path(self.directory, ".made")
        for place, text in made.items():
            file = folder / place.replace("/", "-")
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
            build_data["shared_data"][str(file)] = place

    def finalize(self, *_: object) -> None:
        """Take away what was only made to be packed."""
        import shutil

        shutil.rmtree(Path(self.directory, ".made"), ignore_errors=True)
