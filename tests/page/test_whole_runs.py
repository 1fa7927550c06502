"""What the browser is sent, where one run of the page begins before the last has left."""

from __future__ import annotations

from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.runtime.forward_msg_queue import ForwardMsgQueue

from mistcalc.page import router  # noqa: F401  as both ways to start the page import it


def laid(path: list[int], text: str, fragment: str = "") -> ForwardMsg:
    message = ForwardMsg()
    message.metadata.delta_path.extend(path)
    message.delta.fragment_id = fragment
    message.delta.new_element.markdown.body = text
    return message


def finished(how: str) -> ForwardMsg:
    message = ForwardMsg()
    message.script_finished = ForwardMsg.ScriptFinishedStatus.Value(how)
    return message


def told(queue: ForwardMsgQueue) -> list[str]:
    return [
        message.delta.new_element.markdown.body
        if message.WhichOneof("type") == "delta"
        else ForwardMsg.ScriptFinishedStatus.Name(message.script_finished)
        for message in queue.flush()
    ]


def waiting() -> ForwardMsgQueue:
    """A run of the whole script, nothing of which has left."""
    queue = ForwardMsgQueue()
    queue.enqueue(laid([0, 0], "head"))
    queue.enqueue(laid([0, 1], "plan", "a part"))
    queue.enqueue(finished("FINISHED_SUCCESSFULLY"))
    return queue


def test_a_parts_own_run_takes_nothing_from_the_whole_that_waits():
    queue = waiting()
    queue.clear(retain_lifecycle_msgs=True, fragment_ids_this_run=["a part"])
    queue.enqueue(finished("FINISHED_EARLY_FOR_RERUN"))
    assert told(queue) == ["head", "plan", "FINISHED_SUCCESSFULLY", "FINISHED_EARLY_FOR_RERUN"]


def test_what_a_part_lays_anew_comes_after_what_it_laid():
    queue = waiting()
    queue.clear(retain_lifecycle_msgs=True, fragment_ids_this_run=["a part"])
    queue.enqueue(laid([0, 1], "plan moved", "a part"))
    assert told(queue) == ["head", "plan", "FINISHED_SUCCESSFULLY", "plan moved"]


def test_a_run_of_the_whole_takes_the_place_of_one_that_waits():
    queue = waiting()
    queue.clear(retain_lifecycle_msgs=True)
    queue.enqueue(laid([0, 0], "head anew"))
    assert told(queue) == ["FINISHED_EARLY_FOR_RERUN", "head anew"]
