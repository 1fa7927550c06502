// @tarikjabiri/dxf 2.9.0, as its own guide draws: layers, polylines, and a block stood in twice.
const { DxfWriter, point3d, point2d, Colors, Units, LWPolylineFlags } = require('@tarikjabiri/dxf');
const fs = require('fs');

const dxf = new DxfWriter();
dxf.setUnits(Units.Millimeters);
for (const name of ['CEILING', 'WALLS', 'JOISTS', 'LIGHTS', 'POSTS']) dxf.addLayer(name, Colors.White, 'Continuous');

dxf.setCurrentLayerName('CEILING');
const corners = [[0, 0], [7200, 0], [7200, 3600], [0, 3600]];
dxf.addLWPolyline(corners.map(([x, y]) => ({ point: point2d(x, y) })), { flags: LWPolylineFlags.Closed });
dxf.setCurrentLayerName('WALLS');
dxf.addLine(point3d(-500, 3600), point3d(7700, 3600));
dxf.setCurrentLayerName('JOISTS');
for (let x = 400; x < 7200; x += 400) dxf.addLine(point3d(x, 0), point3d(x, 3600));
const lamp = dxf.addBlock('DOWNLIGHT');
lamp.addCircle(point3d(0, 0), 75);
dxf.setCurrentLayerName('LIGHTS');
for (const x of [1800, 5400]) dxf.addInsert(lamp.name, point3d(x, 1800));
dxf.setCurrentLayerName('POSTS');
for (const x of [0, 7060]) dxf.addRectangle(point2d(x, 140), point2d(x + 140, 0));

fs.writeFileSync('patio.dxf', dxf.stringify());
