"""What was typed on the way to a block that is drafted or traced."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legtaper_wizard.flow.import_flow import Sheet


@dataclass
class Bringing:
    """What was typed on pages that were left, for the next time they are shown."""

    texts: Mapping[str, str] = field(default_factory=dict)
    file: str = ""
    sheet: Sheet | None = None
