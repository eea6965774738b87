"""The command `limits`: the inverse answers."""

from __future__ import annotations

from pathlib import Path

from legtaper_wizard.cli.options import DESIGN, FILE, JSON, build_pattern, print_json
from legtaper_wizard.cli.sections import Section, command


@command("limits", Section.LOOK, 4)
@FILE
@DESIGN
@JSON
def limits(file: Path, design: str | None, as_json: bool) -> None:
    """Say how narrow, how much and how high at most.

    The narrowest hem that the foot passes without a slit, the most that can come off each edge
    before a finding fails, how high the new seams may blend, and which hem widths work.
    """
    from legtaper.outputs.json_report import limits_report
    from legtaper.search.hem_widths import hem_widths
    from legtaper.search.limits import limits as find_limits
    from legtaper_wizard.flow.words import limits_text, say

    fitted = build_pattern(file, design).fit
    found = find_limits(fitted)
    if as_json:
        print_json(limits_report(fitted, found, hem_widths(fitted)))
    else:
        say(limits_text(found, hem_widths(fitted), fitted))
