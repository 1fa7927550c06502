"""Whose turn it is: a run of the page goes before work beside it."""

from __future__ import annotations

import threading

from mistcalc.page import turns

PATIENCE = 30.0  # s, on a machine many times slower than ours


def begin(work: list[str]) -> threading.Thread:
    """Work beside the page, which notes that it went on."""

    def give_way() -> None:
        turns.give_way()
        work.append("went on")

    thread = threading.Thread(target=give_way)
    thread.start()
    return thread


def test_work_begins_when_the_last_run_of_the_page_has_ended(monkeypatch):
    monkeypatch.setattr(turns, "LONGEST", PATIENCE)
    work: list[str] = []
    other_runs, ends = threading.Event(), threading.Event()

    def other() -> None:
        with turns.run_of_page():
            other_runs.set()
            ends.wait(PATIENCE)

    run = threading.Thread(target=other)
    run.start()
    other_runs.wait(PATIENCE)
    with turns.run_of_page():
        thread = begin(work)
    thread.join(0.2)
    assert not work  # another's is still going on
    ends.set()
    run.join(PATIENCE)
    thread.join(PATIENCE)
    assert work == ["went on"]


def test_a_run_that_waits_for_work_is_in_nobodys_way(monkeypatch):
    """A part of a view within the run of the whole neither; else each would wait for the other."""
    monkeypatch.setattr(turns, "LONGEST", PATIENCE)
    work: list[str] = []
    with turns.run_of_page(), turns.run_of_page(), turns.waiting_for_work():
        thread = begin(work)
        thread.join(PATIENCE)
        assert work == ["went on"]


def test_a_run_never_gives_way_to_itself(monkeypatch):
    monkeypatch.setattr(turns, "LONGEST", threading.TIMEOUT_MAX)
    with turns.run_of_page():
        turns.give_way()


def test_work_gives_way_no_longer_than_it_may(monkeypatch):
    monkeypatch.setattr(turns, "LONGEST", 0.05)
    work: list[str] = []
    with turns.run_of_page():
        begin(work).join(PATIENCE)
        assert work == ["went on"]


def test_a_run_that_ends_in_a_fault_is_over(monkeypatch):
    monkeypatch.setattr(turns, "LONGEST", PATIENCE)
    work: list[str] = []
    try:
        with turns.run_of_page():
            raise ValueError
    except ValueError:
        begin(work).join(PATIENCE)
    assert work == ["went on"]
