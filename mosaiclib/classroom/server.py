"""The server of a class: the door, the pages and what a page asks for. There is nothing else on it."""

__all__ = ["ClassServer", "serve"]

import asyncio
import html
import logging
import re
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import voila.app
from jupyter_server.auth.identity import IdentityProvider, User
from jupyter_server.base.handlers import FileFindHandler, JupyterHandler
from jupyter_server.services.kernels.handlers import KernelHandler
from tornado import httpserver, web
from traitlets.config import Config
from traitlets.config.loader import PyFileConfigLoader
from voila.configuration import VoilaConfiguration
from voila.notebook_renderer import NotebookRenderer
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.static_file_handler import AllowListFileHandler, MultiStaticFileHandler, TemplateStaticFileHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler
from voila.utils import get_page_config

from mosaiclib.classroom.gate import COOKIE, DAYS, DOOR, KERNEL, Gate
from mosaiclib.classroom.invitation import code_picture
from mosaiclib.classroom.kernels import ClassKernels
from mosaiclib.classroom.places import TEACHER
from mosaiclib.errors import MosaicError
from mosaiclib.pages import FOLDER, LEARNERS, for_reading, learners_page

START = "/voila/render/00_start_here.ipynb"
BOARD = "/board"
WRONG_WORD_WAITS = 1.0  # [s]
MOST_BODY = 10_000  # bytes; a page sends nothing but the wish to stop its kernel
MOST_MESSAGE = 1_000_000  # bytes from a page to its kernel: settings and dragged points are far shorter
# What a page may say to its kernel: nothing that would run a program.
SAID = ["comm_open", "comm_close", "comm_msg", "comm_info_request", "kernel_info_request"]
HEADERS = {
    "Content-Security-Policy": "frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}

SHEET = (FOLDER / "classroom.html").read_text(encoding="utf-8")
DOOR_WORDS = (
    "<h1>The class is behind this door</h1><p>{said}</p>"
    '<form action="/"><label>The word <input name="word" autocomplete="off" autocapitalize="none" autofocus></label> '
    "<button>Open</button></form>"
)
COME_IN = '<h1>Come in</h1><p><a href="{to}">Open the workbooks</a></p>'
SHUT = '<h1>This is not open to you</h1><p>{said}</p><p><a href="/">To the door</a></p>'
BOARD_WORDS = (
    "<h1>Scan, and you are in</h1>{code}<p class=address>{address}</p>"
    "<p>or open <b>{place}</b> and type the word <b class=word>{word}</b></p>"
    '<p class=small>{here} now, {ever} have a place. <a href="{start}">Open the workbooks</a> for the projector.</p>'
)

WENT_WRONG = (
    "Something went wrong here, not in what you did. Open the page again; if it happens again, tell your teacher."
)
NO_PAGE = "There is no such page in this class; workbooks about the class and its numbers are the teacher's."


def _sheet(title: str, inside: str) -> str:
    return SHEET.replace("{title}", html.escape(title)).replace("{inside}", inside)


class Refused(web.RequestHandler):
    """What whoever may not pass gets, whatever was asked for."""

    def initialize(self, said: str) -> None:
        """Take the sentence."""
        self.said = said

    def prepare(self) -> None:
        """Say it."""
        self.set_status(403)
        self.finish(_sheet("Not open", SHUT.format(said=html.escape(self.said))))

    def check_xsrf_cookie(self) -> None:
        """Do nothing: it is refused anyway."""


class NotThere(web.RequestHandler):
    """What is not on this server."""

    def prepare(self) -> None:
        """Say so."""
        self.set_status(404)
        self.finish(_sheet("Not there", SHUT.format(said=NO_PAGE)))

    def check_xsrf_cookie(self) -> None:
        """Do nothing: there is nothing."""


class Gated(web.Application):
    """An application that lets nothing past its gate."""

    def find_handler(self, request: Any, **more: Any) -> Any:
        """Return what answers a request: a refusal, or what the address leads to."""
        said = self.settings["gate"].refusal(request, self.settings["kernel_manager"].owners)
        if said:
            return self.get_handler_delegate(request, Refused, {"said": said})
        return super().find_handler(request, **more)


class Learners(IdentityProvider):
    """Tells Jupyter's own handlers who asks, as the gate knows it."""

    def get_user(self, handler: Any) -> User | None:
        """Return the learner."""
        learner = handler.settings["gate"].learner(handler.request)
        return User(username=learner) if learner else None


class Door(web.RequestHandler):
    """Where one comes in with the word."""

    async def get(self) -> None:
        """Give whoever knows the word a cookie, and lead on; the next page is asked for from here, not from elsewhere."""
        gate, word = self.settings["gate"], self.get_query_argument("word", "").strip().lower()
        try:
            cookie = gate.cookie(self.request, word)
        except MosaicError as full:
            self._shut(str(full))
            return
        if cookie:
            self.set_cookie(COOKIE, cookie, httponly=True, samesite="Strict", expires_days=DAYS)
            to = BOARD if word == gate.teachers_word else START
            self.set_header("Refresh", f"0; url={to}")
            self.finish(_sheet("Come in", COME_IN.format(to=to)))
            return
        if word:
            await asyncio.sleep(WRONG_WORD_WAITS)
        self._shut("That is not the word of this class." if word else "Scan the code on the board, or type its word.")

    def _shut(self, said: str) -> None:
        self.set_status(403)
        self.finish(_sheet("The door", DOOR_WORDS.format(said=html.escape(said))))


class Board(web.RequestHandler):
    """The code to scan, for the projector; only the teacher's browser has it."""

    def get(self) -> None:
        """Show address, word and code, and how many are here."""
        gate, kernels = self.settings["gate"], self.settings["kernel_manager"]
        if gate.learner(self.request) != TEACHER:
            raise web.HTTPError(404)
        address = self.settings["address"]
        self.set_header("Refresh", "20")
        self.finish(
            _sheet(
                "The board",
                BOARD_WORDS.format(
                    code=code_picture(address),
                    address=address,
                    place=address.partition("/?")[0],
                    word=gate.word,
                    here=_learners(len({*kernels.owners.values()} - {TEACHER})),
                    ever=len(gate.places.learners),
                    start=START,
                ),
            )
        )


def _learners(count: int) -> str:
    return "one learner is here" if count == 1 else f"{count or 'no'} learners are here"


class Page(JupyterHandler):
    """A workbook as the page of one learner, in a kernel of its own."""

    @web.authenticated
    async def get(self, name: str) -> None:
        """Run the workbook and send it as it comes."""
        app, learner = self.settings["voila"], self.current_user.username
        if name not in LEARNERS:
            raise web.HTTPError(404, NO_PAGE)
        renderer = NotebookRenderer(
            request_handler=self,
            voila_configuration=app.voila_configuration,
            traitlet_config=app.config,
            notebook_path=name,
            template_paths=app.template_paths,
            config_manager=self.config_manager,
            contents_manager=self.contents_manager,
            base_url=self.base_url,
            kernel_spec_manager=self.kernel_spec_manager,
            page_config=app.page_settings(learner),
        )
        await renderer.initialize()
        place = self.settings["gate"].places.of(learner)
        kernel = await self.kernel_manager.given(learner, place)
        self.set_header("Cache-Control", "no-store")
        async for part, _ in renderer.generate_content_generator(kernel, self.kernel_manager.get_kernel(kernel)):
            self.write(part)
            await self.flush()

    def write_error(self, status_code: int, **more: Any) -> None:
        """Say in a sentence why there is no page."""
        wrong = more.get("exc_info", (None, None))[1]
        said = getattr(wrong, "log_message", None) or WENT_WRONG
        self.finish(_sheet("Not opened", SHUT.format(said=html.escape(said))))


class OneKernel(KernelHandler):
    """Tells a page how its own kernel is."""

    SUPPORTED_METHODS = ("GET",)


class Channels(VoilaKernelWebsocketHandler):
    """The connection between a page and its kernel; it ends when the kernel does."""

    async def open(self, kernel_id: str) -> None:
        """Begin, and be known to the kernels."""
        self.kernel_manager.sockets.setdefault(kernel_id, set()).add(self)
        await super().open(kernel_id)

    def on_close(self) -> None:
        """End."""
        self.kernel_manager.sockets.get(self.kernel_id, set()).discard(self)
        super().on_close()


class ClassServer(voila.app.Voila):
    """A server of pages for learners who share one computer."""

    def __init__(self, folder: Path, gate: Gate, address: str, runtime: Path) -> None:
        settings = PyFileConfigLoader("jupyter_lab_config.py", path=str(FOLDER / "settings")).load_config()
        settings.merge(
            Config(
                VoilaConfiguration={
                    "prelaunch_hook": for_reading(LEARNERS),
                    "multi_kernel_manager_class": ClassKernels,
                },
                KernelRestarter={
                    "restart_limit": 0
                },  # its page opens again with what was set; an empty one helps nobody
                ClassServer={"identity_provider_class": Learners, "log_level": logging.ERROR},
            )
        )
        super().__init__(config=settings, root_dir=str(folder), connection_dir=str(runtime))
        self.voila_configuration = VoilaConfiguration(parent=self)
        self.setup_template_dirs()
        self.app = Gated(**self.init_settings(), gate=gate, address=address)
        self.app.add_handlers(".*", self.init_handlers())

    def init_settings(self) -> dict[str, Any]:
        """Return what handlers share."""
        settings = super().init_settings()
        settings["kernel_manager"].allowed_message_types = SAID
        return settings | {
            "headers": HEADERS,
            "websocket_max_message_size": MOST_MESSAGE,
            "default_handler_class": NotThere,
            "log_function": lambda _: None,
        }

    def init_handlers(self) -> list[Any]:
        """Return every address that this server knows, and what answers there."""
        scripts = "|".join(map(re.escape, self.voila_configuration.extension_allowlist))
        files = {"allowlist": self.voila_configuration.file_allowlist, "path": self.root_dir}
        return [
            (DOOR, Door),
            (BOARD, Board),
            (r"/voila/render/(\d\d_\w+\.ipynb)", Page),
            (rf"/api/kernels/(?P<kernel_id>{KERNEL})", OneKernel),
            (rf"/api/kernels/(?P<kernel_id>{KERNEL})/channels", Channels),
            (rf"/voila/api/shutdown/({KERNEL})", VoilaShutdownKernelHandler),
            (r"/voila/templates/(mosaic/static/[\w.-]+)", TemplateStaticFileHandler),
            (r"/voila/static/([\w./-]+)", MultiStaticFileHandler, {"paths": self.static_paths}),
            (rf"/voila/labextensions/((?:{scripts})/.+)", FileFindHandler, {"path": self.labextensions_path}),
            (r"/voila/files/(.+)", AllowListFileHandler, files),
        ]

    def page_settings(self, learner: str) -> dict[str, Any]:
        """Return the settings of a learner's page."""
        known = {"base_url": self.base_url, "settings": self.app.settings, "log": self.log}
        config = get_page_config(**known, voila_configuration=self.voila_configuration)
        return learners_page(config, learner.replace("-", " "))


async def serve(server: ClassServer, sockets: list[Any], told: Callable[[], None], stops: tuple[str, ...]) -> None:
    """Answer at these sockets until a wish to stop comes; say that it is open once it is."""
    asked: list[int] = []
    for name in stops:
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), lambda number, _: asked.append(number))
    logging.getLogger("tornado").setLevel(logging.CRITICAL)  # what strangers send is no news for the window
    listening = httpserver.HTTPServer(
        server.app, max_body_size=MOST_BODY, max_header_size=2 * MOST_BODY, body_timeout=10
    )
    listening.add_sockets(sockets)
    server.kernel_manager.stock()
    told()
    while not asked:
        await asyncio.sleep(0.2)  # looked for, since not every system wakes a sleeping program for it
    listening.stop()
    await server.kernel_manager.end()
