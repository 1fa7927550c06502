"""The script `mistcalc page` serves: as app.py at the top of the repository, which no wheel carries."""

from mistcalc.page.router import show

show()
