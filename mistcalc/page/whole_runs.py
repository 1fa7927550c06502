"""A run of the page reaches the browser whole.

Streamlit sends what a run of the script lays from a queue. Where the run of one fragment begins while that
queue still holds a run of the whole script (a slow line, a busy computer), it takes out what the whole run
laid in the fragment, yet leaves word that the whole run is done. The browser then clears what that run
seems to have left out, finds a gap in its list, and the page is blank for good. Here nothing is taken out:
the browser is sent both runs, one after the other.

Leans on `ForwardMsgQueue`, which is not documented as an interface: tests/page/test_whole_runs.py would
notice a change.
"""

from __future__ import annotations

from streamlit.runtime.forward_msg_queue import ForwardMsgQueue

_clear = ForwardMsgQueue.clear


def _clear_before_run(
    queue: ForwardMsgQueue,
    retain_lifecycle_msgs: bool = False,
    fragment_ids_this_run: list[str] | None = None,
) -> None:
    if fragment_ids_this_run is None:  # a run of the whole script lays all there is
        _clear(queue, retain_lifecycle_msgs)
    else:
        queue._delta_index_map = {}  # nor is what comes now put in the place of what was laid before


def send_runs_whole() -> None:
    """From now on, in this process. Asked again, it changes nothing."""
    ForwardMsgQueue.clear = _clear_before_run  # type: ignore[method-assign, assignment]
