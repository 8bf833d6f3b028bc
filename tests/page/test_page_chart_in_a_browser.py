"""The page in real Chromium: reconnecting, and the chart's place."""

from __future__ import annotations

import re

import pytest
from held import ENGLISH, Held, Run, free_port, working
from watching import counts, instruction, press, said

from coach import fabric, notation
from coach.sheets.chart import Place, chart
from coach.topics import Working

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
