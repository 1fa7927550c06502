"""The lid edited by mouse, touch and keys in a real browser; nothing that was let go of may be lost."""

from __future__ import annotations

from importlib.resources import files

import pytest

from mistcalc.files import parse_project
from mistcalc.units import spoken_length, tape
from tests.browser.visits import PHONE, drag, touch_drag, until

pytestmark = pytest.mark.browser


def court(text: str):
    return parse_project(text).patios[0]


def obstacle(text: str, name: str):
    return next(thing for thing in court(text).obstacles if thing.name == name)


def along(name: str):
    """Where a thing lies along its run, as the text of a project says."""
    return lambda text: obstacle(text, name).along


def fixed(text: str) -> dict[str, float]:
    return {mark.name: mark.along for run in court(text).runs for mark in run.fixed}


def test_courtyard_stands_as_its_builder_expects(visit):
    """A 3'-0" by 2 ft to 37'-0", B 2'-4" to 20'-4": the row worked out by hand for this lid."""
    tab = visit()
    tab.open_example()
    assert "28 marks at one equal pitch of 24 in" in tab.page.locator("h1").inner_text()
    assert tab.place("mark", "A1") == "3'-0\""
    assert tab.place("mark", "A18") == "37'-0\""
    tab.page.get_by_text("Run B", exact=True).click()
    tab.handle("mark", "B1").wait_for()
    assert {tab.place("mark", "B1"), tab.place("mark", "B10")} == {"2'-4\"", "20'-4\""}


def test_a_mouse_fixes_a_mark_takes_the_smallest_fix_and_moves_a_light(visit):
    tab = visit()
    tab.open_example()
    drag(tab.page, tab.handle("mark", "A8"), 8)
    tab.saves(lambda text: set(fixed(text)), {"A8"})
    assert tab.place("mark", "A8") == tape(fixed(tab.on_disk())["A8"], "us")
    assert "Fixed" in (tab.handle("mark", "A8").get_attribute("aria-label") or "")
    tab.page.get_by_role("button", name="Lay it with the rest").click()
    tab.saves(fixed, {})
    tab.page.get_by_role("button", name="Move L2", exact=True).click()
    tab.page.get_by_role("button", name="Move L2", exact=True).wait_for(state="hidden")
    tab.page.get_by_text("Places and clearances").click()
    field = tab.page.get_by_label("L2: back from the edge")
    until(lambda: field.input_value() == "42 in")  # 2 ft 3 in + 15 in: the fields follow a press at once
    assert field.input_value() == "42 in"
    light = obstacle(tab.on_disk(), "L2")
    assert light.back == pytest.approx(42 * 0.0254, abs=1e-9)
    assert 'back  = "3 ft 6 in"' in tab.on_disk()  # the user's spelling and column kept
    drag(tab.page, tab.handle("thing", "L2"), 60)
    tab.saves(lambda text: obstacle(text, "L2").along > light.along, True)
    after = obstacle(tab.on_disk(), "L2").along
    assert tab.place("thing", "L2") == tape(after, "us")
    tab.page.reload()
    tab.handle("thing", "L2").wait_for()
    assert tab.place("thing", "L2") == tape(after, "us")


def test_an_arrow_key_is_one_step_of_the_tape_one_spell_one_undo_and_a_burst_loses_none(visit):
    tab = visit()
    tab.open_example()
    before = obstacle(tab.on_disk(), "L2").along
    for presses in (4, 30):
        tab.handle("thing", "L2").focus()
        for _ in range(presses):
            tab.page.keyboard.press("ArrowRight")
        tab.saves(along("L2"), pytest.approx(before + presses * 0.003175, abs=1e-9))
        tab.page.get_by_role("button", name="Undo").click()
        tab.saves(along("L2"), pytest.approx(before, abs=1e-9))


# What a handle says in one picture on the screen, once the last press is in it.
DRAWN = """handle => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(
  ["aria-valuenow", "data-told", "aria-valuetext"].map((name) => handle.getAttribute(name))))))"""


@pytest.mark.parametrize(
    ("example", "units", "thing"),
    [
        ("courtyard", "us", "L3"),
        pytest.param("terraza", "metric", "Lamp 1", marks=pytest.mark.long),
    ],
)
def test_the_strip_tells_lengths_as_the_program_does(visit, example, units, thing):
    """While a finger moves, hands.js looks up what `tape` wrote for the step, and what is read aloud."""
    tab = visit()
    tab.open_example(example)
    handle = tab.handle("thing", thing)
    handle.focus()
    for _ in range(24):
        tab.page.keyboard.press("ArrowRight")
        now, told, spoken = handle.evaluate(DRAWN)
        assert told == tape(float(now), units)
        assert spoken.startswith(f"{spoken_length(float(now), units)} along")


