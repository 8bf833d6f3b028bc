"""The page as the shells use it: a paper for what is shown, and a source of what is asked for."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator
from importlib.resources import files

from coach.events import Typed
from coach.language.model import Grammar
from coach.live import Paper
from coach.page.address import address_of, new_secret
from coach.page.board import Board
from coach.page.paper import PagePaper
from coach.page.server import Answerer, Server, Sheet
from coach.page.words import filled, words_for
from coach.sheets.chart import chart
from coach.sheets.chart.page import STYLE
from coach.sheets.errors import SheetError
from coach.sources import Post
from coach.topics import Working

FILES = {"page.css": "text/css", "page.js": "text/javascript", "icon.svg": "image/svg+xml"}


class Page:
    """Served from now on, until it is closed. A `Source` too: requests from the page are typed lines."""

    def __init__(self, at: str | None, language: str = "en", left: bool = False) -> None:
        """at: HOST:PORT as the maker writes it, None for this machine alone; language: of the phrasebook; left: charts
        for the left hand. Raises PageError where the address can't be had."""
        address = address_of(at)
        self.running = True
        self._board = Board()
        self._paper: PagePaper | None = None
        self._post: Post | None = None
        self._left = left
        self._charts: dict[tuple[int, int], str] = {}
        self._drawing = threading.Lock()
        secret = "" if address.here_alone else new_secret()
        self.words = words_for(language)
        self._server = Server(address, secret, Answerer(self._sheets(language), self._board, self.chart, self.ask))
        self.url = address.shown(self._server.port, secret)
        self.told = self.words["told_here" if address.here_alone else "told"].format(url=self.url)
        self._server.serve()

    def paper(self, paper: Paper) -> PagePaper:
        """A paper that shows on this page what it shows on another."""
        self._paper = PagePaper(paper, self._board)
        return self._paper

    # ---- what the server asks for, in its threads

    def chart(self, part: int) -> str | None:
        """The part's chart as SVG without its style sheet, which is one of the page's; None where there is none."""
        topic = self._paper.topic if self._paper else None
        if not isinstance(topic, Working) or not 0 <= part < len(topic.fabric.parts):
            return None
        with self._drawing:
            key = id(topic.fabric), part
            if key not in self._charts:
                try:
                    drawn = chart(topic.fabric, part=topic.fabric.parts[part].name, left=self._left)
                except SheetError:
                    return None  # too many stitches to be read
                self._charts[key] = drawn.replace(f"<style>{STYLE}</style>", "")
            return self._charts[key]

    def ask(self, line: str) -> bool:
        """A typed line from the page; False where no conversation takes any."""
        if self._post is None or self._board.closed:
            return False
        self._post(Typed(line))
        return True

    def _sheets(self, language: str) -> dict[str, Sheet]:
        folder = files("coach.page")
        found = {name: Sheet(folder.joinpath(name).read_bytes(), kind) for name, kind in FILES.items()}
        page = filled(folder.joinpath("page.html").read_text("utf-8"), self.words, language)
        return found | {"": Sheet(page.encode(), "text/html"), "chart.css": Sheet(STYLE.encode(), "text/css")}

    # ---- a source

    def start(self, post: Post) -> None:
        self._post = post

    def listen_for(self, grammar: Grammar) -> None: ...

    def look(self) -> None: ...

    def close(self) -> None:
        self.running = False
        self._server.close()

    def lines(self, typed: Iterator[str]) -> Iterator[str]:
        """The lines of the page among other lines, as they come, until the others end."""
        waiting: queue.SimpleQueue[str | None] = queue.SimpleQueue()

        def read() -> None:
            for line in typed:
                waiting.put(line)
            waiting.put(None)

        self.start(lambda event: waiting.put(event.text))
        threading.Thread(target=read, name="lines", daemon=True).start()
        while (line := waiting.get()) is not None:
            yield line


__all__ = ["Page"]
