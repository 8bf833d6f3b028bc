"""How long `coach check` takes from start to exit, against a bare `python -c "import pydantic"`, in one run.

    python tests/bench/bench_start.py [RUNS]

The two take turns, so that a busy moment of the machine falls on both; medians are compared.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINES = {
    "import pydantic": ["-c", "import pydantic"],
    "coach check": ["-m", "coach", "check", str(ROOT / "patterns/seal.md")],
    "coach work --typed": ["-m", "coach", "work", str(ROOT / "patterns/seal.md"), "--typed", "--json"],
}


def seconds(line: list[str], env: dict[str, str]) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, *line], check=True, env=env, cwd=ROOT, input=b"next\n", stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main(runs: int) -> None:
    with tempfile.TemporaryDirectory() as home:
        env = os.environ | {"COACH_HOME": home}
        times: dict[str, list[float]] = {name: [] for name in LINES}
        for run in range(runs + 1):
            for name, line in LINES.items():
                taken = seconds(line, env)
                if run:  # the first fills the caches
                    times[name].append(taken)
    bare = statistics.median(times["import pydantic"])
    print(f"{runs} runs each, medians")
    for name, taken in times.items():
        median = statistics.median(taken)
        print(f"{name:20} {median * 1000:6.0f} ms   {median / bare:4.2f} times")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
