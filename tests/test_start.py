"""The start script: what it decides, and what it does in a small project that needs no network."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import time
from importlib.machinery import SourceFileLoader
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SCRIPT = ROOT / "start"
OPT_IN = "COACH_TEST_START"


def load():
    loader = SourceFileLoader("start_script", str(SCRIPT))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    module = importlib.util.module_from_spec(spec)
    sys.dont_write_bytecode, before = True, sys.dont_write_bytecode
    try:
        loader.exec_module(module)
    finally:
        sys.dont_write_bytecode = before
    return module


start = load()


# Decisions


def test_an_old_python_can_read_the_script_and_says_one_sentence():
    ast.parse(SCRIPT.read_text(encoding="utf-8"), feature_version=(3, 6))
    sentence = start.too_old((3, 10, 12))
    assert sentence == ("The coach needs Python 3.11 or newer; this is Python 3.10. "
                        "Please install a newer one and start again.")


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 12, 1), (3, 20), (4, 0)])
def test_a_python_that_is_new_enough_hears_nothing(version):
    assert start.too_old(version) == ""


def test_the_oldest_python_is_that_of_the_project():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert 'requires-python = ">={}.{}"'.format(*start.OLDEST) in text


def test_the_script_uses_the_standard_library_only():
    tree = ast.parse(SCRIPT.read_text(encoding="utf-8"))
    nodes = list(ast.walk(tree))
    names = {alias.name.split(".")[0] for node in nodes if isinstance(node, ast.Import) for alias in node.names}
    names |= {node.module.split(".")[0] for node in nodes if isinstance(node, ast.ImportFrom)}
    assert names and names <= sys.stdlib_module_names


def test_where_the_environments_python_is():
    assert start.python_in(Path("v"), windows=False) == Path("v/bin/python")
    assert start.python_in(Path("v"), windows=True) == Path("v/Scripts/python.exe")


@pytest.mark.parametrize(
    ("had", "wanted", "enough"),
    [
        ([], [], True),
        (["test"], [], True),
        (["test"], ["test"], True),
        ([], ["test"], False),
    ],
)
def test_extras_that_are_there_are_not_installed_again(had, wanted, enough):
    assert start.serves(start.stamp(b"a", Path("/x"), had), start.stamp(b"a", Path("/x"), wanted)) is enough


def test_a_changed_project_a_moved_folder_and_a_missing_stamp_are_installed_again():
    now = start.stamp(b"a", Path("/x"), [])
    assert not start.serves(start.stamp(b"b", Path("/x"), []), now)
    assert not start.serves(start.stamp(b"a", Path("/y"), []), now)
    assert not start.serves({}, now)
    assert not start.serves({"extras": "test"}, now)


@pytest.mark.parametrize("content", ["", "{", "[]", "\x00", '"installed"'])
def test_a_stamp_that_can_not_be_read_is_none(tmp_path, content):
    (tmp_path / start.STAMP).write_text(content)
    assert start.read_stamp(tmp_path) == {}


def test_a_plain_start_does_not_leave_the_tests_behind():
    had = start.stamp(b"a", Path("/x"), ["test"])
    wanted = start.stamp(b"b", Path("/x"), [])
    assert start.with_earlier_extras(had, wanted) == start.stamp(b"b", Path("/x"), ["test"])
    assert start.with_earlier_extras({}, wanted) == wanted


def test_what_is_installed():
    assert start.requirement([]) == "."
    assert start.requirement(["test"]) == ".[test]"


def test_what_is_run():
    python = Path("v") / "python"
    assert start.command(["test"], python) == [str(python), "-m", "pytest", *start.ON_ALL_CORES]
    assert start.command(["test", "-k", "seal"], python) == [str(python), "-m", "pytest", "-k", "seal"]
    assert start.command(["check", "seal.md"], python) == [str(python), "-P", "-m", "coach", "check", "seal.md"]
    assert start.command([], python) == [str(python), "-P", "-m", "coach"]


def test_a_system_package_never_asks_for_a_password():
    assert start.apt("libportaudio2", root=False, sudo=False) == []
    for words in start.apt("libportaudio2", root=False, sudo=True):
        assert words[:3] == ["sudo", "-n", "apt-get"]
    assert start.apt("libportaudio2", root=True, sudo=False)[-1] == ["apt-get", "install", "-y", "-qq", "libportaudio2"]


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("WARNING: NewConnectionError(...)\nERROR: No matching distribution found for x", "check the network"),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "The disk is full"),
        ("Collecting x\nERROR: Package requires a different Python", "ERROR: Package requires a different Python"),
        ("something\nlast", "pip says: last"),
        ("", "pip gave no reason"),
    ],
)
def test_why_pip_failed_is_said_in_one_sentence(output, words):
    assert words in start.why_pip_failed(output)


def test_without_portaudio_the_start_says_the_command_and_goes_on(monkeypatch, capsys):
    monkeypatch.setattr(start.sys, "platform", "linux")
    monkeypatch.setattr(start.ctypes.util, "find_library", lambda name: None)
    monkeypatch.setattr(start, "install_system_package", lambda package: False)
    start.see_to_portaudio()
    said = capsys.readouterr().err
    assert "no live sound" in said and said.rstrip().endswith("sudo apt-get install -y libportaudio2")


def test_portaudio_is_looked_for_on_linux_only(monkeypatch, capsys):
    monkeypatch.setattr(start.sys, "platform", "darwin")
    monkeypatch.setattr(start.ctypes.util, "find_library", lambda name: None)
    start.see_to_portaudio()
    assert capsys.readouterr().err == ""


def test_without_the_venv_module_the_start_says_the_command(monkeypatch, tmp_path):
    monkeypatch.setattr(start, "can_make_environments", lambda: False)
    monkeypatch.setattr(start, "install_system_package", lambda package: False)
    with pytest.raises(start.Trouble, match="sudo apt-get install -y python3-venv"):
        start.make_environment(tmp_path / ".venv")


def test_a_start_whose_output_is_closed_goes_on(monkeypatch):
    started = []
    monkeypatch.setattr(start.os, "name", "nt")  # where the coach is called, not put in the start's place
    monkeypatch.setattr(start.subprocess, "call", started.append)
    monkeypatch.setattr(start.sys, "stdout", None)
    start.run(["python", "-m", "coach"])
    assert started == [["python", "-m", "coach"]]


# Deeds: a project of its own, built by a backend of its own, so that nothing is downloaded

PROJECT = """[build-system]
requires = []
build-backend = "backend"
backend-path = ["."]

