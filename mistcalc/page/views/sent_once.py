"""Parts of a view that draw themselves in the browser. Their script is sent once, what they draw each time.

The framework sends script and style along with the data, at every step of a drag anew. A message of ten
thousand bytes and more that the browser has had it only names; so the script lies in a part of its own,
whose message is the same each time, and a short word before the data asks it to draw.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from hashlib import sha256
from importlib import resources
from typing import Any

import streamlit as st

_SOURCE = resources.files("mistcalc.page")


def browser_part(name: str, css: str, *scripts: str) -> Callable[..., Any]:
    """What draws itself in the browser, of files of this package: each script uses those before it, and the
    last one's `show` draws."""
    style, *parts = (_SOURCE.joinpath(file).read_text("utf-8") for file in (css, "part.js", *scripts))
    code = "\n".join(parts)
    known_as = f"{name}-{sha256((style + code).encode()).hexdigest()[:12]}"  # a newer one is another
    here = json.dumps(known_as)
    comes = f"{code}\npart({here}).comes(styled(show, {json.dumps(style)}));\nexport default () => {{}};"
    draws = f"{parts[0]}\nexport default async (given) => (await part({here}).show)(given);"
    script = st.components.v2.component(f"mistcalc.{name}-script", js=comes)
    drawn = st.components.v2.component(f"mistcalc.{name}", js=draws)

    def lay(*, key: str, data: dict[str, Any], **heard: Any) -> Any:
        script(key=f"script-{key}")
        return drawn(key=key, data=[data], **heard)  # in a list: a dict is looked through for tables

    return lay
