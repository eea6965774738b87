import re
import tomllib
from dataclasses import fields, is_dataclass, replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import by_hand, projects

from legtaper.files import toml_edit
from legtaper.files.format import PROJECT
from legtaper.files.project_file import NewerFormatError, Written, read_project, write_project
from legtaper.model.lengths import Length, parse_length
from legtaper.model.project import (
    Allowance,
    BlockTable,
    Design,
    Fabric,
    PanelOutline,
    Pinch,
    Project,
    ProjectError,
    Round,
    SeenSign,
    Wearer,
)

SAMPLE = (Path(__file__).parent / "data" / "contract_sample.toml").read_text("utf-8")
START = "format = 1\n"
EASY = '[[design]]\nname = "easy taper"\n'
few = settings(max_examples=25, suppress_health_check=list(HealthCheck))


def inches(text: str) -> Length:
    """Return a length of inches, as typed."""
    return parse_length(text, "in", signed=True)


def changed_lines(before: str, after: str) -> tuple[set[str], set[str]]:
    """Return the lines that went and the lines that came."""
    old, new = set(before.splitlines()), set(after.splitlines())
    return old - new, new - old


def error_of(text: str | bytes) -> str:
    """Return what is said about a text that is no project file."""
    with pytest.raises(ProjectError) as caught:
        read_project(text)
    return str(caught.value)


# --- reading ---------------------------------------------------------------------------------


def test_the_sample_of_the_contract_is_read_in_full() -> None:
    """Every key of the sample arrives at its place, lengths with the text as typed."""
    project = read_project(SAMPLE)
    assert project.name == "Courier trousers"
    assert project.wearer.foot_entry == Length(323.85, "12 3/4 in")
    assert project.fabric.thickness == Length(0.6, "0.6 mm")
    assert project.block.reach["back_outseam"]["hip"].mm == pytest.approx(6.75 * 25.4)
    assert project.block_test is not None
    assert project.block_test.date == date(2026, 3, 14)
    design = project.design("easy taper")
    assert design.take_in == {"hem": inches("5/8 in")}
    assert design.blend == {"outseam": inches("38 in"), "inseam": inches("29 1/2 in")}
    assert (design.curve, design.style, design.slit) == ({}, "follow", "auto")
    assert project.rounds[0].pinches == (Pinch("knee", "outseam", inches("-1/4 in")),)


def test_every_field_of_a_project_has_a_key_in_the_file() -> None:
    """A field added to the data types without a key would be lost on saving."""

    def reached(record: object) -> None:
        targets = {entry.target[0] for entry in record.entries}
        assert targets == {field.name for field in fields(record.makes)}
        for entry in record.entries:
            inner = getattr(entry.kind, "record", entry.kind)
            if is_dataclass(getattr(inner, "makes", None)):
                reached(inner)

    reached(PROJECT)


def test_everything_but_the_format_may_be_missing() -> None:
    """A project is saved from the first answer on, so that an empty one is one."""
    assert read_project(START) == Project()
    assert read_project(START + EASY).designs == (Design("easy taper", slit="none"),)


@pytest.mark.parametrize(
    ("line", "unit", "mm"),
    [
        ("hip = 41", "in", 1041.4),
        ("hip = 41.5", "in", 1054.1),
        ("hip = 104.5", "cm", 1045.0),
        ('hip = "104,5"', "cm", 1045.0),
        ('hip = "41 in"', "cm", 1041.4),
        ("hip = 1e2", "cm", 1000.0),
    ],
)
def test_a_bare_number_is_in_the_unit_of_the_project(line: str, unit: str, mm: float) -> None:
    """Numbers and texts without a unit take `length_unit`; a unit that is written wins."""
    project = read_project(f'{START}length_unit = "{unit}"\n[wearer]\n{line}\n')
    assert project.wearer.hip is not None
    assert project.wearer.hip.mm == pytest.approx(mm)


def test_a_day_may_stand_in_quotes() -> None:
    """A person who quotes everything quotes the date too."""
    text = START + '[block_test]\nverdict = "hangs clean"\ndate = "2026-03-14"\n'
    project = read_project(text)
    assert project.block_test is not None
    assert project.block_test.date == date(2026, 3, 14)
    assert write_project(project, text) == text


def test_levels_have_open_names() -> None:
    """A seam may bend anywhere, so a level may be called anything short and bare."""
    project = read_project(START + '[block.height]\nmid-calf_2 = "12 in"\n')
    assert project.block.height == {"mid-calf_2": inches("12 in")}


