"""The front door: open the workbooks in the browser, for oneself or for a class, or plan a piece without one."""

__all__ = ["WORKBOOKS", "main", "open_class", "open_workbooks", "plan"]

import argparse
import asyncio
import hashlib
import os
import secrets
import signal
import socket
import sys
import tempfile
import threading
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NoReturn
from urllib.parse import quote

from mosaiclib.errors import MosaicError, plain
from mosaiclib.lesson.kept import PLACE
from mosaiclib.pages import FOLDER, SHIPPED, for_reading, page_settings

STOPPED = 130  # what a shell expects of a program that was stopped with Ctrl and C
STOPS = ("SIGINT", "SIGTERM", "SIGHUP")  # Ctrl and C, the end of the session, a closed window


REPOSITORY = Path(__file__).resolve().parents[1]
WORKBOOKS = REPOSITORY / "workbooks"
START = "00_start_here.ipynb"
HOST = "127.0.0.1"  # this computer only: nobody else on the network can reach the workbooks

PLACES = {  # what Jupyter remembers, by the name under which it asks where
    "JUPYTER_CONFIG_DIR": "config",
    "JUPYTER_DATA_DIR": "data",
    "JUPYTER_RUNTIME_DIR": "runtime",
    "JUPYTERLAB_SETTINGS_DIR": "settings",
    "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
    "IPYTHONDIR": "ipython",
    PLACE: "kept",
}

