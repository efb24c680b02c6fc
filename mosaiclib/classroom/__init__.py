"""A class in one room: the plain pages on the learners' tablets and on the projector, and nothing else of this computer.

Imported only by the door, when a class is opened: what it needs of the network is loaded then.
"""

__all__ = ["BOARD_LINE", "CLASS_LINE", "Wishes", "open_room"]

from dataclasses import dataclass
from pathlib import Path

from tornado.netutil import bind_sockets

from mosaiclib.classroom.gate import Gate
from mosaiclib.classroom.invitation import code_text, room_address
from mosaiclib.classroom.places import Places
from mosaiclib.classroom.server import ClassServer, serve
from mosaiclib.errors import number

CLASS_LINE = "The class is open at: "
BOARD_LINE = "The board with the code to scan, for you and the projector: "


@dataclass(frozen=True)
class Wishes:
    """What the teacher asks for: a port or none for a free one, the room's address or none, an empty class, and when idle pages end."""

    port: int | None = None
    room: str | None = None  # empty for the address in the usual network
    forget: bool = False
    idle: float = 30  # [min]


async def open_room(folder: Path, state: Path, here: str, wishes: Wishes, stops: tuple[str, ...]) -> None:
    """Serve the workbooks of a folder to a class, whose places are kept in `state`, until a wish to stop comes.

    `here` is the address that only this computer reaches.
    """
    idle = number(wishes.idle, "time until an idle page ends", least=0.05, greatest=24 * 60)
    hosts = [here] if wishes.room is None else [here, room_address(wishes.room)]
    places = Places(state / "class")
    if wishes.forget:
        print(f"What {places.forget()} learners had set is gone.")
    sockets = bind_sockets(wishes.port or 0, here)
    port = sockets[0].getsockname()[1]
    for host in hosts[1:]:
        sockets += bind_sockets(port, host)
    gate = Gate(frozenset(f"{host}:{port}" for host in hosts), places)
    address = f"http://{hosts[-1]}:{port}/?word={gate.word}"
    server = ClassServer(folder, gate, address, state / "runtime")
    server.kernel_manager.end_after(60 * idle)
    board = f"http://{here}:{port}/?word={gate.teachers_word}"
    await serve(server, sockets, lambda: _tell(address, board, len(hosts) > 1, idle), stops)


def _tell(address: str, board: str, room: bool, idle: float) -> None:
    """Say where the class is, for whom, and until when."""
    print(f"{CLASS_LINE}{address}")
    if room:
        try:
            print(code_text(address))
        except UnicodeEncodeError:  # a window that cannot show it; the board does
            print("The board shows the code to scan.")
    else:
        print("Only this computer can open it. With --room at the end of the line, the tablets in the room can.")
    print(f"{BOARD_LINE}{board}")
    print(f"A page that nobody uses for {idle:g} minutes ends; what was set on it stays.")
    print("Keep this window. To stop, press Ctrl and C together here.", flush=True)
