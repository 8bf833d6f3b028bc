"""How a machine listens is kept in a small file, whole or not at all."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.memory.sound_settings import FILE, SoundSettings, read, write
from coach.whole import write_whole

KEPT = SoundSettings("key", tones=False, microphone="Headset", loudspeaker="Möwe", apart=("Headset", "Desk"))


def test_what_was_written_is_read(tmp_path):
    assert read(tmp_path / "new") == (SoundSettings(), "")
    assert write(tmp_path / "new", KEPT) == ""
    assert read(tmp_path / "new") == (KEPT, "")


names = st.tuples() | st.tuples(st.text(), st.text())


@given(st.builds(SoundSettings, st.text(), st.booleans(), st.text(), st.text(), names))
def test_whatever_the_devices_are_called(tmp_path_factory, settings):
    folder = tmp_path_factory.mktemp("home")
    assert write(folder, settings) == ""
    assert read(folder) == (settings, "")


@pytest.mark.parametrize("text, wrong", [
    ("", "can't be read"), ("{", "can't be read"), ("[]", "holds no settings"),
    ('{"tones": "loud"}', "no sense in tones"),
    ('{"apart": [1, 2]}', "no sense in apart"),
    ('{"listen": null, "microphone": 7}', "no sense in listen, microphone"),
])
def test_a_damaged_file_is_told_and_the_usual_is_done(tmp_path, text, wrong):
    (tmp_path / FILE).write_text(text)
    settings, told = read(tmp_path)
    assert settings == SoundSettings()
    assert told.startswith(FILE) and wrong in told and "as usual" in told


def test_bytes_that_are_no_text(tmp_path):
    (tmp_path / FILE).write_bytes(b"\xff\xfe{")
    assert "can't be read" in read(tmp_path)[1]


def test_a_later_coach_may_keep_more(tmp_path):
    (tmp_path / FILE).write_text('{"listen": "open", "distance": 3}')
    assert read(tmp_path) == (SoundSettings("open"), "")


def test_where_nothing_can_be_written_it_says_so(tmp_path):
    (tmp_path / "home").write_text("a file where the folder should be")
    assert write(tmp_path / "home", KEPT).startswith("How I listen is not kept: ")


def test_a_write_that_fails_leaves_what_was_there_and_nothing_else(tmp_path, monkeypatch):
    write(tmp_path, KEPT)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("coach.whole.os.replace", full)
    assert write(tmp_path, SoundSettings()) == "How I listen is not kept: No space left on device."
    assert read(tmp_path) == (KEPT, "")
    assert [file.name for file in tmp_path.iterdir()] == [FILE]


@pytest.mark.parametrize("data, bytes_", [("möwe\n", "möwe\n".encode()), (b"\x00\xff", b"\x00\xff"), ("", b"")])
def test_a_file_is_written_as_it_is(tmp_path, data, bytes_):
    write_whole(tmp_path / "deep" / "file", data)
    write_whole(tmp_path / "deep" / "file", data)
    assert (tmp_path / "deep" / "file").read_bytes() == bytes_
