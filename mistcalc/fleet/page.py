"""index.html: a fleet to read in any browser, exceptions first. It asks for nothing outside itself and runs
no script; whatever a person wrote is escaped."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from importlib import resources
from itertools import groupby

from mistcalc.fleet.overview import FleetReport, group_text
from mistcalc.fleet.summary import counted, facing_text, lot_names, plan_text, side
from mistcalc.fleet.tables import error_text, state_of, wrong_text
from mistcalc.fleet.totals import FindingGroup, FleetRow, OrderLine
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.lists_csv import part_detail, part_name

MOST_ROWS = 5000  # lots in the table of a page; a longer one is left to lots.csv
MOST_LOTS = 40  # named with a group
COLUMNS = ("lot", "phase", "plan", "facing", "climate", "state", "marks", "water", "cooler", "told")


def page_html(report: FleetReport, title: str, packs: dict[str, str], locale: Locale) -> str:
    """packs: a lot's name to the folder of its sheets, beside the page."""
    body = [
        f"<h1>{_text(title)}</h1>",
        f"<p class=counts>{_text(counted(report, locale))}</p>",
        *_exceptions(report, locale),
        *_facing(report, locale),
        *_orders(report.orders, locale),
        *_lots(report, packs, locale),
        *_cautions(report.cautions, locale),
    ]
    return _page(title, "\n".join(body), locale)


