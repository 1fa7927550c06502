"""Which lines of a site log make one call-back, and what its sheet says."""

import datetime

import pytest

from mistcalc.line import call_backs
from mistcalc.model.site_log import SiteEntry

NOON = datetime.datetime(2027, 7, 1, 12)


def entry(field, value, *, hours=0.0, zone=""):
    amount = value if isinstance(value, float) else None
    when = NOON + datetime.timedelta(hours=hours)
    return SiteEntry(when, field, value, mark=zone, amount=amount)


def test_readings_within_three_hours_of_the_last_are_one_visit():
    log = [
        entry("call-back gauge", 6.0e6, hours=-26),  # the day before
        entry("call-back meter", 5.0e-5, hours=-2),
        entry("call-back gauge", 6.5e6, hours=-1),
        entry("call-back gauge", 6.6e6),  # read again: this one counts
        entry("test gauge", 1.0e6, hours=1),  # no reading of a call-back
    ]
    (visit,) = call_backs(log)
    assert (visit.readings.gauge, visit.readings.meter) == (6.6e6, 5.0e-5)
    assert visit.when == NOON and visit.sheet is None


@pytest.mark.parametrize("written", ["A7, B2", "A7 B2", "A7;B2"])
def test_weak_marks_are_a_list_and_none_is_an_answer(written):
    assert call_backs([entry("call-back weak", written)])[0].readings.weak == ("A7", "B2")
    assert call_backs([entry("call-back weak", "None")])[0].readings.weak == ()


def test_zones_are_visits_of_their_own_in_the_order_of_time():
    log = [entry("call-back gauge", 6e6, zone="pool"), entry("call-back gauge", 5e6, hours=-9, zone="bar")]
    assert [visit.readings.zone for visit in call_backs(log)] == ["bar", "pool"]


def test_a_sheet_is_what_was_read_before_and_wants_gauge_and_meter():
    visit = entry("call-back far", 1.8e-6)
    gauge, meter = (
        entry(f"commissioning {n}", v, hours=-9.0) for n, v in (("gauge", 6.9e6), ("meter", 5e-5))
    )
    cups = [entry(f"commissioning {name}", 1.8e-6, hours=-999.0) for name in ("near", "far")]
    assert call_backs([visit, gauge, *cups])[0].sheet is None
    sheet = call_backs([visit, gauge, meter, *cups])[0].sheet
    assert sheet is not None and (sheet.gauge, sheet.meter, sheet.inlet) == (6.9e6, 5e-5, None)
    assert (sheet.near, sheet.far) == (1.8e-6, 1.8e-6)
    later = entry("commissioning meter", 5e-5, hours=1)  # written after the visit: not what the line was
    assert call_backs([visit, gauge, later])[0].sheet is None
