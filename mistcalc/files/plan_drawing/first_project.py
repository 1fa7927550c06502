"""The text of a first project file from an architect's drawing: what it says stated, the rest asked."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from mistcalc import units, words
from mistcalc.errors import InputError
from mistcalc.files.plan_drawing.layer_names import UNITS_BY_NAME, LayerMap, is_ours
from mistcalc.files.plan_drawing.lid_shape import LidShape, check_depths, lid_shapes
from mistcalc.files.plan_drawing.shapes import Drawing, read_drawing, scaled
from mistcalc.files.plan_drawing.things_on_lid import (
    Joists,
    Thing,
    joists_of,
    on_edge,
    second_rows_of,
    things_of,
)
from mistcalc.files.project.first_file import FirstAnswers, FirstFile
from mistcalc.files.project.patio_keys import THEN
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.value_writer import quoted
from mistcalc.model.second_rows import usual_name

MOST_RUNS = 26
SAME_DEPTH = 0.005  # m: depths of two runs that differ by less are one; where a bend joins them, SAME
SAME = 0.0005
NEAR_TAPE = 0.0002  # m: a drawn length so near a mark of the tape is meant to be there
OWN_TAPE = 2e-6  # of a drawing of ours, that is written to a micrometre of a foot
SCALE_OFF = 0.002  # share by which a length drawn may differ from the one stated
OWN_TURN = 1e-5  # rad: the same of a bend


@dataclass(frozen=True, slots=True)
class FromDrawing:
    """The text of the file; what was read, and what is to be asked, each a sentence."""

    text: str
    read: tuple[str, ...]
    questions: tuple[str, ...]


def project_from_drawing(
    data: bytes,
    source: str,
    name: str,
    layers: LayerMap,
    scale: tuple[str, str] | None = None,
    near: str | None = None,
    language: str = "en",
) -> FromDrawing:
    """scale: a run's name and its length as measured. Raises InputError with what to put right first."""
    drawing = read_drawing(data, source, layers)
    if not drawing.stated:
        drawing = _in_unit(drawing, scale, language, source)
    plan = _PlanText(drawing, lid_shapes(drawing, source), language)
    count = sum(len(lid.legs) for lid in plan.lids)
    if count > MOST_RUNS:
        raise InputError("too-many", source, key="--run", count=count, most=MOST_RUNS)
    _check_scale(plan, scale, source)
    check_depths(plan.lids, plan.names, source)
    body = plan.file(name, near)
    parse_project(body, source)  # a name twice, a lid too long: said before a file is written
    read = tuple(plan.read())
    questions = tuple(dict.fromkeys(plan.questions(scale)))  # of two ceilings, what is asked of both, once
    notes = [plan.say("read_head"), *(f"  {told}" for told in read)]
    notes += [plan.say("ask_head"), *(f"  {n}. {told}" for n, told in enumerate(questions, 1))]
    return FromDrawing(body + "\n" + "".join(f"# {line}\n" for line in notes), read, questions)


def _in_unit(drawing: Drawing, scale: tuple[str, str] | None, language: str, source: str) -> Drawing:
    """A drawing that says no unit, in the one in which the run comes out as it was measured."""
    for unit in UNITS_BY_NAME if scale is not None else ():
        tried = scaled(drawing, unit)
        try:
            _check_scale(_PlanText(tried, lid_shapes(tried, source), language), scale, source)
        except InputError:
            continue
        return tried
    raise InputError("drawing-no-unit", source, known=tuple(UNITS_BY_NAME))


def _check_scale(plan: _PlanText, scale: tuple[str, str] | None, source: str) -> None:
    if scale is None:
        return
    drawn, stated = plan.length_of(scale[0], source), units.parse(scale[1], "length")
    if stated <= 0 or abs(drawn - stated) > SCALE_OFF * stated:
        raise InputError(
            "drawing-scale", source, run=scale[0], drawn=drawn, stated=stated, unit=plan.drawing.unit
        )


@dataclass(frozen=True)
class _RunSaid:
    """What a drawing of ours says of a run in words."""

    name: str
    datum: str | None
    said: dict[str, str]


