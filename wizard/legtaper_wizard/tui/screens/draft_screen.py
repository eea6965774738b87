"""The page of a drafted block: every number of it, where it is from, and what it looks like."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from legtaper.model.lengths import parse_length
from legtaper.model.project import Project
from legtaper.model.said_lengths import understood
from legtaper_wizard.flow.drafted_block import CAUTION, KEYS, Drafting
from legtaper_wizard.flow.steps import LAST, AnswerError
from legtaper_wizard.tui.layout.picture import Room, picture_lines
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, hang, plain, wrap
from legtaper_wizard.tui.screens.live_page import LivePage

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

_INTRO = (
    "Hip, and height or inside leg, are enough; the rest is estimated or chosen. What you measured "
    "goes to the wearer as well."
)


class DraftScreen(LivePage[Drafting]):
    """Hands over the draft that was agreed to."""

    def __init__(self, look: Look, drafting: Drafting) -> None:
        self.drafting = drafting
        missing = [field.key for field in drafting.fields() if not field.placeholder]
        here = next((key for key in KEYS if key in missing and key not in drafting.texts), KEYS[0])
        super().__init__(look, "Have a starting block drafted", "Use this block", here)

    def questions(self) -> Sequence[Stop]:
        """Return every number; one that was not typed shows what holds instead."""
        said = self.drafting.texts
        return [
            Stop(field.key, "question", field.label, said.get(field.key, ""), field)
            for field in self.drafting.fields()
        ]

    def head(self) -> list[Line]:
        """Return the caution, and what is still missing or to be thought of."""
        across = min(self.means.width - 2, 96)
        lines = [plain(f" {CAUTION}", "strong")]
        lines += [plain(f" {row}", "dim") for row in wrap(_INTRO, across)]
        lines += [plain(f" {row}") for row in wrap(self.drafting.told(), across)]
        for odd in (text for found in self.drafting.doubts().values() for text in found):
            lines += [(("", ""), *row) for row in hang(" [?]", odd, across, "care")]
        return [*lines, ()]

    def marks(self) -> Mapping[str, str]:
        """Return a sign beside each number that looks like a slip."""
        return dict.fromkeys(self.drafting.doubts(), "?")

    def echoes(self) -> Mapping[str, str]:
        """Return where each number is from."""
        return self.drafting.sources()

    def side(self, room: Room) -> list[Line]:
        """Return what the draft looks like."""
        if self.drafting.problem():
            return []
        made = self.drafting.into(Project("", self.drafting.unit))
        return picture_lines(made, LAST, "both", room)

    def echo(self, key: str, text: str) -> str:
        """Say a number in both units."""
        self.drafting.typed(key, text)
        return understood(parse_length(text, self.drafting.unit))

    def keep(self, key: str, text: str) -> None:
        """Draft again, with a number."""
        self.drafting = self.drafting.typed(key, text)

    def done(self) -> Drafting:
        """Return the draft, where there is one."""
        if found := self.drafting.problem():
            raise AnswerError(found.key, found.problem)
        return self.drafting
