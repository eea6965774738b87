import tomllib

import pytest

from legtaper.files.toml_edit import edited, partners, whole


def test_a_whole_text_has_its_sections_in_order() -> None:
    """Values first, then tables, a blank line before each header, none for a table of tables."""
    new = {"a": 1, "b": {"c": {"d": "x"}, "e": {}}, "f": [{"g": [1.5, 2]}, {"h": {"i": 3}}]}
    text = whole(new)
    assert text == (
        'a = 1\n\n[b.c]\nd = "x"\n\n[b.e]\n\n[[f]]\ng = [1.5, 2]\n\n[[f]]\n\n[f.h]\ni = 3\n'
    )
    assert tomllib.loads(text) == new


@pytest.mark.parametrize(
    ("text", "new", "expected"),
    [
        pytest.param(
            'a = "#1" # "one"\n', {"a": "2"}, 'a = "2" # "one"\n', id="quotes and hashes"
        ),
        pytest.param("a   =   1\n", {"a": 2}, "a   =   2\n", id="odd spacing"),
        pytest.param("a = 1\r\n", {"a": 1, "b": 2}, "a = 1\r\nb = 2\r\n", id="carriage returns"),
        pytest.param("a = 1", {"a": 1, "b": 2}, "a = 1\nb = 2\n", id="no last line end"),
        pytest.param(
            'a = """x\n[b]\n""""" # c\n', {"a": "y"}, 'a = "y" # c\n', id="a text over lines"
        ),
        pytest.param(
            "a = '''\n# no remark\n''' # c\n", {"a": "y"}, 'a = "y" # c\n', id="a literal text"
        ),
        pytest.param(
            "a = [ # one\n  1, # two\n] # three\n",
            {"a": [1, 2]},
            "# one\n# two\na = [1, 2] # three\n",
            id="remarks inside an array",
        ),
        pytest.param("a = 1 # c\nb = 2\n", {"b": 2}, "# c\nb = 2\n", id="a key that goes"),
        pytest.param(
            "a = 1\n\n[b] # c\nd = 1\n\n[e]\n",
            {"a": 1, "e": {}},
            "a = 1\n# c\n\n[e]\n",
            id="a section that goes",
        ),
        pytest.param(
            "b.x = 1\nc = 2\n", {"b": {"x": 1, "y": 3}, "c": 2}, "b.x = 1\nb.y = 3\nc = 2\n",
            id="a key in a dotted table",
        ),
        pytest.param(
            "b.x = 1 # c\n", {"b": {}}, "# c\nb = {}\n", id="a dotted table that runs empty"
        ),
        pytest.param(
            "b = { x = 1 } # c\n", {"b": {"x": 1, "y": {"z": "q"}}},
            'b = { x = 1, y = { z = "q" } } # c\n', id="an inline table",
        ),
        pytest.param(
            "# above\n[b.c]\nx = 1\n", {"b": {"a": 1, "c": {"x": 1}}},
            "[b]\na = 1\n\n# above\n[b.c]\nx = 1\n", id="a key in a table without a header",
        ),
        pytest.param(
            "[b.'c']\nx = 1\n[d]\n[b.e]\n",
            {"b": {"c": {"x": 2, "y": 3}, "e": {}}, "d": {}},
            "[b.'c']\nx = 2\ny = 3\n[d]\n[b.e]\n",
            id="sections out of order",
        ),
        pytest.param(
            "[[a]]\nname = 1\n[b]\n[[a]]\nname = 2\n",
            {"a": [{"name": 1}, {"name": 2, "c": {"d": 1}}], "b": {}},
            "[[a]]\nname = 1\n[b]\n[[a]]\nname = 2\n\n[a.c]\nd = 1\n",
            id="an array of tables in two parts",
        ),
        pytest.param(
            "[[a]]\nname = 2\n", {"a": [{"name": 1}, {"name": 2}]},
            "[[a]]\nname = 1\n\n[[a]]\nname = 2\n", id="an entry before the first",
        ),
        pytest.param(
            "[a]\nx = 1\n# x was 2\n\n# about b\n[b]\n", {"a": {"x": 1}, "aa": {"y": 1}, "b": {}},
            "[a]\nx = 1\n# x was 2\n\n[aa]\ny = 1\n\n# about b\n[b]\n", id="remarks on both sides",
        ),
    ],
)  # fmt: skip
def test_an_edit_touches_only_what_differs(
    text: str, new: dict[str, object], expected: str
) -> None:
    """The text says the new values, and every remark is where it was."""
    result = edited(text, tomllib.loads(text.removeprefix("\ufeff")), new)
    assert result == expected
    assert tomllib.loads(result) == new


def test_entries_are_paired_by_what_they_are_about() -> None:
    """By name where there is one; an entry renamed in its place is still the same entry."""
    old = [{"name": "a"}, {"name": "b"}, {"name": "c"}]
    new = [{"name": "a"}, {"name": "c"}, {"name": "d"}]
    assert partners(old, new) == [(0, 0), (1, None), (2, 1), (None, 2)]
    assert partners(old, [{"name": "a"}, {"name": "x"}, {"name": "c"}]) == [(0, 0), (1, 1), (2, 2)]
