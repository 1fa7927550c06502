"""The site log: read, added to, joined; and what a telephone, a text editor or a power cut makes of one."""

import datetime
import json

import pytest

from mistcalc import words
from mistcalc.errors import InputErrors
from mistcalc.files import (
    append_site_log,
    merge_logs,
    parse_site_log,
    read_site_log,
    site_entry,
    site_log_path,
)
from mistcalc.files.site_log import site_line

PSI = 6894.757293168
GOOD = '{"when": "2027-03-01T08:00", "who": "P", "mark": "", "field": "test gauge", "value": "995 psi"}'


def test_a_line_is_read_in_si():
    (entry,) = parse_site_log(GOOD)
    assert entry.when == datetime.datetime(2027, 3, 1, 8, 0)
    assert (entry.field, entry.value, entry.who) == ("test gauge", "995 psi", "P")
    assert entry.amount == pytest.approx(995 * PSI)
    (warm,) = parse_site_log('{"when": "2027-03-01", "field": "watch tube", "value": "20 degC"}')
    assert warm.amount == pytest.approx(293.15)


def test_what_is_no_quantity_is_kept_as_written():
    text = "\n".join(
        json.dumps({"when": "2027-03-01", "mark": "A7", "field": field, "value": value})
        for field, value in (("measured", "15'-0 1/8\""), ("drilled", True), ("photo number", 17))
    )
    assert [e.value for e in parse_site_log(text)] == ["15'-0 1/8\"", True, 17.0]
    assert [e.amount for e in parse_site_log(text)] == [None] * 3


def test_times_with_offsets_compare():
    early, late = parse_site_log(
        '{"when": "2027-03-01T08:00-07:00", "field": "note", "value": ""}\r\n\r\n'
        '{"when": "2027-03-01T15:30Z", "field": "note", "value": "x"}\n'
    )
    assert late.when - early.when == datetime.timedelta(minutes=30)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("when, field", "no JSON object"),
        ("[1, 2]", "no JSON object"),
        ("null", "no JSON object"),
        ('{"when": NaN}', "no JSON object"),
        ("[" * 100_000, "no JSON object"),
        ('{"when": "2027-03-01", "field": "te', "breaks off"),
        ('{"field": "test gauge"}', "no when and value"),
        ('{"when": "2027-03-01", "when": "2027", "field": "n", "value": ""}', "stands twice"),
        ('{"when": "2027-03-01", "field": "n", "value": "", "foto": "1"}', "Is photo meant?"),
        ('{"when": "yesterday", "field": "n", "value": ""}', "no time"),
        ('{"when": "0001-01-01T00:00+14:00", "field": "n", "value": ""}', "no time"),
        ('{"when": 5, "field": "n", "value": ""}', "must be text"),
        ('{"when": "2027-03-01", "field": "n", "value": "", "who": "%s"}' % ("x" * 600), "must be text"),
        ('{"when": "2027-03-01", "field": "n", "value": "\\ud800"}', "must be text, a number"),
        ('{"when": "2027-03-01", "field": "n", "value": null}', "must be text, a number"),
        ('{"when": "2027-03-01", "field": "n", "value": 1e999}', "must be text, a number"),
        ('{"when": "2027-03-01", "field": "n", "value": %s}' % ("9" * 400), "must be text, a number"),
        ('{"when": "2027-03-01", "field": "test guage", "value": "1 psi"}', 'Is "test gauge" meant?'),
        ('{"when": "2027-03-01", "field": "test gauge", "value": "995"}', "no unit"),
        ('{"when": "2027-03-01", "field": "test gauge", "value": 995}', "no unit"),
        ('{"when": "2027-03-01", "field": "test gauge", "value": "20 degC"}', "measures"),
        ('{"when": "2027-03-01", "field": "test gauge", "value": "-5 psi"}', "must lie between"),
        ('{"when": "2027-03-01", "field": "test gauge", "value": "99999 psi"}', "0 psi and 2,900 psi"),
        ('{"when": "2027-03-01", "field": "watch vessel", "value": "900 degF"}', "23 °F and 194 °F"),
        ('{"when": "2027-03-01T08:00Z", "field": "n", "value": ""}', "offset from UTC"),
    ],
)  # fmt: skip
def test_a_bad_line_is_told_with_its_number(line, told):
    with pytest.raises(InputErrors) as caught:
        parse_site_log(f"{GOOD}\n{line}", "job.site.jsonl")
    (mistake,) = caught.value.mistakes
    assert mistake.line == 2
    said = words.say(caught.value)
    assert said.startswith("job.site.jsonl line 2") and told in said and len(said) < 400


def test_every_mistake_is_told_and_endless_ones_are_cut():
    with pytest.raises(InputErrors) as caught:
        parse_site_log("\n".join([GOOD, "x", GOOD, "y"]))
    assert [m.line for m in caught.value.mistakes] == [2, 4]
    with pytest.raises(InputErrors) as caught:
        parse_site_log("x\n" * 1000)
    assert len(caught.value.mistakes) == 21


def test_what_is_no_log_at_all(tmp_path):
    assert parse_site_log(b"") == ()
    assert parse_site_log(b"\xef\xbb\xbf" + GOOD.encode()) == parse_site_log(GOOD)
    for raw in (b"\xff\xfe\x00", GOOD.encode("utf-16")):
        with pytest.raises(InputErrors):
            parse_site_log(raw)
    for path in (tmp_path, tmp_path / "none"):
        with pytest.raises(InputErrors) as caught:
            read_site_log(path)
        assert str(path) in words.say(caught.value)


def test_a_log_only_grows_and_takes_nothing_twice(tmp_path):
    log = site_log_path(tmp_path / "court.toml")
    assert log.name == "court.site.jsonl"
    first, second = parse_site_log(GOOD), parse_site_log(GOOD.replace("995", "990"))
    assert append_site_log(log, first) == first
    before = log.read_bytes()
    assert append_site_log(log, merge_logs([first, second, second])) == second
    assert log.read_bytes().startswith(before)
    assert read_site_log(log) == (*first, *second)
    assert append_site_log(log, first) == ()


def test_a_log_without_its_last_line_end_is_not_run_together(tmp_path):
    log = tmp_path / "a.jsonl"
    log.write_text(GOOD)
    added = site_entry(datetime.datetime(2027, 3, 2), "test tube", "70 degF")
    append_site_log(log, [added])
    assert read_site_log(log)[1] == added
    assert parse_site_log(site_line(added)) == (added,)


def test_what_is_added_together_is_there_in_full_or_not_at_all(tmp_path, monkeypatch):
    log = tmp_path / "a.jsonl"
    log.write_text(GOOD)
    visit = [site_entry(datetime.datetime(2027, 3, 2), "test tube", f"{t} degF") for t in (70, 71, 72)]

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch, pytest.raises(OSError):
        patch.setattr("mistcalc.files.atomic_write.os.fsync", full)
        append_site_log(log, visit)
    assert log.read_text() == GOOD
    assert append_site_log(log, visit) == tuple(visit)
    assert len(read_site_log(log)) == 4


def test_a_broken_log_is_left_as_it_is(tmp_path):
    log = tmp_path / "a.jsonl"
    log.write_text(GOOD + "\n" + GOOD[:30])
    with pytest.raises(InputErrors):
        append_site_log(log, parse_site_log(GOOD.replace("995", "990")))
    assert log.read_text() == GOOD + "\n" + GOOD[:30]
    with pytest.raises(InputErrors):
        merge_logs([parse_site_log(GOOD), parse_site_log(GOOD.replace("08:00", "08:00Z"))])
