// What a place feels like, painted in six classes: the patio from above, and cut upright with a person in the chair.
// Values are kelvin on a grid of cells; between the cells they are taken in proportion.

const SIX = ["#fee838", "#c8b866", "#948e77", "#666970", "#35456c", "#00224e"]; // cividis, light to dark
// Maps are painted as on paper, black on white, where their classes are told apart; all else in the page's colors.
const PRINTED = { ink: "#111111", paper: "#ffffff", chosen: "#00224e" };
let colors = PRINTED;
const WALL = 5;

// From here on drawn in the colors of the page where `root` stands.
function useColorsOf(root) {
  const style = getComputedStyle(root);
  colors = Object.fromEntries(Object.keys(PRINTED).map((name) => [name, style.getPropertyValue(`--${name}`).trim() || PRINTED[name]]));
}

function bytes(text) {
  return Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
}

// A canvas of so many CSS pixels; drawn finer where the screen is.
function sized(canvas, width, height) {
  const finer = Math.min(window.devicePixelRatio || 1, 2);
  canvas.width = Math.round(width * finer);
  canvas.height = Math.round(height * finer);
  canvas.style.width = `${width}px`;
  canvas.style.height = `${height}px`;
  const on = canvas.getContext("2d");
  on.setTransform(finer, 0, 0, finer, 0, 0);
  on.clearRect(0, 0, width, height);
  return on;
}

// Every cell as the mean of itself and its neighbors, nearer ones counting for more: a plume's edge is no stair.
function softened(values, inside, columns, rows) {
  const out = new Float32Array(values.length);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      let [sum, weight] = [0, 0];
      for (let dr = -1; dr <= 1; dr++)
        for (let dc = -1; dc <= 1; dc++) {
          const at = (r + dr) * columns + c + dc;
          if (r + dr < 0 || r + dr >= rows || c + dc < 0 || c + dc >= columns || (inside && !inside[at])) continue;
          const share = (2 - Math.abs(dr)) * (2 - Math.abs(dc));
          sum += share * values[at];
          weight += share;
        }
      out[r * columns + c] = weight ? sum / weight : 0;
    }
  return out;
}

// The classes of a grid as an image of width x height pixels, thin white lines where two meet. values: row 0 lowest.
function classes(raw, inside, columns, rows, width, height, step) {
  const [wide, tall] = [Math.max(1, Math.round(width)), Math.max(1, Math.round(height))];
  const values = softened(raw, inside, columns, rows);
  const image = document.createElement("canvas");
  [image.width, image.height] = [wide, tall];
  const on = image.getContext("2d");
  const data = on.createImageData(wide, tall);
  const painted = SIX.map((hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16)));
  let above = new Int8Array(wide).fill(-1);
  for (let py = 0; py < tall; py++) {
    const v = Math.min(rows - 1, Math.max(0, ((tall - py - 0.5) / tall) * rows - 0.5));
    const [r0, fy] = [Math.floor(v), v - Math.floor(v)];
    const r1 = Math.min(rows - 1, r0 + 1);
    const now = new Int8Array(wide);
    for (let px = 0; px < wide; px++) {
      const u = Math.min(columns - 1, Math.max(0, ((px + 0.5) / wide) * columns - 0.5));
      const [c0, fx] = [Math.floor(u), u - Math.floor(u)];
      const c1 = Math.min(columns - 1, c0 + 1);
      let [sum, weight] = [0, 0];
      for (const [r, c, share] of [[r0, c0, (1 - fy) * (1 - fx)], [r0, c1, (1 - fy) * fx], [r1, c0, fy * (1 - fx)], [r1, c1, fy * fx]]) {
        const at = r * columns + c;
        if (inside && !inside[at]) continue;
        sum += share * values[at];
        weight += share;
      }
      const level = weight ? Math.min(5, Math.max(0, Math.floor(sum / weight / step))) : -1;
      now[px] = level;
      if (level < 0) continue;
      const meets = (px && now[px - 1] >= 0 && now[px - 1] !== level) || (above[px] >= 0 && above[px] !== level);
      const color = meets ? [255, 255, 255] : painted[level];
      data.data.set([...color, 255], 4 * (py * wide + px));
    }
    above = now;
  }
  on.putImageData(data, 0, 0);
  return image;
}

function stroke(on, points, width, color = colors.ink, dash = []) {
  on.beginPath();
  points.forEach(([x, y], n) => (n ? on.lineTo(x, y) : on.moveTo(x, y)));
  on.lineWidth = width;
  on.strokeStyle = color;
  on.setLineDash(dash);
  on.stroke();
  on.setLineDash([]);
}

// Plan metres to pixels: `at` of a point, `scale` px a metre.
function planFrame(plan, width, pad, tallest) {
  const [left, low, right, high] = plan.box;
  const scale = Math.min((width - 2 * pad) / (right - left), tallest / (high - low));
  return { scale, width, height: (high - low) * scale + 2 * pad, at: ([x, y]) => [pad + (x - left) * scale, pad + (high - y) * scale] };
}

