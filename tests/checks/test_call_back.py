"""What a fitter on a call-back is told, in which order; every number in the sentence is the answer's own."""

import dataclasses

import pytest

from mistcalc import checks, words
from mistcalc.checks.call_back import seen_findings
from mistcalc.model.fault_priors import CAUSES
from mistcalc.model.results import CauseShare, Diagnosis, IsolationStep, NextReading, Readings
from tests import builders

EXTENT = {
    "plugged": (3.0, 5.0, 7.0),
    "worn": (1.06, 1.10, 1.15),
    "part-worn": (1.2, 1.3, 1.4),
    "leak": (1e-6, 3e-6, 5e-6),
    "feed": (3.5e-3, 3.7e-3, 3.9e-3),
    "inlet": (0.5, 0.6, 0.7),
    "regulator": (0.7, 0.8, 0.9),
    "drain": (2e-5, 3e-5, 4e-5),
    "scaled": (0.6, 0.7, 0.8),
    "pump": (0.5, 0.6, 0.7),
}


def answer(likely=("leak",), **changes):
    """A made-up answer that holds `likely` at even shares."""
    first = [CauseShare(c, 0.96 / len(likely), EXTENT.get(c, ())) for c in likely]
    rest = [c for c in CAUSES if c not in likely]
    told = Diagnosis(
        causes=(*first, *(CauseShare(c, 0.04 / len(rest), EXTENT.get(c, ())) for c in rest)),
        likely=tuple(likely),
        entropy=0.4,
        next=None,
        taken=("gauge", "meter"),
        cannot=(),
        weak=(),
        isolation=(IsolationStep(("tee to B start",), 0.4),),
        misfit=0.3,
    )
    return dataclasses.replace(told, **changes)


def diagnosis_findings(diagnosis, pump):
    return checks.diagnosis_findings(diagnosis, pump)


def codes(diagnosis, pump=True):
    return [finding.code for finding in diagnosis_findings(diagnosis, pump)]


@pytest.mark.parametrize("pump", [True, False])
@pytest.mark.parametrize("cause", CAUSES)
def test_each_cause_has_a_sentence_with_its_share_and_what_to_do(cause, pump):
    found = diagnosis_findings(answer((cause,)), pump)
    main = cause == "inlet" and not pump
    assert found[0].code == ("call-back-main" if main else f"call-back-{cause}")
    said = words.say(found[0])
    assert said.startswith("Chance 96 %: ") and "{" not in said and "call_back" not in said
    assert found[0].level == ("note" if cause == "sound" else "warn")


def test_a_number_of_plugged_nozzles_at_the_most_that_is_tried_may_be_more():
    """Ten of 28 shut read as "about 8. It may be 7 to 8"; and no cause is certain."""
    capped = CauseShare("plugged", 1.0, (7.0, 8.0, 8.0))
    said = words.say(diagnosis_findings(answer(("plugged",), causes=(capped,)), True)[0])
    assert said.startswith("Chance over 99 %: plugged nozzles, about 8. It may be more: over 8 at once are ")
    within = words.say(diagnosis_findings(answer(("plugged",)), True)[0])
    assert "It may be 3 to 7." in within and "more:" not in within


def test_an_answer_of_one_cause_is_told_as_one():
    assert codes(answer(("worn",))) == ["call-back-worn", "call-back-again"]


def test_two_causes_are_told_as_not_to_be_told_apart_with_what_to_read_next():
    told = answer(("leak", "part-worn"), next=NextReading("far", 0.4, "B12"), cannot=("port",))
    assert codes(told) == [
        "call-back-cannot-tell",
        "call-back-leak",
        "call-back-part-worn",
        "call-back-isolate",
        "call-back-next",
        "call-back-ask-port",
        "call-back-again",
    ]
    found = diagnosis_findings(told, True)
    assert "a leak and some nozzles worn" in words.say(found[0])
    assert "Take it at B12. Line locked out: tie" in words.say(found[4])
    assert "The power stays locked." in words.say(found[3])


