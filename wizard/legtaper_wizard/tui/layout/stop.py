"""A place that the cursor can stand on, and what its id says where it is no question."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from legtaper_wizard.flow.shapes import Action, Field

Kind = Literal["question", "button", "link"]

WRITE = "write"
COMPARE = "compare"
BACK = "back"
NEXT = "next"
GARMENT = "garment:"
DESIGN = "design:"

LONGEST = 160
"""Characters of what an action is called; a name of the project in it may be long."""


class Stop(NamedTuple):
    """One place. `id` is the key of a question, or names what a button or a line does.

    said: the answer as typed, or what a line tells. field: of a question. action: of a button
    that does one. jump: where a line leads, as step and key. head: what stands above such lines.
    """

    id: str
    kind: Kind
    label: str
    said: str = ""
    field: Field | None = None
    action: Action | None = None
    jump: tuple[str, str] = ("", "")
    head: str = ""

    @property
    def unchosen(self) -> bool:
        """Whether it is a choice in which nothing is chosen yet, and nothing holds unasked."""
        field = self.field
        return field is not None and field.kind == "choice" and not (self.said or field.placeholder)
