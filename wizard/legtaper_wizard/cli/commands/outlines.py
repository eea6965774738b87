"""The command `outlines`: what a drawing holds, to choose front and back from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from legtaper_wizard.cli.completion import UNITS, words
from legtaper_wizard.cli.options import JSON, Refusal, give_out, json_text, one_line
from legtaper_wizard.cli.sections import Section, command

_KINDS = (".svg", ".dxf")


@command("outlines", Section.BEGIN, 4)
@click.argument("drawing", metavar="DRAWING", type=click.Path(path_type=Path))
@click.option("--px-per-inch", metavar="NUMBER", type=float,
              help="How many px of an SVG are an inch; 96 if not said.")  # fmt: skip
@click.option("--drawing-unit", metavar="UNIT", shell_complete=words(lambda: UNITS),
              help="The unit of a DXF that says none, or a wrong one.")  # fmt: skip
@JSON
def outlines(
    drawing: Path, px_per_inch: float | None, drawing_unit: str | None, as_json: bool
) -> None:
    """List the outlines of a DRAWING, .svg or .dxf, that may be a panel.

    For each its id, the other names it is known by, width, height and whether it is closed; and
    the unit or scale the drawing was read in. The ids go with --front and --back of begin.
    """
    from legtaper.block_sources.drawing_file import read_drawing
    from legtaper_wizard.flow.new_project import bytes_of

    kind = drawing.suffix.lower()
    if kind not in _KINDS:
        raise Refusal("the name of a drawing ends in .svg or .dxf", drawing)
    with one_line(drawing):
        tracing = read_drawing(bytes_of(drawing), ".svg" if kind == ".svg" else ".dxf",
                               px_per_inch, drawing_unit)  # fmt: skip
    rows = [_row(one) for one in tracing.outlines]
    give_out(_json(drawing, tracing.scale, rows) if as_json else _text(tracing.scale, rows), None)


def _row(one: Any) -> dict[str, Any]:
    wide, high = one.size
    return {
        "id": one.id,
        "label": ", ".join(sorted(one.names - {one.id})) or None,
        "layer": one.layer or None,
        "width": wide,
        "height": high,
        "closed": one.closed,
    }


def _json(drawing: Path, scale: str, rows: list[dict[str, Any]]) -> str:
    from legtaper.files.atomic_write import shown_path
    from legtaper.outputs.json_report import SCHEMA

    unit = scale if not scale.startswith("px") else "px"
    return json_text({
        "schema": SCHEMA, "drawing": shown_path(drawing), "length_unit": "mm", "unit": unit,
        "scale": scale, "outlines": rows,
    })  # fmt: skip


def _text(scale: str, rows: list[dict[str, Any]]) -> str:
    from legtaper.model.lengths import say_length
    from legtaper.model.safe_text import clean
    from legtaper.model.sheet_table import SheetTable
    from legtaper.outputs.text_tables import table_lines

    if not rows:
        return f"Read with {scale}: no outline of the size of a leg."
    cells = tuple(
        (
            clean(row["id"], 30),
            clean(row["label"] or "", 30),
            clean(row["layer"] or "", 20),
            *(f"{say_length(row[side], 'cm')}, {say_length(row[side], 'in')}"
              for side in ("width", "height")),
            "closed" if row["closed"] else "open",
        )
        for row in rows
    )  # fmt: skip
    header = ("Id", "Other names", "Layer", "Width", "Height", "")
    return "\n".join(table_lines(SheetTable(f"Read with {scale}", header, cells)))
