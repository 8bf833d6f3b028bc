"""Archives of the kind that must not be unpacked, made here one by one."""

from __future__ import annotations

import stat
import zipfile
from pathlib import Path

import pytest

from coach.sound.archive import MOST_FILES, Unsafe, unpack


@pytest.fixture
def into(tmp_path: Path) -> Path:
    folder = tmp_path / "outer" / "into"
    folder.mkdir(parents=True)
    return folder


def packed(tmp_path: Path, *entries: tuple[str | zipfile.ZipInfo, bytes], method: int = zipfile.ZIP_DEFLATED) -> Path:
    path = tmp_path / "model.zip"
    with zipfile.ZipFile(path, "w", method) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return path


def everything(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_files_and_folders_come_out(tmp_path, into):
    unpack(packed(tmp_path, ("model/", b""), ("model/am/final.mdl", b"abc"), ("model/README", b"d")), into, 100)
    assert everything(into) == {"model/am/final.mdl": b"abc", "model/README": b"d"}


@pytest.mark.parametrize("name", [
    "../evil", "model/../../evil", "/evil", "\\evil", "C:\\evil", "C:evil", "model\\..\\..\\evil",
    "//server/share/evil", "..",
])
def test_nothing_leaves_the_folder(tmp_path, into, name):
    with pytest.raises(Unsafe, match="outside its folder"):
        unpack(packed(tmp_path, ("model/README", b"d"), (name, b"evil")), into, 100)
    assert everything(tmp_path / "outer") == {}  # not even the good part


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR])
def test_no_links_nor_devices(tmp_path, into, kind):
    link = zipfile.ZipInfo("model/link")
    link.external_attr = (kind | 0o777) << 16
    with pytest.raises(Unsafe, match="neither file nor folder"):
        unpack(packed(tmp_path, (link, b"/etc/passwd")), into, 100)
    assert everything(into) == {}


def test_no_more_than_was_announced(tmp_path, into):
    bomb = packed(tmp_path, ("zeros", bytes(1_000_000)))
    assert bomb.stat().st_size < 2_000
    with pytest.raises(Unsafe, match="more than it should"):
        unpack(bomb, into, 999_999)
    assert sum(map(len, everything(into).values())) < 1_000_000
    unpack(bomb, into, 1_000_000)


def test_the_bound_is_for_all_files_together(tmp_path, into):
    with pytest.raises(Unsafe, match="more than it should"):
        unpack(packed(tmp_path, ("a", bytes(60)), ("b", bytes(60))), into, 100)


def test_a_size_that_lies_gains_nothing(tmp_path, into):
    """The directory promises 10 bytes where a million come out."""
    path = packed(tmp_path, ("zeros", bytes(1_000_000)))
    data = path.read_bytes()
    path.write_bytes(data.replace((1_000_000).to_bytes(4, "little"), (10).to_bytes(4, "little")))
    with pytest.raises(Unsafe, match="can't be unpacked"):
        unpack(path, into, 100)
    assert sum(map(len, everything(into).values())) <= 100


def test_not_too_many_files(tmp_path, into):
    with pytest.raises(Unsafe, match="files"):
        unpack(packed(tmp_path, *((f"{n}", b"") for n in range(MOST_FILES + 1))), into, 100)


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("names", [("a", "a"), ("a", "A"), ("a", "a/b")])
def test_no_file_twice(tmp_path, into, names):
    with pytest.raises(Unsafe):
        unpack(packed(tmp_path, *((name, b"x") for name in names)), into, 100)


def test_damaged_archives(tmp_path, into):
    whole = packed(tmp_path, ("model/README", b"some words of a file " * 20), method=zipfile.ZIP_STORED).read_bytes()
    at = whole.index(b"words")
    for number, damaged in enumerate((b"", b"no archive", whole[:-30], whole[:at] + b"W" + whole[at + 1 :])):
        path = tmp_path / f"damaged{number}.zip"
        path.write_bytes(damaged)
        with pytest.raises(Unsafe, match="can't be unpacked"):
            unpack(path, into, 1_000)
