"""marks.html: page, style and scripts of this folder, and one job's data, put into one file.

What a person wrote goes in as JSON that no HTML reader can mistake for markup, and the scripts show it as
text. The file asks for nothing outside itself, and its own policy forbids any browser to.
"""

from __future__ import annotations

import base64
import hashlib
import html
import json
from functools import cache
from importlib import resources
from itertools import groupby
from string import Template

from mistcalc.model.results import Design
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.phone.mark_data import page_data

SCRIPTS = ("log.js", "tape.js", "parts.js", "pad.js", "screens.js", "page.js")  # each uses those before it
# Signs by which HTML could end a script, and two that end a line in older scripts but not in JSON.
_ESCAPED = {ord(sign): f"\\u{ord(sign):04x}" for sign in "<>&\u2028\u2029"}


def marks_html(design: Design, locale: Locale) -> str:
    """The marks for a phone, shown first in this language and in these units."""
    script, style = "\n".join(map(_source, SCRIPTS)), _source("page.css")
    data = page_data(design, locale.units, locale.language)
    return Template(_source("page.html")).substitute(
        language=locale.language,
        title=html.escape(locale.label("phone.title", code=design.code)),
        script=script,
        script_digest=_digest(script),
        style=style,
        style_digest=_digest(style),
        data=json.dumps(data, ensure_ascii=False, separators=(",", ":")).translate(_ESCAPED),
        without_script=_without_script(design, locale),
    )


@cache
def _source(name: str) -> str:
    return resources.files("mistcalc.report.phone").joinpath(name).read_text("utf-8")


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _without_script(design: Design, locale: Locale) -> str:
    """The marks as a plain list, for what shows a page and runs nothing of it."""
    lines = [
        f"<h1>{html.escape(job_name(design.project, locale))}</h1>",
        f"<p>{html.escape(design.code)}</p>",
    ]
    lines.append(f"<p>{html.escape(locale.label('phone.no_script'))}</p>")
    for layout in design.layouts:
        marks = sorted(layout.marks, key=lambda mark: (mark.run, mark.along))
        for run, of_run in groupby(marks, key=lambda mark: mark.run):
            head = locale.label("phone.run_of", run=run, patio=layout.patio)
            rows = "".join(
                f"<tr><th>{html.escape(mark.name)}</th><td>{html.escape(locale.tape(mark.along))}</td></tr>\n"
                for mark in of_run
            )
            lines.append(f"<h2>{html.escape(head)}</h2>\n<table>\n{rows}</table>")
    return "\n".join(lines) + "\n"
