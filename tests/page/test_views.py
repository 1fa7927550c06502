"""Every view drawn by Streamlit's own test runner: no exception, the right figures, edits that follow.

The runner cannot drive the lid component; tests/browser does.
"""

from __future__ import annotations

import html
import math
import re
from base64 import b64decode
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import design, files, units
from mistcalc.files import read_site_log
from mistcalc.model.results import year_middle
from mistcalc.page import store
from mistcalc.page.open_project import VIEWS
from mistcalc.page.views import background_work, components, lid
from tests.short_year import one_month

pytestmark = pytest.mark.thorough

APP = Path(__file__).resolve().parents[2] / "app.py"
PATIENCE = 300  # s, for a cold start and the air of a patio on a busy machine


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))


def opened(view: str, example: str = "courtyard", text: str = "") -> tuple[AppTest, str]:
    identity = store.create(text or one_month(files.example_text(example)))
    app = AppTest.from_file(str(APP), default_timeout=2 * PATIENCE)
    app.query_params["project"] = identity
    app.query_params["view"] = view
    return run(app), identity


def run(app: AppTest) -> AppTest:
    """Run until nothing is being worked out any more. Here the script waits for its work: to look for it
    again and again, as a browser does, takes more than the work."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(background_work, "AT_ONCE", PATIENCE)
        patch.setattr(lid, "FOLLOWS_AT_ONCE", PATIENCE)
        app.run()
    assert not any(str(button.key).startswith("stop-") for button in app.button)
    assert not app.exception, app.exception[0].message
    return app


def shown(app: AppTest) -> str:
    """All markup of a run, pictures left out."""
    return " ".join(element.proto.body for element in app.get("html"))


def field(app: AppTest, title: str):
    return next(widget for widget in app.text_input if widget.label == title)


# The years and the ways of two houses take ten seconds each, and other tests open those views of one.
VIEWED = [
    pytest.param(view, example, marks=pytest.mark.long if slow and example != "terraza" else ())
    for view in VIEWS
    for slow in [view in ("season", "options")]
    for example in files.EXAMPLES
]


@pytest.mark.parametrize(("view", "example"), VIEWED)
def test_every_view_of_every_demo_stands(view, example):
    app, _ = opened(view, example)
    assert "<h1>" in shown(app)
    words = re.sub(r"base64,[^\"]*", "", shown(app)).lower()
    assert "nan" not in words.replace("finance", "")


def test_first_page_opens_a_demo():
    app = run(AppTest.from_file(str(APP), default_timeout=2 * PATIENCE))
    app.button(key="example-bayou").click()
    run(app)
    assert "Heron Slip" in shown(app)
    assert store.known(app.query_params["project"])


def test_an_address_of_no_project_is_said_in_a_sentence():
    app = AppTest.from_file(str(APP), default_timeout=2 * PATIENCE)
    app.query_params["project"] = "../../etc/passwd"
    assert "no project at this address" in shown(run(app))


def test_a_pitch_typed_in_moves_the_marks_and_is_saved():
    app, identity = opened("lid")
    assert "28 marks at one equal pitch of 24 in" in shown(app)
    field(app, "Pitch wanted").set_value("30 in")
    run(app)
    assert "pitch of 24 in" not in shown(app)  # 30 in falls on 16 in joists, so a pitch near it is taken
    assert "not 30 in" in shown(app) or "pitch of 30 in" in shown(app)
    assert 'pitch            = "30 in"' in store.read(identity)


def test_a_value_without_its_unit_is_refused_beside_the_field_and_nothing_is_saved():
    app, identity = opened("lid")
    before = store.read(identity)
    field(app, "Pitch wanted").set_value("30")
    run(app)
    assert "has no unit" in shown(app)
    assert store.read(identity) == before
    assert field(app, "Pitch wanted").value == "30"  # what was typed stays, to be mended


def test_a_value_that_makes_no_project_is_refused_with_its_sentence():
    app, identity = opened("lid")
    before = store.read(identity)
    field(app, "Pitch wanted").set_value("-2 ft")
    run(app)
    assert store.read(identity) == before
    assert 'class="refused"' in shown(app)
    assert "Pitch wanted is " in shown(app) and "patio[court]" not in shown(app)


def test_a_smaller_clearance_typed_in_as_the_finding_asks_leaves_the_thing_where_it_is():
    app, identity = opened("lid")
    before = files.parse_project(store.read(identity)).patios[0].obstacles
    assert "Move it" in shown(app)
    assert field(app, "L2: clearance, no hole within").value == "36 in"
    field(app, "L2: clearance, no hole within").set_value("1 ft 6 in")
    run(app)
    assert "Move it" not in shown(app)
    after = files.parse_project(store.read(identity)).patios[0].obstacles
    assert [(thing.name, thing.along, thing.back) for thing in after] == [
        (thing.name, thing.along, thing.back) for thing in before
    ]


def test_the_questions_speak_the_units_of_the_first_length_that_is_typed():
    app = AppTest.from_file(str(APP), default_timeout=2 * PATIENCE)
    app.query_params["new"] = "1"
    run(app)
    town = next(box for box in app.selectbox if box.label == "Town")
    town.select("Tampa, FL")
    field(app, "Height").set_value("2,70 m")
    assert "miles" in shown(run(app))
    field(app, "A, along the open edge").set_value("9 metros")
    told = shown(run(app))
    assert "Read as 9 m." in told and "Read as 2700 mm." in told
    assert re.search(r" km south", told) and "miles" not in told and " ft" not in told
    field(app, "A, along the open edge").set_value("29 ft")
    assert "miles" in shown(run(app)) and "Read as 8 ft 10-1/4 in." in shown(app)


def test_undo_brings_back_the_text_to_the_letter():
    app, identity = opened("line")
    before = store.read(identity)
    field(app, "Set pressure").set_value("800 psi")
    run(app)
    assert store.read(identity) != before
    app.button(key="undo").click()
    run(app)
    assert store.read(identity) == before
    assert field(app, "Set pressure").value == "1000 psi"
    app.button(key="redo").click()
    run(app)
    assert field(app, "Set pressure").value == "800 psi" and app.button(key="redo").disabled


def test_a_smaller_nozzle_asks_less_of_the_pump():
    def total(app: AppTest) -> float:
        told = shown(app).split("Flow of all 28 nozzles</th><td>")[1]
        return float(told.split(" gpm")[0])

    app, _ = opened("line")
    before = total(app)
    field(app, "Nozzle flow").set_value("0.020 gpm")
    run(app)
    # Same line, same pressure: the flow falls as the nozzles' (0.020 / 0.029), friction aside (under 1 %).
    assert total(app) / before == pytest.approx(0.020 / 0.029, rel=0.01)


def test_the_line_is_drawn_with_its_pressures_and_five_numbers_for_the_wall():
    """What stands on the screen is what the paper's own drawing says."""
    app, _ = opened("line", "bayou")
    text = shown(app)
    source = re.search(r'class="scroll diagram".*?base64,([^"]*)"', text)
    assert source
    drawn = b64decode(source[1]).decode()
    assert all(f">{said}<" in drawn for said in ("A1", "A8", "PUMP", "1,000 psi", "995 psi"))
    assert text.split('class="wall-numbers"')[1].split("</div></div>")[0].count("<b>") == 5
    assert text.index("Line and pump:") < text.index("scroll diagram") < text.index("wall-numbers")