def test_where_nothing_more_can_be_read_the_likeliest_comes_first():
    assert codes(answer(("worn", "regulator")))[-2:] == ["call-back-no-next", "call-back-again"]


def test_without_a_creep_a_leak_is_sought_with_the_nozzles_plugged():
    """Open nozzles would pass more than a leak does."""
    assert codes(answer(cannot=("creep",))) == [
        "call-back-leak",
        "call-back-isolate-plugged",
        "call-back-again",
    ]


def test_plugs_are_looked_for_where_they_were_seen():
    found = diagnosis_findings(answer(("plugged",), weak=("A3", "A7")), True)
    assert [f.code for f in found] == ["call-back-plugged", "call-back-look", "call-back-again"]
    assert "A3 and A7" in words.say(found[1])
    assert "about 5" in words.say(found[0]) and "3 to 7" in words.say(found[0])


def test_readings_of_no_line_are_told_first():
    assert codes(answer(misfit=5.0))[0] == "call-back-no-fit"
    assert "call-back-no-fit" not in codes(answer(misfit=3.9))


def test_a_drain_is_closed_with_the_line_locked_out():
    """What runs out there may stand at the pump's pressure: no hand goes to it while the line runs."""
    for pump, off in ((True, "line locked out"), (False, "water shut and tagged")):
        assert off in words.say(diagnosis_findings(answer(("drain",)), pump)[0])


def test_a_leak_on_a_line_without_valves_is_not_sought_by_shutting_any():
    assert codes(answer(isolation=())) == ["call-back-leak", "call-back-isolate-none", "call-back-again"]


def test_after_a_mend_it_is_read_again_but_a_sound_line_is_left_alone():
    assert "call-back-again" in codes(answer(("plugged", "sound")))
    assert "call-back-again" not in codes(answer(("sound",)))


@pytest.mark.parametrize("cause", [c for c in CAUSES if c not in ("regulator", "pump")])
def test_a_line_on_the_main_has_no_pump_to_lock_out(cause):
    step = IsolationStep(("feed",), 0.5)
    told = answer((cause,), cannot=("creep",), isolation=(step,), next=NextReading("far", 0.4, "B12"))
    said = " ".join(words.say(finding) for finding in diagnosis_findings(told, False))
    assert "lock" not in said and "power" not in said
    assert "water shut and tagged" in said.lower()


def test_readings_of_no_line_are_told_no_chance():
    """Chances are those of one cause alone: where none of them fits, "Chance 100 %" would be of nothing."""
    for likely in (("drain",), ("leak", "inlet")):
        told = [words.say(found) for found in diagnosis_findings(answer(likely, misfit=9.0), True)]
        assert not [text for text in told if "Chance" in text], told
        assert "two things may be wrong at once" in told[0]
        assert all(words.word(f"cause-{cause}", "en") in told[0] for cause in likely)


@pytest.mark.parametrize("pump", [True, False])
def test_what_is_seen_or_heard_is_told_where_to_look_whatever_is_read(pump):
    plumbing = builders.project().plumbing
    plumbing = plumbing if pump else dataclasses.replace(plumbing, pump=None)
    for held in (None, 4e5):
        line = dataclasses.replace(plumbing, nozzle=dataclasses.replace(plumbing.nozzle, opens_at=held))
        for drips, says in (("few", "Nothing in" if held is None else "Dirt"), ("all", "stop valve")):
            (found,) = seen_findings(Readings(drips=drips), line)
            assert says in words.say(found), words.say(found)
        assert seen_findings(Readings(drips="none", cycles="steady"), line) == ()
    for cycles, says in (("running", "below about 10 psi"), ("idle", "locked out")):
        (found,) = seen_findings(Readings(cycles=cycles), plumbing)
        assert says in words.say(found)
