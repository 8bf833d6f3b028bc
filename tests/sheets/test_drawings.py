"""Profiles with their sizes, drawings as pictures, and the two commands."""

from __future__ import annotations

import io
import re
import struct
import xml.etree.ElementTree as ElementTree
from cmath import phase
from pathlib import Path

import pytest

from coach import sheets
from coach.cli import main
from coach.fabric import work
from coach.fabric.gauge import Gauge, gauge_of
from coach.fabric.needs import finished
from coach.notation import read
from coach.sheets.profile import TALLEST, profile, size_in_words

ROOT = Path(__file__).parents[2]
PATTERNS = sorted(p.stem for p in (ROOT / "patterns").glob("*.md"))
SVG = "{http://www.w3.org/2000/svg}"


def fabric(name: str):
    return work(read((ROOT / "patterns" / f"{name}.md").read_text("utf-8")))


# ---- profiles
@pytest.mark.parametrize("name", PATTERNS)
def test_a_profile_tells_the_size_of_every_part(name):
    one = fabric(name)
    page = profile(one)
    desc = ElementTree.fromstring(page).find(f"{SVG}desc").text
    for part in one.parts:
        shape = finished(one, part, gauge_of(one.pattern))
        assert part.name in desc and size_in_words(shape) in desc
        assert f">{shape.width:.1f} cm<" in page


def test_an_outline_is_as_wide_and_high_as_it_says():
    one = fabric("lighthouse")
    root = ElementTree.fromstring(profile(one, part="tower"))
    outline = root.find(f".//{SVG}path[@class='piece']").get("d")
    points = [tuple(map(float, p.split())) for p in re.findall(r"[\d.-]+ [\d.-]+", outline)]
    xs, ys = zip(*points)
    shape = finished(one, one.parts[0], gauge_of(one.pattern))
    scale = TALLEST / max(shape.width, shape.height)
    assert max(xs) - min(xs) == pytest.approx(shape.width * scale, abs=0.3)
    assert max(ys) - min(ys) == pytest.approx(shape.height * scale, abs=0.3)