def test_a_nameplate_typed_in_is_checked_item_by_item():
    app, identity = opened("line", "bayou")
    before = shown(app)  # no plate: what to buy, a relief valve for 1,000 psi among it, not judged
    row = before.split("Relief valve opens at</th><td>")[1]
    assert row.startswith("1,100 psi to 1,250 psi</td><td></td>")
    stands = store.read(identity)
    keep = next(button for button in app.button if button.label == "Keep what the plate says")
    plate = {"flow": "1.5 gpm", "pressure": "800", "motor": "1,5 hp", "volts": "115 V"}
    for name, text in plate.items():
        assert field(app, f"Nameplate {name}").value == ""  # what the line wants is on no plate yet
        field(app, f"Nameplate {name}").set_value(text)
    keep.click()
    run(app)
    assert "Nameplate pressure: 800 has no unit" in shown(app)
    assert store.read(identity) == stands
    field(app, "Nameplate pressure").set_value("800 psi")
    next(button for button in app.button if button.label == "Keep what the plate says").click()
    run(app)
    assert "nameplate" in store.read(identity)
    told = shown(app)
    assert "Line and pump: FAIL" in told and "The nameplate says 800 psi" in told
    row = told.split("At pressure</th><td>")[1]
    assert row.startswith("800 psi (1,000 psi or more)</td><td>FAIL<")


