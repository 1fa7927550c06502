"""Whose a project is: nobody reaches another's, a link only reads, and no path is made of what is given."""

from __future__ import annotations

import string
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import files
from mistcalc.errors import DataError
from mistcalc.page import open_project, places, store
from mistcalc.page.edits import SetValue
from mistcalc.page.views import background_work, components, lid, paper, reading
from tests.page.test_faults import APP
from tests.random_projects import project_text

ANA = places.person_of("https://login.example", "248289761001")
BEN = places.person_of("https://login.example", "248289761002")
TEXT = files.example_text("courtyard")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


def refused(act, *given) -> str:
    with pytest.raises(DataError) as error:
        act(*given)
    return error.value.code


@pytest.mark.parametrize(
    "pair",
    [
        ("../../etc", "x"),
        ("https://a", "/root"),
        ("", "ana@x.example"),
        ("CON", "é\x00\n"),
        ("a" * 9999, "b"),
    ],
)
def test_a_folder_takes_nothing_of_what_a_person_is_called(pair, own_folder):
    key = places.person_of(*pair)
    assert len(key) == 64 and set(key) <= set(string.hexdigits.lower())
    assert places.projects_folder(key) == own_folder / "people" / key / "projects"


def test_people_are_told_apart_by_both_claims_together():
    """OpenID Connect Core 1.0, 5.7: only iss and sub together are a person; sub is no more than unique within
    its issuer."""
    pairs = [("https://a", "bc"), ("https://ab", "c"), ("https://a", "bd"), ('https://a", "b', "c")]
    assert len({places.person_of(*pair) for pair in pairs}) == len(pairs)


@pytest.mark.parametrize(
    "asked", ["", "..", "../x", "A" * 16, "0" * 15, "0" * 17, f"{BEN}.{'0' * 16}", "link." + "0" * 32]
)
def test_an_address_asks_for_an_id_and_nothing_else(asked):
    assert refused(places.owned, ANA, asked) == refused(places.owned, "", asked) == "page-project-unknown"


@pytest.mark.parametrize("person", ["..", "x", "A" * 64, f"../{ANA}", ANA + "/.."])
def test_a_person_is_a_digest_and_nothing_else(person):
    assert refused(places.projects_folder, person) == "page-project-unknown"


def test_anothers_project_is_as_if_it_did_not_exist():
    identity = store.create(TEXT, person=ANA)
    bare = places.in_address(identity)
    assert store.read(places.owned(ANA, bare)) == TEXT
    for other in (places.owned(BEN, bare), places.owned("", bare), places.owned(BEN, "0" * 16)):
        assert not store.known(other)
        assert refused(store.read, other) == refused(store.change, other, str.upper) == "page-project-unknown"
    assert [one[0] for one in store.recent(9, ANA)] == [identity]
    assert store.recent(9, BEN) == store.recent(9) == []


def everything() -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in places.data_folder().rglob("*") if path.is_file()}


def test_a_link_reads_and_changes_nothing_until_it_is_withdrawn():
    identity = store.create(TEXT, ("house.csv", b"air"), ANA)
    link = places.make_link(identity, "owner")
    by_link = f"{places.LINK}{link.token}"
    before = everything()
    assert store.read(by_link) == TEXT and store.climate(by_link, "house.csv") is not None
    edit = SetValue(("name",), "Mine now")
    moved = {"client": "c", "seq": 1, "gesture": "g", "moves": []}
    for act, *given in (
        (store.change, by_link, str.upper),
        (store.undo, by_link),
        (store.redo, by_link),
        (store.put_climate, by_link, "house.csv", b""),
        (store.add_to_site_log, by_link, lambda path: path.write_text("x")),
        (open_project.commit, by_link, [edit]),
        (open_project.take_climate, by_link, files.climate_path("houston", None).read_bytes(), "house.csv"),
        (places.make_link, by_link, "crew"),
        (places.withdraw, by_link, link.token),
    ):
        assert refused(act, *given) == "page-read-only", act
    lid.take_message(by_link, "court", moved)
    assert everything() == before
    seen = store.stamp(by_link)
    places.withdraw(identity, link.token)
    assert refused(store.read, by_link) == "page-link-gone" and store.stamp(by_link) != seen
    assert not store.known(by_link) and store.read(identity) == TEXT


def test_a_link_is_its_makers_alone():
    mine, theirs = store.create(TEXT, person=ANA), store.create(TEXT, person=BEN)
    links = [places.make_link(mine, reader) for reader in places.READERS]
    assert places.links_to(mine) == sorted(links, key=lambda link: (link.made, link.token))
    assert places.links_to(theirs) == []
    places.withdraw(theirs, links[0].token)
    assert len(places.links_to(mine)) == 2


def test_no_two_links_are_alike_and_none_is_guessed(monkeypatch):
    monkeypatch.setattr("mistcalc.page.places.files.write_file", lambda path, content: None)
    identity = store.create(TEXT)
    tokens = [int(places.make_link(identity, "crew").token, 16) for _ in range(200)]
    ones = sum(token.bit_count() for token in tokens)
    assert len(set(tokens)) == 200 and ones / (200 * 128) == pytest.approx(0.5, abs=0.02)  # six deviations


