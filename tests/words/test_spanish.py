"""Spanish: the words of the trade, no English left, and what a text message has room for.

The wrong words are ours to name (docs/languages.md): Spanish of building sites in Mexico and the
south-west of the United States, common practice, no source; not yet read by a native speaker of the trade.
"""

from __future__ import annotations

import re
import string

import pytest

from mistcalc import words
from tests.words.test_sentences import flat

# A wrong word (a regular expression, whole words) and what stands in its place.
WRONG = {
    r"plaf[oó]n(es)? de luz|plafones": "a light is lámpara",
    r"luces (?!,)de techo|foco": "lámpara",
    r"yeso|enlucido|revoque|repello|enjarre": "estuco; yeso is gypsum",
    r"capa (marr[oó]n|caf[eé])|capa de rayado": "segunda capa (brown), primera capa (scratch)",
    r"cara de acabado|cara acabada": "cara terminada",
    r"junta de expansi[oó]n": "junta de control",
    r"malla de (insectos|mosquitos?)|malla contra": "mosquitero; malla is the lath",
    r"marca (comercial|de f[aá]brica)|de (qu[eé] )?marca": "fabricante; a marca is where a hole goes",
    r"(lo que|el man[oó]metro) marca": "indica",
    r"(?<!\()d[aá]tum": "punto cero, datum once in parentheses",
    r"nebulizador(es)?|roc[ií]ador(es)?|aspersor(es)?": "boquilla, línea de neblina",
    r"drenar|drene|purga(?!\))|desag[uü]e": "vaciar, vaciado",
    r"borde abierto|(del|al) borde": "orilla",
    r"llave de paso": "válvula de cierre",
    r"accesorios?": "conexión",
    r"empalme": "unión, cople",
    r"v[aá]lvula de retenci[oó]n|antirretorno": "válvula check",
    r"electrov[aá]lvula": "válvula solenoide",
    r"incrustaci[oó]n": "sarro",
    r"fontanero|gr[uú]a": "plomero",
    r"enchufe|contacto": "tomacorriente",
    r"interruptor de pared": "apagador",
    r"altavoz|parlante": "bocina",
    r"cielo raso|sofito|intrad[oó]s": "plafón",
    r"trab[eé]|cabio|cabrio|montante": "viga, barrote",
    r"habitaci[oó]n|grifo|ordenador|vosotros|vuestro|cortacircuitos": "Spanish of Spain",
    r"tú|tu|tus|haz|pon|deja tu": "usted",
    r"fila de texto": "renglón",
    r"permitid[oa]s?": "no talk of what is allowed",
    r"suelo mojado": "piso mojado",
    r"resbaladizo": "resbaloso",
    r"elevaci[oó]n": "altitud of a place, alzado of a drawing",
    r"(boquillas?|esa) tapadas?": "obstruida; tapar is to cover",
}  # fmt: skip

# English that may stand in Spanish, in parentheses: the trade's own word.
TRADE = {
    "backflow", "preventer", "relief", "valve", "gauge", "drain", "cap", "stub", "scratch", "brown",
    "lath", "datum", "joist", "blocking", "rough-in", "call-back", "creep", "bladder", "vessel",
    "feed", "screen", "hold", "points", "reflected", "ceiling", "plan", "high-pressure", "injection",
}  # fmt: skip
# Words that are English and not Spanish: any of them in a sentence is a sentence half translated.
ENGLISH = {
    "the", "and", "of", "with", "from", "is", "are", "not", "than", "each", "every", "where", "which",
    "write", "line", "pump", "water", "mark", "marks", "nozzle", "nozzles", "tube", "wind", "off",
    "on", "at", "to", "by", "it", "its", "no-one", "cooler", "mist", "air", "seat", "seats", "house",
    "wet", "dry", "damp", "hole", "holes", "stop", "look", "fail", "pass", "note", "check-sheet",
    "drill", "before", "after", "under", "over", "there", "here", "keep", "take", "shut", "open",
    "closed", "run", "runs", "sheet", "sheets", "code", "day", "hour",
}  # fmt: skip


def spanish() -> dict[str, str]:
    """Dotted key -> what is said, without the names in braces and without what is typed in quotes."""
    told = {}
    for key, template in flat("es").items():
        parts = string.Formatter().parse(template)
        text = " ".join(f"{text} {(how or '').partition('plural ')[2]}" for text, _, how, _ in parts)
        told[key] = re.sub(r"\"[^\"]*\"", " ", text)
    return told


def hits(wrong: str, text: str) -> list[str]:
    return [m.group() for m in re.finditer(rf"(?i)(?<![\w-])(?:{wrong})(?![\w-])", text)]


@pytest.mark.parametrize("wrong", WRONG)
def test_one_thing_has_one_word(wrong):
    assert [(key, hit, WRONG[wrong]) for key, text in spanish().items() for hit in hits(wrong, text)] == []


