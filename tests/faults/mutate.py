"""Spoiled copies of good files: the same seed spoils in the same way, so that failures repeat."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

_NUMBER = re.compile(rb"-?\d+(?:[.,]\d+)?")
_QUOTED = re.compile(rb'"[^"\n]*"')
_NUMBERS = (
    b"0", b"-1", b"-0.0", b"1e308", b"1e-320", b"nan", b"inf", b"-inf", b"9" * 400, b"0x10",
    b"2147483648", b"18446744073709551616", b"0.1e", b"1_000", b"999999", b"0.0000001", b"1/0",
    b"1 1/2", b"007", b"1,2,3", b"-999999999",
)  # fmt: skip
_TEXTS = (
    b"\x1b[2J\x1b]0;x\x07", "\u202egnp.exe".encode(), b"\r\n", b"\0", b"\xff\xfe", b"[bold]",
    b"=1+1", b"' OR", b"&amp;<!--", b"]]>", b"((()", b"%s%n", b"../../etc", b"A" * 10_000,
    "\ud800".encode("utf-8", "surrogatepass"), "\u0000".encode(), b'"""', b"'''", b"\\u0000",
    "½ in".encode(), b"9999999 in", b"-5 in", b"0 mm", b"1e9 cm", b"inf in", b"auto", b"none",
)  # fmt: skip

Edit = Callable[[random.Random, bytes], bytes]


def mutated(seed: int, sources: Sequence[bytes], words: Sequence[bytes]) -> bytes:
    """Return a copy of one source, spoiled in one to six places.

    words: what means something in this kind of file; put in the wrong place it leads far in.
    """
    chance = random.Random(seed)
    data = chance.choice(list(sources))
    gently = chance.random() < 0.5  # else most would end at the first sign that is out of place
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        edit = chance.choice(_GENTLE if gently else (*_EDITS, _with_words(words)))
        data = edit(chance, data)
    return data


def _span(chance: random.Random, data: bytes) -> tuple[int, int]:
    start = chance.randrange(len(data) + 1)
    return start, min(len(data), start + int(chance.expovariate(1 / 20)) + 1)


def _flip(chance: random.Random, data: bytes) -> bytes:
    if not data:
        return data
    at = chance.randrange(len(data))
    return data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :]


def _drop(chance: random.Random, data: bytes) -> bytes:
    start, end = _span(chance, data)
    return data[:start] + data[end:]


def _double(chance: random.Random, data: bytes) -> bytes:
    start, end = _span(chance, data)
    return data[:end] + data[start:end] * chance.choice((1, 2, 50)) + data[end:]


def _truncate(chance: random.Random, data: bytes) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _lines(chance: random.Random, data: bytes) -> bytes:
    """Drop, double or swap whole lines, keys or elements."""
    lines = data.split(b"\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    what = chance.randrange(4)
    if what == 0:
        del lines[one]
    elif what == 1:
        lines.insert(other, lines[one])
    elif what == 2:
        lines[one], lines[other] = lines[other], lines[one]
    else:
        del lines[min(one, other) : max(one, other)]
    return b"\n".join(lines)


def _instead(pattern: re.Pattern[bytes], choices: Sequence[bytes], quote: bytes = b"") -> Edit:
    """Return what puts something else in the place of one match, or another match of the file."""

    def edit(chance: random.Random, data: bytes) -> bytes:
        found = list(pattern.finditer(data))
        if not found:
            return data
        one = chance.choice(found)
        if chance.random() < 0.3:
            new = chance.choice(found)[0]
        else:
            new = quote + chance.choice(list(choices)) + quote
        return data[: one.start()] + new + data[one.end() :]

    return edit


def _with_words(words: Sequence[bytes]) -> Edit:
    def edit(chance: random.Random, data: bytes) -> bytes:
        at = chance.randrange(len(data) + 1)
        return data[:at] + chance.choice(list(words)) + data[at:]

    return edit


def _nested(chance: random.Random, data: bytes) -> bytes:
    """Put very many of one sign in one place: parsers that call themselves run out of room."""
    at = chance.randrange(len(data) + 1)
    sign = chance.choice((b"[", b"{", b"(", b"<g>", b"a.", b"\n", b"[[", b" "))
    return data[:at] + sign * chance.choice((40, 3000)) + data[at:]


_EDITS: tuple[Edit, ...] = (
    _flip, _drop, _double, _truncate, _lines, _lines,
    _instead(_NUMBER, _NUMBERS), _instead(_NUMBER, _NUMBERS), _instead(_NUMBER, _NUMBERS),
    _instead(_QUOTED, _TEXTS, b'"'), _instead(_QUOTED, _TEXTS, b'"'),
    _with_words(_TEXTS), _nested,
)  # fmt: skip

_GENTLE: tuple[Edit, ...] = (
    _instead(_NUMBER, _NUMBERS[:3] + _NUMBERS[13:19]),
    _instead(_NUMBER, (b"1", b"2", b"3", b"10", b"25", b"40", b"100", b"1.5", b"33 1/3")),
    _instead(_NUMBER, (b"0.01", b"5/8", b"7", b"12 1/2", b"60", b"400", b"0.999")),
    _instead(_QUOTED, _TEXTS[:1] + _TEXTS[5:7] + _TEXTS[19:], b'"'),
    _lines,
)  # fmt: skip

TOML_WORDS = (
    b"\n[[design]]\n", b"\n[block]\n", b"\nformat = 2\n", b"\nformat = 1\n", b'\nname = "x"\n',
    b"\n[design.extra.outseam]\nknee = \"-1 in\"\n", b"\nlength_unit = \"cm\"\n", b" = ", b"#",
    b'\nstyle = "straight"\n', b'\nstyle = "faced"\n', b'\noutseam_curve = "1 in"\n', b"[", b"]",
    b'\n[[round]]\ndesign = "easy taper"\n', b"\ncurrent = \"slim taper\"\n", b"{", b"}", b'"',
    b'\nknee = "40 in"\n', b'\nhem = "0.1 mm"\n', b"\n[block.outline.front]\npoints = [[0,0]]\n",
)  # fmt: skip
SVG_WORDS = (
    b"<!DOCTYPE x [<!ENTITY a 'b'>]>", b"<use href='#front'/>", b"<g transform='scale(1e9)'>",
    b"</g>", b"<svg>", b"</svg>", b" transform='matrix(0 0 0 0 0 0)'", b" d='M0 0 L1e308 1'",
    b"M", b"z", b"A1 1 0 0 0 1 1", b"C", b" viewBox='0 0 0 0'", b" width='0'", b"<![CDATA[",
    b"<script>x</script>", b" style='display:none'", b"&#0;", b"&#x1b;", b"<!--",
)  # fmt: skip
DXF_WORDS = (
    b"\n0\nSECTION\n2\nENTITIES\n", b"\n0\nENDSEC\n", b"\n0\nEOF\n", b"\n0\nINSERT\n2\nFRONT\n",
    b"\n0\nPOLYLINE\n", b"\n0\nSEQEND\n", b"\n0\nSPLINE\n", b"\n0\nHATCH\n", b"\n10\n1e400\n",
    b"\n41\n1e300\n", b"\n70\n32767\n", b"\n71\n32767\n", b"\n9\n$INSUNITS\n70\n5\n", b"\n8\n14\n",
    b"\n0\nTEXT\n1\nUnits: ENGLISH\n", b"\n0\nMTEXT\n", b"\n5\nFFFFFFFFFFFF\n", b"\n999\n",
)  # fmt: skip
