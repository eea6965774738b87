"""The core as a library: how wide each hem of this block would be, and whether the foot passes."""

from dataclasses import replace
from pathlib import Path

from legtaper.files.store import load
from legtaper.model.lengths import parse_length
from legtaper.pattern import fit

project = load(Path(__file__).with_name("courier.toml"))
design = project.design("easy taper")
for text in ("1/2 in", "3/4 in", "1 in", "1 1/4 in"):
    trial = replace(design, name=text, take_in={"hem": parse_length(text, "in")})
    found = fit(project.with_design(trial), text)
    hem = next(one for one in found.findings if one.id == "hem-opening")
    print(f"{text} off each edge: {found.taper.circumference(0):.0f} mm round, {hem.status}")
