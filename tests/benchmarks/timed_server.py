"""The page's server, which notes how long each browser waits for it: from a message that asks for a run until
the last of what that run lays is handed to the line. Milliseconds, a line each, in its folder's `served`.

What a visitor waits beyond that is the browser's; with ten of them on one machine that is most of it.
"""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import TYPE_CHECKING

from mistcalc.page import server

if TYPE_CHECKING:
    from streamlit.proto.BackMsg_pb2 import BackMsg
    from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
    from streamlit.runtime.app_session import AppSession

SERVED = Path(os.environ.get("MISTCALC_DATA", ".")) / "served"


def note_waits() -> None:
    from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
    from streamlit.runtime.app_session import AppSession

    hear, flush = AppSession.handle_backmsg, AppSession.flush_browser_queue
    asked: dict[AppSession, float] = {}

    def heard(session: AppSession, message: BackMsg) -> None:
        if message.WhichOneof("type") == "rerun_script" and not message.rerun_script.is_auto_rerun:
            asked.setdefault(session, time.monotonic())
        hear(session, message)

    def flushed(session: AppSession) -> list[ForwardMsg]:
        told = flush(session)
        ends = (m.script_finished for m in told if m.WhichOneof("type") == "script_finished")
        if session in asked and any(end != ForwardMsg.FINISHED_EARLY_FOR_RERUN for end in ends):
            with SERVED.open("a", encoding="ascii") as out:
                out.write(f"{1000 * (time.monotonic() - asked.pop(session)):.1f}\n")
        return told

    AppSession.handle_backmsg = heard  # type: ignore[method-assign]
    AppSession.flush_browser_queue = flushed  # type: ignore[method-assign]


def serve(port: int) -> None:
    note_waits()
    server.serve(port=port, headless=True)
