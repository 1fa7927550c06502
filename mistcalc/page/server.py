"""Start the page's server: for this computer only, or, with a login, for a small office.

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

from mistcalc.errors import DataError, InputError
from mistcalc.page.login import Login, loopback, read_login

HOSTS = ["127.0.0.1", "localhost"]  # names by which the page may be asked for
FIRST_PORT = 8501
UPLOAD_MB = 20  # above the largest climate file in use (an EPW year is about 1.6 MB)

LIGHT = {
    "primaryColor": "#00224e",
    "backgroundColor": "#ffffff",
    "secondaryBackgroundColor": "#ffffff",
    "textColor": "#111111",
    "linkColor": "#00224e",
    "borderColor": "#767676",
}
DARK = {
    "primaryColor": "#a8c7fa",
    "backgroundColor": "#121212",
    "secondaryBackgroundColor": "#121212",
    "textColor": "#f1f1f1",
    "linkColor": "#a8c7fa",
    "borderColor": "#949494",
}

# As in .streamlit/config.toml, which serves `streamlit run app.py`; a test holds the two equal.
OPTIONS: dict[str, object] = {
    "server.address": "127.0.0.1",  # without it a headless server looks up an outside address
    # A page from elsewhere whose name is made to lead here (DNS rebinding) is not let in.
    "server.allowedHosts": HOSTS,
    # No request made from another page, whatever a person's own settings of Streamlit say.
    "server.enableCORS": True,
    "server.enableXsrfProtection": True,
    "server.fileWatcherType": "none",
    "server.maxUploadSize": UPLOAD_MB,
    # Garbage is looked for when there is some; after every step of a drag it took longer than the step.
    "runner.postScriptGC": False,
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": False,
    # Light or dark as the reader's system is. The same colors as in page.css.
    **{f"theme.light.{name}": color for name, color in LIGHT.items()},
    **{f"theme.dark.{name}": color for name, color in DARK.items()},
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
    host: str = "127.0.0.1",
    secrets: str | None = None,
) -> None:
    """Serve the page until stopped. `file`: a project file to open first; a working copy is edited, the
    file itself stays as it is. `port` None: 8501, or the next one free. `announce` is handed the address,
    for the server's own welcome, which also advertises, is kept quiet. `secrets`: the file that holds the
    login everybody is then asked for; without it only this computer is served. Raises MistcalcError where the
    file or the login cannot be used, or Streamlit, which the extra `page` brings, is not there."""
    try:
        from streamlit.web import bootstrap
    except ModuleNotFoundError as missing:
        if (missing.name or "").split(".")[0] != "streamlit":
            raise
        raise DataError("page-extra") from None
    login = login_to_serve_with(host, secrets, file)
    arguments = [keep_copy(Path(file))] if file is not None else []
    hosts = [*HOSTS, login.host] if login else HOSTS
    stand_in_front(hosts, login)
    preload_modules()
    if port is None:
        port = FIRST_PORT if login else free_port()  # with a login something in front expects it there
    options = {
        **OPTIONS,
        "server.address": host,
        "server.allowedHosts": hosts,
        "server.headless": headless or login is not None,
        "server.port": port,
        "logger.hideWelcomeMessage": True,
        "secrets.files": [str(login.file)] if login else [],  # no file that happens to lie about
    }
    announce(login.origin if login else f"http://{host}:{port}")
    flags = {name.replace(".", "_"): value for name, value in options.items()}
    script = str(resources.files("mistcalc.page") / "page_script.py")
    bootstrap.load_config_options(flag_options=flags)
    bootstrap.run(script, False, arguments, flags)


def login_to_serve_with(host: str, secrets: str | None, file: str | None) -> Login | None:
    """The login of the secrets file, where one is given. Raises MistcalcError: nobody else's computer is
    served without one, and with one every project is somebody's."""
    if secrets is None:
        if not loopback(host):
            raise DataError("login-needed", host=host)
        return None
    loopback(host)
    if file is not None:
        raise InputError("login-and-file")
    return read_login(Path(secrets))


def stand_in_front(hosts: list[str], login: Login | None) -> None:
    """Streamlit looks at the name a socket asks for (server.allowedHosts); this looks at every request's.
    With a login its gate comes next."""
    from starlette.middleware import Middleware
    from starlette.middleware.trustedhost import TrustedHostMiddleware
    from streamlit.web.server.starlette import starlette_app

    from mistcalc.page.login_gate import LoginGate

    theirs = starlette_app.create_streamlit_middleware
    ours = [Middleware(TrustedHostMiddleware, allowed_hosts=hosts, www_redirect=False)]
    if login:
        ours.append(Middleware(LoginGate, secure=login.origin.startswith("https:")))
    starlette_app.create_streamlit_middleware = lambda: [*ours, *theirs()]


def free_port(first: int = FIRST_PORT, tries: int = 100) -> int:
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
