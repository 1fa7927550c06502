"""How a noun prints: in a line, whatever it holds."""

from __future__ import annotations

from dataclasses import fields, is_dataclass

import numpy as np

MOST = 300  # characters, about
SMALL = 60


class ShortRepr:
    """For dataclasses with `repr=False`: names what they hold, and of much only how much it is."""

    __slots__ = ()

    def __repr__(self) -> str:
        shown = ""
        for field in fields(self):  # type: ignore[arg-type]  # a dataclass, always
            value = getattr(self, field.name)
            if value is None or (isinstance(value, (tuple, dict, str)) and not value):
                continue
            if len(shown) > MOST:
                return f"{type(self).__name__}({shown[2:]}, ...)"
            shown += f", {field.name}={_short(value)}"
        return f"{type(self).__name__}({shown[2:]})"


def _short(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, np.ndarray):
        return f"<{' x '.join(map(str, value.shape))} array>"
    if isinstance(value, dict):
        return f"<{', '.join(map(str, value))}>"
    if isinstance(value, tuple) and value:
        text = f"({', '.join(map(_short, value))}{',' if len(value) == 1 else ''})"
        alike = is_dataclass(value[0]) or len(text) > SMALL
        return f"<{len(value)} {type(value[0]).__name__}>" if alike else text
    text = repr(value)
    return text if len(text) <= SMALL else f"<{type(value).__name__}>"