ADDRESS_LINE = "The workbooks are open at: "


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks (`arguments`, or what was typed); return 0, 2 after a sentence, or 130 where it was stopped."""
    asked = _reader().parse_args(arguments)
    if asked.task == "plan":
        return plan(asked.file, asked.out)
    try:
        if asked.task == "class":
            open_class(asked.workbooks, port=asked.port, room=asked.room, forget=asked.forget, idle=asked.idle)
        open_workbooks(asked.workbooks, port=asked.port, browser=not asked.no_browser, lab=asked.lab)
    except MosaicError as wrong:
        print(wrong, file=sys.stderr)
        return 2
    return 0


def _reader() -> argparse.ArgumentParser:
    reader = argparse.ArgumentParser(
        prog="python -m mosaiclib",
        description="Open the mosaic workbooks in your browser. They run on this computer only.",
        epilog="To stop: close the browser page, come back to this window and press Ctrl and C together.",
    )
    reader.add_argument("--no-browser", action="store_true", help="only say the address, open no browser")
    reader.add_argument("--lab", action="store_true", help="open the workbooks as notebooks in JupyterLab")
    reader.add_argument("--port", type=int, help="the port to use; without it a free one is found")
    reader.add_argument(
        "--workbooks",
        type=Path,
        default=WORKBOOKS,
        metavar="FOLDER",
        help="open a copy of the workbooks kept in FOLDER",
    )
    tasks = reader.add_subparsers(dest="task", title="for a class, and without a browser", metavar="class, plan")
    _add_class(tasks)
    _add_plan(tasks)
    return reader


def _add_class(tasks) -> None:
    teacher = tasks.add_parser(
        "class",
        help="show the plain pages on the tablets of a class",
        description="Show the plain pages, and nothing else of this computer, to a class; each learner has a place of their own.",
        epilog="Whoever is in the room's network can hear what is sent there. Use a network of your own where you can.",
    )
    teacher.add_argument(
        "--room",
        nargs="?",
        const="",
        metavar="ADDRESS",
        help="open it to the room's network, at this computer's address there; without it, to this computer only",
    )
    teacher.add_argument("--forget", action="store_true", help="first clear what the learners of earlier classes set")
    teacher.add_argument(
        "--idle", type=float, default=30, metavar="MINUTES", help="end a page that nobody uses for so long (30 minutes)"
    )
    teacher.add_argument("--port", type=int, help="the port to use; without it a free one is found")


def _add_plan(tasks) -> None:
    planner = tasks.add_parser(
        "plan",
        help="read a plan file and write its sheets and lists into a folder",
        description="Read a plan file; write its true-scale sheets, cut list and buying list into a folder.",
    )
    # kept as typed: a path made of nothing would be taken for the folder one stands in
    planner.add_argument("file", metavar="FILE", help="the plan file that workbook 06 saved")
    planner.add_argument("--out", required=True, metavar="FOLDER", help="where to write; made if it does not exist")


def plan(file: str, out: str) -> int:
    """Plan a piece without a browser, file and folder as typed; return 0, 2 after a sentence, or 130 where it was stopped."""
    try:
        with _stops():
            # Imported only here: the geometry libraries take seconds, in which it can already be stopped.
            from mosaiclib.job import command

            written = command.plan(file, out, _progress)
    except MosaicError as wrong:
        print(wrong, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped; nothing was written.", file=sys.stderr)
        return STOPPED
    return _tell(written)


def _progress(words: str) -> None:
    """Print what was made, beside the list of files that others may read; where nobody listens the work goes on."""
    with suppress(OSError):
        print(plain(words, longest=None), file=sys.stderr, flush=True)


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
        # what is still held must not fail again at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def open_workbooks(
    folder: Path = WORKBOOKS,
    *,
    port: int | None = None,
    browser: bool = True,
    lab: bool = False,
    shipped: Mapping[str, str] = SHIPPED,
) -> None:
    """Start a server on a folder of workbooks, say its address, and stay until it is stopped.

    A free port is found where none is given; `lab` opens JupyterLab first, not the plain page; `shipped` leads from the file name of
    each workbook that runs as a page to its fingerprint.
    """
    folder = _checked_folder(folder)
    here = os.getcwd()
    sys.path[:] = [place for place in sys.path if place and (place != here or here == str(REPOSITORY))]
    if port is not None:
        _check_port(port)
    _keep_private_settings_out()
    # each folder of workbooks has its own learner
    os.environ[PLACE] += os.sep + hashlib.sha256(str(folder).encode()).hexdigest()[:16]
    page = _page(folder, lab)
    server = _server(folder, port, page, shipped)
    # The server binds its port in the first turn of its loop; this comes second, so what it says is true.
    server.io_loop.add_callback(_show, server, page, browser)
    with suppress(KeyboardInterrupt):  # pressed twice, or where the server does not handle it
        server.start()
    _leave()


def open_class(folder: Path = WORKBOOKS, **wishes: Any) -> NoReturn:
    """Start the server of a class, say its address, word and code, and stay until it is stopped; wishes as in `classroom.Wishes`."""
    folder = _checked_folder(folder)
    if (port := wishes.get("port")) is not None:
        _check_port(port)
    _keep_private_settings_out()
    del os.environ[PLACE]  # each learner has another
    from mosaiclib.classroom import Wishes, open_room  # the network libraries take a second

    asyncio.run(open_room(folder, Path.cwd(), HOST, Wishes(**wishes), STOPS))
    _leave()


def _leave() -> NoReturn:
    """End at once: a request that stopping cut off leaves idle threads, which would keep this window busy."""
    with suppress(OSError):  # the window itself may be gone
        print("The workbooks are closed.", flush=True)
    os._exit(0)


def _checked_folder(folder: Path) -> Path:
    folder = folder.expanduser().resolve()
    if folder.is_dir():
        return folder
    if folder == WORKBOOKS:
        raise MosaicError(
            "The workbooks are missing. Keep this program in the folder it was downloaded as, "
            "and install it from there."
        )
    raise MosaicError(f"There is no folder {folder}. Give the folder that holds your copy of the workbooks.")


def _check_port(port: int) -> None:
    if not 1024 <= port <= 65535:
        raise MosaicError(
            f"The port must be a number from 1024 to 65535; it is {port}. Leave --port out, and a free one is found."
        )
    try:
        socket.create_server((HOST, port)).close()
    except OSError:
        raise MosaicError(
            f"Port {port} is already in use, perhaps by workbooks that are still open. "
            "Leave --port out, and a free one is found."
        ) from None


def _keep_private_settings_out() -> None:
    """Point Jupyter at this repository's settings and at a state folder of its own.

    A teacher's private settings, extensions and start-up files would otherwise change what a class sees.
    """
    state = _state_folder()
    for name, place in PLACES.items():
        os.environ[name] = str(state / place)
    # What lies in the folder one happens to stand in, or beside the workbooks, is neither settings nor program of ours.
    os.chdir(state)
    os.environ["PYTHONSAFEPATH"] = "1"
    kernel = state / "ipython" / "profile_default"
    kernel.mkdir(exist_ok=True)
    (kernel / "ipython_kernel_config.py").write_text("c.InteractiveShellApp.ignore_cwd = True\n", encoding="utf-8")
    os.environ["JUPYTER_CONFIG_PATH"] = str(FOLDER / "settings")
    os.environ["JUPYTER_PATH"] = str(FOLDER)  # the template of the pages
    for name in ("JUPYTER_TOKEN", "JUPYTER_NO_CONFIG"):
        os.environ.pop(name, None)


def _state_folder() -> Path:
    """Return a folder outside the repository for what Jupyter remembers; the tests set their own.

    Nobody else may enter it: Jupyter writes the token that opens the workbooks into it.
    """
    import platformdirs

    chosen = os.environ.get("MOSAIC_STATE_FOLDER")
    folder = Path(chosen) if chosen else platformdirs.user_state_path("mosaiclib", appauthor=False)
    try:
        if not folder.is_absolute():
            raise OSError("there is no home folder")
        _made(folder)
    except OSError:  # in a container the home folder may be closed to writing
        folder = Path(tempfile.mkdtemp(prefix="mosaiclib-"))
        _made(folder)
    return folder


def _made(folder: Path) -> None:
    """Make the folder and those in it, for this user alone."""
    for each in (folder, *(folder / place for place in PLACES.values())):
        each.mkdir(mode=0o700, parents=True, exist_ok=True)
        each.chmod(0o700)
    tempfile.TemporaryFile(dir=folder).close()


def _server(folder: Path, port: int | None, page: str, shipped: Mapping[str, str]):
    """Return a JupyterLab server that also shows the workbooks as plain pages, ready to start."""
    import voila  # noqa: F401 - it asks to be told of old names in use, of which nobody at this window could rid it
    from jupyterlab.labapp import LabApp
    from traitlets.config import Config

    warnings.filterwarnings("ignore", category=DeprecationWarning, module="traitlets")
    server = LabApp.initialize_server(
        argv=[
            # Said here, not in the settings file, which is read too late to silence the first lines.
            "--ServerApp.log_level=ERROR",
            "--LabApp.log_level=ERROR",
            f"--ServerApp.ip={HOST}",
            f"--ServerApp.port={port or 0}",  # 0: the system gives a free one
            "--ServerApp.port_retries=0",
            f"--ServerApp.root_dir={folder}",
            "--ServerApp.open_browser=False",
            f"--IdentityProvider.token={secrets.token_hex(16)}",
            f"--LabApp.default_url={page}",
        ],
        # What no setting in a file can be: functions.
        config=Config(VoilaConfiguration={"prelaunch_hook": for_reading(shipped), "page_config_hook": page_settings}),
    )
    return server


def _page(folder: Path, lab: bool) -> str:
    if not (folder / START).is_file():
        return "/lab?reset"
    # "reset" forgets the tabs of last time, so that a class always starts on the same page.
    return f"/lab/tree/{quote(START)}?reset" if lab else f"/voila/render/{quote(START)}"


def _has_browser() -> bool:
    """Tell whether a page can be shown; Linux without a screen has at most text browsers."""
    import webbrowser

    if sys.platform.startswith("linux") and not any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")
    ):
        return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


def _show(server, page: str, browser: bool) -> None:
    """Open the browser if there is one to open, and say the address in any case."""
    if browser and _has_browser():
        print("Your browser opens in a moment. If it does not, copy the address below into it.")
        server.launch_browser()
    elif browser:
        print("No browser was found to open. Copy the address below into a browser on this computer.")
    token = f"{'&' if '?' in page else '?'}token={server.identity_provider.token}"
    print(f"{ADDRESS_LINE}http://{HOST}:{server.port}{page}{token}")
    print("Keep this window. To stop, press Ctrl and C together here.", flush=True)