def test_an_imported_outline_is_kept_with_its_corners() -> None:
    """Points in mm and the numbers of the corner points survive, integers or not."""
    text = START + "[block.outline.front]\npoints = [[-108, 0], [108.5, 0], [150, 760]]\n"
    text += "corners = { hem_outseam = 0, hem_inseam = 1, crotch = 2 }\n"
    outline = read_project(text).block.outline["front"]
    assert outline.points == ((-108.0, 0.0), (108.5, 0.0), (150.0, 760.0))
    assert outline.corners == {"hem_outseam": 0, "hem_inseam": 1, "crotch": 2}
    assert write_project(read_project(text), text) == text


def test_a_byte_order_mark_is_no_error() -> None:
    """Some editors begin a UTF-8 file with a mark; it is read past, and kept."""
    text = "\ufeff" + START + '[wearer]\nhip = "41 in"  # loosely\n'
    project = read_project(text.encode())
    assert project.wearer.hip == inches("41 in")
    renamed = write_project(replace(project, name="x"), text)
    assert renamed == text.replace(START, START + 'name = "x"\n')


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "format: missing; begin the file with format = 1"),
        ("format = 0", "format: there is no format 0; write format = 1"),
        ("format = true", "format: must be a number; begin the file with format = 1"),
        (START + "[wearer]\nfoot_entery = 1", "wearer.foot_entery: not a known key; did you mean"),
        (START + "[[desing]]", "desing: not a known key; did you mean design?"),
        (START + "x = 1", "x: not a known key; use name, length_unit, wearer"),
        (START + "[allowance]\nhem = 1", "allowance.hem: not a known key; use seam, outseam"),
        (START + "[wearer]\nhip = true", 'wearer.hip: must be a length such as "2 1/2 in", not tr'),
        (START + "[wearer]\nhip = [1]", 'wearer.hip: must be a length such as "2 1/2 in", not a l'),
        (START + "[wearer]\nhip = nan", 'wearer.hip: "NaN" has no number'),
        (START + "[wearer]\nhip = 'wide'", 'wearer.hip: "wide" has no number'),
        (START + "[wearer]\nhip = -3", 'wearer.hip: "-3" is negative'),
        (START + "[wearer]\nhip = ''", "wearer.hip: nothing is written here"),
        (START + "wearer = 3", "wearer: must be a table of keys, not a number"),
        (START + "name = 3", "name: must be text in quotes, not a number"),
        (START + "name = 12:00:00", "name: must be text in quotes, not a time"),
        (START + "length_unit = 'mm'", 'length_unit: "mm" can\'t be here; write "in" or "cm"'),
        (START + "[block.front.outseam]\nknee = 'x'", "block.front.outseam.knee: "),
        (START + "[block.height]\n'low thigh' = 1", 'block.height."low thigh": is not a name for'),
        (START + f"[block.height]\n{'a' * 41} = 1", "is not a name for a level"),
        (START + "fabric.kind = 'silk'", 'write "woven" or "stretch-woven" or "knit"'),
        (START + "fabric.stretch_percent = 301", "fabric.stretch_percent: must be from 0 to 300"),
        (START + "fabric.stretch_percent = nan", "fabric.stretch_percent: must be from 0 to 300"),
        (START + "fabric.stretch_percent = '3'", "fabric.stretch_percent: must be a number from"),
        (START + "[block_test]", "block_test.verdict: missing; write"),
        (
            START + "[block_test]\nverdict = 'ok'",
            'block_test.verdict: "ok" can\'t be here; write "',
        ),
        (
            START + "[block_test]\nverdict = 'hangs clean'\ndate = '14 March'",
            'block_test.date: must be a day such as 2026-03-14, not "14 March"',
        ),
        (
            START + "[block_test]\nverdict = 'hangs clean'\ndate = 2026-03-14T10:00:00",
            "block_test.date: must be a day such as 2026-03-14, not a date with a time",
        ),
        (START + "[[liked]]", "liked 1.garment: missing; name the garment"),
        (START + "[[liked]]\ngarment = 'g'\nmeasured = 'x'", 'write "flat" or "round"'),
        (START + "[[liked]]\ngarment = 'g'\nwidth.hem = 'q'", "liked 1.width.hem: "),
        (START + "[[design]]", "design 1.name: missing; give the design a name"),
        (START + EASY + "[[design]]\nname = ' '", "design 2.name: is empty"),
        (START + EASY + EASY, 'design 2.name: "easy taper" is there twice'),
        (START + "[design]\nname = 'a'", "design: must be tables begun with double brackets"),
        (START + EASY + "take_in.knee = 'x'", 'design "easy taper".take_in.knee: '),
        (START + EASY + "take_in.hem = -1", 'design "easy taper".take_in.hem: "-1" is negative'),
        (
            START + EASY + "take_in.hem = 1\nwidth.hem = 15",
            'design "easy taper".width.hem: is in take_in too; keep one of the two',
        ),
        (START + EASY + "blend.style = 'x'", 'blend.style: "x" can\'t be here; write "follow" or'),
        (START + EASY + "hem.style = 'x'", 'write "single" or "double" or "faced"'),
        (START + EASY + "slit.height = 'x'", 'or "auto" or "none"'),
        (START + "[[round]]\ndesign = 'b'", 'round 1.design: there is no design "b"; the file has'),
        (
            START + EASY + "[[round]]\ndesign = 'b'",
            'round 1.design: there is no design "b"; the file has "easy taper"',
        ),
        (
            START + EASY + "[[round]]\ndesign = 'easy taper'\npinch = [{ level = 'knee' }]",
            'round 1.pinch 1.edge: missing; write "outseam" or "inseam"',
        ),
        (
            START + "[[round]]\ndesign = 'a'\n[[round]]\ndesign = 'a'\n"
            "pinch = [{ level = 'knee', edge = 'outseam', depth = 'w' }]",
            "round 2.pinch 1.depth: ",
        ),
        (
            START + "[block.outline.front]\npoints = [[0, 1], [2]]",
            "block.outline.front.points 2: must be two numbers of mm",
        ),
        (
            START + "[block.outline.front]\npoints = [[0, 1]]\ncorners.hip = 1",
            "block.outline.front.corners.hip: there is no point 1; the last one is 0",
        ),
    ],
)
def test_a_wrong_value_is_named_by_its_key(text: str, says: str) -> None:
    """The one line of an error names the key as the file does and says what would be right."""
    assert says in error_of(text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (START + START, "format: is here twice, again on line 2; keep one of the two"),
        (START + "[wearer]\nhip = 1\nhip = 2\n", "wearer.hip: is here twice, again on line 4"),
        (START + 'name = \'a\'\nname = """\nb"""', "line 4: is here twice, again on line 4"),
        (START + "fabric = { kind = 'knit', kind = 'knit' }", "line 2: the same key is here"),
        (START + "[wearer]\n[wearer]\n", "line 3: this table is in the file already"),
        (START + "name = 'foo", "line 2: a text is not closed"),
        (START + 'name = "foo\nbar"', "line 2: a text is not closed, or is broken over lines"),
        (START + 'name = "a\\q"', "line 2: a text has a backslash; write it twice"),
        (START + "[wearer]\nhip = 41 in", "line 3: more follows after the value; put texts and"),
        (START + '[wearer]\nhip = "41""', "line 3: more follows after the value"),
        (START + "name = foo", "line 2: no value that can be read"),
        (START + "hip: 3", "line 2: no = where one was expected"),
        (START + "x = 2026-02-30", "line 2: no such day"),
        (START + "]", "line 2: not the TOML of a project file"),
        (b"format = 1\nname = '\xff'", "line 2: not UTF-8; save the file as UTF-8 text"),
        (START + "x = " + "9" * 5000, "a number is too long"),
        (START + "x = " + "[" * 5000, "nested too deeply"),
        (START + "x" + ".x" * 30_000 + " = 1", "nested too deeply"),
        ("#" * 2_000_001, "larger than 2 MB; this is no project file"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_line(text: str | bytes, says: str) -> None:
    """Whatever the bytes are, the answer is one plain line and never another exception."""
    assert says in error_of(text)


def test_an_error_holds_nothing_that_could_steer_a_terminal() -> None:
    """Names from the file are shown in errors without their control characters."""
    said = error_of(START + '"\\u001b[31m\\nx" = 1')
    assert said.isprintable()


def test_a_newer_format_is_refused() -> None:
    """A file of a format to come is recognised whatever else it holds, and not written over."""
    text = 'format = 2\n[fabric]\nname = "x"\n'
    with pytest.raises(NewerFormatError, match="of format 2, which this version cannot read"):
        read_project(text)
    with pytest.raises(NewerFormatError):
        write_project(Project(), text)


# --- writing ---------------------------------------------------------------------------------


@few
@given(projects())
def test_what_is_written_reads_back_equal(project: Project) -> None:
    """For any project at all, with control characters in its texts and bare numbers in lengths."""
    text = write_project(project)
    assert read_project(text) == project
    assert write_project(project, text) == text


@few
@given(st.data())
def test_answers_one_after_another_are_written_as_each_by_itself(data: st.DataObject) -> None:
    """What is known of the lines of a file changes no byte of it, whatever is answered next."""
    first = data.draw(projects())
    text = data.draw(by_hand(tomllib.loads(write_project(first))))
    written = Written.of(text)
    for _ in range(4):
        other = data.draw(projects(first.length_unit) | projects())
        part = data.draw(st.sampled_from(["name", "wearer", "fabric", "liked", "allowance"]))
        project = replace(written.project, **{part: getattr(other, part)})
        text = write_project(project, text)
        written = written.changed(project)
        assert written == Written.of(text)._replace(lines=written.lines)


def test_another_value_is_told_by_its_line_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once a file was read back whole, an answer that changes parses its own line and no more."""
    project = read_project(SAMPLE)
    written = Written.of(SAMPLE).changed(replace(project, name="first"))
    parsed: list[str] = []
    parse = tomllib.loads
    monkeypatch.setattr(tomllib, "loads", lambda text: parsed.append(text) or parse(text))
    for name in ("second", "third"):
        written = written.changed(replace(written.project, name=name))
    wearer = replace(project.wearer, knee=None, ankle=inches("10 in"))
    assert parsed == ['name = "second"\n', 'name = "third"\n']
    assert read_project(written.text) == replace(project, name="third")
    assert written.changed(replace(written.project, wearer=wearer)).project.wearer == wearer


@few
@given(st.data())
def test_a_handwritten_file_keeps_every_remark(data: st.DataObject) -> None:
    """In any order and layout: equal projects change no byte, others lose no comment."""
    project = data.draw(projects())
    text = data.draw(by_hand(tomllib.loads(write_project(project))))
    assert read_project(text) == project
    assert write_project(project, text) == text
    other = data.draw(projects(project.length_unit) | projects())
    edited = write_project(other, text)
    assert read_project(edited) == other
    for remark in re.findall("# remark [0-9]+, ", text):
        assert edited.count(remark) >= text.count(remark)


@pytest.mark.parametrize("eol", ["\n", "\r\n"])
def test_the_sample_is_written_back_byte_for_byte(eol: str) -> None:
    """Comments, odd spacing and values that say no more than the default stay as they are."""
    text = SAMPLE.replace("\n", eol)
    assert write_project(read_project(text), text) == text


def test_editing_one_value_changes_one_line() -> None:
    """The comment beside the value stays too."""
    project = read_project(SAMPLE)
    wearer = replace(project.wearer, foot_entry=inches("13 in"))
    went, came = changed_lines(SAMPLE, write_project(replace(project, wearer=wearer), SAMPLE))
    (old,) = went
    assert came == {old.replace("12 3/4 in", "13 in")}


def test_a_new_key_goes_behind_the_key_it_follows() -> None:
    """Not behind the remark that stands above the next section."""
    text = START + '\n[wearer]\nhip = "41 in"\n\n# about the fabric\n[fabric]\nkind = "knit"\n'
    project = read_project(text)
    wearer = replace(project.wearer, thigh=inches("24 in"))
    edited = write_project(replace(project, wearer=wearer), text)
    assert edited == text.replace('hip = "41 in"\n', 'hip = "41 in"\nthigh = "24 in"\n')


def test_a_new_section_goes_where_the_format_has_it() -> None:
    """Above the remark of the next section, with a blank line before it."""
    text = START + '\n[wearer]\nhip = "41 in"\n\n# the first idea\n[[design]]\nname = "a"\n'
    project = replace(read_project(text), fabric=Fabric(kind="knit"))
    section = '\n[fabric]\nkind = "knit"\n'
    assert write_project(project, text) == text.replace('41 in"\n', '41 in"\n' + section)


def test_another_design_leaves_the_first_alone() -> None:
    """A new design is a block of its own behind the last one."""
    project = read_project(SAMPLE)
    slim = Design("slim", width={"hem": inches("14 in")}, slit=inches("4 in"))
    edited = write_project(project.with_design(slim), SAMPLE)
    went, came = changed_lines(SAMPLE, edited)
    assert went == set()
    assert came == {'name = "slim"', "[design.width]", 'hem = "14 in"', 'height = "4 in"'}
    assert edited.index('name = "slim"') < edited.index("[allowance]")
    assert write_project(project, edited) == SAMPLE


def test_a_removed_design_takes_only_its_own_lines() -> None:
    """The designs around it keep theirs, and the remarks in it stay."""
    tables = [f'[[design]]\nname = "{n}" # {n}!\n[design.take_in]\nhem = {n}\n' for n in "123"]
    text = START + "\n".join(tables)
    project = read_project(text)
    edited = write_project(replace(project, designs=project.designs[::2]), text)
    assert edited == START + f"{tables[0]}# 2!\n\n{tables[2]}"


def test_a_new_round_and_a_new_pinch_find_their_places() -> None:
    """A pinch of an earlier round stands in that round, a new round behind it."""
    text = START + EASY + '\n[[round]]\ndesign = "easy taper"\n\n[allowance]\nseam = "1 cm"\n'
    project = read_project(text)
    pinched = replace(project.rounds[0], pinches=(Pinch("hem", "inseam", inches("1/4 in")),))
    edited = write_project(replace(project, rounds=(pinched, Round("easy taper"))), text)
    pinch = '\n[[round.pinch]]\nlevel = "hem"\nedge = "inseam"\ndepth = "1/4 in"\n'
    rounds = f'[[round]]\ndesign = "easy taper"\n{pinch}\n[[round]]\ndesign = "easy taper"\n'
    assert edited == text.replace('[[round]]\ndesign = "easy taper"\n', rounds)


def test_signs_of_a_round_are_read_and_written() -> None:
    """Each with its name, and as far as it is known its cause and where it was."""
    text = START + EASY + '\n[[round]]\ndesign = "easy taper"\n'
    project = read_project(text)
    seen = (SeenSign("riding-hem", "calf", "narrowed, calf"), SeenSign("pain"))
    edited = write_project(replace(project, rounds=(Round("easy taper", signs=seen),)), text)
    assert edited.endswith(
        '[[round.sign]]\nsign = "riding-hem"\ncause = "calf"\nwhere = "narrowed, calf"\n\n'
        '[[round.sign]]\nsign = "pain"\n'
    )
    assert read_project(edited).rounds[0].signs == seen


def test_a_sign_without_a_name_is_refused() -> None:
    """In one line that names the round and the key."""
    text = START + EASY + '[[round]]\ndesign = "easy taper"\n[[round.sign]]\nwhere = "both"\n'
    with pytest.raises(ProjectError, match=r"round 1\.sign 1\.sign: missing; name the sign"):
        read_project(text)


def test_a_new_unit_does_not_change_what_was_measured() -> None:
    """A length that was typed bare gets its unit before the bare number would mean another."""
    text = START + '[wearer]\nhip = 41 # loosely\nknee = "15 1/2"\ncalf = "14 in"\n'
    project = read_project(text)
    edited = write_project(replace(project, length_unit="cm"), text)
    expected = text.replace("41", '"41 in"').replace("15 1/2", "15 1/2 in")
    assert edited == expected.replace(START, START + 'length_unit = "cm"\n')


def test_a_length_whose_text_says_something_else_is_written_by_its_mm() -> None:
    """The millimeters count; a text that does not agree with them never reaches the file."""
    project = Project(wearer=Wearer(hip=Length(254.0, "nine"), knee=Length(25.4, "3 cm")))
    again = read_project(write_project(project)).wearer
    assert again.hip == Length(254.0, "10 in")
    assert again.knee == Length(25.4, "1 in")


@pytest.mark.parametrize(
    ("project", "key"),
    [
        (Project(name="\udc80"), "name"),
        (Project(wearer=Wearer(hip=Length(float("nan"), ""))), "wearer.hip"),
        (Project(wearer=Wearer(hip=inches("-1 in"))), "wearer.hip"),
        (Project(fabric=Fabric(stretch_percent=400)), "fabric.stretch_percent"),
        (Project(designs=(Design("a"), Design("a"))), "design 2.name"),
        (Project(designs=(Design("a", take_in={"b c": inches("1 in")}),)), 'take_in."b c"'),
        (Project(rounds=(Round("a"),)), "round 1.design"),
        (Project(block=BlockTable(outline={"back": PanelOutline((), {"hip": 0})})), "corners.hip"),
    ],
)
def test_what_could_not_be_read_again_is_not_written(project: Project, key: str) -> None:
    """The error comes while the old file is still whole, and names the key."""
    with pytest.raises(ProjectError) as caught:
        write_project(project)
    assert caught.value.key.endswith(key)


def test_answers_come_before_remarks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Were an edit ever to miss, the file is written afresh and says the project all the same."""
    project = replace(read_project(SAMPLE), allowance=Allowance(inches("1 in")))
    monkeypatch.setattr(toml_edit, "edited", lambda text, _old, _new: text)
    assert read_project(write_project(project, SAMPLE)) == project
