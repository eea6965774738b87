"""The core as a library: a block made in code, how wide each hem would be, and the pattern."""

from pathlib import Path

import legtaper


def inches(**typed: str) -> dict[str, legtaper.Length]:
    """Return lengths by level, from texts such as "17 1/2" in inches."""
    return {level: legtaper.parse_length(text, "in") for level, text in typed.items()}


outseam = inches(hem="4 1/4", knee="4 3/4", crotch="5 3/4", hip="6")
inseam = inches(hem="4 1/4", knee="4 3/4", crotch="7")
block = legtaper.BlockTable(
    "Made in code",
    height=inches(hem="0", knee="17", crotch="30", hip="38"),
    reach={"front_outseam": outseam, "front_inseam": inseam,
           "back_outseam": outseam, "back_inseam": inseam | inches(crotch="8 1/2")},
)  # fmt: skip
girths = inches(foot_entry="12 3/4", knee="15")
wearer = legtaper.Wearer(foot_entry=girths["foot_entry"], knee=girths["knee"])
project = legtaper.Project("Made in code", "in", wearer, block=block)

for text in ("1/2", "3/4", "1", "1 1/4"):
    project = project.with_design(legtaper.Design(text, take_in=inches(hem=text)))
    fitted = legtaper.fit(project, text)
    hem = next(found for found in fitted.findings if found.id == "hem-opening")
    print(f"{text} in off each edge: {fitted.taper.finished['hem']:.0f} mm around, {hem.status}")

pattern = legtaper.build(project, "1/2")
Path("made-in-code.svg").write_text(legtaper.render(pattern, "svg"), encoding="utf-8")
legtaper.save(project, "made-in-code.toml")
print(f"legtaper {legtaper.__version__} saved {len(legtaper.load('made-in-code.toml').designs)}")
