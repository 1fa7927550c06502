"""Paper and files: builder, installer and owner each get theirs from one Design."""

from mistcalc.report.builder.ceiling_picture import ceiling_pictures
from mistcalc.report.common.findings_by_reader import about_climate
from mistcalc.report.exports.measuring_day_export import anonymous_measuring_day
from mistcalc.report.exports.results_json import (
    findings_json,
    options_json,
    plan_json,
    rule_json,
    season_json,
)
from mistcalc.report.findings_and_cautions import findings_page
from mistcalc.report.installer.line_diagram.diagram import wall_numbers
from mistcalc.report.installer.line_diagram.line_picture import line_pictures
from mistcalc.report.job_summary import job_summary_text
from mistcalc.report.output_folder import contents, need_libraries, write
from mistcalc.report.owner.options_text import options_sentences
from mistcalc.report.owner.rule_text import rule_sentences
from mistcalc.report.owner.season_text import season_sentences
from mistcalc.report.phone.marks_page import marks_html
