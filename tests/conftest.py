"""Random cases are judged by what they give, never by how long they took. With CI set they are the same in every run, so that a
green run stays green; elsewhere each run tries others, and a failure is printed so that it can be kept as a case."""

import os

from hypothesis import settings

settings.register_profile("untimed", deadline=None, print_blob=True)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "untimed")