def test_a_call_back_typed_in_is_kept_and_answered_and_a_slip_is_said_and_not_kept():
    app, identity = opened("line")
    form = {
        "Gauge at the pump": "1000 psi",
        "House meter, all else off": "0.69 gpm",
        "Gauge that day": "1000 psi",
        "Meter that day": "0.81 gpm",
    }
    for title, text in form.items():
        field(app, title).set_value(text)
    field(app, "Marks that mist less (or: none)").set_value("A3, A9, B2, B5")
    field(app, "Gauge on the far-end port").set_value("990")
    (cup, *_) = (one.label for one in app.text_input if "by hose into a cup" in one.label)
    field(app, cup).set_value("107")
    press(app, "Work it out")
    told = html.unescape(shown(app))
    assert "Gauge on the far-end port: 990 has no unit" in told
    assert f'{cup}: 107 has no unit. Write "107 mL/min".' in told
    field(app, cup).set_value("")
    assert not store.site_log(identity).exists()
    field(app, "Gauge on the far-end port").set_value("")
    press(app, "Work it out")
    kept = read_site_log(store.site_log(identity))
    assert len(kept) == 5 and {e.field.split()[0] for e in kept} == {"call-back", "commissioning"}
    assert "plugged nozzles, about" in shown(app) and "Begin with A3, A9, B2 and B5." in shown(app)


def press(app: AppTest, title: str) -> None:
    next(button for button in app.button if button.label == title).click()
    run(app)


def test_joists_as_framed_are_taken_from_a_list():
    app, identity = opened("lid")
    field(app, "Run B: joist centers as framed").set_value("15-1/4 in; 2 ft 8 in; 4 ft; 5 ft 4 in; 20 ft")
    run(app)
    framing = files.parse_project(store.read(identity)).patios[0].runs[1].framing
    assert framing.as_framed and len(framing.centres) == 5


def test_units_switch_with_the_project_and_back():
    app, identity = opened("afternoon")
    before = files.parse_project(store.read(identity))
    assert "°F" in shown(app)
    app.button(key="units").click()
    run(app)
    assert "°F" not in shown(app) and "°C" in shown(app)
    told = files.parse_project(store.read(identity))
    assert told.units == "metric" and told.assumed == before.assumed


def test_cooling_is_a_range_on_three_afternoons_beside_each_other():
    app, _ = opened("afternoon")
    text = shown(app)
    assert text.split('class="ranges"')[1].count('class="shape') == 9  # three places on three afternoons
    assert [text.index(f"{day} afternoon,") for day in ("Hot", "Typical", "Humid")] == sorted(
        text.index(f"{day} afternoon,") for day in ("Hot", "Typical", "Humid")
    )
    assert "same shade with the mist off" in text


def test_the_seasons_calendar_counts_the_days_that_are_noticed():
    """Its cells sum to the middle year's hours at the seats, as the words beside it say them."""
    app, identity = opened("season")
    text = shown(app)
    assert "evenings a year" in text.split("</h1>")[0]
    project = files.parse_project(store.read(identity))
    told, _ = design.season_of(project, files.read_climate(files.climate_path("el-paso", None), "el-paso-tx"))
    days = year_middle(told.patios[0].outcomes["good"])
    cells = re.findall(r"<td[^>]*>(\d+|–|)</td>", text.split('class="calendar"')[1].split("</table>")[0])
    shown_days = [int(cell) for cell in cells if cell.isdigit()]
    assert sum(shown_days) == pytest.approx(days.sum(), abs=0.5 * len(cells))
    assert max(shown_days) == round(days.max()) and len(cells) == 6 + 1