def test_the_list_of_wrong_words_finds_them():
    assert hits("yeso|foco", "Capa de Yeso") and hits(r"(?<!\()d[aá]tum", "el datum A")
    assert not hits(r"(?<!\()d[aá]tum", "Punto cero (datum)") and not hits("tu", "tubo")


def test_no_sentence_is_half_english():
    """Each English sentence is another in Spanish, but for what is a number, a unit or a name alone."""
    typed = ("word.", "usage.", "new_file.")
    found = []
    for key, text in spanish().items():
        if key.startswith(typed) or key == "error.day-undescribed":
            continue
        found += [(key, word) for word in english_words(text) if word in ENGLISH]
    assert [one for one in found if one[1] not in MAY.get(one[0], ())] == []


# Keys and choices of a file, named as they are typed.
MAY = {
    "finding.limits-crossed": ("closest", "widest"),
    "finding.thing-outside-lid": ("along", "back"),
    "cli.new_corner": ("inside", "outside"),
    "error.weather-not-given": ("run",),
    "error.flag-wanted": ("true", "false"),
    "error.afternoon-no-wind": ("wind",),
    "error.afternoon-two-winds": ("wind",),
    "error.screen-whole-end": ("from", "to"),
    "error.screen-no-length": ("from", "to"),
    "error.step-circle": ("after",),
    "finding.close-in-order": ("after",),
}


def english_words(text: str) -> list[str]:
    """Words without an accent, but for the trade's in parentheses and what is typed: keys, commands."""
    text = re.sub(r"\([^()]*\)", lambda m: " " if set(_words(m.group())) <= TRADE else m.group(), text)
    text = re.sub(
        r"\[\[?[\w.]+\]?\]|docs/\S+|mistcalc [a-z]+|--[\w-]+ ?\w*|\w+ =( \S+)?|hour=\w+ \w+", " ", text
    )
    return _words(re.sub(r"\w+_\w+|\w+\.\w+|\w+\([^()]*\([^()]*\)\)", " ", text))


def _words(text: str) -> list[str]:
    return [word.lower() for word in re.findall(r"[A-Za-z]+(?:-[A-Za-z]+)*(?![\wáéíóúñ])", text)]


def test_what_is_the_same_in_both_languages_has_no_words_of_english():
    same = [key for key, text in flat("es").items() if text == flat("en")[key]]
    plain = {k: re.sub(r"\{[^{}]*\}|[^A-Za-z]", "", flat("es")[k]) for k in same}
    assert (
        sorted(k for k, text in plain.items() if text and not k.startswith(SAME) and text not in SHARED) == []
    )


SAME = ("usage.%(prog)s", "word.pvc", "word.pex", "word.nylon", "word.inspector", "page.joists_hint",
        "options_view.hint_", "told.side_",
        "paper_calendar.month_", "number.degree", "unit.")  # fmt: skip
SHARED = {
    "patio", "Patio", "NE", "no", "OK", "min", "mm", "Rev", "N", "F", "GFCI", "RCDmA", "W", "Motor", "motor",
    "s", "total", "Tee", "NO", "V", "h", "C", "D", "T", "Ctrl", "Demos", "Legionella", "Volts",
    "Inspector", "INH", "ft", "in",
}  # fmt: skip


def test_a_text_message_keeps_its_160_signs():
    """The alphabet of text messages (3GPP TS 23.038, 6.2.1) has few accented letters; any other sign puts
    the whole message into one that holds 70."""
    basic = set(
        string.ascii_letters + string.digits + " \n!\"#%&'()*+,-./:;<=>?@_$£¥¡¿èéùìòÇØøÅåÄÖÑÜ§äöñüàÆæßÉ"
    )
    parts = {k: t for k, t in flat("es").items() if k.startswith("marks_messages.")}
    surfaces = {
        k: t for k, t in flat("es").items() if k.startswith("word.") and "estructura" in t and "cara" in t
    }
    for key, template in {**parts, **surfaces}.items():
        text = "".join(text for text, *_ in string.Formatter().parse(template))
        assert set(text) <= basic, key


def test_spanish_says_a_finding_as_a_crew_reads_it():
    from tests.words.test_sentences import light

    assert words.say(light(), "us", "es") == (
        "Lámpara L2: queda a menos de 3 ft de A7, A8 y A9. Mueva L2 15 in hacia la casa."
    )


def test_a_day_has_its_month_in_letters():
    assert words.label("paper.day", "us", "es", day="2027-03-08") == "8 mar 2027"
    assert words.label("paper.day", "metric", "es", day="2027-03-08") == "8 mar 2027"


def test_a_weekday_is_not_taken_for_a_month():
    days = [words.label(f"paper_calendar.weekday_{n}", language="es") for n in range(7)]
    months = [words.label(f"paper_calendar.month_{n}", language="es") for n in range(1, 13)]
    assert not set(days) & set(months) and "martes" in days
