"""The page in real Chromium: nothing cut off, announced once, axe-core clean, and a strict policy."""

from __future__ import annotations

import time

import pytest
from held import PATIENCE, Held, choosing, working
from watching import SMALL, WIDE, looked_at, press, said

playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not here: pip install playwright")

# ---- for everybody


@pytest.mark.parametrize("size", [SMALL, {"width": 844, "height": 390}, WIDE, {"width": 1920, "height": 1080}])
@pytest.mark.parametrize("name", ["seal", "cap"])
def test_nothing_is_cut_off_at_any_width(opened, name, size):
    with Held(working(name)) as held:
        page = opened(held.url, viewport=size)
        press(page, "Next")
        said(page, "1.")
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
        cut = page.locator("h1, h2, p, dd, dt, button, label").evaluate_all(
            """all => all.filter(e => !e.matches('.unseen') && e.scrollWidth > e.clientWidth + 1
                && getComputedStyle(e).display !== 'inline').map(e => e.textContent)"""
        )
        assert cut == []


def test_the_instruction_is_very_large(opened, held):
    page = opened(held.url, viewport={"width": 1920, "height": 1080})
    press(page, "Next")
    said(page, "Round 1.")
    ratio = page.evaluate(
        """parseFloat(getComputedStyle(document.querySelector('.instruction')).fontSize)
            / parseFloat(getComputedStyle(document.body).fontSize)"""
    )
    assert ratio >= 5


def test_headings_landmarks_and_live_regions(opened, held):
    page = opened(held.url)
    press(page, "Next")
    said(page, "Round 1.")
    assert page.get_by_role("heading").all_inner_texts() == [
        "Mooring buoy",
        "Now",
        "Counts",
        "What you can ask for",
        "Stitch chart",
    ]
    assert page.get_by_role("main").count() == page.get_by_role("banner").count() == 1
    for region in ("#now", "#answer"):
        assert page.get_attribute(region, "aria-live") == "polite"
        assert page.get_attribute(region, "lang") == "en"
    assert page.get_by_role("status").count() == 1


def test_each_sentence_is_announced_once(opened, held):
    """Changes of the live regions, as a screen reader is told of them."""
    page = opened(held.url)
    page.evaluate("""() => { window.told = []; for (const id of ['now', 'answer']) {
        const region = document.getElementById(id);
        const tell = () => region.innerText.trim() && told.push(region.innerText.replace(/\\s+/g, ' '));
        new MutationObserver(tell).observe(region, {childList: true, subtree: true, characterData: true}); } }""")
    for label, text in (("Next", "Round 1."), ("Next", "Round 2."), ("Undo", "Undone."), ("Next", "Round 2.")):
        press(page, label)
        said(page, text)
    told = page.evaluate("window.told")
    assert len(told) == 4
    assert [text.split(".")[0] for text in told] == ["Round 1", "Round 2", "Undone", "Round 2"]


def test_motion_is_reduced_where_that_is_asked_for(opened, held):
    scrolling = "getComputedStyle(document.getElementById('chart')).scrollBehavior"
    assert opened(held.url, reduced_motion="no-preference").evaluate(scrolling) == "smooth"
    assert opened(held.url, reduced_motion="reduce").evaluate(scrolling) == "auto"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [SMALL, WIDE])
def test_axe_finds_no_violation(opened, scheme, size):
    with Held(working("seal")) as held:
        page = opened(held.url, viewport=size, color_scheme=scheme)
        page.wait_for_selector("#chart svg")
        assert looked_at(page) == []
        for typed, shown in (
            ("go to round 5", "Round 5."),
            ("count so far", "0 so far"),
            ("i ripped back to round 4", "yes or no"),
            ("no", "Round 4."),
            ("flurb", "I don't know that."),
            ("pause", "Paused."),
        ):
            assert held.ask(typed) == 202
            said(page, shown)
            assert looked_at(page) == [], typed
        page.evaluate("document.getElementById('status').className = 'trouble'")
        assert looked_at(page) == []


def test_axe_finds_no_violation_while_choosing_and_after_the_end(opened):
    with Held(choosing()) as held:
        page = opened(held.url, quiet=False)
        assert looked_at(page) == []
    page.wait_for_selector("#status.trouble")
    assert looked_at(page) == []


def test_the_net_has_no_hole(opened, held):
    """axe-core does find what is wrong with this very page."""
    page = opened(held.url)
    page.evaluate(
        "() => { document.documentElement.removeAttribute('lang'); document.querySelector('#typing label').remove(); }"
    )
    assert {"html-has-lang", "label"} <= {rule for rule, _ in looked_at(page)}


# ---- what the policy forbids


@pytest.mark.parametrize(
    "attempt",
    [
        "() => { const s = document.createElement('script'); s.append('window.ran = 1'); document.body.append(s); }",
        "() => { document.body.insertAdjacentHTML('beforeend', '<b>x</b>'); window.ran = 1; }",
        "() => { document.body.innerHTML = '<b>x</b>'; window.ran = 1; }",
        "() => { const s = document.createElement('style'); s.append('body { color: rgb(1, 2, 3); }');"
        " document.head.append(s);"
        " window.ran = getComputedStyle(document.body).color === 'rgb(1, 2, 3)' || undefined; }",
        "() => fetch('http://127.0.0.1:9/').then(() => { window.ran = 1; })",
        "() => { const i = new Image(); i.onload = () => { window.ran = 1; };"
        " i.src = 'data:image/gif;base64,R0lGODlhAQABAAAAACw='; }",
    ],
)
def test_nothing_but_the_pages_own_files_runs(opened, held, attempt):
    page = opened(held.url, quiet=False)
    page.evaluate(
        "() => { window.refused = 0; document.addEventListener('securitypolicyviolation', () => { refused += 1; }); }"
    )
    try:
        page.evaluate(attempt)
    except playwright.Error:
        pass
    page.wait_for_function("() => window.refused > 0")
    assert page.evaluate("window.ran") is None


def test_another_site_can_neither_frame_the_page_nor_ask(chrome, held):
    """A page of another origin (another port of this machine), in the same browser."""
    import http.server
    import threading

    class Elsewhere(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(f'<!doctype html><title>Elsewhere</title><iframe src="{held.url}"></iframe>'.encode())

        def log_message(self, *_): ...

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Elsewhere)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    context = chrome.new_context()
    page = context.new_page()
    page.goto(f"http://127.0.0.1:{server.server_port}/")
    ask = """([url, kind]) => fetch(url, {method: 'POST', mode: 'no-cors', headers: {'Content-Type': kind},
        body: '{"typed": "next"}'}).then(r => r.type, e => 'refused')"""
    for kind in ("text/plain", "application/json"):
        page.evaluate(ask, [held.url + "requests", kind])
    assert page.evaluate("url => fetch(url).then(r => r.text(), e => 'refused')", held.url + "chart/0") == "refused"
    assert (
        page.evaluate(
            """url => new Promise(done => { const s = new EventSource(url);
                s.onopen = () => done('open'); s.onerror = () => done('refused'); })""",
            held.url + "events",
        )
        == "refused"
    )
    until = time.monotonic() + PATIENCE
    while not (frames := [f for f in page.frames if f is not page.main_frame]) and time.monotonic() < until:
        page.wait_for_timeout(50)
    assert frames[0].locator("#requests button").count() == 0
    context.close()
    server.shutdown()
    server.server_close()
    held.ask("where am i")
    while not held.kept and time.monotonic() < until:
        time.sleep(0.01)
    assert [save.request.name for save in held.kept] == ["where"]
