"""The command line as a maker and a script meet it: whole runs of `python -m coach`, with their output and exit codes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from coach.cli import explain, main, parser
from coach.commands.check import fault_text
from coach.commands.files import Unreadable, decoded, find, patterns
from coach.notation.model import Fault, Pattern, line_starts

ROOT = Path(__file__).parents[1]
COMMANDS = ("work", "check", "listen", "rehearse", "soundcheck", "models", "sheet", "bring", "works")
ROUND = "Rnd 1: 6 sc in magic ring (6)\n"
WRONG = "# Wrong buoy\n\n## Buoy\n\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (13)\n"


@pytest.fixture
def home(tmp_path, monkeypatch):
    """An empty journal and an empty folder to work in."""
    monkeypatch.setenv("COACH_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("COACH_DEBUG", raising=False)
    monkeypatch.delenv("COACH_COMMAND", raising=False)
    folder = tmp_path / "desk"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def coach(home):
    def run(*args: str, typed: str | bytes = "") -> subprocess.CompletedProcess:
        data = typed.encode() if isinstance(typed, str) else typed
        env = os.environ | {"PYTHONPATH": str(ROOT)}
        done = subprocess.run([sys.executable, "-m", "coach", *args], input=data, capture_output=True, env=env, timeout=60)
        done.out, done.err = done.stdout.decode("utf-8"), done.stderr.decode("utf-8")
        assert "Traceback" not in done.out + done.err
        return done
    return run


# ---- help

@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_examples(command, capsys):
    with pytest.raises(SystemExit) as left:
        main([command, "--help"])
    assert left.value.code == 0
    shown = capsys.readouterr().out
    assert f"coach {command}" in shown.split("examples:")[1]


def test_help_names_every_command(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    shown = capsys.readouterr().out
    assert all(f"\n    {command} " in shown for command in COMMANDS)


@pytest.mark.parametrize("line, message", [
    (["wrok"], "invalid choice: 'wrok'"),
    (["check"], "required: FILE"),
    (["work", "seal", "--by", "inch"], "invalid choice: 'inch'"),
    (["sheet", "seal"], "required: --to"),
])
def test_a_wrong_command_line_gets_one_line_and_the_way_to_help(line, message, capsys):
    with pytest.raises(SystemExit) as left:
        main(line)
    assert left.value.code == 2
    said = capsys.readouterr().err.splitlines()
    assert message in said[0]
    assert said[1].startswith("See: coach")
    assert len(said) == 2


def test_options_count_before_and_after_the_command():
    before, after = parser().parse_args(["--typed", "work", "seal"]), parser().parse_args(["work", "seal", "--typed"])
    assert vars(before) == vars(after)
    assert before.typed


# ---- check

def test_check_prints_every_round_with_its_count_and_exits_0(coach):
    done = coach("check", "buoy")
    assert done.returncode == 0
    assert "Mooring buoy" in done.out
    for label, made in [("Rnd 1", 6), ("Rnd 4", 24), ("Rnd 6", 24), ("Rnd 11", 6)]:
        assert f"  {label}: {made}\n" in done.out
    assert done.out.rstrip().endswith("11 rounds. No faults.")


def test_check_shows_a_fault_with_its_line_a_caret_under_the_place_and_a_hint(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("check", "wrong.md")
    assert done.returncode == 1
    lines = done.out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("Line 6, column "))
    assert ": error: " in lines[at]
    assert lines[at + 1] == "    Rnd 2: inc x 6 (13)"
    caret = lines[at + 2]
    assert set(caret.strip()) == {"^"}
    column = int(lines[at].split("column ")[1].split(":")[0])
    assert caret.index("^") == 4 + column - 1
    assert lines[-1] == "2 rounds. 1 error."


def test_check_json_has_exactly_the_fixed_fields(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("check", "wrong.md", "buoy", "--json")
    assert done.returncode == 1
    wrong, buoy = json.loads(done.out)
    assert list(wrong) == ["file", "title", "terms", "sizes", "parts", "faults"]
    assert (wrong["file"], wrong["title"], wrong["terms"], wrong["sizes"]) == ("wrong.md", "Wrong buoy", "US", [])
    assert list(wrong["parts"][0]) == ["name", "make", "rounds"]
    assert wrong["parts"][0]["rounds"][1] == {
        "label": "Rnd 2", "number": 2, "line": 6, "made": 12, "stated": 13, "takes": 6, "base": 6}
    (fault,) = wrong["faults"]
    assert list(fault) == ["line", "column", "end_column", "severity", "kind", "message", "hint"]
    assert (fault["line"], fault["severity"]) == (6, "error")
    assert buoy["faults"] == []
    assert [r["label"] for r in buoy["parts"][0]["rounds"]] == [f"Rnd {n}" for n in range(1, 12)]


def test_check_takes_standard_input(coach):
    done = coach("check", "-", typed=ROUND)
    assert done.returncode == 0
    assert "Rnd 1: 6" in done.out


def test_check_in_another_size(coach):
    small, large = (json.loads(coach("check", "cap", "--json", "--size", size).out)[0] for size in ("s", "L"))
    assert small["sizes"] == large["sizes"]
    made = [sum(r["made"] for p in cap["parts"] for r in p["rounds"]) for cap in (small, large)]
    assert made[0] < made[1]


def test_an_unknown_size_names_those_there_are(coach):
    done = coach("check", "cap", "--size", "giant")
    assert done.returncode == 2
    assert "no size giant" in done.err
    assert done.err.splitlines()[1] == "Its sizes are: S, M, L."


def test_check_has_no_colour_where_nobody_looks_at_a_terminal(coach, home):
    (home / "wrong.md").write_text(WRONG)
    assert "\x1b" not in coach("check", "wrong.md").out


def test_colour_is_an_extra_that_changes_no_words():
    text = "Rnd 1: 6 cs in ring\n"
    pattern = Pattern(text, lines=line_starts(text))
    fault = Fault("word", "error", 1, 10, 12, "I don't know cs.", "Do you mean sc?")
    plain, coloured = list(fault_text(pattern, fault)), list(fault_text(pattern, fault, colour=True))
    assert plain[0] == "Line 1, column 10: error: I don't know cs."
    assert plain[2] == "    " + " " * 9 + "^^"
    assert coloured[0] != plain[0]
    assert coloured[0].replace("\x1b[31m", "").replace("\x1b[0m", "") == plain[0]
    assert coloured[1:] == plain[1:]


def test_a_caret_stays_under_its_place_behind_a_tab():
    text = "\tRnd 1: 6 cs"
    fault = Fault("word", "error", 1, 11, 13, "I don't know cs.")
    assert list(fault_text(Pattern(text, lines=(0,)), fault))[2] == "    \t" + " " * 9 + "^^"


# ---- bad input: a message with a hint, exit 2, never a traceback

BAD = {
    "missing": (None, "There is no file or pattern called bad.md.", "The patterns here are"),
    "empty": (b"", "bad.md is empty.", "Rnd 1"),
    "blank": (b" \n\n\t\n", "bad.md is empty.", "Rnd 1"),
    "binary": (bytes(range(256)) * 4, "bad.md is not text.", "coach bring"),
    "pdf": (b"%PDF-1.7\n...", "bad.md is a PDF.", "coach bring"),
    "not UTF-8": (b"Rnd 1: 6 sc\nRnd 2: caf\xe9\n", "line 2 has a byte that does not belong", "UTF-8"),
    "too long": (b"Rnd 1: 6 sc in magic ring\n" * 400_000, "too long for a pattern", "own file"),
}


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("command", ["check", "work"])
def test_a_file_that_is_no_pattern(coach, home, kind, command):
    content, message, hint = BAD[kind]
    if content is not None:
        (home / "bad.md").write_bytes(content)
    done = coach(command, "bad.md", *(["--typed"] if command == "work" else []))
    assert done.returncode == 2
    assert message in done.err.splitlines()[0]
    assert hint in done.err
    assert done.out == ""


@pytest.mark.parametrize("command", ["check", "work"])
def test_a_directory_is_no_pattern(coach, home, command):
    (home / "wool").mkdir()
    (home / "wool" / "scarf.md").write_text(ROUND)
    done = coach(command, "wool")
    assert done.returncode == 2
    assert done.err.splitlines() == ["wool is a folder, not a pattern.", f"Name a file in it, like {Path('wool/scarf.md')}."]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(coach, home):
    (home / "secret.md").write_text(ROUND)
    (home / "secret.md").chmod(0)
    done = coach("check", "secret.md")
    assert done.returncode == 2
    assert "not allowed to read" in done.err


def test_an_unreadable_file_among_others_is_told_in_json_and_the_others_are_checked(coach):
    done = coach("check", "nowhere.md", "buoy", "--json")
    assert done.returncode == 2
    nowhere, buoy = json.loads(done.out)
    assert nowhere["faults"][0]["kind"] == "unreadable"
    assert list(nowhere) == list(buoy)
    assert buoy["title"] == "Mooring buoy"


def test_a_pattern_with_faults_is_worked_and_they_are_counted_first(coach, home):
    (home / "wrong.md").write_text(WRONG)
    done = coach("work", "wrong.md", "--typed", typed="next\nnext\n")
    assert done.returncode == 0
    assert done.out.splitlines()[0] == "This pattern has a fault. To see more: coach check wrong.md"
    assert "Round 2." in done.out


@pytest.mark.parametrize("ending", ["\r\n", "\r", "\n"])
def test_line_ends_of_every_system_are_read(ending):
    assert decoded(f"Rnd 1: 6 sc{ending}Rnd 2: 6 sc".encode(), "a.txt") == "Rnd 1: 6 sc\nRnd 2: 6 sc"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_marks_at_the_front_of_a_file_are_understood(encoding):
    assert decoded("Rnd 1: 6 sc – möwe".encode(encoding), "a.txt") == "Rnd 1: 6 sc – möwe"


def test_half_a_utf_16_file_is_no_text():
    with pytest.raises(Unreadable, match="not text"):
        decoded("Rnd 1".encode("utf-16") + b"\xd8", "a.txt")


# ---- patterns by name

def test_our_patterns_have_names(home):
    assert {"buoy", "seal", "puffin", "lighthouse", "dishcloth", "square", "cap"} <= set(patterns())
    assert find("seal") == find("seal.md") == ROOT / "patterns/seal.md"


def test_a_file_here_comes_before_a_pattern_of_that_name(home):
    (home / "seal").write_text(ROUND)
    assert find("seal") == Path("seal")


def test_a_pattern_in_the_folder_here_comes_before_ours(home):
    (home / "patterns").mkdir()
    (home / "patterns" / "seal.txt").write_text(ROUND)
    assert find("seal") == home / "patterns/seal.txt"


def test_a_name_nearly_right_is_answered_with_the_right_one(home):
    with pytest.raises(Unreadable, match="Did you mean lighthouse?"):
        find("lighthuose")


# ---- work, typed

def test_typed_requests_are_answered_one_a_line_and_the_end_says_how_to_go_on(coach):
    done = coach("work", "buoy", "--typed", typed="next\nnext\n")
    assert done.returncode == 0
    lines = done.out.splitlines()
    assert lines[0].startswith("Mooring buoy.")
    assert lines[1].startswith("Round 1.")
    assert lines[2].startswith("Round 2.")
    assert lines[3] == "Your place is kept. Go on with: coach"


def test_a_start_script_is_named_as_the_way_to_go_on(coach, monkeypatch):
    monkeypatch.setenv("COACH_COMMAND", "./start")
    assert coach("work", "buoy", "--typed").out.splitlines()[-1] == "Your place is kept. Go on with: ./start"


def test_json_has_one_line_for_each_line_read_with_exactly_the_fixed_fields(coach):
    done = coach("work", "buoy", "--typed", "--json", typed="next\nflurb\n\ngo to round 5\nHow many left?\nnext")
    assert done.returncode == 0
    told = [json.loads(line) for line in done.out.splitlines()]
    fields = ["heard", "request", "part", "piece", "round", "label", "stitch", "of", "total", "step", "said"]
    assert all(list(line) == fields for line in told)
    assert [line["heard"] for line in told] == ["next", "flurb", "", "go to round 5", "How many left?", "next"]
    assert [line["request"] for line in told] == ["next", None, None, "go_round", "left", "next"]
    first, fifth, last = told[0], told[3], told[-1]
    assert (first["part"], first["piece"], first["round"], first["label"], first["stitch"]) == ("Buoy", 1, 1, "Rnd 1", 0)
    assert (fifth["round"], fifth["label"], fifth["of"], fifth["total"]) == (5, "Rnd 5", 24, 6 + 12 + 18 + 24)
    assert fifth["step"] == "sc 24"
    assert last["said"]


def test_at_the_end_of_a_piece_its_last_round_is_finished(coach):
    asked = "go to round 11\n" + "next\n" * 40
    told = [json.loads(line) for line in coach("work", "buoy", "--typed", "--json", typed=asked).out.splitlines()]
    ends = [t for t in told if t["round"] == 11 and t["stitch"] == t["of"] == 6]
    assert ends
    assert {t["total"] for t in ends} == {192}
    assert told[-1]["part"] is None
    assert told[-1]["said"] == "All done."


def test_the_work_goes_on_where_it_was_left_and_fresh_begins_anew(coach):
    coach("work", "buoy", "--typed", typed="go to round 7\n")
    assert "Round 7." in coach("work", "buoy", "--typed").out
    assert "Round 7." in coach("--typed").out
    fresh = coach("work", "buoy", "--typed", "--fresh", typed="where\n").out
    assert "Round 7." not in fresh
    assert "Round 1." in fresh


def test_works_lists_the_works_in_progress_the_last_one_first(coach):
    assert "no work in progress" in coach("works").out
    coach("work", "seal", "--typed", typed="next\n")
    coach("work", "buoy", "--typed", typed="go to round 7\n")
    lines = coach("works").out.splitlines()
    assert lines[0].startswith("Mooring buoy: Buoy. Round 7.")
    assert lines[1].startswith("Harbour seal: ")
    buoy, seal = json.loads(coach("works", "--json").out)
    assert (buoy["title"], buoy["part"], buoy["round"], buoy["total"]) == ("Mooring buoy", "Buoy", 7, 6 + 12 + 18 + 24 * 3)
    assert seal["file"].endswith("seal.md")


def test_a_finished_work_is_not_taken_up_again(coach):
    coach("work", "buoy", "--typed", typed="go to round 11\n" + "next\n" * 40 + "finished for now\n")
    assert coach("works", "--json").out.strip() == "[]"
    assert "Which pattern?" in coach("--typed").out


def test_a_changed_file_is_told_and_the_work_goes_on_as_it_was(coach, home):
    path = home / "mine.md"
    path.write_text(ROUND)
    coach("work", "mine.md", "--typed", typed="next\n")
    path.write_text(ROUND + "Rnd 2: inc x 6 (12)\n")
    done = coach("work", "mine.md", "--typed", typed="next\nnext\n")
    assert done.out.splitlines()[0].startswith("The file has changed since you began.")
    assert "Round 2" not in done.out
    assert "Round 2" in coach("work", "mine.md", "--typed", "--fresh", typed="next\nnext\n").out


def test_how_much_is_read_at_once_and_the_terms_are_chosen(coach):
    one = coach("work", "buoy", "--typed", "--json", "--by", "stitch", "--terms", "uk", typed="go to round 5\n").out
    told = json.loads(one)
    assert told["step"] == "sc"
    assert "ouble crochet" in told["said"]
    whole = json.loads(coach("work", "buoy", "--typed", "--json", "--by", "round", typed="go to round 5\n").out)
    assert whole["step"] == "sc 24"


def test_without_a_command_the_patterns_are_offered_by_number_and_name(coach):
    done = coach("--typed", typed="help\nseal\nHarbour seal\nnext\n")
    lines = done.out.splitlines()
    assert lines[0].startswith("Which pattern? Say number one to number ")
    assert "Harbour seal." in lines[0]
    assert lines[1] == lines[2] == lines[0]
    assert lines[3].startswith("Harbour seal.")
    assert done.returncode == 0


def test_leaving_without_choosing_begins_nothing(coach):
    assert coach("--typed", typed="bye\n").out.splitlines()[-1] == "Nothing was begun. Start again with: coach"
    assert coach("--typed").returncode == 0
    assert json.loads(coach("works", "--json").out) == []


def test_strange_typed_bytes_are_a_line_like_any_other(coach):
    done = coach("work", "buoy", "--typed", "--json", typed=b"\xffbuoy\x00\nnext\r\nn\xc3\xa9xt\n" + b"x" * 50_000 + b"\nnext")
    told = [json.loads(line) for line in done.out.splitlines()]
    assert [t["request"] for t in told] == [None, "next", None, None, "next"]


def test_an_unknown_language_names_those_there_are(coach):
    done = coach("work", "buoy", "--typed", "--language", "xx")
    assert done.returncode == 2
    assert "en" in done.err


# ---- listen

@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    """A recording of a maker who says "next step", something else, and "go to round twelve"."""
    import numpy as np

    from coach.sound.model import HEARING_RATE, Speech
    from coach.sound.mouth import EngineMouth
    from coach.sound.resample import resample
    from coach.sound.wav import write_wav

    quiet = np.random.default_rng(3).normal(0, 15, HEARING_RATE).astype(np.int16)
    pieces = [quiet]
    with EngineMouth("en-us+klatt3") as mouth:
        for words in ("next step", "the tide is coming in over the grey stones", "go to round twelve"):
            speech = mouth.say(words, 145)
            pieces += [resample(speech.samples, speech.rate, HEARING_RATE) // 2, quiet]
    path = tmp_path_factory.mktemp("listen") / "maker.wav"
    write_wav(path, Speech(np.concatenate(pieces), HEARING_RATE))
    return str(path)


def test_listen_json_has_exactly_the_fixed_fields(coach, recording):
    told = [json.loads(line) for line in coach("listen", recording, "--json").out.splitlines()]
    assert all(list(t) == ["start", "end", "text", "confidence", "request", "value", "acted"] for t in told)
    obeyed = [(t["text"], t["request"], t["value"]) for t in told if t["acted"]]
    assert obeyed == [("next step", "next", None), ("go to round twelve", "go_round", 12)]
    assert 0.5 < told[0]["start"] < told[0]["end"] < told[-1]["start"] < told[-1]["end"]


def test_listen_in_plain_lines(coach, recording):
    lines = coach("listen", recording).out.splitlines()
    assert lines[0].endswith(": next")
    assert lines[-1].endswith(": go_round 12")


@pytest.mark.parametrize("line, message", [
    (["listen", "nowhere.wav"], "There is no file nowhere.wav."),
    (["listen", "--ear", "shell", "nowhere.wav"], "There is no ear called shell."),
    (["work", "buoy", "--hear", "nowhere.wav"], "There is no file nowhere.wav."),
    (["work", "buoy", "--typed", "--speak", "no folder/coach.wav"], "can't be written"),
    (["models", "get", "nothing"], "There is no speech model nothing in the list."),
    (["models", "get"], "Which model?"),
    (["bring", "nowhere.pdf"], "There is no file nowhere.pdf."),
])
def test_sound_that_can_not_be_had_is_told_with_a_hint(coach, line, message):
    done = coach(*line)
    assert done.returncode == 2
    assert message in done.err.splitlines()[0]
    assert done.err.splitlines()[1]


def test_models_tells_what_can_be_had_and_how(coach):
    done = coach("models")
    assert done.returncode == 0
    assert "vosk-model-small-en-us-0.15: " in done.out
    assert "pocketsphinx" in done.out


def test_without_devices_or_a_terminal_it_says_what_is_missing_and_takes_typed_requests(coach, monkeypatch):
    """On a machine with sound it says nothing is missing; the rest is the same."""
    from coach.sound.devices import missing

    lacking = missing()
    if not any("microphone" in text or "PortAudio" in text for text in lacking):
        pytest.skip("there is a microphone here, and the session would go on with it")
    done = coach("work", "buoy", typed="next\n")
    assert done.returncode == 0
    lines = done.out.splitlines()
    assert lines[: len(lacking)] == list(lacking)
    assert lines[len(lacking)] == "Type a request and press enter, like: next."
    assert lines[-2].startswith("Round 1.")
    assert lines[-1] == "Your place is kept. Go on with: coach"


# ---- the last resort

def test_an_error_nobody_expected_is_one_plain_sentence(monkeypatch, capsys):
    def broken(args):
        raise ZeroDivisionError("division by zero\nat line 7")
    monkeypatch.delenv("COACH_DEBUG", raising=False)
    monkeypatch.setattr("coach.commands.check.run", broken)
    assert main(["check", "buoy"]) == 2
    said = capsys.readouterr().err
    assert said == ("Something went wrong that should not: division by zero\n"
                    "Your place is kept. To see more, set COACH_DEBUG=1 and run it again.\n")
    monkeypatch.setenv("COACH_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        main(["check", "buoy"])


def test_an_error_without_words_is_named():
    assert "KeyError" in explain(KeyError())


def test_errors_of_the_rooms_speak_for_themselves():
    assert explain(Unreadable("There is no such file.", "Check the name.")) == "There is no such file.\nCheck the name."


def test_ctrl_c_is_no_error(monkeypatch, capsys):
    def interrupted(args):
        raise KeyboardInterrupt
    monkeypatch.setattr("coach.commands.check.run", interrupted)
    assert main(["check", "buoy"]) == 0
    assert capsys.readouterr().err == "\nStopped.\n"


# ---- start-up

HEAVY = {"numpy", "pocketsphinx", "vosk", "sounddevice", "pyttsx3", "samplerate", "rich"}


@pytest.mark.parametrize("line", [["check", "buoy"], ["works"], ["work", "buoy", "--typed"]])
def test_the_speech_libraries_are_loaded_only_where_sound_is_used(home, line):
    code = ("import sys; from coach.cli import main; code = main(sys.argv[1:]);"
            f"loaded = {HEAVY!r} & set(sys.modules); sys.exit(f'loaded: {{loaded}}' if loaded else code)")
    env = os.environ | {"PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code, *line], input=b"", capture_output=True, env=env, timeout=60)
    assert done.returncode == 0, done.stderr.decode()
