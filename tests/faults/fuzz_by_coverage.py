"""Spoil files guided by what code they reach, with atheris; by hand, in a venv of its own.

    python tests/faults/fuzz_by_coverage.py {toml,svg,dxf} [-max_total_time=600] [FOLDER]

FOLDER collects inputs that reach something new. A `crash-*` file is written for what is neither
read nor refused as it should be; it becomes a case in `test_known_crashes.py`.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import atheris

EXAMPLES = Path(__file__).parents[2] / "examples"

with atheris.instrument_imports(include=["legtaper", "tomllib"]):
    from legtaper.block_sources.dxf_reading import read_dxf
    from legtaper.block_sources.svg_reading import read_svg
    from legtaper.files.project_file import read_project, write_project
    from legtaper.model.project import ProjectError
    from legtaper.outputs.json_report import check_report
    from legtaper.pattern import build


def try_project(data: bytes) -> None:
    """Read, write and read again, and build what can be built."""
    try:
        project = read_project(data)
    except ProjectError:
        return
    assert read_project(write_project(project, data.decode())) == project
    try:
        pattern = build(project)
    except ProjectError:
        return
    for level in check_report(pattern)["levels"]:
        assert level["finished"] is None or math.isfinite(level["finished"])


def try_svg(data: bytes) -> None:
    """Read the outlines of a drawing."""
    with suppress(ProjectError):
        read_svg(data)


def try_dxf(data: bytes) -> None:
    """Read the outlines of a drawing."""
    with suppress(ProjectError):
        read_dxf(data, "mm")


TRIES: dict[str, Callable[[bytes], None]] = {"toml": try_project, "svg": try_svg, "dxf": try_dxf}


def main() -> None:
    """Run until told to stop; what stands behind the kind goes to the fuzzer."""
    kind = sys.argv[1]
    folders = [word for word in sys.argv[2:] if not word.startswith("-")]
    for folder in folders:
        Path(folder).mkdir(exist_ok=True)
        for example in EXAMPLES.glob(f"*.{kind}"):
            (Path(folder) / example.name).write_bytes(example.read_bytes())
    options = [word for word in sys.argv[2:] if word.startswith("-")]
    atheris.Setup(
        [sys.argv[0], *folders, "-max_len=200000", "-timeout=10", "-rss_limit_mb=900", *options],
        TRIES[kind],
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
