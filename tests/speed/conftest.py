"""Each ratio is printed beside its limit."""

import pytest


@pytest.fixture
def told(record_property, capsys):
    """Return a function that prints a ratio with its limit."""

    def tell(name, value, limit):
        record_property(name, value)
        with capsys.disabled():
            print(f"\n  {name}: {value:.2f} (at most {limit})")

    return tell
