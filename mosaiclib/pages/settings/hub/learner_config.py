"""The server of one learner of a hub: the plain pages, with neither JupyterLab nor a terminal."""

import os
from pathlib import Path

from mosaiclib.pages import LEARNERS, for_reading, learners_page

c = get_config()  # noqa: F821 - the settings loader provides it

load_subconfig("jupyter_lab_config.py", path=str(Path(__file__).resolve().parents[1]))  # noqa: F821 - so does it this
c.VoilaConfiguration.prelaunch_hook = for_reading(LEARNERS, most=int(os.environ["MOSAIC_PAGES"]))
c.VoilaConfiguration.page_config_hook = lambda config, **_: learners_page(config, os.environ["JUPYTERHUB_USER"])
c.ServerApp.jpserver_extensions = {
    "voila.server_extension": True,
    "jupyterlab": False,
    "jupyter_server_terminals": False,
}
c.ServerApp.terminals_enabled = False
c.KernelRestarter.restart_limit = 0
c.ServerApp.log_level = "ERROR"
