"""The page in real Chromium: a whole session, keyboard and touch."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from held import PATIENCE, Held, Run, choosing
from watching import SMALL, TOUCH, WIDE, counts, instruction, press, said

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
