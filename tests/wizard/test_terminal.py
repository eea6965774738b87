from __future__ import annotations

import pytest

from legtaper_wizard.terminal import Look, look, prepare

GOOD = {"TERM": "xterm-256color", "LANG": "en_GB.UTF-8"}


def test_a_modern_terminal_gets_everything() -> None:
    """On a terminal with 256 colors and UTF-8 the app draws with braille and full color."""
    assert look(GOOD, True, True, "utf-8") == Look(False, True, "full", False)


@pytest.mark.parametrize(
    ("environ", "stdin", "stdout"),
    [
        ({"TERM": "dumb"}, True, True),
        ({"TERM": "unknown"}, True, True),
        ({}, True, True),
        (GOOD, False, True),
        (GOOD, True, False),
    ],
)
def test_without_a_screen_it_goes_plain(environ: dict[str, str], stdin: bool, stdout: bool) -> None:
    """A dumb or nameless terminal, or none at either end, gets the prompts line by line."""
    assert look(environ, stdin, stdout, "utf-8").plain


def test_what_is_asked_for_is_done() -> None:
    """`--plain` and `--ascii` hold on any terminal."""
    seen = look(GOOD, True, True, "utf-8", plain=True, ascii_only=True)
    assert (seen.plain, seen.ascii_only, seen.braille) == (True, True, False)


@pytest.mark.parametrize(
    ("environ", "encoding"),
    [
        (GOOD, "ascii"),
        (GOOD, "iso8859-1"),
        (GOOD, None),
        (GOOD | {"LC_ALL": "C"}, "utf-8"),  # Python writes UTF-8 in the C locale
        (GOOD | {"LC_CTYPE": "POSIX"}, "utf-8"),
        ({"TERM": "linux", "LANG": "de_DE.UTF-8"}, "utf-8"),
        ({"TERM": "vt220"}, "utf-8"),
        ({"TERM": "dumb"}, "utf-8"),
    ],
)
def test_where_lines_and_dots_are_missing_it_keeps_to_ascii(
    environ: dict[str, str], encoding: str | None
) -> None:
    """Another encoding than UTF-8, the C locale or a font with few characters means ASCII."""
    seen = look(environ, True, True, encoding)
    assert (seen.ascii_only, seen.braille) == (True, False)


@pytest.mark.parametrize("environ", [{}, {"LANG": "C.UTF-8"}, {"LC_ALL": "", "LANG": "en_US.utf8"}])
def test_a_silent_or_utf8_locale_leaves_braille(environ: dict[str, str]) -> None:
    """Where the locale says nothing against it, the encoding of the output decides."""
    assert look(environ | {"TERM": "xterm"}, True, True, "UTF8").braille


@pytest.mark.parametrize(
    ("environ", "color"),
    [
        ({"TERM": "xterm"}, "16"),
        ({"TERM": "linux"}, "16"),
        ({"TERM": "screen-256color"}, "full"),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, "full"),
        ({"TERM": "xterm-kitty"}, "full"),
        ({"TERM": "vt100"}, "none"),
        ({"TERM": "dumb"}, "none"),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, "none"),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, "full"),
    ],
)
def test_colors_follow_the_terminal(environ: dict[str, str], color: str) -> None:
    """As many colors as the terminal names, and none where the wearer wants none."""
    assert look(environ, True, True, "utf-8").color == color


def test_prepare_sets_a_patient_escape() -> None:
    """Escape waits for 200 ms, a paint for 8 at most, unless she chose otherwise."""
    environ = {"NO_COLOR": "1", "COLUMNS": "80", "LINES": "24"}
    prepare(environ)
    assert environ["ESCDELAY"] == "200"
    assert not {"NO_COLOR", "COLUMNS", "LINES"} & set(environ)
    assert environ["TEXTUAL_FPS"] == "120"
    chosen = {"ESCDELAY": "50", "TEXTUAL_FPS": "30"}
    prepare(chosen)
    assert chosen["ESCDELAY"] == "50"
    assert chosen["TEXTUAL_FPS"] == "30"
