"""Which devices a session takes and how it listens: options, what is kept, and what a sound check has found.

The devices are a simulated card in this process; where no ear is the matter, none is loaded.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "sound"))
from live_card import Silent  # noqa: E402
from simulated_card import LOUDSPEAKER, MICROPHONE, SimulatedCard  # noqa: E402

from coach.attention import Way  # noqa: E402
from coach.cli import parser  # noqa: E402
from coach.commands.soundcheck import as_text, settings_for  # noqa: E402
from coach.commands.stage import keep_ears, stage_for  # noqa: E402
from coach.language.phrasebook import load  # noqa: E402
from coach.memory.sound_settings import SoundSettings, read, write  # noqa: E402
from coach.sound.check import SoundCheck  # noqa: E402
from coach.sound.echo import EchoCanceller  # noqa: E402
from coach.sound.errors import NoDevice  # noqa: E402
from coach.sound.levels import Echo, Levels  # noqa: E402

DEVICES = {"Webcam": MICROPHONE, "Headset": MICROPHONE | LOUDSPEAKER, "Desk": LOUDSPEAKER}
QUIET_ROOM, VOICE = Levels(-62, -55, 0), Levels(-60, -22, 0)
NO_ECHO, ECHO = Echo(0.4, -60, 4), Echo(0.2, -15, 35)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    monkeypatch.setitem(sys.modules, "sounddevice", SimulatedCard(**DEVICES))
    monkeypatch.setattr("sys.stdin", io.StringIO())
    monkeypatch.setattr("coach.sound.ear_process.EarProcess", lambda open_ear: Silent())  # no model has to be loaded
    return tmp_path


def staged(*options: str):
    """The stage of a session with these options; closed again. Gives how it was, and what was shown."""
    stage = stage_for(parser().parse_args(["work", "buoy", *options]), load("en"))
    stage._look()
    stage.close()
    microphone = stage._sources[0]
    return stage._attention, getattr(microphone, "device", ""), stage._voice.device


def test_without_any_option_the_usual_devices(home):
    ears, microphone, loudspeaker = staged()
    assert (microphone, loudspeaker) == ("Webcam", "Headset")
    assert (ears.way, ears.tones, ears.apart) == (Way.OPEN, True, False)
    assert list(home.iterdir()) == [], "nothing was chosen, so nothing is kept"


def test_what_an_option_asks_for_is_kept_for_the_next_session(home):
    options = ("--microphone", "head", "--loudspeaker", "desk", "--listen", "key", "--no-tones")
    for session in (options, ()):
        ears, microphone, loudspeaker = staged(*session)
        assert (microphone, loudspeaker, ears.way, ears.tones) == ("Headset", "Desk", Way.KEY, False)
    ears, microphone, _ = staged("--microphone", "", "--listen", "open", "--tones")
    assert (microphone, ears.way, ears.tones) == ("Webcam", Way.OPEN, True)


def test_what_was_asked_for_by_voice_is_kept_too(home):
    ears, *_ = staged("--microphone", "head")
    ears.choose(Way.ATTENTION)
    assert keep_ears(ears) == ""
    ears, microphone, _ = staged()
    assert (ears.way, microphone) == (Way.ATTENTION, "Headset")


def test_a_name_that_is_none_is_an_error_with_near_names_and_is_not_kept(home):
    with pytest.raises(NoDevice, match="There is no microphone called Webcan. Did you mean Webcam?"):
        staged("--microphone", "Webcan")
    with pytest.raises(NoDevice, match="There is no loudspeaker called Dsk."):
        staged("--loudspeaker", "Dsk")
    assert read(home) == (SoundSettings(), "")


def test_a_device_of_before_that_is_not_there_today_is_told_and_stays_kept(home, capsys):
    write(home, SoundSettings(microphone="Studio"))
    assert staged()[1] == "Webcam"
    assert "There is no microphone called Studio. I take the usual one." in capsys.readouterr().out
    assert read(home)[0].microphone == "Studio"


def test_a_damaged_file_is_told_once_and_the_session_goes_on(home, capsys):
    (home / "sound.json").write_text("{")
    staged()
    assert capsys.readouterr().out.count("sound.json can't be read, so I listen as usual") == 1


def test_a_damaged_model_of_the_ear_is_told_once(home, capsys, monkeypatch):
    from coach.sound.verified_ear import VerifiedEar

    monkeypatch.setattr("coach.sound.ear_process.EarProcess", lambda open_ear: open_ear())  # in this process

    def damaged(*_, **__):
        from coach.sound.errors import NoModel

        raise NoModel("The model of the coach's own ear is damaged.", "The recogniser is used without it.")

    monkeypatch.setattr(VerifiedEar, "__init__", damaged)
    ears, *_ = staged()
    told = "The model of the coach's own ear is damaged. The recogniser is used without it."
    assert capsys.readouterr().out.splitlines().count(told) == 1
    assert ears.way is Way.ATTENTION, "the recogniser alone waits for the name"


# ---- what a sound check means

def check(echo: Echo | None = NO_ECHO, room: Levels = QUIET_ROOM, maker: Levels | None = VOICE) -> SoundCheck:
    return SoundCheck("Headset", "Headset", room, maker, echo)


@pytest.mark.parametrize("found, apart", [
    (check(), True), (check(maker=None), True), (check(echo=None), False),
    (check(room=Levels(-96, -96, 0), maker=None), False),  # a microphone that is muted hears no echo either
    (check(maker=Levels(-60, -55, 0)), False),  # nor one that hardly hears the maker
])
def test_devices_are_apart_where_the_maker_is_heard_and_the_coach_is_not(found, apart):
    assert settings_for(found, SoundSettings(listen="key")) == SoundSettings(
        "key", apart=("Headset", "Headset") if apart else ())


def test_echoes_are_cancelled_except_with_devices_that_are_apart(home, monkeypatch):
    made: list[EchoCanceller] = []
    monkeypatch.setattr("coach.commands.stage._canceller", lambda: made.append(EchoCanceller()) or made[-1])
    staged()
    assert made[-1].on, "before any check too"
    write(home, settings_for(check(ECHO), SoundSettings(microphone="Headset", loudspeaker="Headset")))
    staged()
    assert made[-1].on
    write(home, settings_for(check(), SoundSettings(microphone="Headset", loudspeaker="Headset")))
    staged()
    assert not made[-1].on
    staged("--loudspeaker", "Desk")
    assert made[-1].on


def test_a_canceller_gets_what_is_played_and_what_is_heard(home, monkeypatch):
    canceller = EchoCanceller()
    monkeypatch.setattr("coach.commands.stage._canceller", lambda: canceller)
    write(home, settings_for(check(ECHO), SoundSettings(microphone="Headset", loudspeaker="Headset")))
    stage = stage_for(parser().parse_args(["work", "buoy"]), load("en"))
    stage._look()
    card = sys.modules["sounddevice"]
    card.sound(0.1)
    played = canceller._far_samples
    card.hear(np.zeros((4800, 1), np.int16))
    stage.close()
    assert played > 1000 and canceller._far_samples < played


def test_a_session_with_these_devices_listens_while_it_speaks_and_one_with_others_does_not(home):
    write(home, settings_for(check(), SoundSettings(microphone="Headset", loudspeaker="Headset")))
    assert staged()[0].apart
    assert not staged("--loudspeaker", "Desk")[0].apart


def test_a_name_that_was_not_found_is_not_kept():
    before = SoundSettings(microphone="Studio", loudspeaker="desk")
    assert settings_for(SoundCheck(None, "Desk"), before) == SoundSettings(loudspeaker="desk")


def test_the_figures_of_a_check_in_plain_lines():
    assert as_text(check(ECHO)) == [
        "Microphone: Headset.", "Loudspeaker: Headset.", "The room: 62 to 55 dB below full scale.",
        "Your voice: 60 to 22 dB below full scale.", "The coach's voice comes back after 0.20 seconds, at -15 dB.",
        "That is taken out of what I hear, so stop is heard over it."]
    assert as_text(SoundCheck()) == ["Microphone: none.", "Loudspeaker: none."]


def test_figures_of_the_last_session(coach, home):
    assert "From the end of a word to the action: nothing measured." in coach("soundcheck", "--figures").out
    (home / "figures.json").write_text('{"word_to_action": {"count": 2, "p50": 0.4, "p95": 0.5}, '
                                       '"action_to_sound": {"count": 0, "p50": null, "p95": null}}')
    assert "0.40 s, at most 0.50 s for 95 of 100 (2 measured)." in coach("soundcheck", "--figures").out
    assert '"p95": 0.5' in coach("soundcheck", "--figures", "--json").out
