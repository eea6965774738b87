"""The keys that rounds and their designs have in the file, beside those of the first contract."""

from __future__ import annotations

from datetime import date

import pytest

from legtaper.files.project_file import read_project, write_project
from legtaper.model.project import Project, ProjectError, Round

START = """\
format = 1
current = "easy taper"             # gone back to
[[design]]
name = "easy taper"
[[design]]
name = "easy taper 2"
parent = "easy taper"
from_round = 1
[[round]]                          # oldest first
design = "easy taper"
date = 2026-03-20
printed = 2026-03-18
verdict = "too far"
seen = ["stand", "put the foot through"]
trouble = ["sit"]
fingerprint = "0123456789abcdef"
design_fingerprint = "fedcba9876543210"
"""


def test_every_key_of_a_round_is_read() -> None:
    """Days, verdict, checklist, fingerprint, lineage, and the design that is the current one."""
    project = read_project(START)
    assert project.current == "easy taper"
    grown = project.designs[1]
    assert (grown.parent, grown.from_round) == ("easy taper", 1)
    assert project.rounds == (
        Round(
            "easy taper", date(2026, 3, 20), "", (), date(2026, 3, 18), "too far",
            ("stand", "put the foot through"), ("sit",), "0123456789abcdef", "fedcba9876543210",
        ),
    )  # fmt: skip


def test_what_is_written_reads_the_same_and_keeps_the_remarks() -> None:
    """Unchanged, the file stays as it is; from nothing, it says the same."""
    project = read_project(START)
    assert write_project(project, START) == START
    assert read_project(write_project(project)) == project


def test_a_file_without_the_new_keys_is_one() -> None:
    """All of them may be left out, and none is put in."""
    text = 'format = 1\n[[design]]\nname = "x"\n[[round]]\ndesign = "x"\n'
    project = read_project(text)
    assert project == Project(designs=project.designs, rounds=(Round("x"),))
    assert write_project(project, text) == text


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('current = "easy taper"', 'current = "loose"', 'current: there is no design "loose"'),
        ('parent = "easy taper"', 'parent = "easy taper 2"', "design 2.parent: there is no"),
        ('name = "easy taper"\n[', 'name = "easy taper"\nparent = "x"\n[', "leave it out"),
        ("from_round = 1", "from_round = 2", "from_round: there is no round 2; the last one is 1"),
        ("from_round = 1", "from_round = 0", "from_round: must be the number of a round"),
        ("from_round = 1", "from_round = true", "from_round: must be the number of a round"),
        ('"too far"', '"good"', 'write "closer" or "too far" or "done"'),
        (
            '["sit"]',
            '["sat"]',
            'round 1.trouble 1: "sat" can\'t be here; write "put the foot through" or "stand"',
        ),
        ('["sit"]', '"sit"', 'trouble: must be a list such as ["put the foot through"], not text'),
        ("printed = 2026-03-18", 'printed = "soon"', "round 1.printed"),
    ],
)
def test_a_wrong_value_is_named_by_its_key(old: str, new: str, says: str) -> None:
    """One line with the key and what would be right."""
    assert old in START
    with pytest.raises(ProjectError) as caught:
        read_project(START.replace(old, new, 1))
    assert says in str(caught.value)