function outline(on, plan, frame) {
  on.beginPath();
  for (const loop of plan.outlines) {
    loop.forEach((point, n) => (n ? on.lineTo(...frame.at(point)) : on.moveTo(...frame.at(point))));
    on.closePath();
  }
}

// A grid's image laid where its cells lie in plan, cut off at the lid's edge.
function laid(on, plan, frame, grid, image) {
  const [[x0, x1, nx], [y0, y1, ny]] = [grid.x, grid.y];
  const [dx, dy] = [(x1 - x0) / (nx - 1) / 2, (y1 - y0) / (ny - 1) / 2];
  const [left, top] = frame.at([x0 - dx, y1 + dy]);
  const [right, foot] = frame.at([x1 + dx, y0 - dy]);
  on.save();
  outline(on, plan, frame);
  on.clip("evenodd");
  on.drawImage(image(right - left, foot - top), left, top, right - left, foot - top);
  on.restore();
}

function frameLines(on, plan, frame) {
  outline(on, plan, frame);
  on.lineWidth = 1;
  on.strokeStyle = colors.ink;
  on.stroke();
  for (const tube of plan.tubes) stroke(on, tube.map(frame.at), 1.5, colors.ink, [7, 3]);
  for (const wall of plan.walls) stroke(on, wall.map(frame.at), WALL);
  for (const screen of plan.screens) stroke(on, screen.map(frame.at), 4, colors.ink, [6, 4]);
}

function marks(on, plan, frame) {
  for (const mark of plan.marks) {
    const [x, y] = frame.at(mark.at);
    on.beginPath();
    on.arc(x, y, 3, 0, 7);
    on.fillStyle = colors.paper;
    on.fill();
    on.lineWidth = 1;
    on.strokeStyle = colors.ink;
    on.stroke();
  }
  for (const thing of plan.things.filter((one) => one.kind === "fan")) {
    const [x, y] = frame.at(thing.at);
    on.beginPath();
    on.arc(x, y, thing.radius * frame.scale, 0, 7);
    on.setLineDash([4, 3]);
    on.lineWidth = 1.5;
    on.stroke();
    on.setLineDash([]);
  }
}

function arrow(on, x, y, angle, length) {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const at = (u, v) => [x + u * c - v * s, y + u * s + v * c];
  const half = length / 2;
  stroke(on, [at(-half, 0), at(half, 0)], 2.5);
  stroke(on, [at(half - 9, -6), at(half, 0), at(half - 9, 6)], 2.5);
}

// The cells of a grid that `where` names, hatched in plan.
function hatch(on, plan, frame, grid, where, dense) {
  laid(on, plan, frame, grid, (width, height) => {
    const image = document.createElement("canvas");
    [image.width, image.height] = [Math.max(1, Math.round(width)), Math.max(1, Math.round(height))];
    const paper = image.getContext("2d");
    const [nx, ny] = [grid.x[2], grid.y[2]];
    const [w, h] = [image.width / nx, image.height / ny];
    paper.beginPath();
    for (let n = 0; n < nx * ny; n++) if (where[n]) paper.rect((n % nx) * w, image.height - (Math.floor(n / nx) + 1) * h, w + 0.5, h + 0.5);
    paper.clip();
    for (let x = -image.height; x < image.width; x += dense ? 4 : 7) stroke(paper, [[x, image.height], [x + image.height, 0]], dense ? 2.5 : 1.5);
    return image;
  });
}

// A seat's place.
function place(on, x, y) {
  on.fillStyle = colors.paper;
  on.fillRect(x - 5, y - 5, 10, 10);
  on.lineWidth = 1.5;
  on.strokeStyle = colors.ink;
  on.strokeRect(x - 5, y - 5, 10, 10);
}

// ------------------------------------------------------------------ sun

// A square with the plan in the middle of the sky: the ring is the horizon, the middle straight up.
function skyFrame(plan, side) {
  const [left, low, right, high] = plan.box;
  const rim = side / 2 - 24;
  const scale = (1.25 * rim) / Math.max(right - left, high - low);
  const at = ([x, y]) => [side / 2 + (x - (left + right) / 2) * scale, side / 2 - (y - (low + high) / 2) * scale];
  return { scale, rim, middle: side / 2, width: side, height: side, at };
}

