"""Settings of all tests."""

from hypothesis import settings

# a busy machine must not make a property fail
settings.register_profile("house", deadline=None)
settings.load_profile("house")
