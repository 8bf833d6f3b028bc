"""A page in real Chromium, looked at by axe-core."""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from importlib.util import find_spec
from pathlib import Path

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "Google Chrome", "msedge")
RUN = (
    "axe.run(document, {resultTypes: ['violations', 'incomplete']}).then(r => "
    "document.documentElement.setAttribute('data-axe', JSON.stringify({version: axe.version, passes: "
    "r.passes.length, violations: "
    "r.violations.map(v => [v.id, v.help, v.nodes.map(n => n.html)])})))"
)


def axe_core() -> Path:
    """axe.min.js, from the environment, npm's folder or a Python package that carries it; skips the test where there
    is none."""
    root = Path(__file__).parents[2]
    places = [Path(os.environ["AXE_CORE"])] if "AXE_CORE" in os.environ else []
    places += [folder / "node_modules" / "axe-core" / "axe.min.js" for folder in (root, *root.parents)]
    for package in ("axe_playwright_python", "axe_core_python"):
        if (spec := find_spec(package)) and spec.origin:
            places.append(Path(spec.origin).parent / "axe.min.js")
    found = next((p for p in places if p.is_file()), None)
    if found is None:
        pytest.skip("axe-core is not here: npm install axe-core, or AXE_CORE=its axe.min.js")
    return found


def chromium() -> str:
    found = next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        pytest.skip("Chromium is not here")
    return found


def violations(page: str, folder: Path, ending: str = ".html") -> list[list]:
    """Every violation as [rule, help, elements]; the page's own text is what is looked at, with one script added."""
    browser, axe = chromium(), axe_core()
    shutil.copy(axe, folder / "axe.min.js")
    run = html.escape(RUN, quote=False) if ending == ".xhtml" else RUN
    scripts = f'<script src="axe.min.js"></script><script>{run}</script>'
    assert "</body>" in page
    file = folder / f"looked_at{ending}"
    file.write_text(page.replace("</body>", scripts + "</body>"), "utf-8")
    done = subprocess.run(
        [
            browser,
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-extensions",
            "--allow-file-access-from-files",
            f"--user-data-dir={folder / 'profile'}",
            "--virtual-time-budget=20000",
            "--dump-dom",
            file.as_uri(),
        ],
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        timeout=120,
    )
    found = re.search(r'data-axe="([^"]*)"', done.stdout)
    assert found, f"axe-core gave no answer: {done.stderr[-500:]}"
    told = json.loads(html.unescape(found[1]))
    assert told["passes"] + len(told["violations"]) > 5  # it has looked
    return told["violations"]
