"""The folder of a job: every file written beside, then moved in together."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from mistcalc.errors import DataError
from mistcalc.model.results import Design
from mistcalc.report.exports import marks_csv, materials_csv, plan_json
from mistcalc.report.picture_export import picture_csv
from mistcalc.report.summary import summary
from mistcalc.units import System


def write(
    design: Design, folder: Path, units: System | None = None, language: str | None = None
) -> tuple[Path, ...]:
    """All files of the job into `folder`, made if need be; what is not said comes from the project file.

    Everything is written beside and moved in at the end, so a full disk or a fault leaves what was there
    before. Returns the files, sheets first. Raises DataError("folder-is-file"), OSError.
    """
    from mistcalc.report import inp, sheets  # the drawing libraries, which a summary alone does not need

    shown: System = units or design.project.units
    said = language or design.project.language
    with _staged(folder) as (stage, made):
        made.extend(sheets.write(design, stage, shown, said))
        texts: dict[str, Callable[[], str]] = {
            "marks.csv": lambda: marks_csv(design, said),
            "materials.csv": lambda: materials_csv(design, shown, said),
            "picture.csv": lambda: picture_csv(design),
            "line.inp": lambda: inp.text(design),
            "plan.json": lambda: plan_json(design),
            "summary.txt": lambda: summary(design, shown, said, full=True),
        }
        for name, text in texts.items():
            path = stage / name
            path.write_text(text(), "utf-8", newline="")
            made.append(path)
    return tuple(folder / path.relative_to(stage) for path in made)


@contextmanager
def _staged(folder: Path) -> Iterator[tuple[Path, list[Path]]]:
    """A folder to write in; its listed files end up in `folder`, or none do."""
    if folder.exists() and not folder.is_dir():
        raise DataError("folder-is-file", path=str(folder))
    new = not folder.exists()
    home = folder.parent if new else folder
    home.mkdir(parents=True, exist_ok=True)
    stage = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=home))
    made: list[Path] = []
    try:
        yield stage, made
        if new:
            stage.chmod(home.stat().st_mode & 0o777)  # mkdtemp makes folders only their owner can open
            stage.rename(folder)
            return
        for path in made:
            target = folder / path.relative_to(stage)
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(path, target)
    finally:
        shutil.rmtree(stage, ignore_errors=True)
