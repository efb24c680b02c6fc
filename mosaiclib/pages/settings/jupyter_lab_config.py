"""Server settings of the workbooks; read only by the server that `python -m mosaiclib` starts."""

import zmq

c = get_config()  # noqa: F821 - the settings loader provides it

# The plain pages. A page may fetch the pictures of the workbooks and nothing else that lies in their folder.
c.VoilaConfiguration.template = "mosaic"
c.VoilaConfiguration.allow_template_override = "NO"
c.VoilaConfiguration.allow_theme_override = "NO"
c.VoilaConfiguration.show_tracebacks = False
c.VoilaConfiguration.file_allowlist = [r"pictures/[\w-]+\.(png|svg)"]
c.VoilaConfiguration.extension_allowlist = [
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/widgets-manager8",
    "anywidget",
]
c.VoilaExecutor.cell_error_instruction = (
    "Something went wrong inside the workbook itself. Close this page and open the workbook again."
)

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

# Closing a notebook leaves its kernel running (about 170 MB); open ones are spared.
c.MappingKernelManager.cull_idle_timeout = 3 * 60 * 60
c.MappingKernelManager.cull_interval = 5 * 60
