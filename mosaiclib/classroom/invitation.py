"""How a class is found: this computer's address in the room, and the code that a tablet scans."""

__all__ = ["code_picture", "code_text", "room_address"]

import io
import socket

import psutil
import segno

from mosaiclib.errors import MosaicError

NOWHERE = "192.0.2.1"  # kept for examples (RFC 5737): asked for a way there, the system names the room's network; nothing is sent


def room_addresses() -> list[str]:
    """Return this computer's addresses in the networks that it is in, without those that only it can reach."""
    up = {name for name, state in psutil.net_if_stats().items() if state.isup}
    found = [each.address for name in up for each in psutil.net_if_addrs()[name] if each.family == socket.AF_INET]
    return sorted(address for address in found if not address.startswith(("127.", "169.254.")))


def room_address(asked: str = "") -> str:
    """Return the address under which the room reaches this computer: the one asked for, or that of its usual network."""
    known = room_addresses()
    if asked:
        if asked not in known:
            told = f"it has {', '.join(known)}" if known else "it is in no network now"
            raise MosaicError(f"This computer does not have the address {asked}; {told}.")
        return asked
    usual = _usual()
    if usual in known:
        return usual
    if len(known) == 1:
        return known[0]
    if not known:
        raise MosaicError("This computer is in no network. Join the room's network first; it needs no internet.")
    raise MosaicError(
        f"This computer is in several networks. Say which is the room's: --room {' or --room '.join(known)}."
    )


def _usual() -> str:
    """Return the address from which this computer speaks to others, empty where it cannot."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            asked.connect((NOWHERE, 9))
            return asked.getsockname()[0]
    except OSError:
        return ""


def code_text(address: str) -> str:
    """Return a code to scan as lines of text, for a window."""
    out = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out, compact=True)
    return out.getvalue()


def code_picture(address: str) -> str:
    """Return a code to scan as SVG, for a page."""
    return segno.make(address, error="m", micro=False).svg_inline(dark="#000", light="#fff", omitsize=True)
