"""A hot afternoon moved by hand: hour, wind and way change picture and words with no word to the server."""

from __future__ import annotations

import re

import pytest

from tests.browser.test_page import AIR, ready
from tests.browser.visits import PHONE, WIDE, Server, Visit, until

pytestmark = pytest.mark.browser


def picture(tab: Visit) -> bytes:
    return tab.page.locator(".afternoon .plan canvas").screenshot()


def test_hour_wind_and_way_move_the_picture_and_old_figures_are_greyed(visit):
    tab = visit(WIDE)
    tab.open_example(view="afternoon")
    ready(tab, "afternoon", patience=3)
    head, plan = tab.page.locator(".afternoon .head"), tab.page.locator(".afternoon .plan canvas")
    head.wait_for(timeout=3 * AIR)
    assert head.inner_text().startswith("4 pm, wind 2 mph from the ")
    sent: list[str] = []
    tab.page.on("websocket", lambda socket: sent.append(socket.url))
    before = picture(tab)
    hour, wind = tab.page.get_by_role("slider", name="Hour"), tab.page.get_by_role("slider", name="Wind")
    wind.press("End")
    assert head.inner_text().startswith("4 pm, wind 5 mph from the ") and picture(tab) != before
    hour.press("ArrowRight")
    assert hour.get_attribute("aria-valuetext") == "5 pm" and head.inner_text().startswith("5 pm, ")
    wind.press("Home")  # in little wind, where mist and fan make most of a difference
    tab.page.get_by_role("radio", name="Nothing running").click()
    assert head.inner_text().endswith("nothing running.")
    empty = picture(tab)
    tab.page.get_by_role("radio", name="Mist").press("ArrowRight")
    assert "fan and mist:" in head.inner_text() and picture(tab) != empty
    wind.press("End")
    chip = tab.page.get_by_role("button", name="table")
    chip.click()
    tab.page.get_by_text("Cut through: table").wait_for()
    assert chip.get_attribute("aria-pressed") == "true" and sent == []
    plan.hover(position={"x": 60, "y": 60})
    assert tab.page.locator(".afternoon .here").inner_text().startswith("Here: ")
    old = head.inner_text()
    with tab.server.at_work():
        tab.page.get_by_role("combobox", name="Wind comes from").click()
        tab.page.get_by_role("option", name="the north", exact=True).click()
        tab.page.get_by_text("Old figures: new ones are being worked out.").wait_for()
        assert head.inner_text() == old and "wind 5 mph from the north" not in old
    tab.page.get_by_text("wind 5 mph from the north").first.wait_for(timeout=AIR)
    assert head.inner_text().startswith("5 pm")
    seats, moving = tab.on_disk(), tab.page.locator(".afternoon .chip.moving")
    chip.press("ArrowLeft")
    moving.wait_for()
    moving.wait_for(state="detached", timeout=3 * AIR)
    assert tab.on_disk() != seats


def test_a_finger_slides_the_wind_on_a_phone_and_four_screens_hold_the_view(visit):
    tab = visit(PHONE, touch=True)
    tab.open_example(view="afternoon")
    ready(tab, "afternoon", patience=3)
    head = tab.page.locator(".afternoon .head")
    head.wait_for(timeout=3 * AIR)
    main = tab.page.locator('[data-testid="stMainBlockContainer"]')
    assert main.evaluate("box => box.scrollHeight") <= 4 * PHONE["height"]
    assert main.evaluate("box => box.scrollWidth") <= PHONE["width"]
    track = tab.page.get_by_role("slider", name="Wind").locator("xpath=..")
    box = track.bounding_box()
    assert box is not None
    tab.page.touchscreen.tap(box["x"] + box["width"] - 8, box["y"] + 22)
    assert "wind 5 mph" in head.inner_text()
    for target in tab.page.locator(".afternoon button:visible, .afternoon [role=slider]:visible").all():
        size = target.bounding_box()
        assert size is not None and min(size["width"], size["height"]) >= 43.5


def at_the_table(visit, server: Server | None = None) -> Visit:
    """The afternoon of a project whose seat is at the table, ready to move it."""
    tab: Visit = visit(WIDE) if server is None else visit(WIDE, at=server)
    tab.open_example(view="afternoon")
    ready(tab, "afternoon", patience=3)
    tab.page.get_by_role("button", name="table").wait_for(timeout=3 * AIR)
    tab.quiet()
    return tab


def waits(tab: Visit) -> bool:
    return '"seat"' in tab.page.evaluate("Object.values(localStorage).join()")


def test_a_seat_moved_just_before_leaving_is_not_lost(visit):
    """Even while nothing is heard of the move before it."""
    tab = at_the_table(visit)
    address, before = tab.page.url, tab.on_disk()
    chip = tab.page.get_by_role("button", name="table")
    with tab.server.line_held():
        chip.press("ArrowLeft")
        assert until(lambda: tab.on_disk() != before)
        once = tab.on_disk()
        chip.press("ArrowUp")
        tab.page.get_by_role("button", name="Line and pump").first.click()
        tab.page.goto("about:blank")
    tab.page.goto(address)
    assert until(lambda: tab.server.text(address) != once)


def test_a_seat_moved_by_a_key_just_before_the_tab_is_closed_is_not_lost(visit):
    """Within the rest that a key takes before it is told; the browser keeps what nobody hears."""
    tab = at_the_table(visit)
    address, before = tab.page.url, tab.on_disk()
    tab.page.evaluate(
        """() => {
          const seek = (root) => [...root.querySelectorAll("*")].flatMap(
            (one) => [one, ...(one.shadowRoot ? seek(one.shadowRoot) : [])],
          );
          const seat = seek(document).find((one) => one.matches(".afternoon .chip.movable"));
          seat.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft", bubbles: true }));
          location.href = "about:blank";
        }"""
    )
    tab.page.wait_for_url("about:blank")
    tab.page.goto(address)
    tab.page.get_by_role("button", name="table").wait_for(timeout=3 * AIR)
    assert until(lambda: tab.server.text(address) != before)


@pytest.mark.parametrize("moved_meanwhile", [False, True])
def test_a_seat_that_waited_in_the_browser_never_overrides_a_newer_place(visit, spare, moved_meanwhile):
    tab = at_the_table(visit, spare)
    address, kept = tab.page.url, tab.on_disk()
    spare.stop()
    tab.page.get_by_role("button", name="table").press("ArrowLeft")
    assert until(lambda: waits(tab))
    if moved_meanwhile:
        (seat,) = re.findall(r'\[\[patio\.seat\]\]\nname = "table"[^\[]*', kept)
        kept = kept.replace(seat, re.sub(r"(?m)^back .*$", 'back = "5 ft"', seat))
        identity = address.split("project=")[1].split("&")[0]
        (spare.data / "projects" / identity / "project.toml").write_text(kept, "utf-8")
    spare.start()
    tab.page.goto("about:blank")
    tab.page.goto(address)
    tab.page.get_by_role("button", name="table").wait_for(timeout=3 * AIR)
    assert until(lambda: not waits(tab))
    tab.settled()
    assert (spare.text(address) == kept) == moved_meanwhile