def test_a_step_sends_what_is_drawn_and_the_script_never_again(visit):
    """Nor does the run of the whole page after it: the script is most of what there is to send."""
    tab, sent = visit(), []
    tab.page.on("websocket", lambda line: line.on("framereceived", lambda part: sent.append(part)))

    def told() -> bytes:
        return b"".join(part.encode() if isinstance(part, str) else part for part in sent)

    tab.open_example()
    tab.handle("thing", "L2").wait_for()
    tab.settled()
    assert told().count(b"class MoveQueue") == 1
    for _ in range(2):  # by the second step nothing of the first run is left in the line
        sent.clear()
        before = obstacle(tab.on_disk(), "L2").along
        tab.handle("thing", "L2").focus()
        tab.page.keyboard.press("ArrowRight")
        tab.saves(along("L2"), pytest.approx(before + 0.003175, abs=1e-9))
    assert b"datum_left" in told()  # what is drawn came
    assert b"class MoveQueue" not in told() and b".strip" not in told()  # no script, no style


def test_touch_drags_on_a_phone_and_the_page_does_not_scroll_away(visit):
    tab = visit(PHONE, touch=True)
    tab.open_example()
    before = obstacle(tab.on_disk(), "L2").along
    touch_drag(tab.page, tab.handle("thing", "L2"), -48)
    tab.saves(lambda text: obstacle(text, "L2").along < before, True)
    # 48 px at 24 px a foot is 2 ft; a browser that took the finger for a scroll would stop after a few px.
    assert before - obstacle(tab.on_disk(), "L2").along == pytest.approx(0.6096, abs=0.08)


def test_a_message_put_in_the_place_of_another_says_again_what_that_one_asked(visit):
    """The framework keeps only the last of two: a row asked for in the first would never be shown."""
    queue = files("mistcalc.page").joinpath("move_queue.js").read_text("utf-8")
    tab = visit()
    tab.page.goto(f"{tab.server.url}/_stcore/health")
    sent = tab.page.evaluate(
        f"""() => {{
          {queue}
          const sent = [], queue = new MoveQueue("none", () => {{}});
          const move = (name, commit) => queue.add({{ kind: "thing", name, run: "A", along: 1, commit }});
          queue.post = (message) => sent.push(message);
          move("L1", false);
          queue.ask("row", "B");
          move("L1", true);
          queue.acknowledge({{ client: queue.client, seq: 1 }});
          queue.send(true); // nothing came back: what was sent may have been lost
          queue.acknowledge({{ client: queue.client, seq: 3 }});
          queue.ask("settled", 1);
          queue.close();
          return sent;
        }}"""
    )
    assert [(one.get("row"), one.get("settled"), len(one["moves"])) for one in sent] == [
        (None, None, 1),
        ("B", None, 1),
        ("B", None, 1),
        (None, 1, 0),
    ]


def test_a_cut_line_loses_nothing(visit, spare):
    """The server dies under a drag and comes back: what was let go of meanwhile is there."""
    tab = visit(at=spare)
    tab.open_example()
    before = obstacle(tab.on_disk(), "L2").along
    spare.stop()
    tab.handle("thing", "L2").focus()
    for _ in range(5):
        tab.page.keyboard.press("ArrowRight")
    tab.page.locator(".lid .saved", has_text="Not saved yet").wait_for()
    spare.start()
    tab.page.locator(".lid .saved", has_text="Not saved yet").wait_for(state="hidden", timeout=60_000)
    tab.saves(along("L2"), pytest.approx(before + 5 * 0.003175, abs=1e-9))


def test_a_closed_tab_loses_nothing(visit, spare):
    """Moved while the server was away, then the tab closed: the next visit of that browser brings it."""
    tab = visit(at=spare)
    tab.open_example()
    address, before = tab.page.url, obstacle(tab.on_disk(), "L2").along
    spare.stop()
    tab.handle("thing", "L2").focus()
    tab.page.keyboard.press("ArrowRight")
    tab.page.locator(".lid .saved", has_text="Not saved yet").wait_for()
    context = tab.page.context
    tab.page.close()
    spare.start()
    tab.page = context.new_page()
    tab.page.goto(address)
    tab.handle("thing", "L2").wait_for()
    tab.saves(along("L2"), pytest.approx(before + 0.003175, abs=1e-9))


def test_two_people_on_one_project_add_up(visit):
    first = visit()
    first.open_example()
    second = visit()
    second.page.goto(first.page.url)
    second.handle("thing", "L3").wait_for()
    first.handle("thing", "L2").focus()
    first.page.keyboard.press("ArrowRight")
    second.handle("thing", "L3").focus()
    second.page.keyboard.press("ArrowRight")
    first.saves(along("L2"), pytest.approx((16 * 12 + 7.25 + 0.125) * 0.0254, abs=1e-9))
    # What the other did shows by itself.
    assert until(lambda: second.place("thing", "L2") == "16'-7 3/8\"")
    assert until(lambda: first.place("thing", "L3") == "23'-3 3/8\"")
    second.saves(along("L3"), pytest.approx((23 * 12 + 3.25 + 0.125) * 0.0254, abs=1e-9))
    first.saves(along("L2"), pytest.approx((16 * 12 + 7.25 + 0.125) * 0.0254, abs=1e-9))