def test_a_year_in_which_the_mist_never_runs_is_told_as_that():
    """ "You gain 0 evenings; the mist costs $0" stood over a calendar of dashes and an empty fold."""
    text = files.example_text("courtyard")
    for temperature, hotter in (("88 degF", "125 degF"), ("85 degF", "120 degF")):
        text = text.replace(f'"{temperature}"', f'"{hotter}"')
    app, _ = opened("season", text=text)
    told = shown(app)
    assert "the mist never runs in a typical year" in told.split("</h1>")[0]
    assert "918 are not warm enough" in re.sub(r"\s+", " ", told)
    assert "evenings" not in told.split("</h1>")[0] and 'class="calendar"' not in told
    assert "All the figures of the year" not in told


def test_what_is_remarked_of_a_years_table_stands_beneath_it():
    """It had stood in the head, over the figures."""
    app, _ = opened("season")
    heads = re.findall(r"<th scope=col>([^<]*)</th>", shown(app))
    assert "The bills with the mist less the bills without it" in shown(app)
    assert not [head for head in heads if head.endswith(".")]


def test_options_are_a_ladder_and_what_cannot_be_read_is_said_beneath_its_field():
    app, _ = opened("options", "terraza")
    assert shown(app).count("<tr><th scope=row>") >= 3 and "24 ways were worked out" in shown(app)
    assert shown(app).count('class="take') == shown(app).count('class="rung') >= 3
    rungs = re.findall(r'class="take( now)?">.*?([\d.]+ L)</div><div class="(rung[ off]*)"', shown(app))
    (at,) = (n for n, (now, _, _) in enumerate(rungs) if now)
    assert 0 < at < len(rungs) - 1 and rungs[at][2] == "rung off"  # between two rungs and none of them
    assert re.findall(r"\u2191 From ([\d.]+ L):", shown(app)) == [rungs[at + 1][1]]
    assert "Two ways side by side" in shown(app)
    asked = [widget.label for widget in app.text_input if "at most" in widget.label]
    assert len(asked) == 3 and "Motor, at most" not in asked  # a line on the mains has none
    field(app, "Water, at most").set_value("1 L/h")
    run(app)
    assert "nothing was relaxed" in shown(app) and "Two ways side by side" not in shown(app)
    field(app, "Water, at most").set_value("lots")
    run(app)
    assert 'class="refused"' in shown(app) and "ways were worked out" not in shown(app)


def test_a_way_taken_is_written_into_the_project_as_one_undo():
    app, identity = opened("options", "terraza")
    text = store.read(identity)
    before = files.parse_project(text)
    assert 'class="rows two-ways"' in shown(app) and "<i>A</i>" in shown(app)
    app.button(key="take-B").click()
    run(app)
    (patio,) = files.parse_project(store.read(identity)).patios
    (stated,) = before.patios
    assert (patio.marks.pitch, patio.line_behind_edge) != (stated.marks.pitch, stated.line_behind_edge)
    assert "as it is now" in shown(app) and app.button(key="take-B")
    store.undo(identity)
    assert store.read(identity) == text


def test_which_way_the_first_edge_looks_is_changed_as_one_looks_out():
    """The file holds the heading of the run as it is walked, the house on the left: a quarter turn less."""
    app, identity = opened("house")
    (field_of_it,) = (widget for widget in app.selectbox if str(widget.key).startswith("looks-"))
    before = files.parse_project(store.read(identity)).place.bearing
    assert math.degrees(before) + 90.0 == pytest.approx(field_of_it.value)
    field_of_it.set_value(270.0)
    app = run(app)
    after = files.parse_project(store.read(identity)).place
    assert math.degrees(after.bearing) == pytest.approx(180.0)
    assert after.north == ""  # the demo's words say where north was
    (field_of_it,) = (widget for widget in app.selectbox if str(widget.key).startswith("looks-"))
    assert field_of_it.value == 270.0


