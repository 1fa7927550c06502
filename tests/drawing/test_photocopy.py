"""A sheet must survive the copier: rasterised at 200 dpi, blurred, made black or white, twice over.

No reader of letters is at hand, so reading is tested as telling apart: every copied distance, name and
code must look more like itself, freshly printed, than like any other writing of its length.
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageFilter

from mistcalc.drawing import pdf
from mistcalc.drawing.sheet import Polyline, Text

from .test_writers import rasterise

pytestmark = pytest.mark.thorough

DOTS = 200


def copied(picture: Image.Image, share: float) -> Image.Image:
    """Twice through a copier (blur of one dot, threshold at half), the first time reduced."""
    size = (round(picture.width * share), round(picture.height * share))
    once = picture.resize(size, Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(1.0))
    once = once.point(lambda grey: 255 if grey > 140 else 0)
    return once.filter(ImageFilter.GaussianBlur(1.0)).point(lambda grey: 255 if grey > 140 else 0)


def patch(picture: np.ndarray, text: Text, dots: float, sheet_height: float) -> np.ndarray:
    box = text.box()
    rows = slice(
        round((sheet_height - box.top) * dots / 25.4), round((sheet_height - box.bottom) * dots / 25.4)
    )
    columns = slice(round(box.left * dots / 25.4), round(box.right * dots / 25.4))
    cut = Image.fromarray(picture[rows, columns])
    if text.turn == 90:
        cut = cut.rotate(-90, expand=True)
    return 1.0 - np.asarray(cut.resize((160, 48), Image.Resampling.BILINEAR), float) / 255.0


def likeness(a: np.ndarray, b: np.ndarray) -> float:
    a, b = a - a.mean(), b - b.mean()
    return float((a * b).sum() / np.sqrt((a * a).sum() * (b * b).sum()))


@pytest.mark.parametrize("share", [1.0, 0.65])
def test_distances_names_and_code_can_be_told_apart_after_two_copies(sheets, tmp_path, share):
    sheet = sheets[0]
    fresh = rasterise(pdf.write([sheet]), tmp_path, DOTS)
    copy = np.asarray(copied(Image.fromarray(fresh), share))
    wanted = [
        t
        for t in sheet.primitives()
        if isinstance(t, Text) and t.bold and t.layer in ("DIM-MARK", "MARK-NAME")
    ]
    wanted += [t for t in sheet.primitives() if isinstance(t, Text) and t.text == "7KM 4Q2"]
    assert len(wanted) >= 28 + 28 + 1
    originals = [patch(fresh, text, DOTS, sheet.height) for text in wanted]
    for text in wanted:
        seen = patch(copy, text, DOTS * share, sheet.height)
        likes = {
            other.text: likeness(seen, original)
            for other, original in zip(wanted, originals, strict=True)
            if abs(other.width - text.width) < 0.15 * text.width
        }
        assert max(likes, key=lambda words: likes[words]) == text.text, (text.text, likes)
        assert likes[text.text] > 0.7, text.text


@pytest.mark.parametrize("share", [1.0, 0.65])
def test_boxes_and_datum_stay_whole(sheets, tmp_path, share):
    """All four sides of every tick box, and the inside of the datum's triangle, after two copies."""
    dots = DOTS * share

    def copy_of(sheet):
        fresh = Image.fromarray(rasterise(pdf.write([sheet]), tmp_path, DOTS))
        return np.asarray(copied(fresh, share)) < 128

    ink = copy_of(sheets[1])
    boxes = [
        i for i in sheets[1].items if isinstance(i, Polyline) and i.closed and i.fill and len(i.points) == 4
    ]
    boxes = [i.box() for i in boxes if i.box().width == pytest.approx(4.8 + 0.5)]
    assert len(boxes) == 18
    for box in boxes:
        left, right = round(box.left * dots / 25.4), round(box.right * dots / 25.4)
        top = round((sheets[1].height - box.top) * dots / 25.4)
        bottom = round((sheets[1].height - box.bottom) * dots / 25.4)
        edge = 3  # dots either way in which a side may lie
        upright = [ink[top:bottom, x - edge : x + edge].any(axis=1).mean() for x in (left, right)]
        level = [ink[y - edge : y + edge, left:right].any(axis=0).mean() for y in (top, bottom)]
        assert min(*upright, *level) > 0.9
        assert not ink[top + 2 * edge : bottom - 2 * edge, left + 2 * edge : right - 2 * edge].any()
    ink = copy_of(sheets[0])
    for datum in (i for i in sheets[0].items if i.layer == "DATUM" and isinstance(i, Polyline)):
        x = round(sum(p[0] for p in datum.points) / 3 * dots / 25.4)
        y = round((sheets[0].height - sum(p[1] for p in datum.points) / 3) * dots / 25.4)
        assert ink[y - 4 : y + 5, x - 4 : x + 5].all()
