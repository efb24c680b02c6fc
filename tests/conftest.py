"""Settings of all tests."""

import signal

from hypothesis import settings

# a busy machine must not make a property fail
settings.register_profile("house", deadline=None)
settings.load_profile("house")

# What runs tests in the background may have them started with Ctrl and C ignored, which every process they start would inherit.
signal.signal(signal.SIGINT, signal.default_int_handler)
