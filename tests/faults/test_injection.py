"""Names, notes and labels made to do harm: text and nothing else, wherever they come out."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import pypdf
import pytest
from app_driver import driving
from click.testing import CliRunner, Result
from pty_terminal import PtyTerminal

from faults import LEGTAPER, surroundings
from legtaper.files.project_file import read_project
from legtaper_wizard.cli import main as cli
from legtaper_wizard.flow.session import Session

HOSTILE = {
    "escapes": "\x1b[2J\x1b]0;owned\x07\x1b[35;44mred\x9b6n",
    "bidi": "\u202egnp.exe\u202d\u2066hidden\u2069\u200f",
    "breaks": "one\ntwo\r\n0\nEOF\n\u2028three\x85four\ttabs",
    "long": "W" * 10_000,
    "markup": "[bold]x[/bold] [@click=app.quit]y[/] [link=file:///etc]z",
    "xml": "</text><script>alert(1)</script>&amp;]]>\"'<!--",
    "pdf": ") Tj ET (\\) /JS (app.alert(1)) >> endobj stream \\n \\",
    "formula": "=cmd|' /C calc'!A0",
    "formula at": "@SUM(1+1)",
    "dxf": "%%uunder \\P {\\fArial;x} ^J ^M",
    "wide": "\u0301" * 50 + "\U0001f468\u200d\U0001f469 \ufdfd \ufffe",
}
KEYS = ("name", "description", "label", "notes", "garment", "design", "fingerprint")
SAMPLE = Path(__file__).parents[1] / "core" / "data" / "contract_sample.toml"
COMMANDS = (
    ["check"], ["check", "--json"], ["draw"], ["draw", "--view", "front"], ["draw", "--ascii"],
    ["marks"], ["marks", "--csv"], ["marks", "--json"], ["limits"], ["limits", "--json"],
    ["compare"], ["compare", "--json"], ["compare", "--ascii"], ["round"], ["round", "--printed"],
)  # fmt: skip
ACTIVE = {"/JS", "/JavaScript", "/OpenAction", "/AA", "/URI", "/Launch", "/EmbeddedFiles"}


@pytest.fixture(params=list(HOSTILE))
def hostile(request: pytest.FixtureRequest) -> str:
    """Return one text that was made to do harm."""
    return HOSTILE[request.param]


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hostile: str) -> Path:
    """Return a project that has the text wherever a text may stand."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("COLUMNS", "80")
    return written(tmp_path / "hostile.toml", hostile)


def written(file: Path, text: str) -> Path:
    """Write the sample of the file's format with `text` in every place for one."""
    said = json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
    toml = SAMPLE.read_text()
    for key in KEYS:
        line = f"{key} = {said}"
        toml = re.sub(rf'^{key} = "[^"\n]*"', lambda _, line=line: line, toml, flags=re.MULTILINE)
    file.write_text(toml, "utf-8", newline="")
    assert read_project(toml).designs[-1].name == text
    return file


def run(*arguments: object, typed: str = "") -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(cli.main, [str(one) for one in arguments], input=typed)


def odd(text: str) -> list[str]:
    """Return what a terminal, or the eye that reads it, could be misled by."""
    kinds = ("Cc", "Cf", "Cs")
    return [c for c in text if c not in "\n\u200c\u200d" and unicodedata.category(c) in kinds]


def test_every_command_prints_text_and_nothing_else(file: Path, hostile: str) -> None:
    """No control, no turned direction, no line of its own; and no line without an end."""
    for words in COMMANDS:
        done = run(words[0], file, *words[1:])
        assert done.exit_code in (0, 1), (words, done.output)
        assert odd(done.output) == [], words
        assert "two" not in [line.strip() for line in done.output.splitlines()], words
        if "--json" in words:
            assert json.loads(done.stdout).get("project", hostile) == hostile
        else:
            assert max(map(len, done.output.splitlines())) < 2_000, words


def test_names_of_files_are_shown_safely(
    file: Path, hostile: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was written, and where, is said in lines that only the program ends."""
    monkeypatch.chdir(tmp_path)
    name = hostile.replace("/", "")[:50]
    for words in (
        ["begin", f"{name}.toml"], ["export", file, f"{name}.svg"], ["demo", f"{name} demo"],
        ["compare", file, "--out", f"{name}.pdf"],
    ):  # fmt: skip
        done = run(*words)
        assert done.exit_code == 0, done.output
        assert odd(done.output) == [], words[0]
        assert "two" not in done.output.splitlines(), words[0]


def test_the_calls_own_words_are_shown_safely(
    file: Path, hostile: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files, designs, papers and options in an error: one safe line that ends in time."""
    monkeypatch.chdir(tmp_path)
    new, name = tmp_path / "new.toml", hostile
    for words in (
        ["check", name], ["check", file, "--design", f"x{name}"],
        ["export", file, tmp_path / "o.pdf", "--paper", name], ["begin", new, "--from-svg", name],
        ["begin", new, name], ["begin", new, "--from-body", f"hip={name}"],
        ["demo", f"{file}/{name}"], ["round", file, "--pinch", name], [f"x{name}"],
        ["round", file, "--seen", name], ["compare", file, "--design", f"x{name}"],
        ["marks", file, "--round-to", name], ["export", file, f"{name}.png"],
    ):  # fmt: skip
        done = run(*words)
        assert done.exit_code == 2, (words[0], done.output)
        assert odd(done.output) == [], words[0]
        assert done.stderr.count("\n") == 1, (words[0], done.stderr)
        assert len(done.stderr) < 1_000, words[0]


def test_svg_holds_it_as_text(file: Path, tmp_path: Path) -> None:
    """The drawing is well-formed, has no script and no link, and every id once."""
    for words in (["export", file, "--leg", "narrowed"], ["export", file, "--leg", "both"]):
        out = tmp_path / f"{words[-1]}.svg"
        assert run(*words, out).exit_code == 0
        root = ET.fromstring(out.read_bytes())
        kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert kinds <= {"svg", "g", "path", "text", "title", "rect", "line"}, kinds
        keys = {key for element in root.iter() for key in element.keys()}  # noqa: SIM118
        assert not {key for key in keys if "href" in key or key.startswith("on")}
        assert odd("".join(root.itertext())) == []
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids))
    page = tmp_path / "page.svg"
    assert run("compare", file, "--out", page).exit_code == 0
    assert odd("".join(ET.fromstring(page.read_bytes()).itertext())) == []


