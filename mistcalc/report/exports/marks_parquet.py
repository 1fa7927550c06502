"""The marks as Parquet, for tables of other programs: one row a mark, lengths in metres, names in English."""

from __future__ import annotations

import io

from mistcalc.model.results import Design

DIGITS = 6  # of a metre: the last digits of a computed place differ between processors
TEXTS = ("name", "patio", "run")
LENGTHS = (
    "along", "along_finished", "back", "height", "level", "stub_min", "stub_nominal", "stub_max",
)  # fmt: skip
TRUTHS = ("locked", "drilled")


def marks_table(design: Design) -> bytes:
    """The bytes of the file, in the order of marks.csv; the name of a length ends with its unit."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    marks = [
        mark for layout in design.layouts for row in layout.lid.rows for mark in layout.marks_of(row.name)
    ]
    columns = {name: pa.array([getattr(mark, name) for mark in marks], pa.string()) for name in TEXTS}
    for name in LENGTHS:
        lengths = [round(getattr(mark, name), DIGITS) for mark in marks]
        columns[f"{name}_m"] = pa.array(lengths, pa.float64())
    for n, name in enumerate(("x_m", "y_m")):
        columns[name] = pa.array([round(mark.point[n], DIGITS) for mark in marks], pa.float64())
    for name in TRUTHS:
        columns[name] = pa.array([getattr(mark, name) for mark in marks], pa.bool_())
    held = io.BytesIO()
    pq.write_table(pa.table(columns), held)
    return held.getvalue()
