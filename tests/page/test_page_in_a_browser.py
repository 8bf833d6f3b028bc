"""The page in real Chromium: a whole session, keyboard and touch, the chart's place, reconnecting, and axe-core."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest
from held import ENGLISH, PATIENCE, Held, Run, choosing, free_port, working

from coach import fabric, notation
from coach.sheets.chart import Place, chart
from coach.topics import Working

sys.path.insert(0, str(Path(__file__).parents[1] / "sheets"))
from browser import axe_core, chromium  # noqa: E402

playwright = pytest.importorskip(
    "playwright.sync_api", reason="playwright is not here: pip install playwright (no browser of its own is needed)"
)

SMALL = {"width": 320, "height": 256}  # what 400 % zoom leaves of 1280 by 1024 (WCAG 2.2, 1.4.10)
WIDE = {"width": 1280, "height": 720}
TOUCH = 44  # CSS pixels of a side (WCAG 2.2, 2.5.5)


@pytest.fixture(scope="module")
def chrome():
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


# ---- a whole session


def test_a_buoy_is_worked_from_the_first_loop_to_the_end_on_the_page(opened, tmp_path):
    """What the page shows after each press is what a typed session answers to the same requests."""
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", "127.0.0.1:0") as run:
        page = opened(run.url, quiet=False)  # Chromium complains of a coach that has ended
        shown = []
        for _ in range(200):
            before = page.inner_text("main")
            press(page, "Next")
            page.wait_for_function("before => document.querySelector('main').innerText !== before", arg=before)
            shown.append(
                (counts(page) if page.is_visible("#counts") else None, page.inner_text("#now").replace("\n", " "))
            )
            if "All done." in shown[-1][1]:
                break
        press(page, "Finished for now")
        assert run.process.wait(PATIENCE) == 0
        page.wait_for_selector("#status.trouble")
    typed = "next\n" * len(shown)
    alone = subprocess.run(
        [sys.executable, "-m", "coach", "work", "buoy", "--typed", "--json", "--fresh"],
        input=typed,
        text=True,
        capture_output=True,
        env=run_environment(tmp_path),
        timeout=60,
    )
    told = [json.loads(line) for line in alone.stdout.splitlines()]
    assert len(told) == len(shown) > 20
    for line, (numbers, words) in zip(told, shown, strict=True):
        assert numbers == ([line["stitch"], line["of"], line["total"]] if line["of"] else None)
        assert re.sub(r"\s+", " ", words) == line["said"]


def run_environment(home: Path) -> dict[str, str]:
    import os

    from held import ROOT

    return os.environ | {"PYTHONPATH": str(ROOT), "COACH_HOME": str(home / "other"), "PYTHONUTF8": "1"}


def test_an_answer_stands_below_the_instruction_and_goes_with_the_next(opened, held):
    page = opened(held.url)
    press(page, "Next")
    said(page, "Round 1.")
    press(page, "Count so far")
    said(page, "0 so far, of 6.")
    assert instruction(page) == "Make a magic ring. 6 single crochet into the ring."
    press(page, "Next")
    said(page, "Round 2.")
    assert page.inner_text("#answer") == ""
    assert page.inner_text("#where") == "Buoy · Round 2 of 11"
    assert page.inner_text("#heard-words") == "next"
    assert page.title() == "Round 2, Mooring buoy"


def test_what_is_said_elsewhere_is_on_the_page_at_once(opened, held):
    """A request by voice or in the terminal, and a second page that looks on."""
    one, other = opened(held.url), opened(held.url)
    from coach.events import Typed

    held.post(Typed("go to round 5"))
    said(one, "Round 5.")
    said(other, "Round 5.")
    press(other, "Next")
    said(one, "Round 6, the same again.")


def test_pausing_leaves_one_way_on(opened, held):
    page = opened(held.url)
    press(page, "Pause")
    said(page, "Paused.")
    assert page.locator("#requests button").evaluate_all("all => all.map(b => b.dataset.typed)") == ["carry on", "stop"]
    assert page.evaluate("document.activeElement.dataset.typed") == "carry on"  # the keyboard is not left nowhere
    press(page, "Carry on")
    page.wait_for_selector("button[data-typed=next]")


def test_a_pattern_is_chosen_by_its_button(opened):
    with Held(choosing()) as held:
        page = opened(held.url, quiet=False)
        said(page, "Which pattern?")
        assert not page.is_visible("#counts") and not page.is_visible("#drawing")
        press(page, "2: Harbour seal")
        page.wait_for_function("() => document.getElementById('heard-words').textContent === 'Harbour seal'")
    assert held.topic.chosen == 1


# ---- keyboard and touch


def test_keys_are_requests_and_can_be_switched_off(opened, held):
    page = opened(held.url)
    page.keyboard.press("Space")
    said(page, "Round 1.")
    page.keyboard.press("n")
    said(page, "Round 2.")
    page.keyboard.press("b")
    said(page, "Round 1.")
    page.keyboard.press("ArrowRight")
    said(page, "Round 2.")
    page.keyboard.press("?")
    said(page, "You can say")
    page.keyboard.press("Control+c")  # a key of the browser's own is left alone
    page.uncheck("#keys")
    page.locator("#keys").blur()
    for key in ("n", "Space", "ArrowRight"):
        page.keyboard.press(key)
    page.check("#keys")
    page.locator("#keys").blur()
    page.keyboard.press("c")
    said(page, "0 so far, of 12.")
    assert [save.heard for save in held.kept] == ["next", "next", "go back", "next", "help", "count so far"]


def test_a_key_that_is_held_down_is_one_request(opened, held):
    page = opened(held.url)
    for _ in range(5):
        page.keyboard.down("n")
    page.keyboard.up("n")
    said(page, "Round 1.")
    page.keyboard.press("w")
    said(page, "Round 1.")
    page.wait_for_function("() => document.getElementById('heard-words').textContent === 'where am i'")
    assert [save.request.name for save in held.kept] == ["next", "where"]


def test_everything_is_reached_with_tab_and_shows_where_the_keyboard_is(opened, held):
    page = opened(held.url)
    wanted = page.locator("button:visible, input:visible, #chart").count()
    reached = set()
    for _ in range(wanted):
        page.keyboard.press("Tab")
        name, width, style = page.evaluate("""() => { const one = document.activeElement, look = getComputedStyle(one);
            return [one.id || one.textContent, parseFloat(look.outlineWidth), look.outlineStyle]; }""")
        assert width >= 2 and style != "none", name
        reached.add(name)
    assert len(reached) == wanted
    page.locator("button[data-typed='count so far']").focus()
    page.keyboard.press("Enter")
    said(page, "0 so far, of 6.")
    page.locator("button[data-typed='next']").focus()
    page.keyboard.press("Space")  # presses the button, once
    said(page, "Round 1.")
    assert [save.heard for save in held.kept] == ["count so far", "next"]


def test_any_request_can_be_typed_and_letters_in_the_line_are_no_keys(opened, held):
    page = opened(held.url)
    page.locator("#typed").focus()
    page.keyboard.type("go to round 5")
    page.keyboard.press("Enter")
    said(page, "Round 5.")
    assert page.input_value("#typed") == ""
    assert [save.heard for save in held.kept] == ["go to round 5"]
    page.keyboard.press("Escape")
    page.keyboard.press("n")
    said(page, "Round 6, the same again.")


@pytest.mark.parametrize("size", [{"width": 390, "height": 844}, SMALL, WIDE])
def test_by_touch_every_target_is_large_and_a_tap_is_one_request(opened, held, size):
    page = opened(held.url, viewport=size, has_touch=True, is_mobile=size["width"] < 500)
    boxes = page.locator("button:visible, #typed, label.choice:visible").evaluate_all(
        "all => all.map(e => [e.textContent, e.getBoundingClientRect().toJSON()])"
    )
    assert len(boxes) > 12
    for name, box in boxes:
        assert box["width"] >= TOUCH and box["height"] >= TOUCH, name
    page.get_by_role("button", name="Next", exact=True).tap()
    said(page, "Round 1.")
    page.get_by_role("button", name="How many left", exact=True).tap()
    said(page, "6 stitches left.")
    assert [save.heard for save in held.kept] == ["next", "how many left"]


# ---- the connection


def test_when_the_coach_is_killed_and_started_again_the_page_goes_on_by_itself(opened, tmp_path):
    address = f"127.0.0.1:{free_port()}"
    with Run(tmp_path, "work", "buoy", "--typed", "--page-address", address) as run:
        page = opened(run.url, quiet=False)
        page.keyboard.press("n")
        said(page, "Round 1.")
        page.keyboard.press("n")
        said(page, "Round 2.")
        run.process.kill()
        page.wait_for_selector("#status.trouble")
        assert "tries again by itself" in page.inner_text("#status")
        assert "Increase in each of the next 6." in instruction(page)  # it stays readable
        page.keyboard.press("n")  # reaches nobody, and is not done later
        page.wait_for_function("() => document.getElementById('status').textContent.startsWith('That did not reach')")
    with Run(tmp_path, "--typed", "--page-address", address) as run:
        said(page, "Round 2")
        page.wait_for_selector("#status:not(.trouble)")
        assert page.inner_text("#where").startswith("Buoy · Round 2")
        page.keyboard.press("n")
        said(page, "Round 3.")


def test_a_coach_that_ended_is_told_from_one_that_is_out_of_reach(opened):
    with Held(working()) as held:
        page = opened(held.url, quiet=False)
    page.wait_for_selector("#status.trouble")
    assert page.inner_text("#status").startswith("The coach has ended.")
    with page.expect_request("**/events"):  # it looks again
        pass
    assert page.inner_text("#status").startswith("The coach has ended.")


def test_a_request_that_is_refused_is_told(opened, held):
    page = opened(held.url, quiet=False)
    page.route("**/requests", lambda route: route.fulfill(status=503))
    press(page, "Next")
    page.wait_for_selector("#status.trouble")
    assert page.inner_text("#status") == "That did not reach the coach. Please try again."
    page.unroute("**/requests")
    press(page, "Next")
    said(page, "Round 1.")
    page.wait_for_selector("#status:not(.trouble)")


# ---- the chart

DONE = """() => [...document.querySelectorAll('#chart [data-made]')].filter(m => !m.matches('.ahead'))
    .map(m => m.parentNode.dataset.round + ':' + m.dataset.step)"""
HERE = """() => { const c = document.querySelector('#chart .here');
    return c && [c.cx.baseVal.value, c.cy.baseVal.value, c.r.baseVal.value]; }"""


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("buoy", ["next", "next", "go to round 5", "go to stitch 13", "go to round 9", "next", "go to round 11"]),
        ("dishcloth", ["next", "next", "go to row 2", "go to stitch 7", "go to row 13", "next"]),
        ("lighthouse", ["next", "next", "go to round 3", "next", "go to round 8", "next"]),
    ],
)
def test_the_place_in_the_chart_is_where_the_sheet_would_draw_it(opened, name, asked):
    """The page marks the place in a chart drawn once; the sheet's own chart draws it anew for each place."""
    topic = working(name)
    with Held(topic) as held:
        page = opened(held.url)
        page.wait_for_selector("#chart svg")
        for typed in asked:
            held.ask(typed)
            page.wait_for_function("typed => document.getElementById('heard-words').textContent === typed", arg=typed)
            round_, stitch = topic.state.place.round + 1, counts(page)[0]
            drawn = chart(topic.fabric, part=topic.fabric.parts[0].name, place=Place(0, round_, stitch))
            done = [
                f"{n}:{step}"
                for n, body in re.findall(r'data-round="(\d+)">\n(.*?)\n</g>', drawn, re.DOTALL)
                for step, rest in re.findall(r'<g data-step="(\d+)" data-made="\d+"( class="ahead")?>', body)
                if not rest
            ]
            expected = re.search(r'class="here" cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)"', drawn)
            for _ in range(100):  # the words come first, the chart a frame or two later
                shown = page.evaluate(HERE)
                if page.evaluate(DONE) == done and (shown is None) == (expected is None):
                    break
                page.wait_for_timeout(50)
            assert page.evaluate(DONE) == done, typed
            assert (shown is None) == (expected is None), typed
            if expected:
                x, y, r = map(float, expected.groups())
                assert abs(complex(shown[0] - x, shown[1] - y)) < r, typed


