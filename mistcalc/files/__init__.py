"""Files: project file, site log, measuring days, hourly climate files; and how any file is written whole."""

from mistcalc.files.climate_file import climate_path, read_climate
from mistcalc.files.day_file import is_day, read_day
from mistcalc.files.new import EXAMPLES, example_text, new_project_text, samples
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
from mistcalc.files.whole import locked, write_file, write_folder, write_new

__all__ = [
    "EXAMPLES",
    "append_site_log",
    "climate_path",
    "example_text",
    "is_day",
    "joined",
    "locked",
    "new_project_text",
    "parse_project",
    "parse_site_log",
    "read_climate",
    "read_day",
    "read_project",
    "read_site_log",
    "readings_of",
    "rewrite",
    "samples",
    "site_entry",
    "site_log_path",
    "write_file",
    "write_folder",
    "write_new",
]