def test_a_season_without_prices_asks_for_them_and_tells_no_money_until_then():
    bare = re.sub(r"(?ms)^\[+(prices|tariff)[^\]]*\].*?(?=^\[(?!prices|\[prices|tariff))", "",
                  one_month(files.example_text("courtyard")))  # fmt: skip
    app, identity = opened("season", text=bare)
    project = files.parse_project(store.read(identity))
    assert project.tariff is None and project.prices.water is None
    assert "From your bills" in shown(app) and "Water and money" not in shown(app)
    field(app, "Price of water").set_value("7.50 per 1000 gal")
    app = run(app)
    cubic_meter = 7.50 / (1000 * 231 * 0.0254**3)  # a gallon is 231 cubic inches (NIST Handbook 44)
    assert files.parse_project(store.read(identity)).prices.water == pytest.approx(cubic_meter)
    assert "Water and money" in shown(app) and "From your bills" not in shown(app)


def test_how_it_feels_is_told_in_four_columns_with_what_the_index_is():
    text = shown(opened("afternoon")[0])
    columns = [text.index(f"<th scope=col>{c}</th>") for c in ("Nothing running", "Fan", "Mist", "Both")]
    assert columns == sorted(columns)
    assert "Feels like (SET): still indoor air" in text


@pytest.mark.parametrize("view", ["line", "afternoon"])
def test_cautions_stand_where_they_apply(view):
    app, _ = opened(view)
    told = shown(app)
    assert 'class="alert danger"' in told and 'class="alert caution"' in told
    assert "high-pressure injection" in told and "Legionella" in told  # in full
    assert told.index("goes through skin. Hands off") < told.index("high-pressure injection")


@pytest.mark.parametrize(("example", "grade", "said"), [
    ("courtyard", "danger", "Power off and locked"), ("terraza", "caution", "Water shut by hand and tagged"),
])  # fmt: skip
def test_boxes_stand_before_the_forms_of_test_and_call_back(example, grade, said):
    app, _ = opened("line", example)
    for head, form in (("Test by gauge", "Type readings"), ("Call-back", "Type what you read")):
        step = next(fold for fold in app.expander if head in fold.label)
        section = " ".join(element.proto.body for element in step.get("html")).split(form)[0]
        assert f'class="alert {grade}"' in section and said in section and "data:image/svg+xml" in section
    told = shown(app)
    assert told.index(f'class="alert {grade}"') < told.index(
        'class="wall-numbers"'
    )  # read with hands on the line
    off = "line locked out" if grade == "danger" else "water shut and tagged"
    cup = told[told.index(f"Cups: {off}") :]
    again = f"{off.capitalize()} again"
    assert cup.index("clear hose") < cup.index("hold the cup") < cup.index(again)


@pytest.mark.parametrize(
    ("value", "kind", "system", "spelled"),
    [
        (0.6096, "length", "us", "24 in"),
        (11.5824, "length", "us", "38 ft"),
        (27e-6, "length", "us", "27 um"),
        (1190.0, "length", "us", "1190 m"),
        (units.parse("15 ft 8-1/2 in", "length"), "length", "us", "15 ft 8-1/2 in"),
        (units.parse("-103 ft 11-15/16 in", "length"), "length", "us", "-103 ft 11-15/16 in"),
        (7e6, "pressure", "us", "70 bar"),
        (units.parse("1000 psi", "pressure"), "pressure", "us", "1000 psi"),
        (0.6, "length", "metric", "600 mm"),
    ],
)  # fmt: skip
def test_a_field_shows_what_a_person_would_type(value, kind, system, spelled):
    assert components.spelled(value, kind, system) == spelled
    assert units.parse(spelled, kind) == pytest.approx(value, rel=1e-12)


def test_all_sheets_are_there_to_take_away():
    app, _ = opened("paper")
    names = {getattr(button, "label", "") for button in app.get("download_button")}
    assert {"marks.csv", "plan.json", "line.inp"} <= names
    assert {"sheets-builder.pdf", "sheets-owner.pdf", "Framer, trade-framer.pdf"} <= names
    look = next(box for box in app.selectbox if box.label == "Sheet")
    assert {"Framer", "Painter"} <= set(look.options)
    calendar = next(title for title in look.options if "CLOSE-IN" in title.upper())
    look.select(calendar)
    run(app)
    (drawn,) = re.findall(r'alt="([^"]+)" src="data:image/svg[^,]*,([^"]+)"', shown(app))
    assert drawn[0] == calendar and "SCRATCH COAT" in b64decode(drawn[1]).decode()


