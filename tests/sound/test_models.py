"""Getting a model from a server on this machine: whole, broken off and resumed, wrong, evil, and not there at all."""

from __future__ import annotations

import hashlib
import io
import socket
import threading
import zipfile
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from coach.sound import models
from coach.sound.errors import NoModel
from coach.sound.models import Model, folders, get, installed, listed

NAME = "vosk-model-test-0.1"


def archive(**files: bytes) -> bytes:
    """A model's archive; noise in it, so that it is not squeezed to nothing."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as file:
        for name, data in (files or {f"{NAME}/am/final.mdl": b"model" * 40_000, f"{NAME}/README": b"words"}).items():
            file.writestr(name, data)
    return packed.getvalue()


class Server:
    """Serves `data` on the loopback, with ranges, and writes down what it was asked for.

    breaks_after: bytes of an answer after which the connection is cut; ranges: whether it knows them; status: what to
    answer in place of the data.
    """

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.asked: list[str | None] = []
        self.breaks_after: int | None = None
        self.ranges = True
        self.status: int | None = None
        server = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                server.answer(self)

            def log_message(self, *args: object) -> None: ...

        self._http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.address = f"http://127.0.0.1:{self._http.server_port}/{NAME}.zip"
        threading.Thread(target=self._http.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()

    def answer(self, request: BaseHTTPRequestHandler) -> None:
        asked = request.headers.get("Range")
        self.asked.append(asked)
        start = int(asked.removeprefix("bytes=").rstrip("-")) if asked and self.ranges else 0
        if self.status or start >= len(self.data):
            request.send_error(self.status or 416)
            return
        request.send_response(206 if start else 200)
        if start:
            request.send_header("Content-Range", f"bytes {start}-{len(self.data) - 1}/{len(self.data)}")
        request.send_header("Content-Length", str(len(self.data) - start))
        request.end_headers()
        request.wfile.write(self.data[start:][: self.breaks_after])

    def close(self) -> None:
        self._http.shutdown()
        self._http.server_close()


@pytest.fixture
def server():
    server = Server(archive())
    yield server
    server.close()


def entry(server: Server, **changes: object) -> dict[str, Model]:
    data = {
        "name": NAME, "holds": "a test", "address": server.address, "size": len(server.data),
        "sha256": hashlib.sha256(server.data).hexdigest(), "unpacked": 1_000_000, "licence": "none", **changes,
    }
    return {NAME: Model.model_validate(data)}


def test_a_model_is_downloaded_verified_and_unpacked(server, tmp_path):
    told: list[tuple[int, int]] = []
    folder = get(NAME, lambda done, total: told.append((done, total)), models=entry(server), place=tmp_path)
    assert folder == tmp_path / NAME
    assert (folder / "am" / "final.mdl").read_bytes() == b"model" * 40_000
    assert [p.name for p in tmp_path.iterdir()] == [NAME]  # no part, no folder aside
    assert told[0] == (0, len(server.data)) and told[-1] == (len(server.data), len(server.data))
    assert told == sorted(told)
    assert installed((tmp_path,)) == {NAME: folder}


def test_what_is_there_is_not_downloaded_again(server, tmp_path):
    get(NAME, models=entry(server), place=tmp_path)
    get(NAME, models=entry(server), place=tmp_path)
    assert len(server.asked) == 1


@pytest.mark.parametrize("after", [1, 70_000, 150_000])
def test_a_download_that_broke_off_goes_on_where_it_stopped(server, tmp_path, after):
    server.breaks_after = after
    with pytest.raises(NoModel, match="broke off after .* it goes on from there"):
        get(NAME, models=entry(server), place=tmp_path)
    assert (tmp_path / f"{NAME}.zip.part").stat().st_size == after
    server.breaks_after = None
    told: list[int] = []
    get(NAME, lambda done, total: told.append(done), models=entry(server), place=tmp_path)
    assert server.asked == [None, f"bytes={after}-"]
    assert told[0] == after
    assert installed((tmp_path,)) == {NAME: tmp_path / NAME}


def test_broken_off_many_times(server, tmp_path):
    server.breaks_after = 30_000
    for _ in range(len(server.data) // 30_000):
        with pytest.raises(NoModel, match="broke off"):
            get(NAME, models=entry(server), place=tmp_path)
    get(NAME, models=entry(server), place=tmp_path)
    assert len(server.asked) == len(server.data) // 30_000 + 1


def test_a_server_without_ranges_sends_all_of_it_again(server, tmp_path):
    server.breaks_after = 50_000
    with pytest.raises(NoModel):
        get(NAME, models=entry(server), place=tmp_path)
    server.breaks_after, server.ranges = None, False
    get(NAME, models=entry(server), place=tmp_path)
    assert NAME in installed((tmp_path,))


def test_killed_after_the_last_byte(server, tmp_path):
    """All is there, but it was never unpacked: nothing is downloaded."""
    (tmp_path / f"{NAME}.zip.part").write_bytes(server.data)
    get(NAME, models=entry(server), place=tmp_path)
    assert server.asked == [] and NAME in installed((tmp_path,))


@pytest.mark.parametrize("wrong", ["hash", "too short", "too long", "a part of another file"])
def test_what_is_not_the_model_is_thrown_away(server, tmp_path, wrong):
    listed = entry(server)
    part = tmp_path / f"{NAME}.zip.part"
    if wrong == "hash":
        server.data = server.data[:-1] + b"x"
    elif wrong == "too short":
        listed = entry(server, size=len(server.data) - 10)
    elif wrong == "too long":
        server.data += b"x" * 100_000
    else:
        part.write_bytes(b"x" * 1000)
    with pytest.raises(NoModel, match="checksum is wrong. It was thrown away"):
        get(NAME, models=listed, place=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_part_that_is_longer_than_the_model_is_begun_anew(server, tmp_path):
    (tmp_path / f"{NAME}.zip.part").write_bytes(b"x" * (len(server.data) + 1))
    get(NAME, models=entry(server), place=tmp_path)
    assert server.asked == [None]


@pytest.mark.parametrize("files", [
    {f"{NAME}/am/final.mdl": b"model", "../evil": b"evil"},
    {f"{NAME}/am/final.mdl": bytes(2_000_000)},
], ids=["path", "size"])
def test_an_evil_archive_is_thrown_away(server, tmp_path, files):
    server.data = archive(**files)
    place = tmp_path / "models"
    with pytest.raises(NoModel, match="is not safe"):
        get(NAME, models=entry(server), place=place)
    assert list(place.iterdir()) == [] and [p.name for p in tmp_path.iterdir()] == ["models"]


def test_an_archive_without_a_model(server, tmp_path):
    server.data = archive(README=b"nothing")
    with pytest.raises(NoModel, match="holds no speech model"):
        get(NAME, models=entry(server), place=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_no_network(server, tmp_path):
    with socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))  # taken, and nobody listens
        address = f"http://127.0.0.1:{closed.getsockname()[1]}/model.zip"
        with pytest.raises(NoModel, match="can't be reached.*The coach works without it"):
            get(NAME, models=entry(server, address=address), place=tmp_path)
    assert installed((tmp_path,)) == {}


def test_no_such_host(server, tmp_path):
    with pytest.raises(NoModel, match="can't be reached"):
        get(NAME, models=entry(server, address="http://nowhere.invalid/model.zip"), place=tmp_path)  # RFC 2606


def test_a_server_that_says_no(server, tmp_path):
    server.status = 404
    with pytest.raises(NoModel, match="the server answers 404"):
        get(NAME, models=entry(server), place=tmp_path)


def test_a_server_that_says_nothing(server, tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as silent:
        address = f"http://127.0.0.1:{silent.getsockname()[1]}/model.zip"
        with pytest.raises(NoModel, match="can't be reached: timed out"):
            get(NAME, models=entry(server, address=address), place=tmp_path, patience=0.2)


def test_a_server_that_stops_talking(server, tmp_path):
    """The connection stays open and nothing comes any more."""
    over = threading.Event()
    server.answer = lambda request: (
        request.send_response(200), request.end_headers(), request.wfile.write(server.data[:5000]), over.wait(5)
    )
    with pytest.raises(NoModel, match="broke off"):
        get(NAME, models=entry(server), place=tmp_path, patience=0.3)
    over.set()
    assert (tmp_path / f"{NAME}.zip.part").stat().st_size == 5000


def test_a_server_of_another_kind(server, tmp_path):
    server.answer = lambda request: request.wfile.write(b"220 mail.invalid ready\r\n")
    with pytest.raises(NoModel, match="can't be reached"):
        get(NAME, models=entry(server), place=tmp_path)


def test_a_name_that_is_not_in_the_list(server, tmp_path):
    with pytest.raises(NoModel, match=f"no speech model seal .*There is: {NAME}"):
        get("seal", models=entry(server), place=tmp_path)


def test_no_room_to_keep_it(server, tmp_path):
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(NoModel, match="can't be kept"):
        get(NAME, models=entry(server), place=tmp_path / "file")


def test_the_list():
    small = listed()["vosk-model-small-en-us-0.15"]
    assert small.size == 41_205_931
    assert small.sha256 == "30f26242c4eb449f948e42cb302dd7a686cb29a3423a8367f99ff41780942498"
    assert small.address.startswith("https://") and small.address.endswith(f"/{small.name}.zip")
    assert small.licence == "Apache-2.0"


@pytest.mark.parametrize("text", ["[[model]]\nname = 'x'", "no toml", "[[model]]\nname = '../x'", "\x00"])
def test_a_list_that_cant_be_read(tmp_path, text):
    (tmp_path / "models.toml").write_text(text)
    with pytest.raises(NoModel, match="can't be read"):
        listed(tmp_path / "models.toml")


def test_no_list_is_no_model(tmp_path):
    assert listed(tmp_path / "models.toml") == {}


def test_only_whole_models_are_installed(tmp_path):
    (tmp_path / "whole" / "am").mkdir(parents=True)
    (tmp_path / "whole" / "am" / "final.mdl").write_bytes(b"m")
    (tmp_path / "empty").mkdir()
    (tmp_path / ".aside" / "am").mkdir(parents=True)
    (tmp_path / ".aside" / "am" / "final.mdl").write_bytes(b"m")
    assert installed((tmp_path, tmp_path / "nowhere")) == {"whole": tmp_path / "whole"}


def test_where_models_are_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("COACH_HOME", str(tmp_path))
    checkout = tmp_path / "checkout"
    monkeypatch.setattr(models, "REPOSITORY", checkout)
    assert folders() == (tmp_path / "audio_models",)  # installed, no checkout
    checkout.mkdir()
    assert folders() == (checkout, tmp_path / "audio_models")
    monkeypatch.setattr(models.os, "access", lambda path, mode: False)  # the superuser may write everywhere
    assert folders() == (tmp_path / "audio_models", checkout)
