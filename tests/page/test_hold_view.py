"""Test and watch on the page: readings are typed, kept in the site log, answered; nothing wrong is kept."""

import pytest

from mistcalc.files import read_site_log
from mistcalc.page import store
from tests.page.test_views import opened, own_folder, run, shown  # noqa: F401

pytestmark = pytest.mark.thorough


def write_down(app, identity, kind, what, when, **values):
    key = f"hold:{identity}:{kind}"
    app.radio(key=f"{key}:what").set_value(what)
    app.text_input(key=f"{key}:when").set_value(when)
    for name in ("gauge", "tube", "vessel"):
        if name != "vessel" or kind == "watch":
            app.text_input(key=f"{key}:{name}").set_value(values.get(name, ""))
    next(b for b in app.button if b.label == "Write it down" and key in b.form_id).click()
    return run(app)


def steps(app) -> list[str]:
    return [fold.label for fold in app.expander]


def test_readings_are_kept_and_answered():
    app, identity = opened("line")
    assert "1 Test by gauge" in steps(app)
    app = write_down(app, identity, "test", "start", "2027-03-01 08:00", gauge="1000 psi", tube="70 degF")
    app = write_down(app, identity, "test", "gauge", "2027-03-01 08:15", gauge="200 psi", tube="70 degF")
    assert "LEAK" in shown(app)
    log = store.site_log(identity)
    assert [e.field for e in read_site_log(log)] == ["test start", "test tube", "test gauge", "test tube"]
    before = log.read_bytes()
    app = write_down(app, identity, "test", "gauge", "soon", gauge="200", tube="70 degF")
    assert "is no time" in shown(app)
    app = write_down(app, identity, "test", "gauge", "2027-03-01 08:20", gauge="200", tube="70 degF")
    assert "no unit" in shown(app)
    app = write_down(app, identity, "test", "gauge", "2027-03-01 08:20", tube="70 degF")
    assert "Type what the gauge read" in shown(app)
    assert log.read_bytes() == before
    again, _ = opened("line")
    assert "LEAK" not in shown(again)  # another project has a log of its own


def test_after_a_reading_the_form_is_ready_for_the_next_and_says_what_it_kept():
    """Later a gauge alone is typed: it was kept as a second start, at the first one's time."""
    app, identity = opened("line")
    for kind in ("test", "watch"):
        key = f"hold:{identity}:{kind}"
        assert app.radio(key=f"{key}:what").value == "start"
        app = write_down(app, identity, kind, "start", "2020-03-02 08:00", gauge="100 psi", tube="70 degF")
        assert "Written down: the start, 2020-03-02 08:00, 100 psi." in shown(app)
        assert [app.text_input(key=f"{key}:{name}").value for name in ("when", "gauge", "tube")] == [""] * 3
        app.text_input(key=f"{key}:gauge").set_value("90 psi")
        next(b for b in app.button if b.label == "Write it down" and key in b.form_id).click()
        app = run(app)
        start, *_, later = (e for e in read_site_log(store.site_log(identity)) if e.field.startswith(kind))
        assert later.field == f"{kind} gauge" and later.when > start.when


def test_each_step_says_when_to_read_and_warns_of_its_own_work():
    """The watch, which needs a vessel on the line, said: no watch vessel on the line."""
    app, _ = opened("line")
    test, watch = (
        " ".join(html.proto.body for html in fold.get("html")).split("Type readings")[0]
        for fold in app.expander[:2]
    )
    assert "no watch vessel on the line" in test and "after 5, 10 and 15 minutes" in test
    assert "no watch vessel on the line" not in watch and "Daily at dawn" in watch
    assert "Let the pressure down, gauge at 0" in watch
    assert all("bursts at test pressure" in step for step in (test, watch))


def test_no_plaster_no_watch():
    app, _ = opened("line", "terraza")
    assert "1 Test by gauge" in steps(app) and "2 Call-back" in steps(app)


def test_a_line_typed_wrongly_is_struck_out():
    app, identity = opened("line")
    app = write_down(app, identity, "test", "start", "2027-03-01 08:00", gauge="1000 psi", tube="70 degF")
    app = write_down(app, identity, "test", "gauge", "2027-03-01 08:15", gauge="200 psi", tube="70 degF")
    assert "LEAK" in shown(app)
    box = app.selectbox(key=f"strike:{identity}:line")
    box.select(next(option for option in box.options if "200 psi" in option))
    next(b for b in app.button if b.label == "Strike it out").click()
    app = run(app)
    assert "LEAK" not in shown(app) and "<s>200 psi</s>" in shown(app)
    log = read_site_log(store.site_log(identity))
    assert [e.field for e in log][-1] == "strike" and len(log) == 5
    app = write_down(app, identity, "test", "gauge", "2027-03-01 08:15", gauge="990 psi", tube="70 degF")
    assert "HOLDS" in shown(app)


def test_readings_of_a_test_are_no_step_of_the_view_on_site():
    """With a gauge in the site log, and no hole, the steps on site went 1, 2, 4."""
    app, identity = opened("line")
    write_down(app, identity, "test", "start", "2027-03-01 08:00", gauge="1000 psi", tube="70 degF")
    app.query_params["view"] = "on-site"
    told = shown(run(app))
    assert "3. The next set of sheets" in told and "4. The next set" not in told
