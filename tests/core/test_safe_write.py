import errno
import os
import threading
from pathlib import Path

import pytest

from legtaper.files.atomic_write import StoreError, replace_file, write_export, write_output


def left_in(folder: Path) -> list[str]:
    """Return the names of all files in a folder, hidden ones too."""
    return sorted(path.name for path in folder.iterdir())


def failing(number: int) -> object:
    """Return a stand-in for a system call that always fails with `number`."""

    def call(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    return call


def test_a_new_file_is_written_with_the_mode_of_the_umask(tmp_path: Path) -> None:
    """What is exported may be read by whoever may read the user's other files."""
    out = tmp_path / "leg.svg"
    before = os.umask(0o027)
    try:
        write_output(out, b"<svg/>", force=False)
    finally:
        os.umask(before)
    assert out.read_bytes() == b"<svg/>"
    assert out.stat().st_mode & 0o777 == 0o640
    assert left_in(tmp_path) == ["leg.svg"]


def test_an_existing_file_is_not_overwritten_unasked(tmp_path: Path) -> None:
    """The error names the file and the way out."""
    out = tmp_path / "leg.svg"
    out.write_bytes(b"old")
    with pytest.raises(StoreError, match=r"leg\.svg: exists already.*--force"):
        write_output(out, b"new", force=False)
    assert out.read_bytes() == b"old"
    assert left_in(tmp_path) == ["leg.svg"]


def test_force_replaces_and_keeps_the_mode(tmp_path: Path) -> None:
    """The file keeps who may read it."""
    out = tmp_path / "leg.svg"
    out.write_bytes(b"old")
    out.chmod(0o604)
    write_output(out, b"new", force=True)
    assert out.read_bytes() == b"new"
    assert out.stat().st_mode & 0o777 == 0o604


def test_a_link_stays_and_its_target_is_written(tmp_path: Path) -> None:
    """Also where the link leads to nothing yet."""
    target, link = tmp_path / "real.svg", tmp_path / "link.svg"
    link.symlink_to(target)
    write_output(link, b"one", force=False)
    write_output(link, b"two", force=True)
    assert link.is_symlink()
    assert target.read_bytes() == b"two"


def test_of_many_writers_of_one_name_one_wins(tmp_path: Path) -> None:
    """Nobody overwrites the file of another, however close together they come."""
    out = tmp_path / "leg.svg"
    start = threading.Barrier(8)
    won: list[bytes] = []

    def write(data: bytes) -> None:
        start.wait()
        try:
            write_output(out, data, force=False)
        except StoreError:
            return
        won.append(data)

    threads = [threading.Thread(target=write, args=(bytes([65 + n]) * 5000,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert won == [out.read_bytes()]
    assert left_in(tmp_path) == ["leg.svg"]


@pytest.mark.parametrize("call", ["write", "fsync", "replace"])
@pytest.mark.parametrize("there", [True, False])
def test_a_full_disk_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, there: bool
) -> None:
    """Whichever step fails: the old file is whole, a new name is free again."""
    out = tmp_path / "leg.pdf"
    if there:
        out.write_bytes(b"old")
    monkeypatch.setattr(os, call, failing(errno.ENOSPC))
    with pytest.raises(StoreError, match=r"leg\.pdf: not written: the disk is full"):
        write_output(out, b"new", force=there)
    assert left_in(tmp_path) == (["leg.pdf"] if there else [])
    assert not there or out.read_bytes() == b"old"


def test_a_short_write_is_carried_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The system may take less than it was given; the rest follows."""
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, data[:3]))
    write_output(tmp_path / "leg.svg", b"0123456789", force=False)
    assert (tmp_path / "leg.svg").read_bytes() == b"0123456789"


def test_an_interrupt_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C in the middle of writing goes through, and cleans up."""

    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_output(tmp_path / "leg.svg", b"x", force=False)
    assert left_in(tmp_path) == []


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.EACCES, "writing there is not allowed"),
        (errno.EROFS, "that disk is read-only"),
        (errno.EDQUOT, "the disk quota is used up"),
        (errno.EIO, "input/output error"),
    ],
)
def test_what_the_system_says_is_said_in_plain_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, says: str
) -> None:
    """Also what has no words of our own."""
    monkeypatch.setattr(os, "open", failing(number))
    with pytest.raises(StoreError, match=says):
        replace_file(tmp_path / "x.toml", b"x", 0o600)


def test_wrong_places_are_named(tmp_path: Path) -> None:
    """A missing folder, a folder, a name too long, a circle of links, a device."""
    circle = tmp_path / "circle"
    circle.symlink_to(circle)
    for path, says in (
        (tmp_path / "none" / "leg.svg", "the folder does not exist"),
        (tmp_path, "is a folder; name a file"),
        (tmp_path / ("x" * 300), "the name is too long"),
        (circle, "circle"),
        (Path("/dev/null"), "is not a plain file"),
    ):
        with pytest.raises(StoreError, match=says):
            write_output(path, b"x", force=True)
    assert left_in(tmp_path) == ["circle"]


def test_an_error_shows_no_control_characters(tmp_path: Path) -> None:
    """A file name can hold what would steer a terminal."""
    with pytest.raises(StoreError) as caught:
        write_output(tmp_path / "\x1b[31m" / "leg\n.svg", b"x", force=False)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("through", ["itself", "link", "other name", "backup", "lock"])
def test_no_export_goes_over_a_project(tmp_path: Path, through: str) -> None:
    """Not with force, not through a link, not where a project has the name of a drawing."""
    project = tmp_path / ("leg.svg" if through == "other name" else "courier.toml")
    project.write_text('# mine\nformat = 1\nname = "Courier trousers"\n')
    out = project
    if through == "link":
        out = tmp_path / "leg.pdf"
        out.symlink_to(project)
    elif through in ("backup", "lock"):
        own = tmp_path / ("courier.toml.bak" if through == "backup" else ".courier.toml.lock")
        own.write_text("me@here 17")
        out = tmp_path / "leg.dxf"
        out.symlink_to(own)
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(StoreError, match="is a project or belongs to one"):
        write_export(out, b"%PDF", force=True)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_an_export_goes_over_an_older_one_where_it_is_asked_for(tmp_path: Path) -> None:
    """With force, in one rename; without, it is refused."""
    out = tmp_path / "leg.svg"
    write_export(out, b"<svg/>", force=False)
    with pytest.raises(StoreError, match="exists already"):
        write_export(out, b"<svg>2</svg>", force=False)
    write_export(out, b"<svg>2</svg>", force=True)
    assert out.read_bytes() == b"<svg>2</svg>"