@pytest.mark.parametrize("token", ["", "..", "../projects", "F" * 32, "0" * 31, "0" * 32 + "/", "0" * 32])
def test_what_is_no_token_leads_nowhere(token):
    assert places.link_by(token) is None
    assert refused(store.read, f"{places.LINK}{token}") == "page-link-gone"


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"project": "x"}', '{"project": "..", "reader": "king", "made": ""}']
)
def test_a_broken_link_is_none(content, own_folder):
    (own_folder / "links").mkdir(parents=True)
    (own_folder / "links" / f"{'0' * 32}.json").write_text(content, "utf-8")
    assert places.link_by("0" * 32) is None


def test_a_reader_takes_away_what_was_made_for_them_and_no_prices():
    identity = store.create(TEXT)
    names = ("sheets-owner.pdf", "sheets-builder.pdf", "trade-framer.pdf", "marks.html", "season.csv")
    priced = (
        "materials.csv",
        "plan.json",
        "sheets-installer.pdf",
        "summary.txt",
        "sheet-L-1.svg",
        "line.inp",
    )

    def taken(by: str) -> set[str]:
        return set(filter(paper.may_take(open_project.open_saved(by)), names + priced))

    assert taken(identity) == {*names, *priced}
    told = {
        reader: taken(f"{places.LINK}{places.make_link(identity, reader).token}") for reader in places.READERS
    }
    assert told["owner"] == {"sheets-owner.pdf", "season.csv"}
    assert told["crew"] == {"sheets-builder.pdf", "trade-framer.pdf", "marks.html"}


@pytest.mark.thorough
@pytest.mark.parametrize("reader", places.READERS)
def test_no_view_of_a_link_holds_a_field_an_upload_or_a_button_that_edits(reader, monkeypatch):
    """Whatever button is pressed and whichever language is chosen, the project stays as it was."""
    identity = store.create(TEXT)
    link = places.make_link(identity, reader)
    for view in reading.SHOWN_TO[reader]:
        app = AppTest.from_file(str(APP), default_timeout=120)
        app.query_params["link"], app.query_params["view"] = link.token, view
        app.run()
        assert not app.exception and not app.text_input and not app.get("file_uploader")
        assert "For reading only" in " ".join(element.proto.body for element in app.get("html"))
        keys = {str(button.key).split("-")[0] for button in app.button}
        assert keys <= {"units", "speak", "read", "stop"}, keys
        app.button(key="units").click().run()
        app.button(key="speak").click().run()
        assert "Solo para leer" in " ".join(element.proto.body for element in app.get("html"))
        assert "project" not in app.query_params
    assert store.read(identity) == TEXT
    app.query_params["project"] = places.in_address(identity)
    app.query_params["view"] = "house"
    assert not app.run().text_input  # a link shows its own views, whatever else the address asks for
    places.withdraw(identity, link.token)
    app.run()
    assert "se retiró" in " ".join(element.proto.body for element in app.get("html"))


@pytest.mark.thorough
def test_an_owner_chooses_the_patio_that_is_told_and_sees_that_the_house_is_mirrored(monkeypatch):
    houses = (text for text in map(project_text, range(60)) if "mirrored_from" not in text)
    text = next(text for text in houses if len(files.parse_project(text).patios) > 1)
    text = f'mirrored_from = "Plan 1"\n{text}'
    names = [patio.name for patio in files.parse_project(text).patios]
    monkeypatch.setitem(
        reading.SHOW, "afternoon", lambda opened: components.sentence(f"is {opened.patio.name}")
    )
    link = places.make_link(store.create(text), "owner")
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["link"] = link.token
    shown = []
    for name in (names[0], names[-1]):
        app.run() if name == names[0] else app.radio(key="patio").set_value(name).run()
        shown.append(" ".join(element.proto.body for element in app.get("html")))
        assert components.safe(f"is {name}") in shown[-1]
    assert shown[0] != shown[1] and "(mirrored)" in shown[0]


def test_what_a_reader_is_given_is_in_the_language_and_units_they_read(monkeypatch):
    """Neither is in the project's text, by which work that is done is known again."""
    opened = open_project.open_saved(store.create(TEXT))
    monkeypatch.setattr(background_work.st, "session_state", {})
    # Not the page's own threads, which may still be at what another test asked for; and no hurry.
    monkeypatch.setattr(background_work, "_workers", ThreadPoolExecutor(max_workers=1))
    monkeypatch.setattr(background_work, "AT_ONCE", None)

    def worked(language: str, units: str) -> str | None:
        project = replace(opened.project, language=language, units=units)
        asked = replace(opened, project=project)
        return background_work.in_background(asked, "job", lambda: f"{language} {units}")

    assert [worked("en", "us"), worked("es", "us"), worked("es", "metric")] == ["en us", "es us", "es metric"]
