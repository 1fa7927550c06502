"""`streamlit run app.py`: the page of mistcalc."""

from mistcalc.page.router import show

show()
