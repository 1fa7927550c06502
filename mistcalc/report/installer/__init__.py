"""The installer's sheets: checklist, line diagram, pressure test and watch."""