def test_holes_of_the_site_log_stand_beside_the_plan_and_on_the_record():
    identity = store.create(files.example_text("courtyard"))
    lines = [
        '{"when": "2027-03-01T08:00", "field": "mark drilled", "mark": "A1", "value": "3\'-0\\""}',
        '{"when": "2027-03-01T08:01", "field": "mark measured", "mark": "A1", "value": "3\'-1\\""}',
        '{"when": "2027-03-01T08:09", "field": "mark cannot", "mark": "A2", "value": "out of reach"}',
    ]
    store.add_to_site_log(identity, lambda log: log.write_text("\n".join(lines) + "\n", "utf-8"))
    app = AppTest.from_file(str(APP), default_timeout=2 * PATIENCE)
    app.query_params["project"], app.query_params["view"] = identity, "on-site"
    text = shown(run(app))
    assert "1 of 28 holes are drilled." in text.split("</h1>")[0]
    row = text.split("<th scope=row>A1</th>")[1].split("</tr>")[0]
    assert "yes" in row and "3'-1" in html.unescape(row) and "1 in" in row
    unable = text.split("<th scope=row>A2</th>")[1].split("</tr>")[0]
    assert "no: out of reach" in unable and "not yet" not in unable


def test_the_patio_in_plan_shows_the_afternoon_and_the_layer_asked_for():
    app, _ = opened("afternoon")
    assert shown(app).count("<figure") == 1 and "Hot afternoon:" in shown(app).split("</h1>")[0]
    day = next(radio for radio in app.radio if radio.label == "Afternoon")
    day.set_value("humid")
    run(app)
    assert "Humid afternoon:" in shown(app).split("</h1>")[0] and "<h3>Humid</h3>" in shown(app)
    assert "of the floor" in shown(app) and "Mean of this map" not in shown(app) and "Wind " in shown(app)
    assert not any(radio.label == "For someone" for radio in app.radio)  # the floor has no height
    layer = next(radio for radio in app.radio if radio.label == "Show")
    layer.set_value("cooler")
    run(app)
    assert "Mean of this map" in shown(app) and any(radio.label == "For someone" for radio in app.radio)


def test_a_seat_that_is_assumed_is_told_as_that_with_how_to_place_ones_own():
    text = files.new_project_text("Casa Brisal", ["9 m"], "4 m", [], None)
    with_none, _ = opened("afternoon", text=text)
    placed, _ = opened("afternoon")
    assert [("Where you sit is assumed" in shown(app)) for app in (with_none, placed)] == [True, False]


def test_the_maps_of_all_afternoons_have_one_scale_and_one_table():
    app, _ = opened("afternoon")
    next(radio for radio in app.radio if radio.label == "Show").set_value("cooler")
    run(app)
    legends = []
    for day in ("hot", "humid"):
        next(radio for radio in app.radio if radio.label == "Afternoon").set_value(day)
        run(app)
        text = shown(app)
        legends.append(re.findall(r'class="key">.*?</span>', text))
        table = text.split("<th scope=col>Range, sitting</th>")[1].split("</table>")[0]
        assert all(f"<th scope=row>{name}</th>" in table for name in ("Hot", "Typical", "Humid"))
    assert legends[0] == legends[1] and len(legends[0]) == 6


def test_where_the_cooling_is_little_the_page_says_so_and_why():
    app, _ = opened("afternoon", "bayou")
    text = shown(app)
    assert "on half of them" in text.split("</h1>")[0]
    assert "The wind takes most of it" in text and "beside a nozzle" in text


def test_set_points_slide_without_a_solve_and_are_written_into_the_project():
    app, identity = opened("season")
    app.button(key="set-points").click()
    run(app)
    slider = app.select_slider[0]
    row = re.search(r"hours it runs</th><td>([^<]*)</td><td>([^<]*)</td>", shown(app))
    assert row and row[1] == row[2]
    slider.set_value(units.parse("96 degF", "temperature"))
    run(app)
    now, then = re.search(r"hours it runs</th><td>(\d+)[^<]*</td><td>(\d+)", shown(app)).groups()
    assert int(then) < int(now)
    app.button(key="set-points-write").click()
    run(app)
    control = files.parse_project(store.read(identity)).control
    assert control.on_above == pytest.approx(units.parse("96 degF", "temperature"))
    assert control.on_above - control.off_below == pytest.approx(3 / 1.8)  # as many degrees apart as before


