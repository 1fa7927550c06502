"""Files in: the project file, read and rewritten, and hourly climate files. No other module opens them."""

from mistcalc.files.atomic import write_atomic
from mistcalc.files.climate_file import climate_path, read_climate
from mistcalc.files.new import EXAMPLES, example_text, new_project_text, samples, write_new
from mistcalc.files.project_file import parse_project, read_project
from mistcalc.files.rewriting import rewrite
from mistcalc.files.site_log import (
    append_site_log,
    joined,
    parse_site_log,
    read_site_log,
    readings_of,
    site_entry,
    site_log_path,
)

__all__ = [
    "EXAMPLES",
    "append_site_log",
    "climate_path",
    "example_text",
    "joined",
    "new_project_text",
    "parse_project",
    "parse_site_log",
    "read_climate",
    "read_project",
    "read_site_log",
    "readings_of",
    "rewrite",
    "samples",
    "site_entry",
    "site_log_path",
    "write_atomic",
    "write_new",
]
