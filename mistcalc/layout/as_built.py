"""From lines of the site log to holes: which marks are drilled, and where they were found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from mistcalc.model.earlier_set import EarlierMark, EarlierSet
from mistcalc.model.results import AsBuilt, Layout, Mark
from mistcalc.model.site_log import SiteEntry
from mistcalc.model.site_readings import entries_of


def drilled_holes(
    layouts: Sequence[Layout | EarlierSet], entries: Iterable[SiteEntry]
) -> tuple[AsBuilt, ...]:
    """Every mark of the plan in its order, then those that only the log knows.

    entries: lines of the log that count (`apply_strikes`), in any order. Of several that say the same of a
    mark the last in time counts. A hole that was measured is there, whether or not a line says drilled; why
    a mark could not be drilled is told until it is.
    """
    of_mark: dict[str, dict[SiteEntry, str]] = {}
    names = entries_of("mark", entries)
    for entry in sorted(names, key=_in_time):
        of_mark.setdefault(entry.mark.strip(), {})[entry] = names[entry]
    planned: dict[str, Mark | EarlierMark] = {m.name: m for layout in layouts for m in layout.marks}
    alone = [name for name in of_mark if name not in planned]
    return (
        *(_hole(name, of_mark.get(name, {}), mark) for name, mark in planned.items()),
        *(_hole(name, of_mark[name], None) for name in sorted(alone)),
    )


def beside_wood(hole: AsBuilt, layout: Layout, bit: float) -> AsBuilt:
    """A measured hole with how far its edge is from the nearest joist across its run; below zero it is in it.
    bit: across the hole [m]."""
    across = [
        (m.along, m.width)
        for m in layout.lid.members
        if m.run == layout.lid.run_of(hole.run) and m.along is not None
    ]
    if hole.measured is None or not across:
        return hole
    clear = min(abs(hole.measured - along) - (width + bit) / 2 for along, width in across)
    return replace(hole, wood_clear=clear)


def _in_time(entry: SiteEntry) -> tuple[object, ...]:
    """Logs joined in any order give the same order of time, also of lines written in one moment."""
    return entry.when, entry.field, str(entry.value), entry.who, entry.revision, entry.photo


def _hole(name: str, told: dict[SiteEntry, str], mark: Mark | EarlierMark | None) -> AsBuilt:
    last = {field: entry for entry, field in told.items()}  # in the order of time: the last stays
    drilled, measured, cannot = (last.get(field) for field in ("drilled", "measured", "cannot"))
    done = drilled or measured
    stands = cannot is not None and (done is None or _in_time(cannot) > _in_time(done))
    notes = [(str(e.value), e.photo) for e, field in told.items() if field == "note"]
    back = last.get("back")
    return AsBuilt(
        name=name,
        patio=mark.patio if mark else "",
        run=mark.run if mark else "",
        plan=mark.along if mark else None,
        plan_back=mark.back if mark else None,
        drilled=bool(mark and mark.drilled) or done is not None,
        set_out=drilled.amount if drilled else None,
        measured=measured.amount if measured else None,
        back=back.amount if back else None,
        cannot=str(cannot.value) if cannot is not None and stands else "",
        notes=tuple(notes),
        revision=done.revision if done else "",
    )
