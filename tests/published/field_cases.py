"""docs/validation/field-cases.md: every field case on one page, from the comparisons of the other pages."""

from __future__ import annotations

from tests.published.cases import READ, Case, Source

PAGE = "field-cases.md"
SUBJECT = "Field studies"

HEAD = """# Field cases

Where somebody sprayed water into real air and measured what it did: what they measured, what they told of the
set-up, what we had to assume, what we say, and whether that agrees. {count} studies, {rows} comparisons,
{inside} inside their tolerance{outside}.

How far to believe it. **None of these studies tells all that our answer needs.** Where weather, nozzles or
lid were not in what was read, something usual was assumed, once, before comparing, and the tolerance is a
factor of 2 (or what the source's own scatter allows): agreement within it says that the answer has the right
size, not that it is right to half a kelvin. Nothing was fitted to any of them. Of the air only drops of
temperature are compared, never a measured rise of humidity: in mist that is the worst-measured quantity. A
thermometer that mist can wet reads toward the wet bulb, so a largest drop is an upper bound only. Most were
read in an abstract: who has the paper at hand can replace an assumption by a fact, in `tests/published`.
"""

NOT_COMPARED = """## Read, and not compared

A comparison in which half of the set-up is invented shows nothing. These have none, and why:

| study | what it found | why no comparison |
|---|---|---|
| Arbel, Barak & Shklyar 2003, high-pressure fog with fans at the ends of a greenhouse (ASAE paper 034041, abstract) | 28 degC and 80 % inside at midday in summer; uniform lengthwise and in height to 0.5 K, the error of their thermometers; across the width it varied as the wind blew | outdoor weather, water and air flow are not told, and sun heats the house. It bears out well-mixed air where fans drive it and fog is spread evenly; it speaks *against* one mean for all seats where wind blows across |
| Kim and others 2007, fog in a single-span greenhouse without plants (JARQ 41, 283, abstract) | measured and computed air (a general-purpose CFD solver) differ by 0.1-1.4 K and 0.3-6 % of humidity | nozzles, flow and weather are not in what was read. It says how far such a solver may be believed in fog: to about 1.4 K |
| López, Valera, Molina-Aiz & Peña 2012, empty greenhouses with sonic thermometers (Biosystems Eng. 113, 334, abstract) | low-pressure air-and-water fog, 9.4 L/h on average, kept a house less cool than wet pads with fans did | floor area, air change and the fog's own temperatures are not in what was read; sun heats the house |
| Öztürk 2003, fog in an eleven-span greenhouse (Turk. J. Agric. For. 27, 49, abstract) | up to 6.6 K under outdoors; 11.7 to 80 % of the depression | sun, and an air flow told in two ways that do not agree. Its 80 % is the same ceiling as the pulses of fog have |
| low-pressure mist in a heat chamber, 40 degC and 15 % (honors thesis, Arizona State University 2023, abstract) | 2-4 K | volume, flow and ventilation not in what was read |
| downward mist in the open, Tsukuba (Kusaka and others 2022, abstract) | no relief in wind | the wind itself, and the data, were not reachable |
| mist fans of Osaka and of Bahrain (abstracts) | 0.4 K and 4 K | their jets are not a line's |
| fan-ventilated greenhouse, Tucson (Sabeh and others 2007, abstract) | water supplied a day | supplied, not evaporated |
| a perimeter line at an outlet in Singapore (Wong & Chong 2010) | no effect on what people felt | no air temperature told |
| 65 people before a mist device (abstract) | 2.9 K, with a fan 3.6 K | flow unknown |
| skin that mist wets (Farnham and others 2015, abstract) | 2 K in ten seconds | no such term is modeled, so what the pages promise is on the safe side |
| a desert contractor's figures at 110 degF, dry and calm (common practice, no source) | 30 degF at the line, 15 at 6-8 ft, 10 at 10-15 ft | no lid or flow told. Ours at 110 degF, 10 % and nearly calm, 15 nozzles of 6.6 L/h over 9 x 8 m, was a third, a half and two thirds of that (median), and his first figure only inside a plume: 25-28 degF, 1.5 m below a nozzle |

No whole patio with every condition told has been measured and published, as far as was found. A measuring day on a
patio of your own is worth more than all of the above.
"""  # noqa: E501  (rows of a table)


def page(order: list[Source], grouped: dict[str, list[Case]], figures, mark: str) -> str | None:
    """The page, or None without field cases. figures: of a case, as the other pages print them."""
    studies = [source for source in order if source.subject == SUBJECT]
    every = [case for source in studies for case in grouped[source.page]]
    if not every:
        return None
    wrong = sum(not case.passes for case in every)
    outside = f", **{wrong} outside** and told so below" if wrong else ""
    head = HEAD.format(count=len(studies), rows=len(every), inside=len(every) - wrong, outside=outside)
    glance = ["| study | figures read | verdict |", "|---|---|---|"]
    glance += [
        f"| [{s.title}]({s.page}.md) | {READ[s.read].split(';')[0]} | {_verdict(grouped[s.page])} |"
        for s in studies
    ]
    told = [_study(source, grouped[source.page], figures) for source in studies]
    return "\n".join([head, mark, *glance, "", *told, NOT_COMPARED])


def _verdict(held: list[Case]) -> str:
    wrong = sum(not case.passes for case in held)
    if wrong:
        return f"**{wrong} of {len(held)} outside**"
    most = max(abs(float(case.share.flat[case.worst])) for case in held)
    used = f"{most:.0%}".replace("%", " %")
    return f"inside ({used} of the tolerance used)" if len(held) == 1 else (
        f"all {len(held)} inside (at most {used} of the tolerance used)"
    )  # fmt: skip


def _study(source: Source, held: list[Case], figures) -> str:
    rows = ["| what | theirs | ours | allowed | verdict |", "|---|--:|--:|--:|---|"]
    for case in held:
        theirs, ours, _, _ = figures(case)
        verdict = "inside" if case.passes else "**outside**"
        what = case.what if case.ours.size == 1 else f"{case.what} (worst of {case.ours.size})"
        rows.append(f"| {what} | {theirs} | {ours} | {case.tolerance} | {verdict} |")
    return "\n".join(
        [
            f"## {source.title}\n",
            f"* Measured: {source.measured}.",
            f"* Told of the set-up: {source.known}.",
            f"* Assumed, and limits: {source.limits}",
            f"* Source: {source.cite.rstrip('.')}. Figures read {READ[source.read]}.\n",
            *rows,
            "",
        ]
    )
