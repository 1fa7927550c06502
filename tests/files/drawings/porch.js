// dxf-writer 1.18.4: its README's example, word for word but for where it is written; then a porch in the same way.
const Drawing = require('dxf-writer');
const fs = require('fs');

let d = new Drawing();

d.setUnits('Decimeters');
d.drawText(10, 0, 10, 0, 'Hello World'); // draw text in the default layer named "0"
d.addLayer('l_green', Drawing.ACI.GREEN, 'CONTINUOUS');
d.setActiveLayer('l_green');
d.drawText(20, -70, 10, 0, 'go green!');

//or fluent
d.addLayer('l_yellow', Drawing.ACI.YELLOW, 'DOTTED')
 .setActiveLayer('l_yellow')
 .drawCircle(50, -30, 25);

fs.writeFileSync('readme-example.dxf', d.toDxfString());

d = new Drawing();
d.setUnits('Inches');
d.drawText(10, -30, 10, 0, 'porch, invented'); // in the default layer
d.addLayer('l_green', Drawing.ACI.GREEN, 'CONTINUOUS')
 .setActiveLayer('l_green')
 .drawRect(0, 0, 288, 132); // 24 ft by 11 ft
d.addLayer('l_red', Drawing.ACI.RED, 'CONTINUOUS')
 .setActiveLayer('l_red')
 .drawLine(-40, 132, 328, 132)
 .drawLine(0, 0, 0, 132)
 .drawLine(288, 132, 288, 0);
d.addLayer('l_cyan', Drawing.ACI.CYAN, 'DASHED').setActiveLayer('l_cyan');
for (let x = 16; x < 288; x += 16) d.drawLine(x, 0, x, 132);
d.addLayer('l_yellow', Drawing.ACI.YELLOW, 'DOTTED')
 .setActiveLayer('l_yellow')
 .drawCircle(72, 66, 3)
 .drawCircle(216, 66, 3);
d.addLayer('l_blue', Drawing.ACI.BLUE, 'CONTINUOUS')
 .setActiveLayer('l_blue')
 .drawCircle(144, 66, 26);

fs.writeFileSync('porch.dxf', d.toDxfString());
