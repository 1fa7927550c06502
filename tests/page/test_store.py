"""The store keeps whole files, forgets nothing it was given, and takes no path from anyone."""

from __future__ import annotations

import multiprocessing
import os
import threading

import pytest

from mistcalc.errors import DataError
from mistcalc.page import store


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))


def test_what_was_written_is_read_back_and_undone_step_by_step():
    identity = store.create("one\n")
    assert not store.can_undo(identity)
    store.change(identity, lambda text: text + "two\n")
    store.change(identity, lambda text: text + "three\n")
    assert store.read(identity) == "one\ntwo\nthree\n"
    assert store.undo(identity) and store.read(identity) == "one\ntwo\n"
    assert store.undo(identity) and store.read(identity) == "one\n"
    assert not store.undo(identity)


def test_changes_of_one_gesture_are_one_step():
    identity = store.create("0")
    store.change(identity, lambda _: "1")
    store.change(identity, lambda _: "2", keep_undo=False)
    store.undo(identity)
    assert store.read(identity) == "0"


def test_a_change_that_fails_leaves_everything_as_it_was(tmp_path):
    identity = store.create("one")

    def fails(text: str) -> str:
        raise ValueError(text)

    with pytest.raises(ValueError):
        store.change(identity, fails)
    assert store.read(identity) == "one"
    assert not store.can_undo(identity)


def test_a_full_disk_leaves_the_old_text(monkeypatch, tmp_path):
    identity = store.create("one")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("mistcalc.files.atomic_write.os.fsync", full)
    with pytest.raises(OSError):
        store.change(identity, lambda _: "two", keep_undo=False)
    assert store.read(identity) == "one"
    files = sorted(p.name for p in (tmp_path / "data" / "projects" / identity).iterdir())
    assert files == ["project.toml"]


def test_only_so_many_steps_are_kept():
    identity = store.create("0")
    for _ in range(store.UNDO_STEPS + 10):
        store.change(identity, lambda text: str(int(text) + 1))
    undone = 0
    while store.undo(identity):
        undone += 1
    assert undone == store.UNDO_STEPS
    assert store.read(identity) == "10"


def test_two_writers_at_once_add_up():
    identity = store.create("")
    threads = [
        threading.Thread(target=store.change, args=(identity, lambda text, i=i: f"{text}{i} "))
        for i in range(20)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(map(int, store.read(identity).split())) == list(range(20))


def test_what_was_undone_is_done_again_until_something_else_is_changed():
    identity = store.create("one")
    for text in ("two", "three"):
        store.change(identity, lambda _, text=text: text)
    assert not store.can_redo(identity) and not store.redo(identity)
    assert store.undo(identity) and store.undo(identity) and store.read(identity) == "one"
    assert store.redo(identity) and store.read(identity) == "two"
    assert store.undo(identity) and store.redo(identity) and store.redo(identity)
    assert store.read(identity) == "three" and not store.can_redo(identity)
    store.undo(identity)
    store.change(identity, lambda _: "four")
    assert not store.can_redo(identity) and not store.redo(identity)
    assert store.undo(identity) and store.read(identity) == "two"


def test_a_change_that_could_not_be_written_is_no_step_to_undo(monkeypatch):
    identity = store.create("one")
    store.change(identity, lambda _: "two")
    write = store.files.write_file

    def full(path, content) -> None:
        if path.name == "project.toml":
            raise OSError(28, "No space left on device")
        write(path, content)

    with monkeypatch.context() as patch, pytest.raises(OSError):
        patch.setattr(store.files, "write_file", full)
        store.change(identity, lambda _: "three")
    assert store.read(identity) == "two"
    assert store.undo(identity) and store.read(identity) == "one"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_two_servers_of_one_folder_add_up():
    identity = store.create("")

    def add() -> None:
        for _ in range(10):
            store.change(identity, lambda text: text + "x")

    servers = [multiprocessing.get_context("fork").Process(target=add) for _ in range(2)]
    for server in servers:
        server.start()
    for server in servers:
        server.join()
    assert store.read(identity) == "x" * 20


def test_a_project_that_cannot_be_kept_leaves_nothing(monkeypatch, tmp_path):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("mistcalc.files.atomic_write.os.fsync", full)
        with pytest.raises(OSError):
            store.create("one")
    assert list(tmp_path.iterdir()) == []
    assert store.read(store.create("one")) == "one"


@pytest.mark.parametrize(
    "identity",
    ["../../etc", "", "0123456789abcdeF", "0123456789abcde", "/tmp/a", "0123456789abcdef/..", "a" * 16],
)
def test_an_id_that_is_not_ours_is_unknown(identity):
    assert not store.known(identity)
    assert not store.can_undo(identity)
    with pytest.raises(DataError) as refused:
        store.read(identity)
    assert refused.value.code == "page-project-unknown"


def test_an_uploaded_climate_file_lies_under_our_own_name(tmp_path):
    identity = store.create("one")
    name = "../a year.csv"
    assert store.climate(identity, name) is None
    store.put_climate(identity, name, b"hours")
    path = store.climate(identity, name)
    assert (
        path is not None
        and path.read_bytes() == b"hours"
        and path.parents[1] == tmp_path / "data" / "projects"
    )
    store.put_climate(identity, "another", b"other hours")  # by undo the first is wanted again
    assert path.read_bytes() == b"hours"


def test_recent_projects_are_listed_newest_first():
    first, second = store.create("first"), store.create("second")
    store.change(first, lambda text: text + " again")
    assert [text for _, text, _ in store.recent(5)] == ["first again", "second"]
    assert [identity for identity, _, _ in store.recent(1)] == [first]
    assert second != first
