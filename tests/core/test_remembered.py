"""What is worked out of a thing once, and what is not mixed up by that."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import sample

from legtaper.model.remembered import remembered
from legtaper.outputs.drawing import Drawing
from legtaper.outputs.formats import Options, drawn, render
from legtaper.outputs.papers import paper
from legtaper.outputs.sheet_count import count_lines
from legtaper.outputs.tiles import tile
from legtaper.pattern import cut


def test_a_thing_is_made_once_for_each_key_and_not_for_a_copy() -> None:
    """The second time it is the same; another key and a copy of the owner make their own."""
    owner = Drawing("Invented", (), 10.0, 10.0, None)
    made: list[int] = []

    def make() -> int:
        made.append(len(made))
        return made[-1]

    assert [remembered(owner, key, make) for key in ("a", "a", "b", "a")] == [0, 0, 1, 0]
    assert remembered(replace(owner), "a", make) == 2
    assert owner == replace(owner)


def test_a_search_for_sheets_is_done_once_for_a_paper() -> None:
    """The same paper gives the same pages, another paper or overlap its own."""
    drawing = drawn(cut(sample.fitted()), Options())
    a4, letter = paper("a4"), paper("letter")
    assert tile(drawing, a4) is tile(drawing, a4)
    assert tile(drawing, letter).paper.name == "letter"
    assert tile(drawing, a4, 20.0) is not tile(drawing, a4)


def test_what_was_counted_is_printed_as_if_it_had_not_been() -> None:
    """To the byte, with another day and another paper asked for in between, and twice over."""
    options = Options(on=date(2026, 3, 20))
    known, new = cut(sample.fitted()), cut(sample.fitted())
    for other in (options, replace(options, paper="a3"), replace(options, on=date(2026, 3, 21))):
        count_lines(known, other)
        render(known, "pdf", other)
    once, again = (render(known, "pdf", options) for _ in range(2))
    assert once == again == render(new, "pdf", options)
