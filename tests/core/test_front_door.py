"""The library's front door: what it promises, and that it is cheap to come through."""

from __future__ import annotations

import doctest
import subprocess
import sys
from pathlib import Path

import pytest
import sample

import legtaper


def test_its_examples_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the documentation shows is what happens."""
    monkeypatch.chdir(Path(__file__).parents[2])
    done = doctest.testmod(legtaper)
    assert (done.failed, done.attempted > 5) == (0, True)


def test_everything_promised_is_there_and_nothing_more() -> None:
    """Each name of `__all__` can be had; another is refused as Python does."""
    for name in legtaper.__all__:
        assert getattr(legtaper, name) is not None
    assert dir(legtaper) == sorted(legtaper.__all__)
    with pytest.raises(AttributeError, match="no attribute 'taper_it'"):
        getattr(legtaper, "taper_it")  # noqa: B009  the types know that it is not there


def test_importing_it_loads_no_library() -> None:
    """Neither numpy nor a part of the core but the version: that comes with the first use."""
    code = (
        "import sys, legtaper; legtaper.__version__;"
        "print([m for m in sys.modules if m.startswith(('legtaper.', 'numpy', 'shapely'))"
        " and not 'legtaper.model.version'.startswith(m)])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_project_is_saved_and_saved_again_with_its_remarks(tmp_path: Path) -> None:
    """New where there is no file; into the file that is there else, which keeps a backup."""
    path = tmp_path / "mine.toml"
    legtaper.save(sample.project(), path)
    assert legtaper.load(str(path)) == sample.project()
    path.write_text(f"# mine\n{path.read_text()}")
    changed = sample.project().with_design(legtaper.Design("second"))
    legtaper.save(changed, path)
    assert legtaper.load(path).design("second").name == "second"
    assert path.read_text().startswith("# mine\n")
    assert path.with_name("mine.toml.bak").is_file()


def test_what_is_no_project_is_not_written_over(tmp_path: Path) -> None:
    """The errors are those that the front door names; the file stays."""
    path = tmp_path / "letter.toml"
    path.write_text("Dear all")
    with pytest.raises((legtaper.ProjectError, legtaper.StoreError)):
        legtaper.save(sample.project(), path)
    assert path.read_text() == "Dear all"
    with pytest.raises(legtaper.StoreError, match=r"none\.toml"):
        legtaper.load(tmp_path / "none.toml")
    with pytest.raises(legtaper.NoDesignError):
        legtaper.fit(legtaper.Project())


@pytest.mark.parametrize(("kind", "begins"), [("pdf", b"%PDF-"), ("dxf", b"  0"), ("svg", "<")])
def test_a_pattern_is_rendered(kind: str, begins: bytes | str) -> None:
    """Bytes for pdf and dxf, text for svg; another format is refused."""
    pattern = legtaper.build(sample.project())
    made = legtaper.render(pattern, kind)
    assert made[: len(begins)] == begins
    with pytest.raises(ValueError, match="png"):
        legtaper.render(pattern, "png")
