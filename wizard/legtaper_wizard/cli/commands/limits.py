"""The command `limits`: the inverse answers."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from legtaper_wizard.cli.options import (
    DESIGN,
    FILES,
    FORCE,
    JSON,
    OUT,
    build_pattern,
    give_out,
    json_text,
)
from legtaper_wizard.cli.sections import Section, command


@command("limits", Section.LOOK, 4)
@FILES
@DESIGN
@JSON
@OUT
@FORCE
def limits(files: tuple[Path, ...], design: str | None, as_json: bool, **given: Any) -> None:
    """Say how narrow, how much and how high at most.

    The narrowest hem that the foot passes without a slit, the most that can come off each edge
    before a finding fails, how high the new seams may blend, and which hem widths work. Several
    FILEs follow one another; with --json as an array.
    """
    from legtaper.outputs.json_report import limits_report
    from legtaper.search.hem_widths import hem_widths
    from legtaper.search.limits import limits as find_limits
    from legtaper_wizard.cli.many import for_each
    from legtaper_wizard.flow.words import limits_text

    made: list[Any] = []

    def work(file: Path) -> int:
        fitted = build_pattern(file, design).fit
        found, widths = find_limits(fitted), hem_widths(fitted)
        made.append(limits_report(fitted, found, widths) if as_json
                    else limits_text(found, widths, fitted))  # fmt: skip
        return 0

    status = for_each(files, work)
    if as_json:
        text = json_text(made if len(files) > 1 else made[0]) if made else ""
    else:
        text = "\n\n".join(made)
    if made:
        give_out(text, given["out"], force=given["force"])
    sys.exit(status)
