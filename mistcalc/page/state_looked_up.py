"""A control laid on the page looks up its own value, not everybody's.

For each text field and each choice it lays, Streamlit puts all values of all controls into a new dictionary,
and looks up one of them: on a view of fifty fields half of the processor time of a run. Here it is handed
something that looks up what it is asked for.

Leans on `SafeSessionState.filtered_state`, which is not documented as an interface:
tests/page/test_state_looked_up.py would notice a change.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from streamlit.runtime.state.safe_session_state import SafeSessionState

_whole = vars(SafeSessionState)["filtered_state"].fget


class LookedUp(Mapping[str, Any]):
    """Values by the keys that controls were given, as they stand when asked for."""

    def __init__(self, state: SafeSessionState) -> None:
        self._state = state

    def __getitem__(self, key: str) -> Any:
        with self._state._lock:
            return self._state._state[key]

    def __iter__(self) -> Iterator[str]:
        return iter(_whole(self._state))

    def __len__(self) -> int:
        return len(_whole(self._state))


def look_values_up() -> None:
    """From now on, in this process. Asked again, it changes nothing."""
    SafeSessionState.filtered_state = property(LookedUp)  # type: ignore[method-assign, assignment]
