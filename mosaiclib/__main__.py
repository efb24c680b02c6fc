"""`python -m mosaiclib`: the one command a teacher types."""

import sys

FLOOR = (3, 11)  # as in pyproject.toml; nothing above this line may need it


def run() -> int:
    """Open the door, or say in a sentence why this Python cannot."""
    if sys.version_info < FLOOR:
        have, need = (".".join(map(str, version[:2])) for version in (sys.version_info, FLOOR))
        return refuse(f"This is Python {have}; the workbooks need {need} or newer.")
    try:
        from mosaiclib.launch import main

        return main()
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("mosaiclib"):
            raise
        return refuse(f"This Python ({sys.executable}) lacks a package that the workbooks need: {missing.name}.")


def refuse(words: str) -> int:
    """Say what is wrong and which line starts the workbooks."""
    print(words + " Use the start command of the README, which brings everything along.", file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(run())
