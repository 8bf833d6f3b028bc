"""Speech models: which there are, which are here, and getting one.

    models.toml ─ listed() ─ get(name): download ──▶ NAME.zip.part ── size, SHA-256 ──▶ unpacked aside ──▶ NAME/
                                │ ▲ a broken one goes on where it stopped
                                └ or a package of this name, installed with pip, which checks the SHA-256

This is the one place in the coach that uses the network, and only when a maker asks for it. Whatever goes wrong is a
NoModel with a sentence that can be told; what was there before is still there then.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
import tomllib
import urllib.error
import urllib.request
from collections.abc import Callable
from http.client import HTTPException, HTTPResponse
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from coach.sound.archive import Unsafe, unpack
from coach.sound.errors import NoModel
from coach.sound.model_packages import install, is_model, packaged

REPOSITORY = Path(__file__).parents[2] / "audio_models"
PATIENCE = 30.0  # seconds without a byte after which a download is broken off
BLOCK = 64 * 1024  # bytes read at once
MEGABYTE = 1_000_000

Progress = Callable[[int, int], None]  # bytes that are here, bytes in all


class Model(BaseModel):
    """An entry of models.toml. address, unpacked (bytes that may come out of it at most): of an archive;
    package: the requirement of a package that holds it, in place of an address; size: bytes of archive or package."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(pattern=r"^[a-z0-9][a-z0-9._-]*$")
    holds: str
    address: str = Field(default="", pattern=r"^https?://|^$")
    package: str = ""
    size: int = Field(gt=0)
    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    unpacked: int = Field(default=0, ge=0)
    licence: str

    @model_validator(mode="after")
    def _from_somewhere(self) -> Model:
        if bool(self.package) == bool(self.address and self.unpacked):
            raise ValueError(f"{self.name} needs either address and unpacked, or package")
        return self


class _List(BaseModel):
    model_config = ConfigDict(extra="forbid")

    model: tuple[Model, ...] = ()


def listed(file: Path = REPOSITORY / "models.toml") -> dict[str, Model]:
    """The models that can be had, by name. Raises NoModel when the list can't be read."""
    try:
        found = _List.model_validate(tomllib.loads(file.read_text("utf-8")))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, ValidationError) as fault:
        raise NoModel(f"The list of speech models {file} can't be read.", str(fault).splitlines()[0]) from None
    return {model.name: model for model in found.model}


def folders() -> tuple[Path, ...]:
    """Where models are kept: the first is where new ones go to."""
    own = _data() / "audio_models"
    if not REPOSITORY.is_dir():
        return (own,)
    return (REPOSITORY, own) if os.access(REPOSITORY, os.W_OK) else (own, REPOSITORY)


def _data() -> Path:
    """The coach's folder for data, as the journal has it (a room further on): COACH_HOME, or the system's own."""
    if chosen := os.environ.get("COACH_HOME"):
        return Path(chosen).expanduser()
    from platformdirs import user_data_dir

    return Path(user_data_dir("crochet-coach", appauthor=False))


def installed(places: tuple[Path, ...] | None = None) -> dict[str, Path]:
    """The models that are here, by name, whoever put them there. A folder counts when it has a model's parts in it;
    where no places are given, so do packages."""
    found: dict[str, Path] = {}
    for place in folders() if places is None else places:
        for folder in sorted(place.iterdir()) if place.is_dir() else ():
            if not folder.name.startswith(".") and is_model(folder):
                found.setdefault(folder.name, folder)
    return found if places is not None else packaged() | found


def get(
    name: str,
    progress: Progress = lambda done, total: None,
    *,
    models: dict[str, Model] | None = None,
    place: Path | None = None,
    patience: float = PATIENCE,
) -> Path:
    """The folder of a model, downloaded where it is not here yet. progress is called as bytes come.

    models: what can be had (the list); place: where to (the first of `folders()`); patience: seconds.
    Raises NoModel: no such model, no network, a download that broke off or isn't what it should be, no room.
    """
    models = listed() if models is None else models
    here = installed(None if place is None else (place,))
    if name in here:
        return here[name]
    if name not in models:
        there = ", ".join(models) or "none"
        raise NoModel(f"There is no speech model {name} in the list.", f"There is: {there}.")
    if models[name].package:
        progress(0, models[name].size)
        folder = install(name, models[name].package, models[name].sha256)
        progress(models[name].size, models[name].size)
        return folder
    place = place or folders()[0]
    try:
        place.mkdir(parents=True, exist_ok=True)
        part = place / f"{name}.zip.part"
        _download(models[name], part, progress, patience)
        _verify(models[name], part)
        return _unpacked(models[name], part, place / name)
    except OSError as fault:
        hint = "Make room there and get it again."
        raise NoModel(f"The model can't be kept in {place}: {_reason(fault)}.", hint) from None