def _page(title: str, body: str, locale: Locale) -> str:
    policy = "default-src 'none'; style-src 'unsafe-inline'"
    return (
        f'<!DOCTYPE html>\n<html lang="{_text(locale.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        f"<title>{_text(title)}</title>\n<style>\n{_style()}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


@cache
def _style() -> str:
    return resources.files("mistcalc.fleet").joinpath("page.css").read_text("utf-8")


def _text(text: object) -> str:
    return html.escape(str(text))


def _head(key: str, locale: Locale) -> str:
    return f"<h2>{_text(locale.label(f'fleet.{key}'))}</h2>"


# ------------------------------------------------------------------ sections


def _exceptions(report: FleetReport, locale: Locale) -> Iterator[str]:
    yield _head("head_exceptions", locale)
    if not report.errors and not report.found:
        yield f"<p>{_text(locale.label('fleet.no_exceptions'))}</p>"
        return
    yield "<ul class=groups>"
    for error in report.errors:
        yield _group("error", locale.label("fleet.level_error"), error.text, error.lots, locale)
    for group in report.found:
        level = group.finding.level
        yield _group(level, locale.label(f"level.{level}"), group_text(group, locale), group.lots, locale)
    yield "</ul>"


def _group(level: str, word: str, text: str, lots: Sequence[str], locale: Locale) -> str:
    count = locale.label("fleet.lots", count=len(lots))
    names = lot_names(lots, MOST_LOTS, locale)
    return (
        f"<li class={level}><b>{_text(word)}</b> <b>{_text(count)}</b> {_text(text)} "
        f"<span class=names>{_text(names)}</span></li>"
    )


def _facing(report: FleetReport, locale: Locale) -> Iterator[str]:
    if not report.families:
        return
    yield _head("head_facing", locale)
    yield f"<p>{_text(locale.label('fleet.facing_how'))}</p>"
    if not report.costliest:
        yield f"<p>{_text(locale.label('fleet.facing_none'))}</p>"
    for family in report.costliest:
        rows = []
        for facing, cost, lots in family.ways:
            warmer = "" if cost.warmer is None else locale.number(cost.warmer, "tenth")
            less = locale.number(cost.less, "tenth") if cost.less else locale.label("fleet.best")
            rows.append((side(facing, locale), less, warmer, lot_names(lots, MOST_LOTS, locale)))
        heads = [locale.label(f"fleet.facing_{name}") for name in ("looks", "less", "warmer", "lots")]
        yield _details(facing_text(family, locale), _table(heads, rows, plan_text(family, locale)))


def _orders(lines: Sequence[OrderLine], locale: Locale) -> Iterator[str]:
    if not lines:
        return
    yield _head("head_orders", locale)
    yield f"<p>{_text(locale.label('fleet.orders_how'))}</p>"
    heads = [
        locale.label(f"materials_csv.{name}")
        for name in ("part", "quantity", "detail", "when", "pack", "buy", "price", "total")
    ]
    for (phase, plan), found in groupby(lines, key=lambda line: (line.phase, line.plan)):
        of_plan = list(found)
        lots = max(line.lots for line in of_plan)
        key = "fleet.orders_phase" if phase else "fleet.orders_plan"
        title = locale.label(key, phase=phase, plan=plan, lots=locale.label("fleet.lots", count=lots))
        rows = [_order_row(line, locale) for line in of_plan]
        used = [
            n for n, _ in enumerate(heads) if any(row[n] for row in rows)
        ]  # no packs, no prices: no column
        shown = [[row[n] for n in used] for row in rows]
        yield _details(title, _table([heads[n] for n in used], shown, title))


def _order_row(line: OrderLine, locale: Locale) -> tuple[str, ...]:
    row = line.bought
    packed = row.pack > 1
    return (
        part_name(row.part, locale), locale.number(row.part.quantity, "whole"),
        part_detail(row.part, locale),
        locale.label(f"materials_csv.{'rough_in' if row.rough_in else 'later'}"),
        str(row.pack) if packed else "", locale.number(row.buy, "whole") if packed else "",
        "" if row.price is None else f"{locale.number(float(row.price), 'price')} {line.currency}",
        "" if row.total is None else f"{locale.number(float(row.total), 'money')} {line.currency}",
    )  # fmt: skip


def _lots(report: FleetReport, packs: dict[str, str], locale: Locale) -> Iterator[str]:
    rows = report.fleet.rows
    yield _head("head_lots", locale)
    if len(rows) > MOST_ROWS:
        yield f"<p>{_text(locale.label('fleet.too_many', count=len(rows)))}</p>"
        return
    heads = [locale.label(f"fleet.col_{name}") for name in COLUMNS]
    cells = (_lot_row(report, row, locale) for row in rows)
    links = [packs.get(row.lot.name, "") if row.error is None else "" for row in rows]
    yield _table(heads, cells, locale.label("fleet.head_lots"), links)


def _lot_row(report: FleetReport, row: FleetRow, locale: Locale) -> tuple[str, ...]:
    lot = row.lot
    answer = None if row.error is not None else report.fleet.answer_of(row.key)
    state = locale.label(f"fleet.state_{state_of(row, answer)}")
    mirrored = f"{lot.plan}, {locale.label('fleet.mirrored')}" if lot.mirrored else lot.plan
    if answer is None:
        return lot.name, lot.phase, mirrored, "", lot.climate, state, "", "", "", error_text(row, locale)
    cooler = ""
    if answer.afternoons:
        low, _, high = answer.afternoons[0].drop
        cooler = locale.span(low, high)
    return (
        lot.name, lot.phase, mirrored, side(row.facing, locale), row.climate, state, str(answer.marks),
        locale.number(answer.flow, "flow"), cooler, wrong_text(answer, locale),
    )  # fmt: skip


def _cautions(groups: Sequence[FindingGroup], locale: Locale) -> Iterator[str]:
    if not groups:
        return
    yield _head("head_cautions", locale)
    yield f"<p>{_text(locale.label('fleet.cautions'))}</p>"
    yield "<ul class=groups>"
    for group in groups:
        level = group.finding.level
        text = f"{group_text(group, locale)} ({locale.label('fleet.lots', count=len(group.lots))})"
        yield f"<li class={level}><b>{_text(locale.label(f'level.{level}'))}</b> {_text(text)}</li>"
    yield "</ul>"


# ------------------------------------------------------------------ pieces


def _details(summary: str, inner: str) -> str:
    return f"<details><summary>{_text(summary)}</summary>\n{inner}\n</details>"


def _table(
    heads: Sequence[str], rows: Iterable[Sequence[str]], name: str, links: Sequence[str] | None = None
) -> str:
    """links: where the first cell of each row leads; "" for nowhere."""
    made = []
    for number, row in enumerate(rows):
        first, *rest = map(_text, row)
        if links is not None and links[number]:
            first = f'<a href="{_text(links[number])}/sheets.pdf">{first}</a>'
        made.append(f"<tr><th scope=row>{first}</th>{''.join(f'<td>{cell}</td>' for cell in rest)}</tr>")
    top = "".join(f"<th scope=col>{_text(head)}</th>" for head in heads)
    return (
        f'<div class=wide tabindex=0 role=region aria-label="{_text(name)}"><table>\n'
        f"<thead><tr>{top}</tr></thead>\n<tbody>\n{chr(10).join(made)}\n</tbody></table></div>"
    )
