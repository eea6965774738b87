"""Where the notches of a sewn pair stand, so that they meet when the seam is sewn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from legtaper.geometry.curves import Line, arc_length, foot, height_after
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.leg.waist_and_crotch import own_notches
from legtaper.model.project import EDGES, PANELS, SEWN, Edge, SeamName, panel_of, seam_of

Heights = Mapping[Edge, Mapping[str, float]]
"""The heights, mm, of the notches of each seam, by name."""

_APART = (
    15.0  # mm; two notches nearer than this would be taken for one double notch: common practice
)
_BELOW_TOP = 1.0  # mm; the very end of a seam has no room for a notch: common practice
_OWN_APART = 10.0  # mm; a drawn notch this near to one made here is it: common practice
_PAIRED = 15.0  # mm along the seam; notches of a drawing farther apart are no pair: common practice


def notch_heights(
    block: Block, seams: Mapping[Edge, Line], blends: Mapping[SeamName, float]
) -> dict[Edge, dict[str, float]]:
    """Return the notches at knee, blend and hip, and those of a traced block's drawing.

    The front's stand on their level, the back's equally far from the hem along the seam.
    """
    found: dict[Edge, dict[str, float]] = {edge: {} for edge in EDGES}
    for seam, (front, back) in SEWN.items():
        walk = _Walk(block, seams, (front, back))
        wanted = {"knee": block.knee_on("front")}
        if seam == "outseam":
            wanted[block.fullest] = block.height_on("front", block.fullest) - _BELOW_TOP
        if seam in blends:
            wanted["blend"] = blends[seam]
        for name, y in wanted.items():
            near = any(abs(y - other) <= _APART for other in found[front].values())
            if not near and block.start < y < block.blend_top(seam):
                found[front][name], found[back][name] = walk.across(y)
        made = {edge: list(found[edge].values()) for edge in (front, back)}
        for named in _own_notches(block, walk):
            if all(abs(y - other) > _OWN_APART for edge, (_, y) in named.items()
                   for other in made[edge]):  # fmt: skip
                for edge, (name, y) in named.items():
                    found[edge][name] = y
    return found


class _Walk:
    """Both edges of a sewn pair, walked together from the hem."""

    def __init__(self, block: Block, seams: Mapping[Edge, Line], edges: tuple[Edge, Edge]) -> None:
        self.edges = edges
        self.lines = tuple(seams[edge] for edge in edges)
        self.lows = tuple(foot(seams[edge], *block.hem_of(edge), block.start) for edge in edges)
        self.tops = tuple(block.seam_top(edge) - _BELOW_TOP for edge in edges)

    def across(self, y: float) -> tuple[float, float]:
        """Return the heights on front and back that lie as far along as `y` does on the front.

        Where the back ends before that, both lie as far along as the back goes.
        """
        (front, back), (low, back_low) = self.lines, self.lows
        there = height_after(back, back_low, arc_length(front, low, y))
        if there <= self.tops[1]:
            return y, there
        there = self.tops[1]
        return height_after(front, low, arc_length(back, back_low, there)), there


def _own_notches(block: Block, walk: _Walk) -> Iterator[dict[Edge, tuple[str, float]]]:
    """Yield the notches of the drawing on a sewn pair, name and height by edge: two of a pair."""
    front, back = walk.edges
    old = _Walk(block, block.seams, walk.edges)
    left = _on_seam(block, back)
    number = 0
    for number, y in enumerate(_on_seam(block, front), 1):
        mate = old.across(y)[1]
        near = [other for other in left if abs(other - mate) <= _PAIRED][:1]
        found: dict[Edge, tuple[str, float]] = {front: (f"own-{number}", y)}
        for other in near:
            left.remove(other)
            here, there = walk.across(y)
            found = {front: (f"own-{number}", here), back: (f"own-{number}", there)}
        yield found
    for more, y in enumerate(left, number + 1):
        yield {back: (f"own-{more}", y)}


def _on_seam(block: Block, edge: Edge) -> list[float]:
    """Return the heights at which the drawing has a notch on a seam, from the hem up."""
    name = panel_of(edge)
    if name not in block.rests:
        return []
    inseam, outseam = PANELS[name]
    seams = block.seams[inseam], block.seams[outseam]
    return sorted(own_notches(block.rests[name], seams, OUTSEAM_SIDE[name])[0][seam_of(edge)])