def test_a_part_too_large_for_a_chart_says_so(opened):
    row = "Row 1: ch 6001, sc in 2nd ch from hook and in each ch across. (6000)"
    with Held(Working(fabric.work(notation.read(f"Net\n{row}\n")), ENGLISH)) as held:
        page = opened(held.url, quiet=False)
        page.wait_for_selector("#no-chart:not([hidden])")
        assert page.inner_text("#no-chart") == "There is no chart here."
        assert not page.is_visible("#chart")


def test_the_chart_follows_the_part(opened):
    with Held(working("seal")) as held:
        page = opened(held.url)
        page.wait_for_selector("#chart svg .piece[data-part='1']")
        assert page.get_by_role("img", name=re.compile("Harbour seal: stitch chart")).count() == 1
        held.ask("go to the flipper")
        page.wait_for_selector("#chart svg .piece[data-part='3']")
        assert page.locator("#chart svg").count() == 1


def test_the_worked_figure_fills_the_frame_and_the_whole_chart_can_be_had(opened):
    with Held(working("seal")) as held:
        page = opened(held.url)
        page.wait_for_selector("#chart svg")
        key = page.locator("#chart text", has_text="Key, in US terms")
        assert not key.is_visible()
        page.check("#whole")
        assert key.is_visible()
        assert page.evaluate(
            """() => { const s = document.querySelector('#chart svg');
                return s.getAttribute('viewBox') === s.dataset.whole; }"""
        )


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


def looked_at(page) -> list:
    """What axe-core finds, as [rule, elements]."""
    page.evaluate(axe_core().read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert len(found["passes"]) > 15  # it has looked
    return [[v["id"], [n["html"] for n in v["nodes"]]] for v in found["violations"]]


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
