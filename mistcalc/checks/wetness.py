"""Judgements on where liquid falls: dry, damp and wet floors, glasses and faces. Thresholds are here."""

from __future__ import annotations

import numpy as np

from mistcalc.model.results import Picture, Wetness

GRAM_AN_HOUR = 1e-3 / 3600  # kg/s
DAMP_FLOOR = 0.1  # of what the floor could give back to the air: share of it under drying spots; judgement
# A seated person's convection of about 10 W/m2K takes 15 g/m2h per kelvin of depression: derived.
DRY_FACE = 15 * GRAM_AN_HOUR  # kg/(m2 s K)
WET_FACE = 3 * DRY_FACE  # three times what can dry runs together; judgement
SPOT = 0.02  # kg/m2 on a floor spotted all over: small drops lie 10-20 um flat; judgement
PUDDLE = 0.5  # kg/m2 a level floor holds before it runs off; judgement
RUNNING = 3600.0  # s of mist before the drying time is asked; judgement


def wetness(picture: Picture) -> Wetness:
    """Floor and faces of one Picture in classes, and how long the floor takes to dry.

    A floor is wet where more lands than the air takes back (water gathers), damp where drying spots cover
    over a tenth of it, else dry. A face or a glass is dry where the air beside it takes up what falls, dewy
    up to three times that, then wet.
    """
    rate, landing = picture.film_rate, picture.floor_water
    floor = np.where(landing > rate, 2, np.where(landing > DAMP_FLOOR * rate, 1, 0))
    floor = np.where(landing > 0, floor, 0)
    held = np.where(floor == 2, np.clip((landing - rate) * RUNNING, SPOT, PUDDLE), np.where(floor, SPOT, 0.0))
    drying = held / rate if rate > 0 else np.where(held > 0, np.inf, 0.0)
    takes = np.maximum(picture.depression, 0.0)
    face = (picture.face_water > DRY_FACE * takes).astype(int) + (picture.face_water > WET_FACE * takes)
    return Wetness(
        floor=floor, drying=drying, face=np.where(picture.face_water > 0, face, 0), key=picture.key
    )
