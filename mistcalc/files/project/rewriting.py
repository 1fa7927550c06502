"""A person's project text with only the changed values changed.

The text is never written anew: what differs between the project it states and the project wanted is
spliced in at the place of each value, so comments, order, spacing and the spelling of everything else stay
byte for byte. List elements are matched by name (pieces by their place in the list).
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from typing import Any

from mistcalc.errors import MistcalcError
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.schema import ROOT
from mistcalc.files.project.single_tables import number_single_tables
from mistcalc.files.project.text_edits import BLOCKS, TextEdits
from mistcalc.files.project.tree_conversion import Tree, project_to_tree
from mistcalc.files.project.value_writer import element, key, pairs, quoted, toml_value
from mistcalc.files.text.reading import BOM
from mistcalc.files.text.toml_positions import Path, TomlPositions, locate_keys
from mistcalc.model.project import Project
from mistcalc.model.second_rows import with_row_feeds

# A default may hang on a key that has just been changed (a plaster's thickness on its system), so that one
# pass of edits can ask for another. No chain of defaults is longer than two.
MOST_PASSES = 4


def rewrite(
    text: str, project: Project, follow: bool = False, said: Mapping[object, str] | None = None
) -> str:
    """`text`, which states some project, changed to state `project`.

    Reading the result gives `project` again, but for `assumed`: what has been changed is now stated. follow:
    what the text leaves out is assumed anew instead, so that a thickness nobody stated is not stated because
    the plaster was changed. said: as somebody typed a value, for its unit. An unchanged project gives back
    the same text. Comments inside a table that goes, go with it. Raises InputErrors where `text` is no
    project, or where `project` is none that a file may state.
    """
    wanted = dataclasses.replace(with_row_feeds(project), assumed=())
    body = text.removeprefix(BOM)
    mark = text[: len(text) - len(body)]
    for _ in range(MOST_PASSES):
        stated = parse_project(body)
        if dataclasses.replace(stated, assumed=()) == wanted:
            return mark + body
        editor = _Editor(body, project, said or {})
        old, new = (project_to_tree(_zones_as_stated(one, body)) for one in (stated, project))
        editor.table(ROOT, old, new, ())
        body = editor.done()
        if follow:
            return mark + body
    raise MistcalcError("rewrite-differs")


def _zones_as_stated(project: Project, text: str) -> Project:
    """The project without those second rows in its zones that the text does not name: they follow their runs
    by themselves, and the text is not to say what it left out."""
    plumbing = project.plumbing
    unsaid = {row for row, _ in plumbing.second_rows if f'"{row}"' not in text and f"'{row}'" not in text}
    zones = tuple(
        dataclasses.replace(zone, runs=tuple(run for run in zone.runs if run not in unsaid))
        for zone in plumbing.zones
    )
    told = dataclasses.replace(project, plumbing=dataclasses.replace(plumbing, zones=zones))
    return told if with_row_feeds(told) == with_row_feeds(project) else project


class _Editor:
    """What differs between two trees, as edits of one text."""

    def __init__(self, text: str, project: Project, said: Mapping[object, str]) -> None:
        self.edits = TextEdits(text)
        self.text = text
        self.places: TomlPositions = locate_keys(text)
        self.lone = number_single_tables(self.places)
        self.system = project.units
        self.said = said
        self.added: dict[Path, list[tuple[str, str]]] = {}  # keys to add to a table

    def done(self) -> str:
        self.edits.cut_between()
        self._bring_home()
        for path, lines in self.added.items():
            self._insert_keys(path, lines)
        return self.edits.applied()

    # -------------------------------------------------------------- differences

    def table(self, table: TableSpec, old: Tree, new: Tree, path: Path) -> None:
        for name, entry in table.keys.items():
            before, after, here = old[name], new[name], (*path, name)
            if before == after and not self._comes_along(table, name, old, new, here):
                continue
            if isinstance(entry, ValueSpec):
                self._leaf(entry, after, here)
            elif isinstance(entry, TableListSpec):
                self._many(entry, before, after, here)
            elif after is None:
                self._remove_table(here)
            elif before is None:
                self._add_table(entry, after, here)
            else:
                self.table(entry, before, after, here)

    def _comes_along(self, table: TableSpec, name: str, old: Tree, new: Tree, path: Path) -> bool:
        """A key nobody stated must be stated with the one beside it that has changed."""
        return (
            name in table.together
            and path not in self.places.items
            and any(old[other] != new[other] for other in table.together)
        )

    def _leaf(self, leaf: ValueSpec, value: Any, path: Path) -> None:
        item = self.places.items.get(path)
        if value is None or value == ():
            if item:
                self._remove_key(path)
            self._remove_blocks(path)
        elif item:
            start, end = item.value
            new = toml_value(leaf, value, self.system, self._like(value) or self.text[start:end])
            self.edits.splice(start, end, new)
        else:
            self._remove_blocks(path)
            new = toml_value(leaf, value, self.system, self._like(value))
            self.added.setdefault(path[:-1], []).append((str(path[-1]), new))

    def _like(self, value: Any) -> str | None:
        """TOML of the value as it was typed."""
        text = self.said.get(value) if isinstance(value, float) else None
        return quoted(text) if text else None

    def _many(self, many: TableListSpec, old: list[Tree], new: list[Tree], path: Path) -> None:
        before = [tree[many.by] for tree in old] if many.by else list(range(len(old)))
        after = [tree[many.by] for tree in new] if many.by else list(range(len(new)))
        surviving = [name for name in before if name in after]
        if (
            self._only_assumed(path) or after[: len(surviving)] != surviving
        ):  # nothing to keep, or another order
            surviving = []
        first = (*path, 0)
        if (
            path in self.lone
            and len(new) > 1
            and not (first in self.places.items or first in self.places.blocks)
        ):
            surviving = []  # dotted keys cannot become a list
        for number, name in enumerate(before):
            if name in surviving:
                self.table(many.table, old[number], new[after.index(name)], (*path, number))
        self._remove_elements(
            path, [n for n, name in enumerate(before) if name not in surviving], len(before)
        )
        stay = [(*path, number) for number, name in enumerate(before) if name in surviving]
        as_blocks = any(place in self.places.blocks for place in stay)
        self._add_elements(
            many, [new[n] for n, name in enumerate(after) if name not in surviving], path, as_blocks
        )

    def _only_assumed(self, path: Path) -> bool:
        return (
            path not in self.lone and path not in self.places.items and (*path, 0) not in self.places.blocks
        )

    # -------------------------------------------------------------- adding

    def _insert_keys(self, path: Path, lines: list[tuple[str, str]]) -> None:
        """New keys at the end of a table that is there, else a table of their own."""
        block, item = self.places.blocks.get(path), self.places.items.get(path)
        if item:
            end = item.value[1] - 1
            inner = self.text[item.value[0] + 1 : end]
            spot = item.value[0] + 1 + len(inner.rstrip())
            inserted = ", ".join(f"{key(name)} = {text}" for name, text in lines)
            self.edits.splice(spot, spot, f", {inserted}" if self._holds(path) else f" {inserted} ")
        elif block:
            written = [f"{key(name)} = {text}" for name, text in lines]
            if path == () and block.end == 0:  # before all else
                self.edits.splice(0, 0, "".join(line + self.edits.newline for line in written))
            else:
                self.edits.put_lines(block.end, written)
        elif (dotted := self._dotted(path)) is not None:
            prefix = ".".join(key(name) for name in path[len(dotted) :] if isinstance(name, str))
            at = self.places.blocks[dotted].end
            self.edits.put_lines(at, [f"{prefix}.{key(name)} = {text}" for name, text in lines])
        else:
            header = f"[{'.'.join(str(piece) for piece in path)}]"
            self.edits.append_lines([header, *(f"{key(name)} = {text}" for name, text in lines)])

    def _bring_home(self) -> None:
        """A table not written out yet goes inline into the list's element, or the inline table, it is in."""
        for path in sorted(self.added, key=len, reverse=True):
            if path in self.places.blocks or path in self.places.items or self._dotted(path) is not None:
                continue
            home = self._home(path[:-1])
            if home in self.places.items or any(isinstance(piece, int) for piece in path):
                inserted = ", ".join(f"{key(name)} = {text}" for name, text in self.added.pop(path))
                self.added.setdefault(home, []).append((str(path[-1]), f"{{ {inserted} }}"))

    def _holds(self, path: Path) -> bool:
        """Whether an inline table still has a key once all removals are made."""
        return any(
            item[: len(path)] == path and len(item) > len(path) and not self._removed(item)
            for item in self.places.items
        )

    def _dotted(self, path: Path) -> Path | None:
        """The block that states some of this table by dotted keys (`marks.pitch = ...` under [[patio]])."""
        for key_path, item in self.places.items.items():
            if key_path[: len(path)] == path and not item.inline:
                size = next(n for n in range(len(key_path), -1, -1) if key_path[:n] in self.places.blocks)
                if size < len(path):
                    return key_path[:size]
        return None

    def _home(self, path: Path) -> Path:
        """The nearest table around that is written out."""
        while path not in self.places.blocks and path not in self.places.items:
            path = path[:-1]
        return path

    def _add_table(self, table: TableSpec, tree: Tree, path: Path) -> None:
        if len(path) == 1:
            self.edits.append_lines(
                [f"[{path[0]}]", *(f"{key(n)} = {t}" for n, t in pairs(table, tree, self.system))]
            )
        else:
            self.added.setdefault(path[:-1], []).append((str(path[-1]), element(table, tree, self.system)))

    def _add_elements(self, many: TableListSpec, trees: list[Tree], path: Path, as_blocks: bool) -> None:
        """`as_blocks`: some that stay stand as [[blocks]]."""
        if not trees:
            return
        item = self.places.items.get(path)
        alone = self.places.items.get((*path, 0)) if path in self.lone else None
        if alone:
            inserted = ", ".join(element(many.table, tree, self.system) for tree in trees)
            self.edits.splice(alone.value[0], alone.value[0], "[ ")
            self.edits.splice(alone.value[1], alone.value[1], f", {inserted} ]")
        elif item:
            self._add_inline(item.value, [element(many.table, tree, self.system) for tree in trees], path)
        elif not as_blocks and (path[-1] in ("joints", "fixed") or path[:-1] in self.places.items):
            inserted = ", ".join(element(many.table, tree, self.system) for tree in trees)
            self.added.setdefault(path[:-1], []).append((str(path[-1]), f"[ {inserted} ]"))
        else:
            header = f"[[{'.'.join(piece for piece in path if isinstance(piece, str))}]]"
            last = self._last_offset(path)
            only = self.places.blocks.get((*path, 0)) if path in self.lone else None
            if only:  # [line.drain] becomes the first [[line.drain]]
                self.edits.splice(only.start, only.start, "[")
                self.edits.splice(only.header_end, only.header_end, "]")
            for tree in trees:
                lines = ["", header, *(f"{key(n)} = {t}" for n, t in pairs(many.table, tree, self.system))]
                self.edits.put_lines(last, lines, BLOCKS)

    def _last_offset(self, path: Path) -> int:
        """Where the last block of a list ends, else of the element that holds the list, else of the file."""
        for size in range(len(path), 0, -1):
            ends = [b.end for at, b in self.places.blocks.items() if at[:size] == path[:size]]
            if ends:
                return max(ends)
        return max(len(self.text.rstrip()) - 1, 0)

    def _add_inline(self, value: tuple[int, int], elements: list[str], path: Path) -> None:
        """Into [ {...}, {...} ]: in the same way as the last one stands, on its own line or not."""
        count = 0
        while (*path, count) in self.places.items:
            count += 1
        inserted = ", ".join(elements)
        gone = [n for n in range(count) if self._removed((*path, n))]
        if count == 0 or len(gone) == count:
            self.edits.splice(value[1] - 1, value[1] - 1, f" {inserted} ")
            return
        last = self.places.items[*path, max(n for n in range(count) if n not in gone)]
        before = self.text[: last.start]
        indent = before[before.rfind("\n") + 1 :]
        rest = self.text[last.value[1] : value[1]]
        comma = rest.lstrip(" \t").startswith(",")
        if indent.strip() or "\n" not in self.text[value[0] : last.start]:
            self.edits.splice(last.value[1], last.value[1], f", {inserted}")
        elif comma:
            spot = min(self.edits.line_end(last.value[1]), value[1] - 1)
            new = "".join(f"{self.edits.newline}{indent}{text}," for text in elements)
            self.edits.splice(spot, spot, new)
        else:
            new = "".join(f",{self.edits.newline}{indent}{text}" for text in elements)
            self.edits.splice(last.value[1], last.value[1], new)

    def _removed(self, path: Path) -> bool:
        item = self.places.items[path]
        return self.edits.removes(item.start, item.value[1])

    # -------------------------------------------------------------- removing

    def _remove_key(self, path: Path) -> None:
        item = self.places.items[path]
        if item.inline:
            self.edits.remove_between(item.start, item.value[1])
        else:
            self.edits.remove_lines(item.start, item.value[1])

    def _remove_table(self, path: Path) -> None:
        """An optional table with all that is in it."""
        if path in self.places.items:
            self._remove_key(path)
        else:
            self._remove_blocks(path)

    def _remove_blocks(self, path: Path) -> None:
        for at, block in self.places.blocks.items():
            if at[: len(path)] == path:
                gap = re.compile(r"(?:^|(?<=\n))[ \t]*\r?\n\Z").search(self.text, 0, block.start)
                self.edits.remove_lines(gap.start() if gap else block.start, max(block.end, block.header_end))

    def _remove_elements(self, path: Path, numbers: list[int], count: int) -> None:
        if not numbers or self._only_assumed(path):
            return
        item = self.places.items.get(path)
        if item and len(numbers) == count:
            self.edits.splice(item.value[0] + 1, item.value[1] - 1, "")
        for number in numbers:
            if path in self.lone:
                self._remove_lone((*path, number))
            elif not item:
                self._remove_blocks((*path, number))
            elif len(numbers) < count:
                of_list = self.places.items[*path, number]
                self.edits.remove_between(of_list.start, of_list.value[1])

    def _remove_lone(self, path: Path) -> None:
        """A table that stands as such, in braces or as dotted keys."""
        if path in self.places.items or path in self.places.blocks:
            self._remove_table(path)
        for key_path in [item for item in self.places.items if item[:-1] == path]:
            if path not in self.places.items and path not in self.places.blocks:
                self._remove_key(key_path)
