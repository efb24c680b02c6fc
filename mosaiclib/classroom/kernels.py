"""The kernels of a class: each belongs to one learner, a few stand ready before anybody asks, and idle ones end."""

__all__ = ["ClassKernels"]

import asyncio
import os
from contextlib import suppress
from pathlib import Path
from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from mosaiclib.lesson.kept import LEARNER, PLACE

AHEAD = 4  # kernels that stand ready
LATER = 3.0  # [s] until a kernel that was taken is replaced: the page that took it comes first
PAGES = 3  # most pages of one learner at once; another one ends the oldest
LOOKS = 60  # [s] at most between two looks for idle ones
PATIENCE = 60  # [s] for a kernel on a busy computer

READY = """\
import mosaiclib.drawing, mosaiclib.lesson.asking, mosaiclib.lesson.done, mosaiclib.lesson.page, mosaiclib.lessons.ideas
"""
HAND_OVER = """\
import os
os.environ.update({names!r})
os.chdir({place!r})
"""


class ClassKernels(AsyncMappingKernelManager):
    """Gives learners kernels, and tells their pages when one has ended."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.owners: dict[str, str] = {}  # from a kernel to its learner, the oldest first
        self.sockets: dict[str, set[Any]] = {}
        self.ready: list[asyncio.Task[str]] = []

    def end_after(self, idle: float) -> None:
        """End each kernel from now on that nobody used for so long [s], also where its page is still open."""
        self.cull_idle_timeout, self.cull_connected = int(idle), True
        self.cull_interval = min(LOOKS, int(idle))

    def stock(self) -> None:
        """Start as many kernels as are missing among those that stand ready."""
        while len(self.ready) < AHEAD:
            self.ready.append(asyncio.ensure_future(self._started()))

    async def given(self, learner: str, place: Path) -> str:
        """Return the kernel of a new page of a learner, which keeps and writes in the learner's place only."""
        mine = [kernel for kernel, owner in self.owners.items() if owner == learner]
        for oldest in mine[: max(0, len(mine) + 1 - PAGES)]:
            await self.shutdown_kernel(oldest)
        kernel = await self._taken()
        self.owners[kernel] = learner
        asyncio.get_running_loop().call_later(LATER, self.stock)
        names = {PLACE: str(place / "kept"), LEARNER: learner}
        await self._run(kernel, HAND_OVER.format(names=names, place=str(place)))
        return kernel

    async def _taken(self) -> str:
        """Return a kernel that stands ready and lives, or a new one."""
        while self.ready:
            with suppress(Exception):  # one that could not be started; the next may
                kernel = await self.ready.pop(0)
                if await self.get_kernel(kernel).is_alive():
                    return kernel
        return await self._started()

    async def _started(self) -> str:
        """Return a kernel that has loaded what every page needs."""
        env = {**os.environ, "SERVER_SOFTWARE": "voila"}  # by which a lesson knows that it is on a page
        kernel = await self.start_kernel(kernel_name="python3", env=env)
        await self._run(kernel, READY)
        return kernel

    async def end(self) -> None:
        """End all: learners' kernels keep what was just set, those that stand ready have nothing to keep."""
        for task in self.ready:
            task.cancel()
        idle = [kernel for kernel in self.list_kernel_ids() if kernel not in self.owners]
        await asyncio.gather(*(self.shutdown_kernel(kernel, now=True) for kernel in idle), return_exceptions=True)
        await self.shutdown_all()

    async def _run(self, kernel: str, code: str) -> None:
        client = self.get_kernel(kernel).client()
        client.start_channels()
        try:
            await client.wait_for_ready(timeout=PATIENCE)
            await client.execute(code, silent=True, reply=True, timeout=PATIENCE)
        finally:
            client.stop_channels()

    async def cull_kernel_if_idle(self, kernel_id: str) -> None:
        """End a kernel that nobody used for long; those that stand ready wait for their learner."""
        if kernel_id in self.owners:
            await super().cull_kernel_if_idle(kernel_id)

    def remove_kernel(self, kernel_id: str) -> Any:
        """Forget a kernel that has ended, and end the connection of its page, which then says so."""
        self.owners.pop(kernel_id, None)
        for socket in self.sockets.pop(kernel_id, set()):
            socket.close()
        return super().remove_kernel(kernel_id)
