"""The page for those who watch: the instruction in very large type, the counts and the chart, live as the coach speaks.

    conversation ─▶ PagePaper ─▶ Board ─▶ server ─▶ browser     views, as server-sent events
    conversation ◀─ inbox ◀─ Page ◀─ server ◀─ browser          requests, as typed lines

A request from the page is a typed line like any other: it is on disk before it is answered. The conversation only lays
a view on the board and goes on; each browser has a thread of its own that takes the latest view from there, so that a
slow one misses views in between, or is dropped, and the coach never waits.

Why the standard library's `http.server`: four short answers and one stream need no framework, and so the page is there
without anything more to install. That module leaves limits to its users; `limits.py` sets them in one place (bytes and
seconds of a request, connections, seconds of an answer), and each connection carries one request, so that nothing of
one can be taken for the beginning of another.

Safety: the page is on this machine alone unless another address is asked for, and then everything lies under a secret
path, new for each run. `Host` must be an address that is ours, so that no name on the web can be pointed here; requests
must come from the page itself (`Origin`, `Sec-Fetch-Site`); the page loads nothing but its own three files, and its
policy lets it run nothing else. No cookies, no log.

    PageError ─ an address that can't be had: the message says which, the hint what to do
"""

from __future__ import annotations

from coach.page.address import PageError
from coach.page.page import Page

__all__ = ["Page", "PageError"]
