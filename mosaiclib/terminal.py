"""The command line of a plan: what was written, line by line, or one sentence why nothing was."""

__all__ = ["plan"]

import os
import signal
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import NoReturn

from mosaiclib.errors import MosaicError, plain

STOPPED = 130  # what a shell expects of a program that was stopped with Ctrl and C
STOPS = ("SIGINT", "SIGTERM", "SIGHUP")  # Ctrl and C, the end of the session, a closed window


def plan(file: str, out: str) -> int:
    """Plan a piece without a browser.

    Parameters
    ----------
    file : str
        The plan file, as typed.
    out : str
        The folder to write into, as typed.

    Returns
    -------
    int
        0, 2 after a sentence that says what is wrong, or 130 where it was stopped.
    """
    try:
        with _stops():
            # Imported only here: the geometry libraries take seconds, in which it can already be stopped.
            from mosaiclib.files import folder_named
            from mosaiclib.job import Plan, command, work_out

            folder = folder_named(out)  # said before the long work, not after it
            worked = work_out(Plan.load(file))
        with _stops():  # asked anew, as a solver may have given Ctrl and C back to the system
            written = command.write(worked, folder)
    except MosaicError as wrong:
        print(wrong, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped; nothing was written.", file=sys.stderr)
        return STOPPED
    return _tell(written)


@contextmanager
def _stops() -> Iterator[None]:
    """Let every wish to stop end the work in the way of Ctrl and C, once: what follows must not disturb the tidying."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    known = [getattr(signal, name) for name in STOPS if hasattr(signal, name)]
    before = {each: signal.getsignal(each) for each in known}
    before = {each: usual for each, usual in before.items() if usual not in (None, signal.SIG_IGN)}  # as with nohup

    def stop(*_: object) -> NoReturn:
        for each in before:
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    try:
        for each in before:
            signal.signal(each, stop)
        yield
    finally:
        for each, usual in before.items():
            signal.signal(each, usual)


def _tell(written: Iterable[object]) -> int:
    """Print what was written; a screen that cannot show a letter shows its number."""
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        for path in written:
            print(plain(path, longest=None))
        sys.stdout.flush()
    except OSError as wrong:  # all is written by now; only the telling failed
        if not isinstance(wrong, BrokenPipeError):
            print(f"All files are written, but they could not be listed here: {wrong.strerror}.", file=sys.stderr)
        os.dup2(
            os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno()
        )  # what is still held must not fail again at the end
    return 0
