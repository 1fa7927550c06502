"""What the plan says of the tube that joins a run, and that it stands on the sheet."""

import pytest

from mistcalc.report.builder import connection_letters
from tests.line import houses

RING_B_DRAIN = houses.RING.replace("[pump]\n", '[line.drain]\nat = "B at 3 ft"\ntest_port = true\n[pump]\n')


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (houses.RING, {"A start": "F", "A end": "", "B start": "", "B end": "F"}),
        (RING_B_DRAIN, {"B at 3 ft": "DT", "B end": "F"}),
        (
            houses.BRANCHES,
            {"A start": "F", "A at 12 ft": "B", "B start": "F", "B end": "D", "C start": "B", "C end": ""},
        ),
        (houses.TWO_PATIOS, {"A start": "F", "A end": "", "P end": "F", "P start": ""}),
        (houses.MIXED, {"A start": "F", "A end": ""}),
    ],
)
def test_letters_of_a_house(text, expected):
    plumbing, _ = houses.laid(text)
    assert {name: "".join(connection_letters.letters_at(name, plumbing)) for name in expected} == expected
