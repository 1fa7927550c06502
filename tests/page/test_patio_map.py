"""The map of cells on the page: of a lid whose sides lean it ends where they do."""

from __future__ import annotations

import re

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.page.views import patio_map
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from tests.bent_lids import BOW
from tests.short_year import one_month

US = Locale("us", "en")


@pytest.mark.thorough
def test_the_pages_map_of_a_lid_that_bends_ends_at_its_outline_and_fills_it(sample):
    project = files.parse_project(one_month(BOW))
    made = design.run(project, sample(project.place.climate))
    (picture, wet), laid = made.picture_of("bow", "hot"), made.layout_of("bow")
    scale = map_classes.scale_of([picture], "us")
    drawn = patio_map._Map(None, made, laid, picture, wet, "cooler", 0, scale, US)  # type: ignore[arg-type]
    svg = drawn.svg()
    (clip,) = re.findall(r'<clipPath id="lid"><path clip-rule="evenodd" d="M([^z]+)z"/></clipPath>', svg)
    cut = np.array([[float(c) for c in corner.split()] for corner in clip.split("L")])
    assert cut == pytest.approx(np.array([drawn.at(*corner) for corner in laid.lid.outline]), abs=0.06)
    fields = svg.split('clip-path="url(#lid)">')[1].split("</g>")[0]
    stretches = np.array(
        [
            [float(part) for part in stretch]
            for stretch in re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)H", fields)
        ]
    )
    x0, y0, wide, tall = stretches.T
    inside = np.random.default_rng(5).dirichlet(np.ones(len(cut)), 500) @ cut  # this outline is convex
    held = (x0 - 0.2 <= inside[:, :1]) & (inside[:, :1] <= x0 + wide + 0.2)
    held &= (y0 - 0.2 <= inside[:, 1:]) & (inside[:, 1:] <= y0 + tall + 0.2)
    assert held.any(axis=1).all()