def test_a_pump_goes_and_comes_back_on_the_page():
    """From a pump to house water: the pump's part of the view goes; undo takes the file back whole."""
    app, identity = opened("line")
    before = store.read(identity)
    supply = next(one for one in app.radio if str(one.key).startswith("supply-"))
    supply.set_value("mains")
    app = run(app)
    assert files.parse_project(store.read(identity)).plumbing.pump is None
    assert not any(widget.label == "Set pressure" for widget in app.text_input)
    next(button for button in app.button if button.key == "undo").click()
    app = run(app)
    assert store.read(identity) == before
    assert any(widget.label == "Set pressure" for widget in app.text_input)


def test_the_kind_of_ceiling_is_chosen_on_the_page():
    text = files.new_project_text("invented", ["30 ft"], "10 ft", [], "el-paso", "en", files.FirstAnswers())
    app, identity = opened("lid", text=text)
    kind = next(one for one in app.selectbox if one.label == "The ceiling will be")
    assert kind.value == "three-coat" and field(app, "Its thickness, framing to face").value == "7/8 in"
    kind.set_value("wood")
    app = run(app)
    assert field(app, "Its thickness, framing to face").value == "3/4 in"
    assert [line for line in store.read(identity).splitlines() if line.startswith(("system", "thick"))] == [
        'system = "wood"'
    ]


def test_what_is_seen_on_a_call_back_is_answered_though_nothing_was_read():
    app, identity = opened("line")
    drips = next(one for one in app.selectbox if one.label == "Ten minutes after shut-off")
    drips.set_value("few")
    press(app, "Work it out")
    assert [entry.field for entry in read_site_log(store.site_log(identity))] == ["call-back drips"]
    assert "Dirt holds their anti-drip checks open" in shown(app) and "Chance" not in shown(app)


WITHOUT_CLIMATE = files.new_project_text("Invented", ["30 ft"], "10 ft", [], None, "en", files.FirstAnswers())


def test_a_season_without_a_climate_leads_to_one_and_back():
    app, identity = opened("season", text=WITHOUT_CLIMATE)
    assert "A season needs a year of hours." in shown(app) and 'role="alert"' not in shown(app)
    app.button(key="to-climate").click()
    run(app)
    assert app.query_params["view"] == "house" and "back-to" not in {one.key for one in app.button}
    climate = next(one for one in app.selectbox if one.label == "Climate in use")
    climate.set_value("houston")
    run(app)
    assert app.button(key="back-to").label == "Back to: The season"
    place = files.parse_project(store.read(identity)).place
    assert not place.afternoons  # our guess of one stood over those of the climate
    assert place.elevation == files.read_climate(files.climate_path("houston", None)).elevation
    app.button(key="go-line-wide").click()  # who goes elsewhere is not called back
    run(app)
    app.button(key="go-house-wide").click()
    run(app)
    assert "back-to" not in {one.key for one in app.button}


def test_on_site_waits_for_no_air(monkeypatch):
    monkeypatch.setattr(design, "afternoons", lambda *given: pytest.fail("the air was worked out"))
    app, _ = opened("on-site")
    assert "28 marks to drill" in shown(app)


def test_a_guessed_afternoon_is_said_to_be_one_and_one_typed_in_stays():
    app, _ = opened("afternoon", text=WITHOUT_CLIMATE)
    assert "as a guess" in shown(app) and app.button(key="to-climate").label == "Choose a climate"
    app, identity = opened("house", text=WITHOUT_CLIMATE.replace('"100 degF"', '"101 degF"'))
    next(one for one in app.selectbox if one.label == "Climate in use").set_value("houston")
    run(app)
    (kept,) = files.parse_project(store.read(identity)).place.afternoons
    assert kept.name == "hot"