def test_pdf_holds_it_as_text(tmp_path: Path) -> None:
    """Every page can be read, and nothing in the file acts, links or is attached."""
    every = "".join(text for kind, text in HOSTILE.items() if kind != "long")
    file = written(tmp_path / "hostile.toml", HOSTILE["pdf"] + every + HOSTILE["long"])
    out, page = tmp_path / "out.pdf", tmp_path / "page.pdf"
    assert run("export", file, out, "--leg", "both").exit_code == 0
    assert run("compare", file, "--out", page).exit_code == 0
    for made in (out, page):
        reader = pypdf.PdfReader(made, strict=True)
        assert "".join(one.extract_text() for one in reader.pages)
        assert not ACTIVE & {key for found in _objects(reader) for key in found}


def _objects(reader: pypdf.PdfReader) -> Iterator[pypdf.generic.DictionaryObject]:
    for number in range(1, reader.trailer["/Size"]):
        found = reader.get_object(number)
        if isinstance(found, pypdf.generic.DictionaryObject):
            yield found


def test_dxf_holds_it_as_text(file: Path, tmp_path: Path) -> None:
    """As many entities as for a harmless name, none of its lines a code, a clean audit."""
    counts = []
    for project in (file, written(tmp_path / "calm.toml", "calm")):
        out = project.with_suffix(".dxf")
        assert run("export", project, out).exit_code == 0
        document = ezdxf.readfile(out)
        assert not document.audit().has_errors
        entities = [entity for block in document.blocks for entity in block]
        counts.append(len(entities) + len(document.modelspace()))
        texts = [one.dxf.text for one in entities if one.dxftype() == "TEXT"]
        assert not [text for text in texts if odd(text)]
    assert counts[0] == counts[1]


def test_csv_holds_no_formula(tmp_path: Path) -> None:
    """No cell that a spreadsheet would reckon with, but for plain numbers."""
    toml = SAMPLE.read_text()
    for table, height in (("[block.height]", "12 in"), ("[design.take_in]", "1/4 in")):
        toml = toml.replace(table, f'{table}\n"-1-2" = "{height}"')
    file = tmp_path / "sums.toml"
    file.write_text(toml)
    done = run("marks", file, "--csv")
    assert done.exit_code == 0, done.output
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert "'-1-2" in {row["level"] for row in rows}
    for key, cell in (pair for row in rows for pair in row.items()):
        assert cell[:1] not in ("=", "+", "@", "\t"), cell
        assert cell[:1] != "-" or (key != "level" and float(cell) < 0)


async def test_the_wizard_shows_it_as_text(file: Path) -> None:
    """On every step, in notes, lists and pages."""
    async with driving(Session.open(file)) as on:
        for step in (("1", "enter"), *"23456789", ("1", "0"), ("1", "1")):
            await on.press("f3", *step)
            for page in ("f1", "f7", "f8", "ctrl+p"):
                await on.press(page)
                assert odd(on.text) == [], (step, page)
                await on.press("escape")
        await on.press("f2", "f9")
        assert odd(on.text) == []
        assert on.app.fault is None


def test_the_plain_wizard_shows_it_as_text(file: Path) -> None:
    """In every answer, note and list."""
    typed = "answers\nsteps\n3\nmore\n\nanswers\nsteps\n5\nmore\n\nnext\nback\nquit\n"
    done = run("open", file, "--plain", typed=typed)
    assert done.exit_code == 0, done.output
    assert odd(done.output) == []


def test_the_line_carries_only_the_wizards_own_sequences(tmp_path: Path) -> None:
    """Names that would retitle, color or ask the terminal come as letters."""
    every = "".join(HOSTILE[kind] for kind in ("escapes", "bidi", "breaks", "markup"))
    file = written(tmp_path / "hostile.toml", every)
    with PtyTerminal([LEGTAPER, "open", file], surroundings(tmp_path)) as terminal:
        terminal.wait_for("F10 quit")
        for step in "3579":
            terminal.press("f3")
            terminal.wait_for("All steps")
            terminal.press(step)
            terminal.wait_gone("All steps")
        for bad in ("\x1b]0;", "owned\x07", "\x9b", "\x1b[35;44m", "\u202e", "\u2066"):
            assert bad.encode() not in terminal.last_bytes
        assert b"owned" in terminal.last_bytes
        terminal.press("f10")
        assert terminal.wait_exit() == 0