def _download(model: Model, part: Path, progress: Progress, patience: float) -> None:
    """Bring `part` to the model's size. Raises NoModel, and leaves what came for the next time."""
    done = part.stat().st_size if part.exists() else 0
    if done > model.size:
        part.unlink()
        done = 0
    progress(done, model.size)
    if done == model.size:
        return
    with _answer(model, part, done, patience) as answer:
        goes_on = answer.status == 206 and answer.headers.get("Content-Range", "").startswith(f"bytes {done}-")
        _keep(answer, part, done if goes_on else 0, model.size, progress)
    if (came := part.stat().st_size) < model.size:
        raise _broken(came, model.size)


def _answer(model: Model, part: Path, done: int, patience: float) -> HTTPResponse:
    """The server's answer, whose body is the archive from byte `done` on, or all of it. Raises NoModel."""
    request = urllib.request.Request(model.address, headers={"Range": f"bytes={done}-"} if done else {})
    try:
        return urllib.request.urlopen(request, timeout=patience)
    except urllib.error.HTTPError as fault:
        if fault.code == 416:  # "range not satisfiable": the part is none of this file
            part.unlink(missing_ok=True)
        raise NoModel(f"The model can't be had: the server answers {fault.code}.", "Try again later.") from None
    except (OSError, HTTPException) as fault:  # URLError is an OSError
        raise NoModel(
            f"The model can't be reached: {_reason(getattr(fault, 'reason', fault))}.",
            "The coach works without it. Get it again when there is a network.",
        ) from None


def _keep(answer: HTTPResponse, part: Path, done: int, size: int, progress: Progress) -> None:
    with open(part, "r+b" if done else "wb") as file:
        file.seek(done)
        while done <= size:  # one byte too many is enough to know
            try:
                data = answer.read1(BLOCK)
            except (OSError, HTTPException):  # timeouts, resets, half a chunk
                raise _broken(done, size) from None
            if not data:
                return
            file.write(data)
            done += len(data)
            progress(min(done, size), size)


def _broken(came: int, size: int) -> NoModel:
    return NoModel(
        f"The download broke off after {came / MEGABYTE:.1f} of {size / MEGABYTE:.1f} megabytes.",
        "Get it again: it goes on from there.",
    )


def _verify(model: Model, part: Path) -> None:
    with open(part, "rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if part.stat().st_size != model.size or found != model.sha256:
        part.unlink()
        raise NoModel(
            f"What came is not {model.name}: its checksum is wrong. It was thrown away.",
            "Get it again; if it stays wrong, don't use it.",
        )


def _unpacked(model: Model, part: Path, target: Path) -> Path:
    """Unpack beside the target, then rename: a model is there whole or not at all."""
    with tempfile.TemporaryDirectory(prefix=f".{model.name}-", dir=target.parent) as aside:
        try:
            unpack(part, Path(aside), model.unpacked)
        except Unsafe as fault:
            part.unlink()
            raise NoModel(f"The archive of {model.name} is not safe: {fault}. It was thrown away.") from None
        root = _root(Path(aside))
        if not is_model(root):
            part.unlink()
            raise NoModel(f"The archive of {model.name} holds no speech model. It was thrown away.")
        shutil.rmtree(target, ignore_errors=True)  # what is there is no model, or get() had not come here
        root.rename(target)
    part.unlink()
    return target


def _root(folder: Path) -> Path:
    """The one folder that everything lies in, or the folder itself."""
    inside = list(folder.iterdir())
    return inside[0] if len(inside) == 1 and inside[0].is_dir() else folder


def _reason(fault: object) -> str:
    return str(getattr(fault, "strerror", None) or fault).lower()
