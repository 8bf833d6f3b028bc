"""Random cases are judged by what they give, never by how long they took."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