def test_a_filled_piece_has_round_ends():
    """The outline of the seal's head leaves its lowest point level, widens without a corner and closes again."""
    root = ElementTree.fromstring(profile(fabric("seal"), part="head"))
    outline = root.find(f".//{SVG}path[@class='piece']").get("d")
    points = [tuple(map(float, p.split())) for p in re.findall(r"[\d.-]+ [\d.-]+", outline)]
    middle = (max(x for x, _ in points) + min(x for x, _ in points)) / 2
    side = [complex(x, y) for x, y in points if x > middle + 0.5]
    turns = [abs(phase((c - b) / (b - a))) for a, b, c in zip(side, side[1:], side[2:]) if abs(b - a) > 1 and abs(c - b) > 1]
    assert len(turns) > 40 and max(turns) < 0.3  # radians
    assert abs(points[0][0] - middle) < 1 and abs(points[len(points) // 2][0] - middle) < 1


def test_a_profile_of_nothing_that_can_be_counted_says_so():
    with pytest.raises(sheets.SheetError, match="Sail: its size can't be told, since none of its rounds") as error:
        profile(work(read("# Sail\n\n## Gauge\n\n10 sc to 5 cm\n\n## Sail\n\nRow 1: flumble the mast\n")))
    assert "coach check" in error.value.hint


def test_rows_are_drawn_in_a_flat_piece():
    root = ElementTree.fromstring(profile(fabric("dishcloth")))
    rows = len(fabric("dishcloth").parts[0].rounds)
    assert len(root.findall(f".//{SVG}line[@class='round']")) == rows - 1


def test_all_parts_are_drawn_to_one_scale():
    root = ElementTree.fromstring(profile(fabric("seal")))
    widths = []
    for path in root.iterfind(f".//{SVG}path[@class='piece']"):
        xs = [float(p.split()[0]) for p in re.findall(r"[\d.-]+ [\d.-]+", path.get("d"))]
        widths.append(max(xs) - min(xs))
    one = fabric("seal")
    shapes = [finished(one, part, gauge_of(one.pattern)) for part in one.parts]
    assert [w / widths[0] for w in widths] == pytest.approx([s.width / shapes[0].width for s in shapes], rel=0.01)


def test_twice_the_gauge_is_twice_the_size():
    small, large = (profile(fabric("buoy"), gauge=Gauge(w, w)) for w in (0.5, 1.0))
    size = [float(re.search(r"([\d.]+) cm across", page)[1]) for page in (small, large)]
    assert size[1] == pytest.approx(2 * size[0], abs=0.1)


def test_a_round_that_ruffles_is_told():
    assert "It ruffles at Rnd 13." in profile(fabric("lighthouse"))


def test_without_a_gauge_a_sentence_says_what_to_write():
    with pytest.raises(sheets.SheetError) as error:
        profile(work(read("## Float\nRnd 1: 6 sc in magic ring. (6)\n")))
    assert "14 sc and 16 rounds to 10 cm" in error.value.hint


def test_an_unknown_part_is_a_sentence():
    with pytest.raises(sheets.SheetError) as error:
        profile(fabric("seal"), part="wing")
    assert "Head" in error.value.hint


# ---- pictures
@pytest.mark.parametrize("kind", sheets.DRAWINGS)
def test_a_picture_shows_what_the_drawing_shows(tmp_path, kind):
    pytest.importorskip("resvg_py")
    sheets.write(fabric("buoy"), tmp_path / "a.png", sheets.Wishes(kind))
    sheets.write(fabric("buoy"), tmp_path / "a.svg", sheets.Wishes(kind))
    data = (tmp_path / "a.png").read_bytes()
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", data[16:24])
    root = ElementTree.parse(tmp_path / "a.svg").getroot()
    assert width == pytest.approx(2 * float(root.get("width")), abs=2) and height == pytest.approx(
        2 * float(root.get("height")), abs=4
    )
    assert len(data) > 5_000  # not an empty page


def test_letters_and_symbols_leave_ink(tmp_path):
    """The picture is decoded, and dark where the title and the first stitches are."""
    pytest.importorskip("resvg_py")
    image = pytest.importorskip("PIL.Image")
    sheets.write(fabric("buoy"), tmp_path / "a.png")
    picture = image.open(io.BytesIO((tmp_path / "a.png").read_bytes())).convert("L")
    assert picture.crop((60, 60, 360, 110)).getextrema()[0] < 60  # the title
    dark = sum(picture.histogram()[:128]) / (picture.size[0] * picture.size[1])
    assert 0.005 < dark < 0.2


def test_a_very_large_drawing_gets_fewer_pixels(tmp_path):
    pytest.importorskip("resvg_py")
    from coach.sheets.png import MOST_PIXELS, png

    data = png('<svg xmlns="http://www.w3.org/2000/svg" width="9000" height="9000" viewBox="0 0 9000 9000"></svg>')
    width, height = struct.unpack(">II", data[16:24])
    assert width * height <= MOST_PIXELS * 1.01


# ---- kinds and endings
@pytest.mark.parametrize(
    ("kind", "ending", "says"),
    [
        ("chart", ".html", ".svg"),
        ("shopping", ".svg", ".html"),
        ("map", ".svg", "chart"),
        (None, ".xyz", ".epub"),
        (None, "", ".epub"),
    ],
)
def test_a_kind_that_an_ending_can_t_hold_is_a_sentence(tmp_path, kind, ending, says):
    with pytest.raises(sheets.SheetError) as error:
        sheets.write(fabric("buoy"), tmp_path / f"a{ending}", sheets.Wishes(kind))
    assert says in error.value.hint


# ---- the commands
def run(capsys, *args: str) -> tuple[int, str, str]:
    code = main(args)
    out, err = capsys.readouterr()
    return code, out, err


def test_a_chart_of_one_part_with_the_place(tmp_path, capsys):
    to = tmp_path / "head.svg"
    code, out, _ = run(capsys, "sheet", "seal", "--to", str(to), "--part", "head", "--place", "5:12")
    assert code == 0 and str(to) in out
    assert "The place: Head, Rnd 5, 12 of 30 stitches made." in to.read_text("utf-8")


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--to", "a.svg", "--place", "five"), "is no place"),
        (("--to", "a.svg", "--place", "99:1"), "no round 99"),
        (("--to", "a.svg", "--part", "wing"), "no part called wing"),
        (("--to", "a.html", "--kind", "chart"), "can't be written"),
        (("--to", "a.doc"), "ends in .doc"),
        (("--to", "a.html", "--type-size", "4"), "4 points"),
        (("--to", "."), "is a folder"),
    ],
)
def test_a_wish_that_can_t_be_followed_is_a_sentence(tmp_path, monkeypatch, capsys, args, says):
    monkeypatch.chdir(tmp_path)
    code, _, err = run(capsys, "sheet", "seal", *args)
    assert code == 2 and says in err and "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def test_bringing_writes_a_new_file_and_never_over_another(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "Net Float.txt").write_text(
        "# Net float\n\n## Float\n\nRnd 1: 6 sc in magic ring. (6)\nRnd 2: wobble it. (6)\n"
    )
    code, out, _ = run(capsys, "bring", "Net Float.txt")
    assert code == 0 and "Part: Float, 2 rounds." in out and "Line 6: " in out
    assert run(capsys, "bring", "Net Float.txt")[0] == 0
    assert sorted(p.name for p in (tmp_path / "patterns").iterdir()) == ["net-float-2.md", "net-float.md"]
    assert run(capsys, "check", "net-float")[0] == 1  # it has a fault, and is found by its name


def test_bringing_from_standard_input(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(
        "sys.stdin", io.TextIOWrapper(io.BytesIO(b"# Cork\n\n## Cork\n\nRnd 1: 6 sc in magic ring. (6)\n"))
    )
    code, out, _ = run(capsys, "bring", "-")
    assert code == 0 and (tmp_path / "patterns" / "cork.md").read_text().startswith("# Cork")


def test_what_can_t_be_brought_writes_nothing(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.4 oh")
    code, _, err = run(capsys, "bring", "a.pdf")
    assert code == 2 and "PDF" in err and not (tmp_path / "patterns").exists()
