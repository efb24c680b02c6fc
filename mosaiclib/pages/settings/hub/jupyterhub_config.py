"""A class of more than one computer holds, on an engine made for it: JupyterHub. What each line is for stands in hub.md."""

import os
import resource
import sys
from pathlib import Path

c = get_config()  # noqa: F821 - JupyterHub provides it

HERE = Path(__file__).resolve().parent
PAGES = HERE.parents[1]
STATE = Path(
    os.environ.get("MOSAIC_HUB", Path.cwd())
).resolve()  # where learners' folders are, and what the hub remembers
MEMORY = (
    3 * 2**30
)  # bytes of addresses a program of a learner may ask for; a page in use holds about 0.13 GB of real memory
PROGRAMS = 8  # pages of one learner at once
IDLE = int(os.environ.get("MOSAIC_HUB_IDLE", 30 * 60))  # [s] until a server that nobody uses is ended

# Who comes in: the names on the list, with one word for all. For a trial on one computer; see hub.md for more.
c.JupyterHub.authenticator_class = "shared-password"
c.SharedPasswordAuthenticator.user_password = os.environ["MOSAIC_HUB_WORD"]
c.Authenticator.allowed_users = set(os.environ["MOSAIC_HUB_LEARNERS"].split())

# Where: this computer only.
c.JupyterHub.bind_url = f"http://127.0.0.1:{os.environ.get('MOSAIC_HUB_PORT', 8000)}"
c.JupyterHub.hub_bind_url = f"http://127.0.0.1:{os.environ.get('MOSAIC_HUB_INNER', 8081)}"
c.ConfigurableHTTPProxy.api_url = f"http://127.0.0.1:{os.environ.get('MOSAIC_HUB_PROXY', 8001)}"
c.JupyterHub.db_url = f"sqlite:///{STATE / 'hub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(STATE / "cookie_secret")
c.ConfigurableHTTPProxy.pid_file = str(STATE / "proxy.pid")
c.JupyterHub.cleanup_servers = True
c.JupyterHub.log_level = "WARN"


# What each learner gets: a server of pages, in a folder of their own, that cannot take the whole computer.
def limited(home: Path):
    """Return what a learner's server does before anything else: go to its folder, and take limits that its kernels inherit."""

    def begin() -> None:
        home.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.chdir(home)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

    return begin


def prepare(spawner) -> None:
    """Give a learner's server its folder, and nothing of this computer's own settings."""
    home = STATE / "learners" / spawner.user.name
    spawner.home_dir = str(home)
    spawner.popen_kwargs = {"preexec_fn": limited(home)}
    kinds = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_DATA_DIR": "data",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "IPYTHONDIR": "ipython",
    }
    spawner.environment = {name: str(home / kind) for name, kind in kinds.items()} | {
        "JUPYTER_PATH": str(PAGES),
        "JUPYTER_CONFIG_PATH": str(HERE / "nothing"),
        "MOSAIC_KEPT": str(home / "kept"),
        "MOSAIC_LEARNER": spawner.user.name,
        "MOSAIC_PAGES": str(PROGRAMS),
        "PYTHONSAFEPATH": "1",
    }


c.JupyterHub.spawner_class = "simple"
c.Spawner.pre_spawn_hook = prepare
c.Spawner.args = [f"--config={HERE / 'learner_config.py'}"]
c.Spawner.default_url = "/voila/render/00_start_here.ipynb"
c.Spawner.notebook_dir = os.environ.get("MOSAIC_WORKBOOKS", str(PAGES.parents[1] / "workbooks"))
c.Spawner.start_timeout = 60
c.JupyterHub.active_server_limit = 40
c.JupyterHub.concurrent_spawn_limit = 4

# Whoever has gone leaves nothing running.
c.JupyterHub.load_roles = [
    {
        "name": "idle",
        "services": ["idle"],
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
    }
]
c.JupyterHub.services = [
    {
        "name": "idle",
        "command": [
            sys.executable,
            "-m",
            "jupyterhub_idle_culler",
            f"--timeout={IDLE}",
            f"--cull-every={max(2, IDLE // 10)}",
        ],
    }
]
