"""What every test stands on, and an invented pattern and its sheet that several draw."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, settings

from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.drawing import Drawing, Label, Piece, Stroke, lay_out
from legtaper.outputs.front_sheet import Sheet

# A machine with other work on it stalls at times, and no test of the suite is one of time.
settings.register_profile("suite", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("suite")


@pytest.fixture(autouse=True)
def no_place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Let no test depend on the locale or the settings of whoever runs it, nor change anything.

    Returns the folder that the settings of this test are kept in.
    """
    for name in ("LC_ALL", "LC_TIME", "LC_PAPER", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "C.UTF-8")
    folder = tmp_path / ".config"
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / ".state"))
    return folder


def _panel(name: str, top: float, hem: float = 200.0, tall: float = 1000.0) -> Piece:
    """Return an invented panel `top` mm wide at the hip, on a grainline at x = 0."""
    y = np.linspace(0, tall, 201)
    reach = hem / 2 + (top - hem) / 2 * (y / tall) ** 2
    net = np.concatenate([np.column_stack([-reach, y]), np.column_stack([reach, y])[::-1]])
    wide = 15.0 * np.sign(net[:, [0]]) * (1, 0)
    levels = ((380.0, "knee line"), (720.0, "crotch line"))
    strokes = [
        Stroke(f"{name}-cut", "cut", np.concatenate([net + wide]), closed=True),
        Stroke(f"{name}-net", "net", net, closed=True),
        Stroke(f"{name}-block", "block", np.column_stack([reach + 12 * (1 - y / tall), y])),
        Stroke(f"{name}-grainline", "grainline", np.array([(0.0, 60.0), (0.0, tall - 60)])),
        Stroke(f"{name}-hem-fold", "hem-fold", np.array([(-hem / 2, 38.0), (hem / 2, 38.0)])),
    ]
    strokes += [
        Stroke(f"{name}-level-{i}", "level", np.array([(-top / 2, at), (top / 2, at)]))
        for i, (at, _) in enumerate(levels)
    ]
    labels = [
        Label(f"{name.capitalize()} - cut 2 (one pair)", (0, 560), 6, anchor="middle"),
        Label("grainline", (-3, 300), 4, angle=90),
    ]
    labels += [Label(text, (8, at + 2), 3.5) for at, text in levels]
    return Piece(name, name.capitalize(), tuple(strokes), tuple(labels))


@pytest.fixture(scope="session")
def two_panels() -> Drawing:
    """Return a front and a back panel, 220 and 260 mm wide at the top, 200 at the hem."""
    pieces = [_panel("front", 220.0), _panel("back", 260.0)]
    return lay_out("Courier trousers, easy taper", pieces, notes=("Invented example.",))


@pytest.fixture(scope="session")
def sheet() -> Sheet:
    """Return an invented sheet that fills more than one page of A4."""
    marks = tuple(
        (f"{edge} {seam}", f"{y} in", "5/8 in", f"{4 + y / 16:g} in", "straight")
        for edge in ("front", "back")
        for seam in ("inseam", "outseam")
        for y in (0, 4, 8, 12, 17)
    )
    return Sheet(
        "Courier trousers",
        "easy taper, round 2, 2026-03-20. Invented example",
        (
            "Block: Trouser block, March",
            "Fabric: 8 oz twill, woven, 0.6 mm",
            "Hem: single, 1 1/2 in deep",
            "Seam allowance: 5/8 in",
            "Hem opening: 15 1/2 in",
        ),
        (
            SheetTable(
                "Widths around the leg",
                ("level", "block", "finished", "comes off each edge", "ease"),
                (
                    ("hem", "18 in", "15 1/2 in", "5/8 in", "-"),
                    ("knee", "20 in", "18 1/4 in", "7/16 in", "2 3/4 in"),
                    ("thigh", "26 in", "25 1/2 in", "1/8 in", "1 1/2 in"),
                ),
                "After rounding to 1/8 in the hem is 15 1/2 in round.",
            ),
            SheetTable(
                "Marking table",
                ("edge", "above the hem", "come in", "from the grainline", "part"),
                marks,
            ),
        ),
        (
            ("pass", "The hem is 15 1/2 in round and the foot needs 12 3/4 in."),
            ("warning", "The knee has 3/4 in of ease; allow 1 in or more, or sew it in stretch."),
            ("fails", "The new outseams differ by 5 mm; blend both panels at the same height."),
            (
                "unknown",
                "The bent knee was not measured; measure it to check the knee when sitting.",
            ),
        ),
        ("Test in cheap fabric before you cut the real one.", "Blades, needles and irons hurt."),
        "legtaper - Courier trousers - easy taper",
    )
