"""The table of outputs: a pattern rendered by name, and a file's name read back to its row."""

from __future__ import annotations

import subprocess
import sys
from pathlib import PurePath

import pytest
import sample

from legtaper.outputs.formats import FORMATS, LEGS, Options, format_of, needed, render
from legtaper.pattern import cut

PATTERN = cut(sample.fitted())
BEGINS: dict[str, bytes | str] = {
    "pdf": b"%PDF-",
    "svg": "<?xml",
    "dxf": b"  0",
    "marks": "Courier",
}


@pytest.mark.parametrize("name", FORMATS)
def test_a_pattern_is_rendered_by_name(name: str) -> None:
    """Bytes for the two that are no text, text for the others; each begins as its kind does."""
    data = render(PATTERN, name)
    assert isinstance(data, type(BEGINS[name]))
    assert data[: len(BEGINS[name])] == BEGINS[name]


def test_the_outline_as_text_names_the_levels() -> None:
    """A picture that fits a terminal of 80 columns, with the levels beside it."""
    text = str(render(PATTERN, "text"))
    assert "knee" in text
    assert max(map(len, text.splitlines())) <= 80


def test_an_output_that_is_not_known_is_refused_with_those_that_are() -> None:
    """One line names them all."""
    with pytest.raises(ValueError, match="pdf, svg, dxf, marks and text"):
        render(PATTERN, "png")


def test_every_suffix_leads_to_its_row_alone() -> None:
    """Whatever the case; two rows never claim one suffix, and a made-up name comes back too."""
    claimed = [suffix for row in FORMATS.values() for suffix in row.suffixes]
    assert len(claimed) == len(set(claimed))
    for row in FORMATS.values():
        for suffix in (*row.suffixes, row.ending):
            assert format_of(PurePath(f"x{suffix}")) is row
            assert format_of(PurePath(f"x{suffix.upper()}")) is row


def test_a_file_of_no_known_kind_is_refused_with_the_suffixes() -> None:
    """The sentence names every suffix."""
    with pytest.raises(ValueError, match=r"\.pdf, \.svg, \.dxf, \.txt or \.csv"):
        format_of(PurePath("x.png"))


@pytest.mark.parametrize("name", [row.name for row in FORMATS.values() if "leg" in row.needs])
def test_the_leg_that_is_asked_for_is_drawn(name: str) -> None:
    """A row that needs the leg gives another file for each, and names it in its sentence."""
    row = FORMATS[name]
    files = {row.render(PATTERN, Options(leg), row.ending) for leg in LEGS}
    assert len(files) == len(LEGS)
    assert all(LEGS[leg][1] in row.words(Options(leg)) for leg in LEGS)


def test_the_marking_table_follows_its_suffix_and_its_step() -> None:
    """Comma-separated under .csv, a table under .txt; the step is the ruler's."""
    row = FORMATS["marks"]
    assert row.render(PATTERN, Options(), ".csv").startswith(b"project,design,edge,")
    assert b"1/16 in" in row.render(PATTERN, Options(step="1/16in"), ".txt")


def test_what_several_formats_need_is_asked_once() -> None:
    """The union of their needs; the marking table alone needs no paper and no leg."""
    assert needed(["svg", "pdf"]) == {"leg", "paper", "printing", "words"}
    assert not needed(["marks"]) & {"leg", "paper"}


def test_listing_the_formats_loads_no_library() -> None:
    """Start-up does not pay for what only rendering needs."""
    code = (
        "import sys, legtaper.outputs.formats;"
        "print({'numpy', 'reportlab', 'shapely', 'ezdxf'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
