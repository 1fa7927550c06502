"""Files in: the project file, read and rewritten, and hourly climate files. The only place that opens them."""

from mistcalc.files.atomic import write_atomic
from mistcalc.files.climate_file import climate_path, read_climate
from mistcalc.files.project_file import parse_project, read_project

__all__ = ["climate_path", "parse_project", "read_climate", "read_project", "write_atomic"]
