"""The command line: parses the arguments and calls a command. Nothing else happens here.

Commands are imported when they are called, so that `coach check` starts without the speech libraries.
"""

from __future__ import annotations

import argparse
import errno
import os
import re
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module

from coach import __version__
from coach.commands.called import as_typed
from coach.commands.called import command as called

INTERRUPTED = 0  # leaving is no error
UNABLE = 2
LANGUAGE = "code of the language (en); coach models lists them"
BY = ("stitch", "group", "round")
EARS = ("pocketsphinx", "vosk")
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EIO)  # of what may happen to output that is sent to a file

ABOUT = (
    "A voice-guided, hands-free crochet coach. "
    "Without arguments it goes on with your last work, or offers the patterns."
)


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, and how to see more."""

    def _check_value(self, action: argparse.Action, value: str) -> None:
        if action.choices is not None and value not in action.choices:
            raise argparse.ArgumentError(None, _no_choice(action, value))

    def _get_value(self, action: argparse.Action, text: str) -> object:
        try:
            return super()._get_value(action, text)
        except argparse.ArgumentError:
            raise argparse.ArgumentError(None, f"{_called(action)} can't be {text}: it is a number") from None

    def error(self, message: str) -> None:
        self.exit(UNABLE, f"{message[:1].upper()}{message[1:]}.\nSee: {self.prog} --help\n")


def _called(action: argparse.Action) -> str:
    return action.option_strings[-1] if action.option_strings else str(action.metavar or action.dest)


def _no_choice(action: argparse.Action, value: str) -> str:
    """What may be chosen instead of `value`, and what was most likely meant."""
    *some, last = map(str, action.choices or ())
    choices = f"{', '.join(some)} or {last}" if some else last
    if action.dest != "command":
        return f"{_called(action)} can't be {value}: it is {choices}"
    from coach.commands.files import patterns, typed  # costs a look into folders

    if value in patterns() or os.path.isfile(value):
        named = value if value in patterns() else typed(value)
        return f"There is no command {value}. To work that pattern: {called()} work {named}"
    near = get_close_matches(value, [*some, last], 1)
    meant = f" Did you mean {near[0]}?" if near else ""
    return f"There is no command {value}.{meant} A command is {choices}"


def parser() -> argparse.ArgumentParser:
    """The whole command line; each command has its own examples."""
    top = Parser(
        prog=called(),
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        epilog=examples(
            "coach",
            "go on with the last work, or choose a pattern by voice",
            "coach work seal",
            "work the seal",
            "coach check my_pattern.txt",
            "count every round of a pattern",
            "coach rehearse buoy",
            "hear how it goes, without a microphone",
        ),
    )
    top.add_argument("--version", action="version", version=f"coach {__version__}")
    _session(top)
    commands = top.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser, title="commands")

    def command(name: str, module: str, help_: str, *shown: str) -> argparse.ArgumentParser:
        one = commands.add_parser(
            name,
            help=help_,
            description=f"{help_[:1].upper()}{help_[1:]}.",
            epilog=examples(*shown),
            argument_default=argparse.SUPPRESS,  # so that options before the command count too
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        one.set_defaults(module=module)
        return one

    work = command(
        "work",
        "work",
        "coach a pattern by voice, typed requests or keys",
        "coach work seal",
        "a pattern of ours, by its name",
        "coach work scarf.txt --by stitch",
        "your own file, one stitch at a time",
        "coach work seal --typed --json < requests.txt",
        "answers as JSON lines",
        "coach work seal --page",
        "with a page for those who watch",
        "coach work seal --hear me.wav --speak coach.wav",
        "a recording in, a recording out",
    )
    work.add_argument("pattern", metavar="PATTERN", help="a file, or the name of a pattern in patterns/")
    _session(work)

    check = command(
        "check",
        "check",
        "count every round of a pattern and tell every fault",
        "coach check seal",
        "each round with its count",
        "coach check *.md --json",
        "for a script: exit code 0 clean, 1 faults, 2 unreadable",
        "coach check cap --size large",
        "one of its sizes",
    )
    check.add_argument("files", metavar="FILE", nargs="+", help="a file, a name in patterns/, or - (standard input)")
    check.add_argument("--size", metavar="NAME", help="which size, where the pattern has several (the first otherwise)")
    check.add_argument("--json", action="store_true", help="print JSON")

    plan = command(
        "plan",
        "plan",
        "tell size, yarn, filling and time of a pattern, part by part",
        "coach plan seal",
        "by the pattern's gauge",
        "coach plan seal --yarn worsted --hook 5",
        "the size in another yarn, with another hook",
        'coach plan seal --gauge "7 sc to 5 cm"',
        "by your own gauge",
        "coach plan seal --swatch 20x20=9",
        "your swatch of 20 stitches by 20 rows took 9 metres",
    )
    plan.add_argument("pattern", metavar="PATTERN", help="a file, or the name of a pattern in patterns/")
    plan.add_argument("--gauge", metavar="TEXT", default=None, help='your gauge, like "10 sc and 11 rounds to 5 cm"')
    plan.add_argument("--yarn", metavar="NAME", default=None, help="another yarn, by its weight, like worsted")
    plan.add_argument("--hook", metavar="MM", default=None, help="another hook, in millimetres, or a US letter")
    plan.add_argument(
        "--terms",
        choices=("US", "UK"),
        type=str.upper,
        default=None,
        help="of the stitches in --gauge (as the pattern has them)",
    )
    plan.add_argument("--swatch", metavar="STITCHESxROWS=METRES", default=None, help="what your swatch took")
    plan.add_argument(
        "--size", metavar="NAME", default=None, help="which size, where the pattern has several (the first otherwise)"
    )
    plan.add_argument("--json", action="store_true", help="print JSON")

    listen = command(
        "listen",
        "listen",
        "tell what is heard, and whether the coach would have done it",
        "coach listen",
        "the microphone, until Ctrl-C",
        "coach listen me.wav --json",
        "a recording, one JSON line an utterance",
    )
    listen.add_argument("file", metavar="FILE.wav", nargs="?", default=None, help="a recording (else the microphone)")
    listen.add_argument(
        "--pattern",
        metavar="PATTERN",
        default=None,
        help="listen as at the start of this pattern (else for all requests, with numbers up to 60)",
    )
    listen.add_argument("--microphone", metavar="NAME", help="a part of its name")
    listen.add_argument("--ear", choices=EARS, help="which recogniser")
    listen.add_argument("--language", metavar="CODE", help=as_typed(LANGUAGE))
    listen.add_argument("--json", action="store_true", help="print JSON")

    rehearse = command(
        "rehearse",
        "rehearse",
        "show the whole coach without sound hardware: a voice asks, the coach answers",
        "coach rehearse",
        "our smallest pattern",
        "coach rehearse seal --to rehearsal",
        "and keep the recordings and a transcript",
    )
    rehearse.add_argument("pattern", metavar="PATTERN", nargs="?", default="buoy", help="a file, or a name (buoy)")
    rehearse.add_argument(
        "--to", metavar="DIR", default=None, help="write session.wav, maker.wav, coach.wav and transcript.txt there"
    )
    rehearse.add_argument("--ear", choices=EARS, help="which recogniser")
    rehearse.add_argument("--json", action="store_true", help="print JSON, with the turns and how quick it was")
    rehearse.add_argument("--language", metavar="CODE", help=as_typed(LANGUAGE))

    soundcheck = command(
        "soundcheck",
        "soundcheck",
        "look at microphone and loudspeaker, and whether the coach hears itself",
        "coach soundcheck",
        "takes about ten seconds; what it finds is used from then on",
        "coach soundcheck --microphone headset",
        "with a microphone by a part of its name",
        "coach soundcheck --figures",
        "how quick the coach was in the last session",
    )
    soundcheck.add_argument(
        "--figures", action="store_true", help="tell how quick the last session was, and measure nothing"
    )
    soundcheck.add_argument("--microphone", metavar="NAME", help="a part of its name")
    soundcheck.add_argument("--loudspeaker", metavar="NAME", help="a part of its name")
    soundcheck.add_argument("--json", action="store_true", help="print JSON")

    models = command(
        "models",
        "models",
        "tell which speech models are there, or get one",
        "coach models",
        "what is there",
        "coach models get vosk-model-small-en-us-0.15",
        "download it once; the coach then uses it",
    )
    models.add_argument("action", nargs="?", choices=("get",), default=None, help="get: download a model")
    models.add_argument("name", metavar="NAME", nargs="?", default=None, help="which model")

    sheet = command(
        "sheet",
        "sheets",
        "write a pattern for the eye or the finger; the kind follows from the file's ending",
        "coach sheet seal --to seal.html",
        "large print; also .pdf, .txt, .brf for braille, .epub to listen to",
        "coach sheet seal --to seal.svg",
        "the stitch chart; .png as a picture",
        "coach sheet seal --to seal.svg --part head --place",
        "one part, with the place where your work stands",
        'coach sheet seal --to seal.svg --place "Head, Rnd 5, 12"',
        "with the place in round 5 after stitch 12",
        "coach sheet seal --kind profile --to size.svg",
        "how big each part gets",
        "coach sheet seal --kind shopping --to list.txt",
        "what to buy and have at hand",
    )
    sheet.add_argument("pattern", metavar="PATTERN", help="a file, or the name of a pattern in patterns/")
    sheet.add_argument("--to", metavar="FILE", required=True, help="the file to write")
    sheet.add_argument(
        "--kind",
        choices=("print", "chart", "profile", "shopping"),
        help="what to write (what the ending is usually for)",
    )
    sheet.add_argument("--size", metavar="NAME", help="which size")
    sheet.add_argument("--part", metavar="NAME", help="draw this part only")
    sheet.add_argument(
        "--place",
        metavar="PART, ROUND, STITCH",
        nargs="?",
        const="kept",
        help="show this place in the chart; without one, the place that is kept of your work",
    )
    sheet.add_argument("--terms", choices=("US", "UK"), type=str.upper, help="stitch names (as the pattern has them)")
    sheet.add_argument("--type-size", metavar="POINTS", type=float, help="of large print (20)")
    sheet.add_argument("--hand", choices=("left", "right"), help="which hand the chart is drawn for (right)")

    bring = command(
        "bring",
        "sheets",
        "take a pattern out of a PDF, a web page, a DOCX file or a text into patterns/",
        "coach bring scarf.pdf",
        "then: coach check scarf",
        "coach bring - < page.txt",
        "what comes from another program",
    )
    bring.add_argument("file", metavar="FILE", help="a PDF, DOCX, web page or text file, or - for standard input")

    works = command(
        "works",
        "works",
        "list the works in progress and where each stands",
        "coach works",
        "the last one first",
        "coach works --json",
        "for a script",
        "coach works --export my_works",
        "all of them in one file, for another machine",
        "coach works --import my_works",
        "take them in there; works that are there stay",
    )
    works.add_argument("--json", action="store_true", help="print JSON")
    moving = works.add_mutually_exclusive_group()
    moving.add_argument(
        "--export",
        dest="export_to",
        metavar="FILE",
        default=None,
        help="write every work into one file: places, undo, notes, markers, patterns, settings",
    )
    moving.add_argument(
        "--import", dest="import_from", metavar="FILE", default=None, help="take in the works of such a file"
    )
    return top


def _session(one: argparse.ArgumentParser) -> None:
    """Options of a coaching session, for `coach` and `coach work`."""
    shared = one.argument_default is None  # the defaults are the top's; a command only adds what was given

    def default(value: str) -> str:
        return value if shared else argparse.SUPPRESS

    one.add_argument("--by", choices=BY, help="how much is read out at once (group)")
    one.add_argument("--size", metavar="NAME", help="which size, where the pattern has several")
    one.add_argument("--typed", action="store_true", help="take requests from standard input, one a line")
    one.add_argument("--hear", metavar="FILE.wav", help="take requests from a recording in place of the microphone")
    one.add_argument("--speak", metavar="FILE.wav", help="speak into a file in place of the loudspeaker")
    one.add_argument("--ear", choices=EARS, help="which recogniser")
    one.add_argument(
        "--listen",
        choices=("attention", "open", "key"),
        help="how the coach is told that it is meant: by its name, always, or by the tab key",
    )
    one.add_argument("--tones", action=argparse.BooleanOptionalAction, help="short tones; this and --listen are kept")
    one.add_argument("--figures", action="store_true", help="tell at the end how quick the coach was")
    one.add_argument("--microphone", metavar="NAME", help='a part of its name ("" for the usual one); kept')
    one.add_argument("--loudspeaker", metavar="NAME", help='a part of its name ("" for the usual one); kept')
    one.add_argument("--language", metavar="CODE", default=default("en"), help=as_typed(LANGUAGE))
    one.add_argument("--terms", choices=("US", "UK"), type=str.upper, help="stitch names (as the pattern has them)")
    one.add_argument(
        "--hand",
        choices=("left", "right"),
        default=default(None),
        help="which hand holds the hook (right, or as used last)",
    )
    one.add_argument("--fresh", action="store_true", help="begin anew; the old work is kept")
    one.add_argument(
        "--changed",
        choices=("new", "old"),
        help="if the pattern file has changed since: go on with the new pattern, or keep the old one (asks)",
    )
    one.add_argument("--json", action="store_true", help="with --typed: one JSON line for each line read")
    one.add_argument(
        "--page", action="store_true", help="show a page in very large type, with the chart, to those who watch"
    )
    one.add_argument(
        "--page-address",
        metavar="HOST:PORT",
        help="where the page is (this machine only, port 8417); 0.0.0.0 lets other devices open it",
    )


def examples(*pairs: str) -> str:
    """Example lines for --help: command, what it does, command, what it does ..."""
    shown, told = [re.sub(r"^coach\b", called(), c) for c in pairs[::2]], map(as_typed, pairs[1::2])
    width = max(map(len, shown)) + 2
    return "examples:\n" + "\n".join(f"  {c:<{width}}{t}" for c, t in zip(shown, told))


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; gives the exit code. No traceback reaches a maker unless COACH_DEBUG is set."""
    _plain_output()
    args = parser().parse_args(argv)
    module = getattr(args, "module", "start")
    try:
        code = import_module(f"coach.commands.{module}").run(args)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:  # the reader of our output has gone, as in `coach check | head`
        _to_nowhere()
        return 0
    except OSError as error:
        if error.errno not in NO_ROOM or error.filename is not None:
            return _unable(error)
        _to_nowhere()
        print(f"I can't write the answer: {error.strerror}.\nMake room, or write it elsewhere.", file=sys.stderr)
        return UNABLE
    except Exception as error:
        return _unable(error)


def _to_nowhere() -> None:
    """What is still to be written can't be, and is no reason for another error."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _unable(error: Exception) -> int:
    if os.environ.get("COACH_DEBUG"):
        raise error
    print(explain(error), file=sys.stderr)
    return UNABLE


def explain(error: Exception) -> str:
    """What to tell a maker. Errors that the rooms raise speak for themselves; others get one plain sentence."""
    if getattr(error, "message", ""):
        return as_typed(f"{error.message}\n{getattr(error, 'hint', '')}".strip())
    what = str(error).splitlines()[0] if str(error) else type(error).__name__
    return (
        f"Something went wrong that should not: {what}\n"
        "Your place is kept. To see more, set COACH_DEBUG=1 and run it again."
    )


def _plain_output() -> None:
    """A terminal that can't show a character gets a plain one in its place, never an error."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