class _PlanText:
    def __init__(self, drawing: Drawing, lids: tuple[LidShape, ...], language: str) -> None:
        self.drawing, self.lids = drawing, lids
        self.system: units.System = "us" if drawing.unit in ("in", "ft") else "metric"
        self.say: Callable[..., str] = partial(self._say, language)
        self.language = language
        self.ours = any(is_ours(layer) for layer in drawing.read)
        self.runs = [[_RunSaid("", None, {}) for _ in lid.legs] for lid in lids]
        self._name_runs()
        self.lids = tuple(self._deep(lid, said) for lid, said in zip(lids, self.runs, strict=True))
        self.names = [[run.name for run in said] for said in self.runs]
        self.things, self.beyond = things_of(drawing, self.lids, self.names)
        self.rows = second_rows_of(drawing, self.lids, self.names)
        self.joists = [[joists_of(drawing, lid, n) for n in range(len(lid.legs))] for lid in self.lids]

    def _say(self, language: str, key: str, **values: Any) -> str:
        return words.label(f"from_drawing.{key}", self.system, language, **values)

    @staticmethod
    def _deep(lid: LidShape, said: list[_RunSaid]) -> LidShape:
        texts = {n: run.said["DEPTH"] for n, run in enumerate(said) if "DEPTH" in run.said}
        ends = {n: said[n].said.get("DEPTH_AT_END", text) for n, text in texts.items()}
        backs = {n: run.said.get("BACK", "") for n, run in enumerate(said)}
        depths = {
            n: (units.parse(text, "length"), units.parse(ends[n], "length")) for n, text in texts.items()
        }
        return lid.with_depths(depths, backs)

    def _name_runs(self) -> None:
        for shape in self.drawing.of("run"):
            for lid, said in zip(self.lids, self.runs, strict=True):
                for n, leg in enumerate(lid.legs):
                    along, datum = on_edge(leg, shape.at), shape.said.get("DATUM")
                    at_end = along is not None and abs(along - (leg.length if datum == "end" else 0.0)) < 0.01
                    if at_end and shape.said.get("NAME") and not said[n].name:
                        said[n] = _RunSaid(shape.said["NAME"], datum, shape.said)
        letters = (chr(ord("A") + n) for n in range(MOST_RUNS))
        taken = {run.name for said in self.runs for run in said}
        free = (letter for letter in letters if letter not in taken)
        for said in self.runs:
            for n, run in enumerate(said):
                if not run.name:
                    said[n] = _RunSaid(next(free), run.datum, run.said)

    def length_of(self, name: str, source: str) -> float:
        for lid, said in zip(self.lids, self.runs, strict=True):
            for leg, run in zip(lid.legs, said, strict=True):
                if run.name == name:
                    return leg.length
        known = tuple(run.name for said in self.runs for run in said)
        raise InputError("drawing-scale-run", source, text=name, known=known)

    def tape(self, value: float, said: str = "", bent: bool = False) -> str:
        """A drawn length as it is written. said: as a drawing of ours has it; good while it is drawn so.
        bent: of a lid that bends, by whose angles no length comes out on the tape."""
        if said and abs(units.parse(said, "length") - value) < OWN_TAPE:
            return said
        step = 0.0015875 if self.system == "us" else 0.001  # 1/16 in, 1 mm
        near = units.on_grid(value, self.system, step)
        exact = abs(near - value) < (OWN_TAPE if self.ours else step if bent else NEAR_TAPE)
        return units.spell(near if exact else round(value, 6), "length", self.system)

    # ------------------------------------------------------------------ the file

    def file(self, name: str, near: str | None) -> str:
        first = FirstFile(self.system == "metric", self.language, self.answers())
        patios = "".join(self._patio(n, first) for n in range(len(self.lids)))
        turns = {
            name: leg.turned_by
            for lid, names in zip(self.lids, self.names, strict=True)
            for leg, name in zip(lid.legs, names, strict=True)
        }
        return first.file_of(name, near, patios, self.names, turns)

    def answers(self) -> FirstAnswers:
        bearing = next(
            (s.said["BEARING"] for s in self.drawing.of("seat", "run") if s.said.get("BEARING")), ""
        )
        return FirstAnswers(bearing=f"{bearing} deg" if bearing else "")

    def _patio(self, n: int, first: FirstFile) -> str:
        lid, said = self.lids[n], self.runs[n]
        name = said[0].said.get("PATIO") or (
            self.say("patio") if len(self.lids) == 1 else self.say("patio_n", number=n + 1)
        )
        height = said[0].said.get("HEIGHT", "")
        depth = self.tape(lid.legs[0].depths[0], said[0].said.get("DEPTH", ""), lid.bends)
        lines = [
            "[[patio]]", f"name   = {quoted(name)}", f"depth  = {quoted(depth)}",
            first.line("height", height, first.pick("10 ft", "3 m"), "height").rstrip("\n"),
        ]  # fmt: skip
        if lid.legs[0].back == "open":
            lines.append('back   = "open"')
        lines.append("")
        for number in range(len(lid.legs)):
            lines += [*self._run(n, number), ""]
        for thing in self.things:
            if thing.patio == n:
                lines += [*self._thing(thing), ""]
        return "\n".join(lines) + "\n"

    def _run(self, patio: int, n: int) -> Iterator[str]:
        lid, run = self.lids[patio], self.runs[patio][n]
        leg, ring = lid.legs[n], lid.legs[-1].corner is not None
        length = self.tape(leg.length, run.said.get("LENGTH", ""), lid.bends)
        yield f"[[patio.run]]\nname   = {quoted(run.name)}\nlength = {quoted(length)}"
        (start, end), same = leg.depths, SAME if lid.bends else SAME_DEPTH
        if abs(start - lid.legs[0].depths[0]) > same:
            yield f"depth  = {quoted(self.tape(start, run.said.get('DEPTH', ''), lid.bends))}"
        if start != end:
            yield f"depth_at_end = {quoted(self.tape(end, run.said.get('DEPTH_AT_END', ''), lid.bends))}"
        if run.said.get("RISE"):
            yield f"rise   = {quoted(run.said['RISE'])}"
        if n == 0 and not ring:
            yield f'starts_at = "{lid.starts_at}"'
        if leg.corner:
            yield f'then   = "{THEN[leg.corner]}"'
        if leg.bend:
            said = units.parse(run.said.get("BEND", "0 deg"), "angle")
            told = run.said["BEND"] if abs(said - leg.bend) < OWN_TURN else f"{math.degrees(leg.bend):.2f}"
            yield f'bend   = "{told if told.endswith("deg") else f"{float(told):g} deg"}"'
        if n == len(lid.legs) - 1 and not ring:
            yield f'ends_at = "{lid.ends_at}"'
        if run.datum:
            surface = f", surface = {quoted(run.said['SURFACE'])}" if run.said.get("SURFACE") else ""
            second = f", second = {quoted(run.said['SECOND'])}" if run.said.get("SECOND") else ""
            yield f'datum  = {{ end = "{run.datum}"{surface}{second} }}'
        if (row := self.rows.get((patio, n))) is not None:
            called = "" if row[0] == usual_name(run.name) else f", name = {quoted(row[0])}"
            yield f"second_row = {{ back = {quoted(self.tape(row[1]))}{called} }}"
        if joints := list(self._joints(patio, n)):
            yield f"joints = [ {', '.join(joints)} ]"
        if (joists := self.joists[patio][n]) is not None:
            yield self._framing(joists, leg.length, self.datum_at_end(patio, n), run.said)

    def _joints(self, patio: int, n: int) -> Iterator[str]:
        """Those of a drawing of ours, which names them."""
        leg = self.lids[patio].legs[n]
        for shape in self.drawing.of("joint name"):
            if shape.said.get("RUN") == self.names[patio][n]:
                along = leg.local(shape.at)[0]
                along = leg.length - along if self.datum_at_end(patio, n) else along
                at = self.tape(along, shape.said.get("ALONG", ""))
                on = ', on = "blocking"' if shape.said.get("ON") == "blocking" else ""
                yield f"{{ name = {quoted(shape.said['NAME'])}, along = {quoted(at)}{on} }}"

    def datum_at_end(self, patio: int, n: int) -> bool:
        """Whether the tape is hooked on the run's end; unsaid, as a project file takes it."""
        lid, run = self.lids[patio], self.runs[patio][n]
        last = n == len(lid.legs) - 1 and n > 0 and lid.legs[n].corner is None and lid.ends_at == "wall"
        return last if run.datum is None else run.datum == "end"

    def _framing(self, joists: Joists, length: float, at_end: bool, said: dict[str, str]) -> str:
        centres = list(joists.centres)
        if joists.lies == "across" and at_end:
            centres = sorted(length - at for at in centres)
        parts = [f'lies = "{joists.lies}"']
        spacing, first = joists.spacing, next((at for at in centres if at >= 0.0), -1.0)
        if spacing is not None and 0.0 <= first <= spacing + 0.001:
            parts += [f"spacing = {quoted(self.tape(spacing))}", f"first = {quoted(self.tape(first))}"]
        else:
            parts.append(f"centres = [{', '.join(quoted(self.tape(at)) for at in centres)}]")
        width = said.get("JOIST_WIDTH") or (self.tape(joists.width) if joists.width else "")
        parts += [f"width = {quoted(width)}"] if width else []
        parts += [f"depth = {quoted(said['JOIST_DEPTH'])}"] if said.get("JOIST_DEPTH") else []
        parts += ["covers_corner = true"] if joists.covers_corner else []
        return f"framing = {{ {', '.join(parts)} }}"

    def _thing(self, thing: Thing) -> Iterator[str]:
        run = self.runs[thing.patio][thing.run]
        length = self.lids[thing.patio].legs[thing.run].length
        along = length - thing.along if self.datum_at_end(thing.patio, thing.run) else thing.along
        yield "[[patio.seat]]" if thing.kind == "seat" else "[[patio.obstacle]]"
        yield f"name  = {quoted(thing.name)}"
        if thing.kind != "seat":
            yield f'kind  = "{thing.kind}"'
        yield f"run   = {quoted(run.name)}"
        yield f"along = {quoted(self.tape(along, thing.said.get('ALONG', '')))}"
        yield f"back  = {quoted(self.tape(thing.back, thing.said.get('BACK', '')))}"
        if thing.kind != "seat":
            yield from self._size(thing)
            for key in ("clearance", "air_speed"):
                if thing.said.get(key.upper()):
                    yield f"{key} = {quoted(thing.said[key.upper()])}"

    def _size(self, thing: Thing) -> Iterator[str]:
        wide, tall = thing.size
        written = self.tape(wide, thing.said.get("WIDE", "")), self.tape(tall, thing.said.get("DEEP", ""))
        if thing.kind == "light" and max(wide, tall) < 0.01:
            return  # its usual size
        if thing.kind == "fan" or math.isclose(wide, tall, abs_tol=1e-6):
            yield f"size  = {quoted(written[0])}"
        else:
            yield f"size  = [{quoted(written[0])}, {quoted(written[1])}]"

    # ------------------------------------------------------------------ what is told

    def read(self) -> Iterator[str]:
        for layer, (role, count) in self.drawing.read.items():
            yield self.say(
                "layer_read",
                layer=layer,
                count=count,
                role=words.label(f"drawn.{role}", language=self.language),
            )
        for layer, count in sorted(self.drawing.left.items()):
            yield self.say("layer_left", layer=layer, count=count)

    def questions(self, scale: tuple[str, str] | None) -> Iterator[str]:
        """What a drawing cannot say, or says so that somebody must look."""
        name, length = self.runs[0][0].name, self.lids[0].legs[0].length
        if scale is None:
            yield self.say("ask_scale", run=name, length=length, unit=self.drawing.unit)
        for lid, said in zip(self.lids, self.runs, strict=True):
            if lid.guessed_ends:
                yield self.say("ask_ends", runs=tuple(run.name for run in said))
            if not said[0].said.get("HEIGHT"):
                yield self.say("ask_height")
            if lid.legs[0].back == "open":
                yield self.say("ask_back", depth=lid.legs[0].depths[0])
            if uneven := tuple(run.name for leg, run in zip(lid.legs, said, strict=True) if leg.uneven):
                yield self.say("ask_uneven", runs=uneven)
            if lid.crooked_ends:
                yield self.say("ask_crooked")
        without = tuple(
            run.name for said, found in zip(self.runs, self.joists, strict=True)
            for run, joists in zip(said, found, strict=True) if joists is None
        )  # fmt: skip
        if without:
            yield self.say("ask_no_joists", runs=without)
        if any(joists is not None for found in self.joists for joists in found):
            yield self.say("ask_joists")
        if self.beyond:
            yield self.say("ask_beyond", names=tuple(self.beyond))
        flat = tuple(t.name for t in self.things if t.kind not in ("light", "seat") and max(t.size) < 0.01)
        if flat:
            yield self.say("ask_size", names=flat)
        if not self.answers().bearing:
            yield self.say("ask_north", run=name)
        yield self.say("ask_line")
