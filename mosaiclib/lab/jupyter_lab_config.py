"""Server settings of the workbooks; read only by the server that `python -m mosaiclib` starts."""

from pathlib import Path

import zmq

c = get_config()  # noqa: F821 - the settings loader provides it

extensions = [str(Path(__file__).resolve().parent / "labextensions")]
c.LabApp.extra_labextensions_path = extensions
c.LabServerApp.extra_labextensions_path = extensions

# Installing extensions is not part of a lesson, and its list would ask other computers.
c.LabApp.extension_manager = "readonly"
c.LabApp.news_url = None
c.LabApp.check_for_updates_class = "jupyterlab.NeverCheckForUpdate"

# Otherwise each kernel warns in the window that others might listen in.
c.KernelManager.transport_encryption = "auto" if zmq.has("curve") else "disabled"

# A teaching room's container runs as root; the server listens on this computer only and asks for a token.
c.ServerApp.allow_root = True
# Ctrl and C closes at once: the question "y/[n]" in a window full of text is easily missed.
c.ServerApp.answer_yes = True

# Closing a page leaves its kernel running (about 100 MB); open pages are spared.
c.MappingKernelManager.cull_idle_timeout = 3 * 60 * 60
c.MappingKernelManager.cull_interval = 5 * 60
