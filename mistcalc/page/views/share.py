"""Links for reading: made, shown to be sent, and withdrawn by whoever the project is of."""

from __future__ import annotations

import streamlit as st

from mistcalc.page import access, places
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls


def show(opened: OpenProject) -> None:
    """Only where the page is on a network: on one computer nobody else could open a link."""
    if not access.login_asked():
        return
    label = opened.label
    components.heading(label("office.links"))
    components.side(label("office.links_lead"))
    with st.container(key="links-make", horizontal=True):
        for reader in places.READERS:
            controls.button(
                label(f"office.link_make_{reader}"),
                key=f"link-make-{reader}",
                on_click=places.make_link,
                args=(opened.identity, reader),
            )
    for link in places.links_to(opened.identity):
        with st.container(key=f"link-{link.token}"):
            components.sentence(label(f"office.link_{link.reader}", made=link.made[:10]))
            address = components.safe(f"{access.origin()}/?link={link.token}")
            st.html(f'<p class="address"><code>{address}</code></p>')
            controls.button(
                label(f"office.link_withdraw_{link.reader}"),
                key=f"link-end-{link.token}",
                on_click=places.withdraw,
                args=(opened.identity, link.token),
            )
