"""The command `mend`, and `check --remedies`: read, taken, refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from legtaper_wizard.cli.main import main

EXAMPLE = Path(__file__).parents[2] / "examples" / "courier.toml"


@pytest.fixture
def tight(tmp_path: Path) -> Path:
    """Return the example with a hem that the foot does not pass, and no slit."""
    file = tmp_path / "tight.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace('hem = "5/8 in"', 'hem = "1 1/4 in"')
    file.write_text(text.replace('height = "auto"', 'height = "none"'), encoding="utf-8")
    return file


def _run(*args: Any) -> Result:
    return CliRunner().invoke(main, [*map(str, args), "--design", "easy taper"])


def test_mend_lists_what_was_tried_and_writes_nothing(tight: Path) -> None:
    """Each finding that fails or warns, with its numbered changes; exit status 1 as it fails."""
    before = tight.read_bytes()
    result = _run("mend", tight)
    assert result.exit_code == 1
    assert "[FAILS]   The hem opens to 12 1/2 in and the foot needs 12 5/8 in" in result.output
    assert "    1  Take 1 1/8 in off each edge at the hem instead of 1 1/4 in" in result.output
    assert tight.read_bytes() == before


def test_mend_takes_one_and_says_so(tight: Path) -> None:
    """The file has the change, its remarks stay, and nothing fails any more: exit status 0."""
    result = _run("mend", tight, "--take", 1)
    assert result.exit_code == 0
    assert result.output.startswith("Done: Take 1 1/8 in off each edge at the hem")
    assert "nothing to mend" in result.output
    text = tight.read_text(encoding="utf-8")
    assert 'hem = "1 1/8 in"' in text
    assert text.splitlines()[0] == EXAMPLE.read_text(encoding="utf-8").splitlines()[0]
    assert _run("check", tight).exit_code == 0


def test_a_number_that_there_is_not_is_refused(tight: Path) -> None:
    """One line, exit status 2, nothing written."""
    before = tight.read_bytes()
    result = _run("mend", tight, "--take", 99)
    assert result.exit_code == 2
    assert "no change 99; they are numbered 1 to 3" in result.output
    assert tight.read_bytes() == before


def test_mend_json_has_its_shape(tight: Path) -> None:
    """Schema, project, design, and the mends with their keys; what has none says why."""
    report = json.loads(_run("mend", tight, "--json").output)
    assert set(report) == {"schema", "project", "design", "mends", "unmended"}
    first = report["mends"][0]
    assert set(first) == {"number", "finding", "where", "says", "set", "fails", "cautions"}
    assert (first["number"], first["finding"], first["where"]) == (1, "hem-opening", "hem")
    assert first["set"] == {"take_in.hem": "1 1/8 in"}


def test_check_has_the_remedies_when_asked(tight: Path) -> None:
    """Per finding; none where all is well; only with --json and one file."""
    plain = json.loads(_run("check", tight, "--json").output)["findings"]
    assert all("remedies" not in found for found in plain)
    found = json.loads(_run("check", tight, "--json", "--remedies").output)["findings"]
    by_id = {one["id"]: one for one in found}
    assert set(by_id["hem-opening"]["remedies"][0]) == {"says", "set", "fails", "cautions"}
    assert by_id["ease-knee"]["remedies"] == []
    assert _run("check", tight, "--remedies").exit_code == 2