[project]
name = "small-coach"
version = "1"
"""

BACKEND = '''"""Builds the smallest editable wheel; a file keeps count."""
import pathlib, tomllib, zipfile
ROOT = pathlib.Path(__file__).parent

def build_editable(folder, config_settings=None, metadata_directory=None):
    count = ROOT / "builds"
    count.write_text(str(int(count.read_text()) + 1 if count.exists() else 1))
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    needs = "".join(f"Requires-Dist: {n}\\n" for n in project.get("dependencies", []))
    name, info = "small_coach-1-py3-none-any.whl", "small_coach-1.dist-info"
    with zipfile.ZipFile(pathlib.Path(folder) / name, "w") as wheel:
        wheel.writestr("small_coach.pth", str(ROOT) + "\\n")
        wheel.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\\nName: small-coach\\nVersion: 1\\n"
                                           f"Provides-Extra: test\\n{needs}")
        wheel.writestr(f"{info}/WHEEL", "Wheel-Version: 1.0\\nGenerator: small\\nRoot-Is-Purelib: true\\n"
                                        "Tag: py3-none-any\\n")
        wheel.writestr(f"{info}/RECORD", "")
    return name
'''

ECHO = "import json, os, sys\nprint(json.dumps([__name__, sys.argv[1:], sys.prefix, os.getcwd()]))\nsys.exit(7)\n"


class Project:
    """A folder with the start script and as little else as it needs."""

    def __init__(self, root: Path):
        self.root = root
        (root / "coach").mkdir(parents=True)
        (root / "coach" / "__main__.py").write_text(ECHO)
        (root / "pytest.py").write_text(ECHO)
        (root / "pyproject.toml").write_text(PROJECT)
        (root / "backend.py").write_text(BACKEND)
        shutil.copy(SCRIPT, root / "start")

    def begin(self, *arguments: str, cwd: Path | None = None) -> subprocess.Popen[str]:
        environment = {key: value for key, value in os.environ.items() if not key.startswith(("PIP_", "PYTHON"))}
        environment |= {"PIP_INDEX_URL": "http://127.0.0.1:9/simple", "PIP_RETRIES": "0",
                        "PIP_CONFIG_FILE": os.devnull}
        return subprocess.Popen([sys.executable, str(self.root / "start"), *arguments], stdin=subprocess.DEVNULL,
                                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment,
                                cwd=cwd or self.root.parent)

    def start(self, *arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
        process = self.begin(*arguments, cwd=cwd)
        out, said = process.communicate()
        return subprocess.CompletedProcess(process.args, process.returncode, out, said)

    @property
    def venv(self) -> Path:
        return self.root / ".venv"

    @property
    def builds(self) -> int:
        return int((self.root / "builds").read_text())


def coached(project: Project, done: subprocess.CompletedProcess[str], *arguments: str) -> bool:
    name, heard, prefix, _ = json.loads(done.stdout)
    return (name, heard, Path(prefix), done.returncode) == ("__main__", list(arguments), project.venv.resolve(), 7)


@pytest.fixture(scope="module")
def project(tmp_path_factory) -> Project:
    """A project that was started once."""
    if not start.can_make_environments():
        pytest.skip("this Python can't make environments: python3-venv is missing")
    made = Project(tmp_path_factory.mktemp("with a space") / "harbour coach")
    done = made.start("check", "a b.md", "--json")
    assert coached(made, done, "check", "a b.md", "--json"), done.stderr
    lines = done.stderr.splitlines()
    assert lines[0] == "Making the coach's own Python environment in .venv ..."
    assert lines[1].startswith("Installing the coach and what it needs.")
    assert made.builds == 1
    return made


def test_a_second_start_installs_nothing_and_says_nothing(project):
    builds = project.builds
    done = project.start("work", "seal")
    assert coached(project, done, "work", "seal") and done.stderr == ""
    assert project.builds == builds


def test_the_coach_is_not_mistaken_for_a_file_of_the_folder_one_is_in(project, tmp_path):
    (tmp_path / "json.py").write_text("raise SystemExit('the wrong file')")
    done = project.start(cwd=tmp_path)
    assert coached(project, done)
    assert json.loads(done.stdout)[3] == str(tmp_path.resolve())  # relative paths are those of the maker's folder


def test_the_tests_run_in_the_projects_folder_and_stay_installed(project):
    done = project.start("test", "-k", "seal")
    name, heard, prefix, folder = json.loads(done.stdout)
    assert (heard, Path(prefix), Path(folder)) == (["-k", "seal"], project.venv.resolve(), project.root.resolve())
    assert done.returncode == 7
    builds = project.builds
    assert project.start("check").stderr == "" and project.start("test").stderr == ""
    assert project.builds == builds
    assert start.read_stamp(project.venv)["extras"] == ["test"]


def test_a_changed_project_is_installed_again(project):
    builds = project.builds
    with (project.root / "pyproject.toml").open("a") as file:
        file.write("# changed\n")
    assert coached(project, project.start("check"), "check")
    assert project.builds == builds + 1


def test_without_a_network_one_sentence_and_the_next_start_repairs_it(project):
    good = (project.root / "pyproject.toml").read_text()
    (project.root / "pyproject.toml").write_text(good + 'dependencies = ["a-yarn-that-nobody-spins"]\n')
    for _ in range(2):
        done = project.start("check")
        assert (done.returncode, done.stdout) == (1, "")
        last = done.stderr.splitlines()[-1]
        assert last.startswith("The Python packages could not be downloaded. Please check the network")
        assert "Traceback" not in done.stderr
    (project.root / "pyproject.toml").write_text(good)
    done = project.start("check")
    assert coached(project, done, "check")
    assert "Making" not in done.stderr  # what was there is kept


def test_an_interrupted_installation_is_made_anew(project):
    (project.venv / start.UNFINISHED).touch()
    (project.venv / start.STAMP).unlink()
    (project.venv / "half a package").touch()
    done = project.start("check")
    assert coached(project, done, "check")
    assert done.stderr.startswith("Making")
    assert not (project.venv / "half a package").exists() and not (project.venv / start.UNFINISHED).exists()


def test_an_environment_without_its_python_is_made_anew(project):
    start.python_in(project.venv).unlink()
    assert coached(project, project.start("check"), "check")


@pytest.mark.skipif(os.name != "posix", reason="signals are sent as on POSIX")
def test_stopping_an_installation_gives_no_traceback(project):
    import signal

    backend = (project.root / "backend.py").read_text()
    with (project.root / "pyproject.toml").open("a") as file:
        file.write("# slow\n")
    (project.root / "backend.py").write_text(backend + "\n(ROOT / 'building').touch()\nimport time; time.sleep(600)\n")
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("PIP_", "PYTHON"))}
    process = subprocess.Popen([sys.executable, str(project.root / "start")], stdin=subprocess.DEVNULL, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True, env=environment)
    while process.poll() is None and not (project.root / "building").exists():
        time.sleep(0.02)
    os.killpg(process.pid, signal.SIGINT)  # as a terminal does for Ctrl-C
    _, said = process.communicate(timeout=60)
    (project.root / "backend.py").write_text(backend)
    assert process.returncode == 130
    assert "Stopped. The next start goes on from here." in said and "Traceback" not in said
    assert coached(project, project.start("check"), "check")


def test_a_start_waits_for_another_that_sets_up_and_does_not_do_it_again(project):
    builds, backend = project.builds, (project.root / "backend.py").read_text()
    with (project.root / "pyproject.toml").open("a") as file:
        file.write("# changed while two terminals are open\n")
    waits = "import time\n(ROOT / 'begun').touch()\nwhile not (ROOT / 'go').exists(): time.sleep(0.02)\n"
    (project.root / "backend.py").write_text(f"{backend}\n{waits}")
    first = project.begin("check")
    while first.poll() is None and not (project.root / "begun").exists():
        time.sleep(0.02)
    second = project.begin("plan")
    assert second.stderr.readline() == "Another start is setting up the coach. Waiting for it ...\n"
    (project.root / "go").touch()
    said = [process.communicate(timeout=120) for process in (first, second)]
    (project.root / "backend.py").write_text(backend)
    assert [json.loads(out)[1] for out, _ in said] == [["check"], ["plan"]]
    assert project.builds == builds + 1 and said[1][1] == ""  # the second found all it needs


@pytest.mark.skipif(OPT_IN not in os.environ, reason=f"downloads all packages; set {OPT_IN}=1 to run it")
def test_the_real_project_starts_from_nothing(tmp_path):
    copy = tmp_path / "coach"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".venv", ".git", "__pycache__", "*.egg-info"))
    for said in ("Installing", ""):
        done = subprocess.run([sys.executable, str(copy / "start"), "check", "--help"], capture_output=True, text=True,
                              stdin=subprocess.DEVNULL, cwd=tmp_path)
        assert done.returncode == 0 and done.stdout.startswith("usage"), done.stderr
        assert said in done.stderr and bool(said) == bool(done.stderr)
