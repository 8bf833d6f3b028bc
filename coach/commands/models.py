"""`coach models`: the speech models that are here or can be had; `coach models get NAME` downloads one."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from coach.commands.called import command
from coach.commands.files import Unreadable
from coach.language.phrasebook import FALLBACK, languages

MEGABYTE = 1_000_000
TENTH = 10  # per cent between two lines where no bar can be drawn


def run(args) -> int:
    from coach.sound import models

    if args.action == "get":
        return _get(args.name)
    here, known = models.installed(), models.listed()
    for name, model in known.items():
        state = "here" if name in here else "not here"
        print(f"{name}: {state}. {model.holds}, {model.size / MEGABYTE:.0f} MB, {model.licence}.")
    for name in sorted(here.keys() - known.keys()):
        print(f"{name}: here.")
    missing = [name for name in known if name not in here]
    if missing:
        print(f"To get one: {command()} models get {missing[0]}")
    print("Without any, the coach hears with pocketsphinx, whose English model came with it.")
    for code in languages():
        print(f"Heard for --language {code}: {_heard_by(code, here)}.")
    return 0


def _heard_by(language: str, here: Iterable[str]) -> str:
    from coach.sound.listen import knows

    model = next((name for name in here if knows(name, language)), None)
    return (
        f"by Vosk, with {model}"
        if model
        else "by pocketsphinx"
        if language == FALLBACK
        else "nothing, until its model is here"
    )


def _get(name: str | None) -> int:
    from coach.sound import models

    known = ", ".join(models.listed()) or "none"
    if name is None:
        raise Unreadable("Which model?", f"There is: {known}.")
    with _progress(name) as progress:
        folder = models.get(name, progress)
    print(f"{name} is here, in {folder}.")
    return 0


@contextmanager
def _progress(name: str) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal that can draw one; else a line for every tenth, which a screen reader can follow."""
    if sys.stdout.isatty():
        from rich.progress import BarColumn, DownloadColumn, Progress, TextColumn, TimeRemainingColumn

        with Progress(TextColumn(name), BarColumn(), DownloadColumn(), TimeRemainingColumn()) as bar:
            task = bar.add_task(name, total=None)
            yield lambda done, total: bar.update(task, completed=done, total=total)
        return
    told = -TENTH

    def line(done: int, total: int) -> None:
        nonlocal told
        share = 100 * done // total if total else 100
        if share >= told + TENTH:
            told = share - share % TENTH
            print(f"{name}: {told} % of {total / MEGABYTE:.0f} MB", flush=True)

    yield line
