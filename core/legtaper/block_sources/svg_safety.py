"""SVG text made harmless: only shapes, groups and local references are left, within limits."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final
from xml.etree import ElementTree as ET

from legtaper.block_sources.traced import LARGEST, count_points
from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean

_SVG: Final = "http://www.w3.org/2000/svg"
_HREFS: Final = ("href", "{http://www.w3.org/1999/xlink}href")
_LABEL: Final = "{http://www.inkscape.org/namespaces/inkscape}label"
_GROUPS: Final = ("svg", "g", "defs", "symbol", "a", "use")
_SHAPES: Final = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
_PLACES: Final = ("x", "y", "cx", "cy", "r", "rx", "ry", "width", "height")
_KEPT: Final = frozenset(
    (*_PLACES, "id", "class", "d", "points", "x1", "y1", "x2", "y2", "viewBox", "transform")
) | {"preserveAspectRatio"}
_DEEPEST: Final = 60
_MOST_ELEMENTS: Final = 20_000
_NUMBER: Final = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?"
_NUMBERS: Final = re.compile(_NUMBER)
_PATH: Final = re.compile(r"[\sMmZzLlHhVvCcSsQqTtAa0-9eE.,+-]*")
_MOVE: Final = re.compile(r"(?:matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)[\s,]*")
_MOVED: Final = re.compile(r"(?:^|[;{\s])(?:transform|translate|rotate|scale|zoom)\s*:(?!\s*none)")
_LENGTH: Final = re.compile(rf"\s*{_NUMBER}\s*(?:px|mm|cm|in|pt|pc|%)?\s*")


def harmless(data: bytes) -> ET.Element:
    """Return the drawing as a tree of shapes without namespaces. Raises `ProjectError`.

    Gone are scripts, pictures, text, styles and whatever points outside the file. Refused are
    entities, references in a circle and more than a pattern needs. No other file is read.
    """
    if len(data) > LARGEST:
        raise ProjectError("", f"larger than {LARGEST // 1_000_000} MB; trace only the two panels")
    if data[:2] == b"\x1f\x8b":
        raise ProjectError("", "this is a compressed SVG; save it as SVG, not as SVGZ")
    root = _parsed(data)
    _refuse_styles_that_move(root)
    if root.tag not in (f"{{{_SVG}}}svg", "svg"):
        raise ProjectError("", "this is no SVG drawing; save the outline as SVG")
    plain = _copied(root, 0)
    if plain is None:
        raise ProjectError("", "the drawing is hidden; show it and save it again")
    _check_size_of(plain)
    _check_references(plain)
    return plain


def _parsed(data: bytes) -> ET.Element:
    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    try:
        root: ET.Element = fromstring(data, forbid_entities=True, forbid_external=True)
    except DefusedXmlException:
        raise ProjectError("", "holds entities, which no drawing needs; save it as SVG without them"
                           ) from None  # fmt: skip
    except (ET.ParseError, ValueError, LookupError) as error:
        reason = clean(str(error), 80)
        raise ProjectError("", f"this is no SVG drawing that can be read ({reason})") from None
    return root


def _refuse_styles_that_move(root: ET.Element) -> None:
    """Refuse what moves or scales shapes by a style: left out, they would have another size."""
    for element in root.iter():
        kept = element.text if _local(element.tag) == "style" else element.get("style")
        if kept and _MOVED.search(kept):
            name = clean(element.get("id", _local(element.tag)), 40)
            raise ProjectError(
                name,
                "is moved or scaled by its style; save it as plain SVG, with its moves applied",
            )


def _local(tag: object) -> str:
    """Return an element's name where it is one of SVG's, else ""."""
    if not isinstance(tag, str):
        return ""
    space, _, name = tag.rpartition("}")
    return name if space in ("", f"{{{_SVG}") else ""


def _hidden(element: ET.Element) -> bool:
    style = element.get("style", "").replace(" ", "")
    return element.get("display") == "none" or "display:none" in style


def _copied(element: ET.Element, depth: int) -> ET.Element | None:
    name = _local(element.tag)
    if name not in (*_GROUPS, *_SHAPES) or _hidden(element):
        return None
    if depth > _DEEPEST:
        raise ProjectError("", "groups are nested too deeply; ungroup the outlines")
    copy = ET.Element("g" if name in ("symbol", "a") else name)
    for key, value in element.attrib.items():
        if name == "svg" and key in ("width", "height") and value.strip().endswith(("%", "auto")):
            continue  # as large as the window: only the viewBox has a size
        if key in _KEPT and not (name == "symbol" and key not in ("id", "class")):
            copy.set(key, _checked(key, value, element))
        elif key in _HREFS and name == "use" and value.startswith("#"):
            copy.set("href", value)
        elif key == _LABEL:
            copy.set("data-label", clean(value, 80))
    inner = [_copied(child, depth + 1) for child in element] if name in _GROUPS else []
    copy.extend(child for child in inner if child is not None)
    if name == "symbol":  # only drawn where it is used
        holder = ET.Element("defs")
        holder.append(copy)
        return holder
    return copy


def _checked(key: str, value: str, element: ET.Element) -> str:
    """Return the value of an attribute, or refuse one that no drawing program writes."""
    wrong = key == "d" and not _PATH.fullmatch(value)
    wrong = wrong or (key == "transform" and not _moves(value))
    wrong = wrong or (key in _PLACES and not _LENGTH.fullmatch(value))
    if wrong and value.strip() not in ("", "auto"):
        name = clean(element.get("id", _local(element.tag)), 40)
        instead = "draw it again"
        if key in _PLACES:
            instead = "sizes are in mm, cm, in, pt, pc or px"
        raise ProjectError(name, f"its {key} holds something that is no number; {instead}")
    return value


def _moves(value: str) -> bool:
    """Whether a transform is a list of moves, each with numbers, read once from left to right."""
    at, text = 0, value.strip()
    while found := _MOVE.match(text, at):
        if _NUMBERS.sub("", found[1]).strip(", \t\r\n"):
            return False
        at = found.end()
    return at == len(text)


def _check_size_of(root: ET.Element) -> None:
    """Refuse a picture of no size, whose scale nobody can know."""
    for key in ("width", "height"):
        found = _NUMBERS.search(root.get(key, "1"))
        if found and not float(found[0]) > 0:
            raise ProjectError(key, "is 0 or less; the drawing needs a size above 0")
    box = root.get("viewBox")
    if box is None:
        return
    numbers = [float(one) for one in re.split(r"[\s,]+", box.strip()) if _NUMBERS.fullmatch(one)]
    if len(numbers) != 4 or not min(numbers[2:]) > 0 or max(map(abs, numbers)) > 1e9:
        raise ProjectError("viewBox", "must be four numbers, the last two above 0")


def _references(element: ET.Element) -> Iterator[str]:
    for one in element.iter("use"):
        if one.get("href"):
            yield one.get("href", "")[1:]


def _check_references(root: ET.Element) -> None:
    """Refuse references in a circle, and what would grow to more than a pattern needs."""
    by_id = {one.get("id", ""): one for one in root.iter() if one.get("id")}
    sizes: dict[str, tuple[int, int]] = {}
    open_ids: list[str] = []

    def size(element: ET.Element) -> tuple[int, int]:
        elements = points = 0
        for one in element.iter():
            elements += 1
            text = one.get("d") or one.get("points") or ""
            points += len(_NUMBERS.findall(text)) // 2
        for name in _references(element):
            if name in by_id:
                more = named_size(name)
                elements, points = elements + more[0], points + more[1]
        return elements, points

    def named_size(name: str) -> tuple[int, int]:
        if name in open_ids or len(open_ids) > _DEEPEST:
            raise ProjectError(clean(name, 40), "is used inside itself; draw it as lines")
        if name not in sizes:
            open_ids.append(name)
            sizes[name] = size(by_id[name])
            open_ids.pop()
        return sizes[name]

    elements, points = size(root)
    count_points(points)
    if elements > _MOST_ELEMENTS:
        raise ProjectError("", f"has more than {_MOST_ELEMENTS} elements; save only the two panels")
