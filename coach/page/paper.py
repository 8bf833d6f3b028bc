"""A paper that also lays what it shows on the page's board."""

from __future__ import annotations

import json
from dataclasses import replace

from coach.events import Save, Topic
from coach.live import Paper
from coach.page.board import Board
from coach.page.view import Words, view


class PagePaper(Paper):
    """Shows every line on another paper, and the view after it on the board."""

    def __init__(self, paper: Paper, board: Board) -> None:
        self._paper = paper
        self._board = board
        self._words = Words()
        self.topic: Topic | None = None

    def about(self, topic: Topic) -> None:
        self._paper.about(topic)
        self.topic, self._words = topic, Words()

    def show(self, text: str, kind: str = "said") -> None:
        self._paper.show(text, kind)
        match kind:
            case "heard":
                return  # comes again with what it led to
            case "said":
                self._words = replace(self._words, said=text, note="")
            case _:
                self._words = replace(self._words, note=text)
        self._lay()

    def saved(self, save: Save) -> None:
        """The answer's words follow, and bring the view with them; an answer without words changes it here."""
        self._paper.saved(save)
        self._words = replace(self._words, heard=save.heard, note="")
        if not save.answer.said:
            self._lay()

    def end_of_line(self, heard: str) -> None:
        self._paper.end_of_line(heard)

    def _lay(self) -> None:
        if self.topic is not None:
            self._board.lay(json.dumps(view(self.topic, self._words), ensure_ascii=False))
