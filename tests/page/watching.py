"""What a test sees and does on the page in real Chromium."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from held import PATIENCE

sys.path.insert(0, str(Path(__file__).parents[1] / "sheets"))
from browser import axe_core, chromium  # noqa: E402

SMALL = {"width": 320, "height": 256}  # what 400 % zoom leaves of 1280 by 1024 (WCAG 2.2, 1.4.10)
WIDE = {"width": 1280, "height": 720}
TOUCH = 44  # CSS pixels of a side (WCAG 2.2, 2.5.5)


@pytest.fixture(scope="package")
def chrome():
    playwright = pytest.importorskip(
        "playwright.sync_api", reason="playwright is not here: pip install playwright (no browser of its own is needed)"
    )
    with playwright.sync_playwright() as p:
        one = p.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-gpu"])
        yield one
        one.close()


@pytest.fixture
def opened(chrome):
    """Opens a page; whatever it complains of, or asks of others, fails the test at the end."""
    contexts, troubles = [], []

    def open_page(url: str, quiet: bool = True, **how):
        context = chrome.new_context(viewport=how.pop("viewport", WIDE), **how)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE * 1000)
        if quiet:
            page.on("console", lambda m: troubles.append(m.text) if m.type in ("error", "warning") else None)
            page.on("pageerror", lambda e: troubles.append(str(e)))
        page.on("request", lambda r: troubles.append(r.url) if not r.url.startswith(url) else None)
        page.goto(url)
        page.wait_for_selector("#requests button")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert troubles == []


def press(page, label: str) -> None:
    page.get_by_role("button", name=label, exact=True).click()


def said(page, text: str) -> None:
    """Waits until the page shows this."""
    page.wait_for_function(
        "text => [...document.querySelectorAll('#now, #answer')]"
        ".some(e => e.innerText.replace(/\\s+/g, ' ').includes(text))",
        arg=text,
    )


def instruction(page) -> str:
    return page.inner_text("#now .instruction")


def counts(page) -> list[int]:
    return [int(page.inner_text(f"#{name}")) for name in ("stitch", "of", "total")]


def looked_at(page) -> list:
    """What axe-core finds, as [rule, elements]."""
    page.evaluate(axe_core().read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert len(found["passes"]) > 15  # it has looked
    return [[v["id"], [n["html"] for n in v["nodes"]]] for v in found["violations"]]
