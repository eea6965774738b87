"""The wheel: what it carries, and that it runs where nothing else of the project is."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from pathlib import Path

import click
import ezdxf
import numpy
import pytest
import reportlab
import shapely

import legtaper

LENT = (click, ezdxf, numpy, reportlab, shapely)
TOP = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a wheel built of this tree."""
    pytest.importorskip("hatchling")
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
                   cwd=TOP, check=True, capture_output=True)  # fmt: skip
    (made,) = folder.glob("*.whl")
    return made


def test_a_wheel_carries_the_man_page_and_completions(wheel: Path) -> None:
    """Where systems look for them; the page is that of the program, the version its own."""
    assert wheel.name.startswith(f"legtaper-{legtaper.__version__}-")
    data = f"legtaper-{legtaper.__version__}.data/data/share"
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
        page = packed.read(f"{data}/man/man1/legtaper.1").decode()
    assert page.startswith(".TH LEGTAPER 1")
    assert ".SH EXIT STATUS" in page
    assert f"{data}/bash-completion/completions/legtaper" in names
    assert f"{data}/zsh/site-functions/_legtaper" in names
    assert f"{data}/fish/vendor_completions.d/legtaper.fish" in names
    assert {"legtaper/py.typed", "legtaper_wizard/data/courier.toml"} <= names
    assert {name.split("/")[0].split("-")[0] for name in names} == {"legtaper", "legtaper_wizard"}


@pytest.mark.skipif(os.name != "posix", reason="the place of commands differs")
def test_the_demo_runs_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    """In an environment with nothing of this tree; the libraries are lent by the tests' own."""
    fresh = tmp_path / "fresh"
    venv.create(fresh, with_pip=True)
    python = fresh / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", wheel],
                   check=True, capture_output=True)  # fmt: skip
    site = next(fresh.glob("lib/python*/site-packages"))
    lent = {sysconfig.get_path("purelib"), *(str(Path(one.__file__).parents[1]) for one in LENT)}
    (site / "lent.pth").write_text("\n".join(sorted(lent)), encoding="utf-8")
    done = subprocess.run([fresh / "bin" / "legtaper", "demo"], cwd=tmp_path, text=True,
                          capture_output=True, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert len(list((tmp_path / "legtaper-demo").iterdir())) == 6
    where = subprocess.run([python, "-c", "import legtaper; print(legtaper.__file__)"], text=True,
                           capture_output=True, check=True, cwd=tmp_path)  # fmt: skip
    assert Path(where.stdout.strip()).is_relative_to(fresh)


def test_what_the_package_says_of_itself() -> None:
    """No address that does not exist, and one version, which the library says too."""
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert "urls" not in project
    assert project["dynamic"] == ["version"]
