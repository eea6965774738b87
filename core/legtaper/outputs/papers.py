"""Paper sizes by name. Loads no library, so that a front end may list them at once."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import NamedTuple

from legtaper.model.lengths import LengthError, parse_length, say_length

LABEL_STRIP = 8.0
"""Height in mm under the drawing on every page, for the page's name."""

_MARGIN = 10.0  # mm; more than home printers and plotters leave white: from memory
_NARROWEST_ROLL = 100.0  # mm


class PaperError(ValueError):
    """A paper that is not known, or that a drawing does not fit; one line says what works."""


class Paper(NamedTuple):
    """A sheet of paper, mm. A roll is as long as needed: its `height` is infinite until cut.

    `name` is what was asked for, such as "a4" or "roll:91cm". `margin` stays unprinted all round.
    `correction` is by how much larger than true width and height are drawn, for a printer's error.
    """

    name: str
    width: float
    height: float
    margin: float = _MARGIN
    tiled: bool = False
    correction: tuple[float, float] = (1.0, 1.0)

    @property
    def title(self) -> str:
        """The name for people: "A4", "Letter", "Arch D", "91 cm roll"."""
        if self.is_sheet:
            return self.name.title().replace("-", " ")
        wide = self.name.removeprefix("roll:").rstrip("cminft \"'")
        unit = self.name.removeprefix(f"roll:{wide}").strip()
        return f"{wide}\N{NO-BREAK SPACE}{unit} roll"

    @property
    def is_sheet(self) -> bool:
        """Whether the paper has a fixed size."""
        return not self.name.startswith("roll:")

    @property
    def room(self) -> tuple[float, float]:
        """Width and height, mm, that a page leaves for the drawing."""
        return self.width - 2 * self.margin, self.height - 2 * self.margin - LABEL_STRIP

    def turned(self) -> Paper:
        """Return the sheet with its long side the other way."""
        across, up = self.correction
        return self._replace(width=self.height, height=self.width, correction=(up, across))


# The A sizes: ISO 216. Letter and tabloid: 8.5 by 11, 11 by 17 in (ANSI/ASME Y14.1, sizes A and B).
# Legal, 8.5 by 14 in, and Arch D and E, 24 by 36 and 36 by 48 in: from memory.
_SHEETS = (
    Paper("a4", 210.0, 297.0, tiled=True),
    Paper("letter", 215.9, 279.4, tiled=True),
    Paper("legal", 215.9, 355.6, tiled=True),
    Paper("a3", 297.0, 420.0, tiled=True),
    Paper("tabloid", 279.4, 431.8, tiled=True),
    Paper("a2", 420.0, 594.0),
    Paper("a1", 594.0, 841.0),
    Paper("a0", 841.0, 1189.0),
    Paper("arch-d", 609.6, 914.4),
    Paper("arch-e", 914.4, 1219.2),
)
PAPERS: Mapping[str, Paper] = {sheet.name: sheet for sheet in _SHEETS}
"""The sheets by name, in the order in which they are offered; rolls are read by `paper`."""


_SPOKEN_ROLL = re.compile(r"roll(?: of)?:? +(\S.*)|(\d.*\S) +roll", re.ASCII)


def paper_words() -> str:
    """Return the papers that can be asked for, as a text says them."""
    return f"{', '.join(PAPERS)}, or a roll such as roll:91cm"


def paper(text: str) -> Paper:
    """Read a name of `PAPERS` or "roll:WIDTH" (cm unless said). Raises `PaperError`.

    A roll may be said as well: "roll 91 cm", "91 cm roll".
    """
    name = _SPOKEN_ROLL.sub(lambda said: f"roll:{said[1] or said[2]}", text.strip().lower())
    if name.replace(" ", "-") in PAPERS:
        return PAPERS[name.replace(" ", "-")]
    if not name.startswith("roll:"):
        shown = "".join(c if c.isprintable() else "?" for c in text.strip()[:30])
        raise PaperError(f'"{shown}" is not a paper known here; use {paper_words()}')
    try:
        width = parse_length(name.removeprefix("roll:"), "cm")
    except LengthError as error:
        raise PaperError(f"the width of the roll: {error}; a roll is named roll:91cm") from None
    if width.mm < _NARROWEST_ROLL:
        least = say_length(_NARROWEST_ROLL, "cm")
        raise PaperError(
            f"a roll {width.text} wide is too narrow; use {least} or more, as in roll:91cm"
        )
    return Paper(f"roll:{width.text}", width.mm, math.inf)
