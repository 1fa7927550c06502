"""These pages as a site, which asks for nothing outside: `.venv/bin/sphinx-build -W docs build/site`."""

project = "mistcalc"
author = "The mistcalc authors"
html_title = "mistcalc"
language = "en"
extensions = ["myst_parser"]
root_doc = "index"
myst_heading_anchors = 3  # every heading may be linked to
html_theme = "alabaster"
html_theme_options = {
    "description": "Outdoor misting lines, planned",
    "page_width": "72rem",
    "sidebar_width": "16rem",
    "font_family": "sans-serif",
    "head_font_family": "sans-serif",
}
html_sidebars = {"**": ["about.html", "searchfield.html", "navigation.html"]}
suppress_warnings = ["toc.not_included"]  # the pages of single sources hang on validation/README alone
html_copy_source = False
html_show_sphinx = False
html_show_copyright = False
