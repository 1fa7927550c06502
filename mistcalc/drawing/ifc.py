"""An IFC4 model (ISO 16739-1), as far as a lid needs it: its head, its building, and things with a body.

Metres and radians. Identifiers come from what a thing is called and dates are given, so that the same calls
give the same bytes; the clock is never read.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from typing import Any

Place = tuple[float, float, float]

DIGITS = 6  # of a metre: the last digits of a computed place differ between processors
PROGRAM = "mistcalc"
WRITER = "1"  # of what is written here: the same in every release that writes the same
_NAMES = uuid.UUID("5b0d5b9e-9d0c-4f0e-8c57-3e0f5f0a6c11")  # ours; any would do, as long as it stays
_UNITS = {
    "LENGTHUNIT": "METRE",
    "AREAUNIT": "SQUARE_METRE",
    "VOLUMEUNIT": "CUBIC_METRE",
    "PLANEANGLEUNIT": "RADIAN",
}
UP: Place = (0.0, 0.0, 1.0)


class IfcModel:
    """One project, site, building and storey. north: where it lies in plan; None: nobody said."""

    def __init__(self, name: str, day: date | None, north: tuple[float, float] | None) -> None:
        import ifcopenshell

        self.file, self.name = ifcopenshell.file(schema="IFC4"), name
        first_day = day or date(1970, 1, 1)
        self.day = datetime(first_day.year, first_day.month, first_day.day, tzinfo=UTC)
        self.owner = self._owner()
        world = self.make(
            "IfcGeometricRepresentationContext",
            ContextType="Model",
            CoordinateSpaceDimension=3,
            Precision=1e-5,
            WorldCoordinateSystem=self.axes((0.0, 0.0, 0.0)),
            TrueNorth=None if north is None else self.direction(north),
        )
        self.body = self.make(
            "IfcGeometricRepresentationSubContext",
            ContextIdentifier="Body",
            ContextType="Model",
            ParentContext=world,
            TargetView="MODEL_VIEW",
        )
        units = [self.make("IfcSIUnit", UnitType=kind, Name=unit) for kind, unit in _UNITS.items()]
        whole = self.rooted(
            "IfcProject",
            Name=name,
            RepresentationContexts=[world],
            UnitsInContext=self.make("IfcUnitAssignment", Units=units),
        )
        self.site = self._part("IfcSite", whole, self.placed(None))
        self.building = self._part("IfcBuilding", self.site, self.placed(self.site.ObjectPlacement))
        at = self.placed(self.building.ObjectPlacement)
        self.storey = self._part("IfcBuildingStorey", self.building, at, Elevation=0.0)

    def text(self) -> str:
        head = self.file.header
        head.file_description.description = ("ViewDefinition [notAssigned]",)
        head.file_name.time_stamp = self.day.replace(tzinfo=None).isoformat()
        head.file_name.preprocessor_version = "ifcopenshell"
        head.file_name.originating_system = PROGRAM
        return str(self.file.to_string())

    def make(self, kind: str, **values: Any) -> Any:
        return self.file.create_entity(kind, **values)

    def rooted(self, kind: str, *called: str, **values: Any) -> Any:
        """called: what tells it from every other of its kind."""
        import ifcopenshell.guid

        told = "\n".join((self.name, kind, *called))
        identity = ifcopenshell.guid.compress(uuid.uuid5(_NAMES, told).hex)
        return self.make(kind, GlobalId=identity, OwnerHistory=self.owner, **values)

    def _owner(self) -> Any:
        company = self.make("IfcOrganization", Name=PROGRAM)
        person = self.make("IfcPerson", Identification="unnamed")
        program = self.make(
            "IfcApplication",
            ApplicationDeveloper=company,
            Version=WRITER,
            ApplicationFullName=PROGRAM,
            ApplicationIdentifier=PROGRAM,
        )
        return self.make(
            "IfcOwnerHistory",
            OwningUser=self.make("IfcPersonAndOrganization", ThePerson=person, TheOrganization=company),
            OwningApplication=program,
            ChangeAction="NOTDEFINED",
            CreationDate=int(self.day.timestamp()),
        )

    def _part(self, kind: str, whole: Any, place: Any, **values: Any) -> Any:
        made = self.rooted(kind, Name=self.name, ObjectPlacement=place, CompositionType="ELEMENT", **values)
        self.rooted("IfcRelAggregates", kind, RelatingObject=whole, RelatedObjects=[made])
        return made

    # ------------------------------------------------------------------ things

    def on_storey(self, called: str, things: Sequence[Any]) -> None:
        self.rooted(
            "IfcRelContainedInSpatialStructure", called, RelatedElements=things, RelatingStructure=self.storey
        )

    def carry_water(self, things: Sequence[Any], what: str) -> None:
        """Put together as one system of the building."""
        system = self.rooted(
            "IfcDistributionSystem", Name=self.name, ObjectType=what, PredefinedType="WATERSUPPLY"
        )
        self.rooted("IfcRelAssignsToGroup", RelatedObjects=things, RelatingGroup=system)
        self.rooted("IfcRelServicesBuildings", RelatingSystem=system, RelatedBuildings=[self.building])

    def properties(
        self,
        thing: Any,
        of: str,
        called: Sequence[str],
        values: Mapping[str, str | bool | float],
        kind: str = "IfcLengthMeasure",
    ) -> None:
        """A set of them, by its name: text, truths, and lengths in metres as a measure of some kind."""
        names = {str: "IfcLabel", bool: "IfcBoolean", float: kind}
        held = []
        for name, value in values.items():
            said = _metres(value) if isinstance(value, float) else value
            measure = self.make(names[type(value)], wrappedValue=said)
            held.append(self.make("IfcPropertySingleValue", Name=name, NominalValue=measure))
        pset = self.rooted("IfcPropertySet", of, *called, Name=of, HasProperties=held)
        self.rooted(
            "IfcRelDefinesByProperties", of, *called, RelatedObjects=[thing], RelatingPropertyDefinition=pset
        )

    def surface(self, faces: Sequence[Sequence[Sequence[Place]]]) -> Any:
        """A body of faces, each by the line round it and those round its openings."""
        made = [
            self.make("IfcFace", Bounds=[self._bound(loop, n == 0) for n, loop in enumerate(loops)])
            for loops in faces
        ]
        joined = self.make("IfcConnectedFaceSet", CfsFaces=made)
        return self._shape("SurfaceModel", self.make("IfcFaceBasedSurfaceModel", FbsmFaces=[joined]))

    def _bound(self, loop: Sequence[Place], outer: bool) -> Any:
        line = self.make("IfcPolyLoop", Polygon=[self.point(place) for place in loop])
        return self.make("IfcFaceOuterBound" if outer else "IfcFaceBound", Bound=line, Orientation=True)

    def rod(self, radius: float, begins: float, ends: float, wall: float | None = None) -> Any:
        """A body round its own z, from where to where on it; hollow with a wall."""
        values = {"ProfileType": "AREA", "Radius": _metres(radius)}
        profile = (
            self.make("IfcCircleProfileDef", **values) if wall is None
            else self.make("IfcCircleHollowProfileDef", WallThickness=_metres(wall), **values)
        )  # fmt: skip
        solid = self.make(
            "IfcExtrudedAreaSolid",
            SweptArea=profile,
            Position=self.axes((0.0, 0.0, begins)),
            ExtrudedDirection=self.direction(UP),
            Depth=_metres(ends - begins),
        )
        return self._shape("SweptSolid", solid)

    def _shape(self, kind: str, item: Any) -> Any:
        drawn = self.make(
            "IfcShapeRepresentation",
            ContextOfItems=self.body,
            RepresentationIdentifier="Body",
            RepresentationType=kind,
            Items=[item],
        )
        return self.make("IfcProductDefinitionShape", Representations=[drawn])

    def placed(
        self, within: Any, at: Place = (0.0, 0.0, 0.0), up: Place | None = None, ahead: Place | None = None
    ) -> Any:
        """up: of its own z, where that is not up; ahead: of its own x."""
        axes = self.axes(at, up, ahead)
        return self.make("IfcLocalPlacement", PlacementRelTo=within, RelativePlacement=axes)

    def axes(self, at: Place, up: Place | None = None, ahead: Place | None = None) -> Any:
        turned = up is not None or ahead is not None
        return self.make(
            "IfcAxis2Placement3D",
            Location=self.point(at),
            Axis=self.direction(up or UP) if turned else None,
            RefDirection=self.direction(ahead or (1.0, 0.0, 0.0)) if turned else None,
        )

    def point(self, at: Place) -> Any:
        return self.make("IfcCartesianPoint", Coordinates=[_metres(each) for each in at])

    def direction(self, ratios: Sequence[float]) -> Any:
        return self.make("IfcDirection", DirectionRatios=[round(each, 12) + 0.0 for each in ratios])


def _metres(value: float) -> float:
    return round(value, DIGITS) + 0.0