// The sun's way over the hours shown: a diamond each, the one of now solid, with its hour.
function sunPath(on, sky, sun, now, hours, compass) {
  const around = (angle, away) => [sky.middle + away * Math.cos(angle), sky.middle - away * Math.sin(angle)];
  on.beginPath();
  on.arc(sky.middle, sky.middle, sky.rim, 0, 7);
  on.lineWidth = 1;
  on.strokeStyle = colors.ink;
  on.stroke();
  on.textAlign = "center";
  on.textBaseline = "middle";
  on.font = "14px sans-serif";
  on.fillStyle = colors.ink;
  compass.forEach((letter, n) => on.fillText(letter, ...around(sun.north - (n * Math.PI) / 2, sky.rim + 12)));
  const places = sun.toward.map((way, n) => way !== null && around(way + Math.PI, sky.rim * (1 - (2 * sun.height[n]) / Math.PI)));
  const shown = places.filter(Boolean);
  stroke(on, shown, 4, colors.paper);
  stroke(on, shown, 1.5);
  let last = null;
  places.forEach((spot, n) => spot && diamond(on, ...spot, n === now));
  places.forEach((spot, n) => {
    if (!spot || (n !== now && (near(spot, places[now], 44) || near(spot, last, 44)))) return;
    if (n !== now) last = spot;
    const [x, y] = [Math.min(spot[0] + 10, sky.width - 48), spot[1] - 14];
    on.textAlign = "left";
    on.font = `${n === now ? "bold " : ""}14px sans-serif`;
    on.fillStyle = colors.paper;
    on.fillRect(x - 2, y - 9, on.measureText(hours[n]).width + 4, 18);
    on.fillStyle = colors.ink;
    on.fillText(hours[n], x, y);
  });
}

function near(a, b, px) {
  return Boolean(a && b) && Math.hypot(a[0] - b[0], a[1] - b[1]) < px;
}

function diamond(on, x, y, solid) {
  const half = solid ? 9 : 6;
  on.beginPath();
  for (const [u, v] of [[half, 0], [0, half], [-half, 0], [0, -half]]) on.lineTo(x + u, y + v);
  on.closePath();
  on.fillStyle = solid ? colors.chosen : colors.paper;
  on.fill();
  on.lineWidth = 1.5;
  on.strokeStyle = colors.ink;
  on.stroke();
}

// ------------------------------------------------------------------ cut

// Metres along from the edge and up from the floor to pixels; before the edge there is room for the wind's arrow.
function cutFrame(cut, width, before) {
  const scale = (width - before - 10) / cut.length;
  const top = 14;
  return { scale, width, height: cut.height * scale + top + 8, top, at: (s, z) => [before + s * scale, top + (cut.height - z) * scale] };
}

function drawCut(on, cut, frame, values, step, fan, wind) {
  const [left, top] = frame.at(0, cut.height);
  const [right, foot] = frame.at(cut.length, 0);
  if (values) on.drawImage(classes(values, null, cut.places, cut.levels, right - left, foot - top, step), left, top, right - left, foot - top);
  on.fillStyle = colors.paper;
  on.fillRect(left, top - 8, right - left, 8);
  stroke(on, [[left, top - 8], [right, top - 8], [right, top], [left, top], [left, top - 8]], 1.5);
  for (let x = left + 12; x < right; x += 24) stroke(on, [[x, top - 8], [x, top]], 1);
  stroke(on, [[left - 16, foot], [right + 4, foot]], 3);
  if (cut.wall) stroke(on, [[right, top - 8], [right, foot]], WALL);
  if (cut.line_along !== null) {
    const [x, y] = frame.at(cut.line_along, cut.height);
    on.beginPath();
    on.arc(x, y + 4, 4, 0, 7);
    on.fillStyle = colors.paper;
    on.fill();
    on.lineWidth = 1.5;
    on.strokeStyle = colors.ink;
    on.stroke();
  }
  if (fan) {
    const [x, y] = frame.at(cut.seat_along, cut.height);
    stroke(on, [[x, y], [x, y + 8]], 3);
    stroke(on, [[x - 22, y + 10], [x + 22, y + 10]], 5);
    for (const off of [-14, 0, 14]) arrow(on, x + off, y + 26, Math.PI / 2, 18);
  }
  person(on, cut, frame);
  // How far the wind blows along the cut: across it there is nothing to point at.
  if (Math.abs(wind) > 0.3) arrow(on, left - 24, frame.at(0, 1.3)[1], wind > 0 ? 0 : Math.PI, 30);
}

// Somebody seated, looking out over the edge; metres from the seat's place and from the floor.
function person(on, cut, frame) {
  const at = ([s, z]) => frame.at(cut.seat_along + s, z);
  const chair = [[[-0.32, 0.42], [0.16, 0.42], [0.24, 0.95]], [[-0.28, 0.42], [-0.3, 0]], [[0.16, 0.42], [0.2, 0]]];
  const body = [[[0.02, 0.98], [0.06, 0.52]], [[0.06, 0.52], [-0.4, 0.52]], [[-0.4, 0.52], [-0.43, 0.06], [-0.58, 0.05]], [[0, 0.9], [-0.28, 0.64]]];
  const thick = [0.22, 0.17, 0.11, 0.08];
  for (const part of chair) stroke(on, part.map(at), 3.5);
  on.lineCap = on.lineJoin = "round";
  body.forEach((part, n) => stroke(on, part.map(at), thick[n] * frame.scale + 4));
  const [x, y] = at([-0.01, 1.16]);
  on.beginPath();
  on.arc(x, y, 0.11 * frame.scale + 1, 0, 7);
  on.fillStyle = colors.paper;
  on.fill();
  on.lineWidth = 2;
  on.strokeStyle = colors.ink;
  on.stroke();
  body.forEach((part, n) => stroke(on, part.map(at), thick[n] * frame.scale, colors.paper));
  on.lineCap = on.lineJoin = "miter";
}
