"""The command line itself: its help, wrong arguments, errors that nobody expected, and what a start loads."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from coach.cli import explain, main, parser
from coach.commands.files import Unreadable

ROOT = Path(__file__).parents[1]
COMMANDS = ("work", "check", "listen", "rehearse", "soundcheck", "models", "sheet", "bring", "works")


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
    (["wrok"], "There is no command wrok. Did you mean work? A command is work, check, "),
    (["qqq"], "There is no command qqq. A command is work, check, "),
    (["seal"], "There is no command seal. To work that pattern: coach work seal"),
    (["check"], "required: FILE"),
    (["work", "seal", "--by", "inch"], "--by can't be inch: it is stitch, group or round."),
    (["sheet", "seal", "--to", "a.html", "--type-size", "big"], "--type-size can't be big: it is a number."),
    (["models", "fetch"], "can't be fetch: it is get."),
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


def test_a_file_where_a_command_should_be_can_be_worked(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my scarf.txt").write_text("Row 1: Ch 5.", "utf-8")
    with pytest.raises(SystemExit):
        main(["my scarf.txt"])
    assert "To work that pattern: coach work 'my scarf.txt'" in capsys.readouterr().err


def test_options_count_before_and_after_the_command():
    before, after = parser().parse_args(["--typed", "work", "seal"]), parser().parse_args(["work", "seal", "--typed"])
    assert vars(before) == vars(after)
    assert before.typed


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
def test_the_speech_libraries_are_loaded_only_where_sound_is_used(tmp_path, line):
    code = ("import sys; from coach.cli import main; code = main(sys.argv[1:]);"
            f"loaded = {HEAVY!r} & set(sys.modules); sys.exit(f'loaded: {{loaded}}' if loaded else code)")
    env = os.environ | {"PYTHONPATH": str(ROOT), "COACH_HOME": str(tmp_path)}
    done = subprocess.run([sys.executable, "-c", code, *line], input=b"", capture_output=True, env=env,
                          cwd=tmp_path, timeout=60)
    assert done.returncode == 0, done.stderr.decode()


# ---- output that can't be written


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("line", [["check", "buoy"], ["check", "buoy", "--json"], ["works"], ["work", "buoy", "--typed"]])
def test_a_full_disk_is_told_in_plain_words(tmp_path, line):
    env = os.environ | {"PYTHONPATH": str(ROOT), "COACH_HOME": str(tmp_path)}
    with open("/dev/full", "wb") as full:
        done = subprocess.run([sys.executable, "-m", "coach", *line], input=b"", stdout=full, stderr=subprocess.PIPE, env=env, timeout=60)
    assert done.returncode == 2
    assert done.stderr.decode() == "I can't write the answer: No space left on device.\nMake room, or write it elsewhere.\n"


def test_an_ear_that_there_is_none_of_is_refused_where_none_is_used_too(capsys):
    with pytest.raises(SystemExit) as left:
        main(["work", "buoy", "--typed", "--ear", "trumpet"])
    assert left.value.code == 2
    assert "trumpet" in capsys.readouterr().err


def test_the_ears_of_the_command_line_are_those_there_are():
    from coach.cli import EARS
    from coach.sound import listen

    assert EARS == listen.EARS


@pytest.mark.parametrize("typed", ["./start", "python start"])
def test_help_names_what_was_typed(typed, monkeypatch, capsys):
    monkeypatch.setenv("COACH_COMMAND", typed)
    for words in (["--help"], ["check", "--help"]):
        with pytest.raises(SystemExit):
            main(words)
        told = capsys.readouterr().out
        assert told.startswith(f"usage: {typed} ") and f"\n  {typed} check " in told and "\n  coach" not in told
