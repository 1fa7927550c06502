"""Start the page's server on this computer, for this computer only.

Leans on `streamlit.web.bootstrap`, which is not documented as an interface: tests/browser starts the page
this way and would notice a change.
"""

from __future__ import annotations

import socket
import sys
import threading
from collections.abc import Callable
from importlib import resources
from pathlib import Path

from mistcalc.errors import DataError

HOSTS = ["127.0.0.1", "localhost"]  # names by which the page may be asked for
UPLOAD_MB = 20  # above the largest climate file in use (an EPW year is about 1.6 MB)

# As in .streamlit/config.toml, which serves `streamlit run app.py`; a test holds the two equal.
OPTIONS: dict[str, object] = {
    "server.address": "127.0.0.1",  # without it a headless server looks up an outside address
    # A page from elsewhere whose name is made to lead here (DNS rebinding) is not let in.
    "server.allowedHosts": HOSTS,
    "server.fileWatcherType": "none",
    "server.maxUploadSize": UPLOAD_MB,
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": False,
    "theme.base": "light",
    "theme.primaryColor": "#00224e",
    "theme.backgroundColor": "#ffffff",
    "theme.secondaryBackgroundColor": "#ffffff",
    "theme.textColor": "#111111",
    "theme.linkColor": "#00224e",
    "theme.borderColor": "#767676",
    "theme.showWidgetBorder": True,
    "theme.baseRadius": "none",
    "theme.buttonRadius": "none",
    "theme.baseFontSize": 17,
}


def preload_modules() -> None:
    """Import what the first picture needs, before anyone asks for it, in a thread that stops nobody.

    Nothing of Streamlit's: two threads importing it at once lock each other.
    """

    def load() -> None:
        import mistcalc.design
        import mistcalc.files
        import mistcalc.report  # noqa: F401

    threading.Thread(target=load, name="warm", daemon=True).start()


def serve(
    file: str | None = None,
    port: int | None = None,
    headless: bool = False,
    announce: Callable[[str], None] = lambda address: None,
) -> None:
    """Serve the page until stopped. `file`: a project file to open first; a working copy is edited, the
    file itself stays as it is. `port` None: 8501, or the next one free. `announce` is handed the address,
    for the server's own welcome, which also advertises, is kept quiet. Raises InputErrors or DataError
    where the file cannot be read or Streamlit, which the extra `page` brings, is not there."""
    try:
        from streamlit.web import bootstrap
    except ModuleNotFoundError as missing:
        if (missing.name or "").split(".")[0] != "streamlit":
            raise
        raise DataError("page-extra") from None
    arguments = [keep_copy(Path(file))] if file is not None else []
    _answer_to_our_names_only()
    preload_modules()
    port = free_port() if port is None else port
    options = {
        **OPTIONS,
        "server.headless": headless,
        "server.port": port,
        "logger.hideWelcomeMessage": True,
    }
    announce(f"http://{OPTIONS['server.address']}:{port}")
    flags = {name.replace(".", "_"): value for name, value in options.items()}
    script = str(resources.files("mistcalc.page") / "page_script.py")
    bootstrap.load_config_options(flag_options=flags)
    bootstrap.run(script, False, arguments, flags)


def _answer_to_our_names_only() -> None:
    """Streamlit looks at the name a socket asks for (server.allowedHosts); this looks at every request's."""
    from starlette.middleware import Middleware
    from starlette.middleware.trustedhost import TrustedHostMiddleware
    from streamlit.web.server.starlette import starlette_app

    theirs = starlette_app.create_streamlit_middleware
    ours = Middleware(TrustedHostMiddleware, allowed_hosts=HOSTS, www_redirect=False)
    starlette_app.create_streamlit_middleware = lambda: [ours, *theirs()]


def free_port(first: int = 8501, tries: int = 100) -> int:
    """The first port from `first` on that nobody on this computer listens at."""
    for port in range(first, first + tries):
        with socket.socket() as knock:
            knock.settimeout(0.5)
            if knock.connect_ex((str(OPTIONS["server.address"]), port)) != 0:
                return port
    return first  # the server then says that it is taken


def keep_copy(path: Path) -> str:
    """A stored working copy of a project file and of the climate file beside it; the copy's id."""
    from mistcalc.page import open_project, store  # here: they import what the thread below is to warm

    text = open_project.project_text(path.read_bytes(), path.name)
    return store.create(text, open_project.climate_beside(text, path.parent))


if __name__ == "__main__":
    serve(sys.argv[1] if len(sys.argv) > 1 else None)
