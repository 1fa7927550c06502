"""Files in: the project file, read and rewritten, and hourly climate files. No other module opens them."""

from mistcalc.files.atomic import write_atomic
from mistcalc.files.climate_file import climate_path, read_climate
from mistcalc.files.new import EXAMPLES, example_text, new_project_text, samples, write_new
from mistcalc.files.project_file import parse_project, read_project
from mistcalc.files.rewriting import rewrite

__all__ = [
    "EXAMPLES",
    "climate_path",
    "example_text",
    "new_project_text",
    "parse_project",
    "read_climate",
    "read_project",
    "rewrite",
    "samples",
    "write_atomic",
    "write_new",
]
