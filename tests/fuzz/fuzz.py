"""Looks for bytes that break a promise, led by what each input reaches in the coach's code (atheris, libFuzzer).

    pip install -e ".[test,fuzz]"
    python tests/fuzz/fuzz.py pattern            until it is stopped, or something is found
    python tests/fuzz/fuzz.py pattern 300        for 300 seconds
    python tests/fuzz/fuzz.py pattern --least tests/fuzz/corpus/pattern/crash-...   make a found case smaller

What is found is written to tests/fuzz/corpus/TARGET; tests/fuzz/test_saved_cases.py replays it from then on. Beside the
target's own promises an input may take a second of processor time and MEMORY above what the interpreter has at the start.
"""

from __future__ import annotations

import random
import resource
import sys
import tempfile
import time
import tomllib
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parent))
with atheris.instrument_imports(include=["coach"]):
    import targets
    from fragments import FRAGMENTS

SECOND = 1.0  # processor time for one input, slowed by the instruments
MEMORY = 200  # MB
LONGEST = 4096  # bytes of an input
CASES = targets.TESTS / "notation" / "corpus"
PATTERNS = targets.TESTS.parent / "patterns"


def timed(target, data: bytes) -> None:
    start = time.process_time()
    target(data)
    took = time.process_time() - start
    assert took < SECOND, f"{took:.2f} s for {len(data)} bytes"


def seeds(target: str) -> list[bytes]:
    """Inputs to begin with: our patterns and passages, and the phrases of the phrasebook."""
    if target == "request":
        books = (targets.load("en"), targets.load("ko"))
        return [phrase.encode() for book in books for heard in book.request for phrase in (*heard.say, *heard.type)]
    if target == "printed":
        return [random.Random(n).randbytes(50 * n) for n in range(1, 20)]
    texts = [path.read_bytes() for path in PATTERNS.glob("*.md")]
    for path in CASES.glob("*.toml"):
        texts += [case["text"].encode() for case in tomllib.loads(path.read_text("utf-8"))["case"]]
    return texts


def dictionary(target: str, path: Path) -> None:
    """The words that a mutation may put in, as libFuzzer takes them."""
    known = FRAGMENTS if target != "request" else {w for seed in seeds(target) for w in seed.decode().split()}
    words = ("".join(chr(b) if 32 < b < 127 and b not in b'"\\' else f"\\x{b:02x}" for b in word.encode())
             for word in known if len(word) < 60)
    path.write_text("".join(f'"{word}"\n' for word in words if word), "ascii")


def main(target: str, *rest: str) -> None:
    folder = targets.CORPUS / target
    folder.mkdir(parents=True, exist_ok=True)
    reached = Path(tempfile.gettempdir()) / f"coach-fuzz-{target}"  # a later run goes on from what this one reaches
    (reached / "seeds").mkdir(parents=True, exist_ok=True)
    dictionary(target, reached / "words.dict")
    for n, seed in enumerate(seeds(target)):
        (reached / "seeds" / f"seed-{n}").write_bytes(seed)
    base = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    options = [f"-rss_limit_mb={base + MEMORY}", f"-artifact_prefix={folder}/", f"-dict={reached / 'words.dict'}",
               f"-max_len={LONGEST}", "-timeout=60", "-report_slow_units=60"]
    if rest[:1] == ("--least",):
        options += ["-minimize_crash=1", "-max_total_time=60", rest[1]]
    else:
        options += [f"-max_total_time={rest[0]}" if rest else "", str(reached / "seeds"), str(folder)]
    atheris.Setup([sys.argv[0], *filter(None, options)], lambda data: timed(targets.TARGETS[target], data))
    atheris.Fuzz()


if __name__ == "__main__":
    if not sys.argv[1:] or sys.argv[1] not in targets.TARGETS:
        sys.exit(f"Name what to fuzz: {', '.join(targets.TARGETS)}.")
    main(*sys.argv[1:])
