"""JupyterLab with a copy of the notebooks, and a headless Chromium to open it in.

Without Chromium or playwright these tests skip; where CI is set they fail instead.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
FLAGS = [
    "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--force-device-scale-factor=1",
]  # fmt: skip
SETTINGS = {
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},  # no question on opening
    "notebook-extension/tracker": {"windowingMode": "none"},  # cells out of sight are on the page too
}
IDLE = "() => window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'"
RUN_ALL = "() => jupyterapp.commands.execute('notebook:run-all-cells')"
IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")


def missing(what: str) -> None:
    """Skip, or fail where CI is set."""
    (pytest.fail if IN_CI else pytest.skip)(what)


def chromium() -> str:
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if path := shutil.which(name):
            return path
    missing("no Chromium on PATH (Debian: apt-get install chromium)")
    raise AssertionError("unreachable")


@pytest.fixture(scope="session")
def browser():
    try:
        from playwright import sync_api
    except ImportError:
        missing('playwright is not installed (pip install -e ".[browser]")')
    path = chromium()
    as_root = getattr(os, "geteuid", lambda: 1)() == 0
    with sync_api.sync_playwright() as play:
        flags = [*FLAGS, "--no-sandbox"] if as_root else FLAGS  # root cannot have the sandbox
        browser = play.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def lab(browser, tmp_path_factory):
    """A function from a notebook's name to its address; a run does not touch the originals."""
    home, token = tmp_path_factory.mktemp("lab"), secrets.token_hex(16)
    shutil.copytree(NOTEBOOKS, home / "notebooks", ignore=shutil.ignore_patterns(".*"))
    for name, settings in SETTINGS.items():
        path = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True)
        path.write_text(json.dumps(settings))
    folders = {
        "IPYTHONDIR": "ipython", "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
        "JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
    }  # fmt: skip
    env = os.environ | {"JUPYTER_TOKEN": token} | {name: str(home / folder) for name, folder in folders.items()}
    command = [
        sys.executable, "-m", "jupyterlab", "--no-browser", "--expose-app-in-browser", "--ServerApp.ip=127.0.0.1",
        "--ServerApp.port=0", "--ServerApp.allow_root=True", f"--ServerApp.root_dir={home / 'notebooks'}",
    ]  # fmt: skip
    with open(home / "lab.log", "wb") as log:
        server = subprocess.Popen(command, env=env, stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT)
        try:
            yield wait_for(server, home, token)
        finally:
            server.send_signal(signal.SIGTERM)  # Lab then ends its kernels itself
            try:
                server.wait(20)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()


def wait_for(server: subprocess.Popen, home: Path, token: str):
    """Wait until the server answers; it writes down the port it found."""
    card = home / "runtime" / f"jpserver-{server.pid}.json"
    end = time.monotonic() + 90
    while time.monotonic() < end and server.poll() is None:
        try:
            url = json.loads(card.read_text())["url"]
            request = urllib.request.Request(url + "api/status", headers={"Authorization": f"token {token}"})
            urllib.request.urlopen(request, timeout=2).close()
            return lambda path: f"{url}doc/workspaces/{secrets.token_hex(4)}/tree/{path}?token={token}"
        except (OSError, ValueError):
            time.sleep(0.1)
    raise RuntimeError((home / "lab.log").read_text()[-2000:])


@pytest.fixture
def open_notebook(lab, browser, tmp_path):
    """Opens a notebook and runs all its cells; the last look of the page is kept in the test's folder."""
    pages = []

    def run(name: str, width: int = 1280, height: int = 1000):
        context = browser.new_context(viewport={"width": width, "height": height})
        page = context.new_page()
        pages.append(page)
        page.goto(lab(name))
        page.wait_for_function(IDLE, timeout=90_000)
        page.evaluate(RUN_ALL)  # resolves when the last cell is done
        page.wait_for_function(IDLE, timeout=180_000)
        assert not page.locator("[data-mime-type='application/vnd.jupyter.error']").all_inner_texts()
        return page

    yield run
    for number, page in enumerate(pages):
        page.screenshot(path=str(tmp_path / f"page-{number}.png"))
        page.context.close()
