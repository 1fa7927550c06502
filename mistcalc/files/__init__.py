"""Files: project file, site log, measuring days, hourly climate files; and how any file is written whole."""

from mistcalc.files.atomic_write import locked, write_file, write_folder, write_new
from mistcalc.files.climate.near_towns import towns
from mistcalc.files.climate.reader import climate_path, read_climate
from mistcalc.files.earlier_set import parse_earlier_set, read_earlier_set
from mistcalc.files.lots import read_lots
from mistcalc.files.measuring_day.reader import is_measuring_day, read_measuring_day
from mistcalc.files.plan_drawing.first_project import FromDrawing, project_from_drawing
from mistcalc.files.plan_drawing.layer_names import THINGS, UNITS_BY_NAME, LayerMap, read_map
from mistcalc.files.plan_drawing.overview import DrawingOverview, DrawnGroup, overview_of
from mistcalc.files.project.control_text import control_lines
from mistcalc.files.project.first_file import FirstAnswers, climate_place, climate_sample_names
from mistcalc.files.project.mirror_alternates import mirrored_alternates
from mistcalc.files.project.new_file import EXAMPLES, example_text, metric_length, new_project_text
from mistcalc.files.project.pump_or_mains import other_supply
from mistcalc.files.project.reader import (
    alternate_projects,
    parse_project,
    read_changed_project,
    read_project,
)
from mistcalc.files.project.rewriting import rewrite
from mistcalc.files.project.value_reader import LONGEST_NAME
from mistcalc.files.site_log import (
    append_site_log,
    entries_from_typed,
    merge_logs,
    parse_site_log,
    read_site_log,
    site_entry,
    site_log_path,
)
