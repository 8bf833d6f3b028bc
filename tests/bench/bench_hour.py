"""An evening with the real ear in virtual time: `python tests/bench/bench_hour.py [--minutes 60]`.

What is asked is rendered by the speech engine. Printed are the requests done, the memory, and the share of real time that
it took on this machine. (An hour takes about five minutes.)
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "tests"), str(REPOSITORY / "tests" / "sound")]

from hour import ASKED, EVERY, evening  # noqa: E402
from rendered_speech import spoken  # noqa: E402

from coach.sound.listen import best_ear  # noqa: E402


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--minutes", type=float, default=60.0)
    minutes = options.parse_args().minutes
    began = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        for moment in evening(best_ear(models={}), [spoken(words) for words in ASKED], minutes, Path(folder), 5.0):
            print(f"minute {moment.minutes:3.0f}: {moment.done} of {int(moment.minutes * 60 // EVERY)} requests done, "
                  f"{moment.blocks} blocks, at most {moment.peak:.0f} MB")
    print(f"{(time.process_time() - began) / 60 / minutes:.3f} of real time on one core (the maker's own time)")


if __name__ == "__main__":
    main()
