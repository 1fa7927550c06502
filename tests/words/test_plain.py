"""Words that nobody on site knows are not used alone; a mistake's correction says one thing once."""

import re

import pytest

from mistcalc import words
from mistcalc.errors import InputErrors
from mistcalc.files import parse_project
from tests.words.test_sentences import flat

HEAD = 'format = 1\nname = "p"\n[place]\nelevation = "80 ft"\n[[place.afternoon]]\nname = "hot"\n'
TAIL = '[[patio]]\nname = "p"\ndepth = "9 ft"\nheight = "9 ft"\n[[patio.run]]\nname = "A"\nlength = "9 ft"\n'


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ('dry_bulb = 98\nrelative_humidity = "45 %"', '"98 degF".'),
        ('dry_bulb = "98 degF"\nrelative_humidity = 45', '"45 %".'),
    ],
)
def test_a_bare_number_is_given_one_meaning(line, instead):
    rest = 'wind_on_patio = "3 mph"\nwind_from = "S"\n'
    with pytest.raises(InputErrors) as caught:
        parse_project(HEAD + line + "\n" + rest + TAIL)
    told = words.say(caught.value)
    assert told.rpartition("Write ")[2] == instead


@pytest.mark.parametrize(
    "said",
    [r"\{degree\} SET", "if mixed", "Mix of drop sizes", "heads \\{", "raises it", r"CU \{", "^Moves as",
     "In the mean", "^Ask for, "],
)  # fmt: skip
def test_words_nobody_on_site_knows_are_gone(said):
    assert [key for key, text in flat("en").items() if re.search(said, text)] == []


def test_a_day_is_written_as_paper_has_it():
    assert words.label("paper.day", "us", day="2027-03-08") == "03/08/2027"
    assert words.label("paper.day", "metric", day="2027-03-08") == "2027-03-08"
