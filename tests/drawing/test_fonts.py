"""Font: widths against fontTools (an independent reader of the same OpenType tables), and safe text."""

from __future__ import annotations

from importlib.resources import files
from io import BytesIO

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from mistcalc.drawing import fonts

DRAWABLE = set(TTFont(BytesIO(fonts.ttf(True))).getBestCmap())
BOTH = pytest.mark.parametrize("bold", [False, True])


@BOTH
def test_every_letter_is_as_wide_as_another_reader_says(bold):
    font = TTFont(BytesIO(fonts.ttf(bold)))
    advances, units = font["hmtx"], font["head"].unitsPerEm
    for code, glyph in font.getBestCmap().items():
        # 0.729 is the capital height over the size: a text 0.729 high has size 1
        assert fonts.width(chr(code), 0.729, bold) == pytest.approx(advances[glyph][0] / units, abs=1e-9)


@BOTH
def test_a_capital_is_as_high_as_the_look_says(bold):
    """Size = height / 0.729. The outline of H, a flat letter, says so itself."""
    font = TTFont(BytesIO(fonts.ttf(bold)))
    assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(0.729, abs=0.0005)


@BOTH
def test_the_small_font_for_screens_draws_the_same_letters(bold):
    whole, small = TTFont(BytesIO(fonts.ttf(bold))), TTFont(BytesIO(fonts.woff(bold)))
    letters = small.getBestCmap()
    assert set(range(0x20, 0x7F)) | set(range(0xA0, 0x180)) <= set(letters)
    for code, glyph in letters.items():
        ours = whole["glyf"][whole.getBestCmap()[code]].getCoordinates(whole["glyf"])
        theirs = small["glyf"][glyph].getCoordinates(small["glyf"])
        assert ours[0] == theirs[0] and list(ours[1]) == list(theirs[1]), chr(code)
        assert whole["hmtx"][whole.getBestCmap()[code]][0] == small["hmtx"][glyph][0]


def test_the_licence_lies_beside_the_fonts_and_allows_embedding():
    licence = files("mistcalc.drawing").joinpath("fonts", "LICENSE.txt").read_text(encoding="utf-8")
    assert "Bitstream Vera Fonts Copyright" in licence and "Arev Fonts Copyright" in licence
    # OpenType OS/2 fsType 0: installable embedding, no restriction
    assert all(TTFont(BytesIO(fonts.ttf(bold)))["OS/2"].fsType == 0 for bold in (False, True))


def test_clean_keeps_what_people_write_and_drops_what_harms():
    assert fonts.clean("José, 2'-11 1/4\" ⌀ 1/2 & <b>") == "José, 2'-11 1/4\" ⌀ 1/2 & <b>"
    assert fonts.clean("a\x00b\x1b[31m\u202egnp\u200b") == "ab[31mgnp"
    assert fonts.clean("two\nlines\tand\r\nmore") == "two lines and  more"
    assert fonts.clean("e\u0301") == "é"
    assert fonts.clean("\ud800x") == "x"
    assert fonts.clean("雨") == fonts.BLANK
    assert len(fonts.clean("x" * 1_000_000)) == fonts.LONGEST


@pytest.mark.thorough
@given(st.text(max_size=500))
def test_clean_text_is_one_line_of_letters_the_font_has(text):
    cleaned = fonts.clean(text)
    assert all(ord(letter) in DRAWABLE for letter in cleaned)
    assert len(cleaned) <= fonts.LONGEST and fonts.clean(cleaned) == cleaned


@pytest.mark.thorough
@given(st.text(max_size=120), st.floats(8.0, 120.0))
def test_wrapped_lines_fit_and_lose_no_letter(text, room):
    lines = fonts.wrap(text, 2.5, room)
    assert "".join("".join(lines).split()) == "".join(fonts.clean(text).split())
    assert all(fonts.width(line, 2.5) <= room + 1e-9 or len(line) == 1 for line in lines)


@given(st.text(max_size=120), st.floats(8.0, 120.0))
def test_shortened_text_fits_and_says_that_it_was_shortened(text, room):
    short = fonts.fit(text, 2.5, room)
    assert fonts.width(short, 2.5) <= room + 1e-9
    assert short == fonts.clean(text) or short.endswith("…")


@pytest.mark.parametrize("room", [18.0, 21.0, 25.0, 31.0, 40.0])
def test_no_line_ends_between_a_number_and_its_unit(room):
    lines = fonts.wrap("CU 98 %, DU 100 %. Each 0.029 gpm at 1,000 psi; 4 °F in 7 h.", 2.5, room)
    assert all(line[-1:] not in "0123456789" for line in lines) and len(lines) > 1
    assert " ".join(lines) == "CU 98 %, DU 100 %. Each 0.029 gpm at 1,000 psi; 4 °F in 7 h."


@pytest.mark.parametrize("room", [21.0, 25.0, 28.0, 33.0, 38.0, 45.0])
def test_no_line_ends_between_feet_and_a_fraction(room):
    """ "Move it to 20'-11" and on the next line "1/2"" would be cut half an inch short."""
    lines = fonts.wrap("Light A-L7 would cut the joist. Move it to 20'-11 1/2\".", 2.5, room)
    assert any("20'-11 1/2\"" in line for line in lines)
