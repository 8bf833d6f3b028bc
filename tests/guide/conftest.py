"""Busy machines are slow: no example of a property is judged by its time."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
