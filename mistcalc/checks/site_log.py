"""What of a site log no longer counts, so that nobody need wonder where a reading went."""

from __future__ import annotations

from mistcalc.model.results import Finding, Level
from mistcalc.model.site_log import CurrentLog, SiteEntry, strike_of


def struck_findings(log: CurrentLog) -> tuple[Finding, ...]:
    """Strikes that meet no line first, then every line struck out, with when and by whom."""
    idle = [_of_strike("site-strike-idle", "warn", str(strike.value), strike) for strike in log.idle]
    return (
        *idle,
        *(_of_strike("site-struck", "note", strike_of(strike.entry), strike.by) for strike in log.struck),
    )


def _of_strike(code: str, level: Level, line: str, by: SiteEntry) -> Finding:
    values = (
        ("line", line),
        ("when", by.when.isoformat(" ", "minutes")),
        ("who", by.who),
        ("place", by.mark),
    )
    return Finding(code, level, "site log", source="site log", values=values)
