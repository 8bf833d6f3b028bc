"""What reading and working a hostile text takes of memory: at most 200 MB above what the interpreter has at the start.

Each text is read in a process of its own, whose highest memory (VmHWM, Linux) is looked at before and after.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
MOST = 200  # MB
START = "Rnd 1: 6 sc in magic ring. (6)\n"

# name: (text as a Python expression, with START as `start`; kinds of fault that it must show)
TEXTS = {
    "a thousand million stitches": ("start + 'Rnd 2: ' + '[' * 9 + 'sc 9' + '] 10 times' * 9", {"short"}),
    "2 million brackets inside one another": ("start + 'Rnd 2: ' + '(' * 2_000_000 + 'sc' + ')' * 1_999_990", {"long"}),
    "a line of 5 MB": ("start + 'Rnd 2: ' + 'sc in next 3 sts, ' * 280_000", {"long"}),
    "a word of 5 MB": ("start + 'Rnd 2: ' + 'x' * 5_000_000", {"long", "unknown"}),
    "a paragraph of 5 MB": ("start + 'Stuff it. ' * 500_000", {"long"}),
    "repeats of repeats": ("start + 'Rnd 2: ' + 'sc; rep from * 3 times, ' * 100_000", {"long", "bracket"}),
    "8,000 rounds": ("''.join(f'Rnd {n}: {n} sc in magic ring. ({n})\\n' for n in range(1, 8_000))", set()),
    "4,000 rounds that are not understood": ("start + 'Rnd 2: blorp.\\n' * 4_000", {"unknown", "twice"}),
    "wide characters": ("start + 'Rnd 2: ' + '\\U0001F9F6sc\\u0301 ' * 1_000_000", {"long"}),
    "NUL": ("start + 'Rnd 2: ' + '\\0sc\\0' * 1_000_000", {"long"}),
    "line ends of every kind": ("(start + 'Rnd 2: Sc in each st\\r around.\\r\\n\\r\\x85\\u2028') * 3_000", set()),
}
WORKER = """
import sys
from coach.fabric import work
from coach.notation import read

def highest():
    status = open("/proc/self/status").read()
    return int(status.split("VmHWM:")[1].split()[0]) // 1024

start = {start!r}
work(read(start))
text = {text}
before = highest()
found = work(read(text))
print(highest() - before, *sorted({{fault.kind for fault in found.faults}}))
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the highest memory of a process is Linux' to tell")
@pytest.mark.parametrize("name", TEXTS)
def test_memory_has_a_bound(name: str):
    text, faults = TEXTS[name]
    done = subprocess.run(
        [sys.executable, "-c", WORKER.format(start=START, text=text)],
        cwd=ROOT, capture_output=True, text=True, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    megabytes, *kinds = done.stdout.split()
    assert int(megabytes) < MOST
    assert faults <= set(kinds), kinds
