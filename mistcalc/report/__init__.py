"""Paper and files: builder, installer and owner each get theirs from one Design."""

from mistcalc.report.day_export import shared_day
from mistcalc.report.exports import findings_json, plan_json
from mistcalc.report.folder import contents, write
from mistcalc.report.summary import findings_page, summary

__all__ = ["contents", "findings_json", "findings_page", "plan_json", "shared_day", "summary", "write"]
