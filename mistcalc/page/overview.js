// The whole lid in plan, to scale, at whatever width there is; text keeps its size. Text of the project is
// set as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

function element(parent, tag, fields = {}) {
  const made = parent.appendChild(document.createElement(tag));
  return Object.assign(made, fields);
}

function draw(parent, tag, fields, text) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(fields)) made.setAttribute(name, value);
  if (text !== undefined) made.textContent = text;
  return parent.appendChild(made);
}

// A place in plan, metres, told as the tape of a run reads: along it, and back from its edge.
function onTape(run, point) {
  const off = [point[0] - run.datum[0], point[1] - run.datum[1]];
  return [run.tape, run.house].map((way) => off[0] * way[0] + off[1] * way[1]);
}

function inPlan(run, [along, back]) {
  return [0, 1].map((i) => run.datum[i] + along * run.tape[i] + back * run.house[i]);
}

function sidesOf(corners) {
  return corners.map((corner, n) => [corner, corners[(n + 1) % corners.length]]);
}

// Whether a place told so lies under the lid of its run, whose strip ends on a slant at a bend.
function under(run, [along, back]) {
  const turns = sidesOf(run.strip).map(([a, b]) => ((b[0] - a[0]) * (back - a[1]) - (b[1] - a[1]) * (along - a[0])) / (Math.hypot(b[0] - a[0], b[1] - a[1]) || 1));
  return turns.every((turn) => turn > -1e-6) || turns.every((turn) => turn < 1e-6);
}

// The place under the lid of a run that is nearest.
function nearestUnder(run, [along, back]) {
  const level = [Math.min(run.high, Math.max(run.low, along)), Math.min(run.deep, Math.max(0, back))];
  if (under(run, level)) return level;
  if (under(run, [along, back])) return [along, back];
  const on = sidesOf(run.strip).map(([a, b]) => {
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const share = Math.min(1, Math.max(0, ((along - a[0]) * dx + (back - a[1]) * dy) / (dx * dx + dy * dy || 1)));
    return [a[0] + share * dx, a[1] + share * dy];
  });
  const far = (place) => Math.hypot(place[0] - along, place[1] - back);
  return on.reduce((best, place) => (far(place) < far(best) ? place : best));
}

// Of all runs, `own` first, the place under the lid that comes nearest to one in plan.
function placeUnder(runs, own, point) {
  const frames = [...runs].sort((a, b) => (b.name === own) - (a.name === own));
  const places = frames.map((frame) => {
    const wanted = onTape(frame, point);
    const [along, back] = nearestUnder(frame, wanted);
    return { run: frame.name, along, back, point: inPlan(frame, [along, back]), far: Math.hypot(along - wanted[0], back - wanted[1]) };
  });
  return places.reduce((best, place) => (place.far < best.far - 1e-9 ? place : best));
}

const PAD = 44; // px round the lid: for what stands at its edge
const HIGHEST = 520; // px of the lid at its whole size
const SIGN = 24; // px: a numbered hexagon, as on paper; a triangle is a revision mark
const STEEP = 10; // px
const LABEL = 20; // px from an open edge to what its run is called

class Overview {
  constructor(parent) {
    this.box = element(parent, "div", { className: "overview" });
    this.svg = draw(this.box, "svg", { role: "img" });
    this.sizes = new Map();
  }

  // The box of a text that begins at 0, 0. Looked at once: to know it the browser lays out all that is drawn.
  size(text, className) {
    if (document.fonts.status !== "loaded" || this.sizes.size > 500) this.sizes.clear();
    const known = `${className}|${text}`;
    if (!this.sizes.get(known)?.width) {
      const drawn = draw(this.svg, "text", { class: className }, text);
      this.sizes.set(known, drawn.getBBox());
      drawn.remove();
    }
    return this.sizes.get(known);
  }

  // That of a text written at a place; anchor: start, middle or end of it.
  written(text, className, x, y, anchor) {
    const { x: from, y: top, width, height } = this.size(text, className);
    const before = { start: -from, middle: width / 2, end: width }[anchor];
    return { x: x - before, y: y + top, width, height };
  }

  // Where plan and screen meet. A finger that holds something keeps the scale it began with.
  measure({ box: [left, low, right, high] }, zoom, held) {
    if (held && this.view) return;
    const room = this.box.clientWidth || 320;
    const scale = zoom * Math.min((room - 2 * PAD) / (right - left), HIGHEST / (high - low));
    const width = Math.max(room, (right - left) * scale + 2 * PAD);
    this.view = { scale, left, high, width, height: (high - low) * scale + 2 * PAD };
  }

  x(point) {
    return PAD + (point[0] - this.view.left) * this.view.scale;
  }

  y(point) {
    return PAD + (this.view.high - point[1]) * this.view.scale;
  }

  // shown: the two ends (`along`) of the stretch that the strip below shows, or null where it shows all.
  // hand: how close it is looked at, whether something is held, and how far what is moving lies from its place.
  draw(data, shown, { chosen = null, zoom = 1, held = false, moved = () => [0, 0], grips = [] } = {}) {
    const { plan } = data;
    const { svg } = this;
    this.measure(plan, zoom, held);
    const { scale, width, height } = this.view;
    const X = (p) => this.x(p);
    const Y = (p) => this.y(p);
    for (const [name, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` })) svg.setAttribute(name, value);
    svg.setAttribute("aria-label", data.words.overview);
    svg.replaceChildren();
    const thin = ([a, b]) => ({ x: Math.min(X(a), X(b)) - 3, y: Math.min(Y(a), Y(b)) - 3, width: Math.abs(X(a) - X(b)) + 6, height: Math.abs(Y(a) - Y(b)) + 6 });
    const along = ([a, b], share) => [0, 1].map((i) => a[i] + share * (b[i] - a[i]));
    const pieces = (line) => { // one that leans, in short ones: what lies beside it is free
      const count = 1 + Math.floor(Math.min(thin(line).width, thin(line).height) / STEEP);
      return Array.from({ length: count }, (_, n) => thin([along(line, n / count), along(line, (n + 1) / count)]));
    };
    this.labels = [...grips, ...[...plan.runs.map((run) => run.edge), ...plan.screens].flatMap(pieces)];
    const segment = ([a, b], className) =>
      draw(svg, "line", { x1: X(a), y1: Y(a), x2: X(b), y2: Y(b), class: className });
    const shape = (points, className) =>
      draw(svg, "polygon", { points: points.map((p) => `${X(p)},${Y(p)}`).join(" "), class: className });
    plan.members.forEach((member) => segment(member, "joist"));
    plan.joints.forEach((joint) => segment(joint, "joint"));
    for (const loop of plan.outlines) shape(loop, "outline");
    plan.walls.forEach((wall) => segment(wall, "wall"));
    plan.screens.forEach((screen) => segment(screen, "screen"));
    const shifted = (one, kind) => {
      const [dx, dy] = moved(kind, one.name);
      const by = (p) => [p[0] + dx, p[1] + dy];
      return { ...one, at: by(one.at), outline: (one.outline || []).map(by) };
    };
    const things = plan.things.map((thing) => shifted(thing, "thing"));
    for (const thing of things) {
      this.drawThing(thing, X(thing.at), Y(thing.at), scale, shape);
      this.labels.push({ x: X(thing.at) - 5, y: Y(thing.at) - 5, width: 10, height: 10 });
    }
    for (const seat of plan.seats.map((one) => shifted(one, "seat"))) {
      const [x, y] = [X(seat.at), Y(seat.at) + 20];
      draw(svg, "path", { d: `M${x - 6},${y - 26}v12h12v-12`, class: "seat" });
      draw(svg, "text", { x, y, "text-anchor": "middle", class: "label halo" }, seat.name);
      this.labels.push(this.written(seat.name, "label halo", x, y, "middle"));
    }
    plan.tubes.forEach((tube) => segment(tube, "tube"));
    const dot = Math.max(2.5, Math.min(6, 0.09 * scale));
    for (const mark of plan.marks) {
      draw(svg, "circle", { cx: X(mark.at), cy: Y(mark.at), r: dot, class: mark.stop ? "mark stop" : "mark" });
      this.labels.push({ x: X(mark.at) - dot + 2, y: Y(mark.at) - dot + 2, width: 2 * dot - 4, height: 2 * dot - 4 });
      if (chosen === `mark/${mark.name}`) draw(svg, "circle", { cx: X(mark.at), cy: Y(mark.at), r: dot + 5, class: "ring" });
    }
    for (const run of plan.runs) {
      this.label(run);
      if (shown && run.name === data.run) this.drawShown(run, shown, data.datum_left, X, Y);
    }
    const nameThing = (thing) => {
      const round = thing.kind === "fan" || thing.kind === "light" || !thing.outline.length;
      const ys = round ? [] : thing.outline.map(Y);
      const size = thing.kind === "fan" ? thing.radius * scale : round ? 6 : Math.max(6, (Math.max(...ys) - Math.min(...ys)) / 2);
      const half = chosen === `thing/${thing.name}` ? Math.max(size, SIGN) : size; // outside the frame of its handle
      this.name(thing.name, X(thing.at), Y(thing.at), half, [-4, 14, -20, -36, 30], thing.warning);
    };
    things.filter((thing) => thing.warning).forEach(nameThing);
    const taken = (mark) => chosen === `mark/${mark.name}`; // what a tap has chosen has its name in any case
    for (const mark of [...plan.marks].sort((a, b) => taken(b) - taken(a))) {
      const offs = taken(mark) ? [-4, 14, -20, 30] : [-4, 14];
      if (mark.stop || mark.near || taken(mark)) this.name(mark.name, X(mark.at), Y(mark.at), dot, offs, 0, taken(mark));
    }
    things.filter((thing) => !thing.warning).forEach(nameThing);
  }

  // What something is called, beside it, or so far (px) over or under it, where nothing else is written. number: that
  // of the list of what asks for a look, in a hexagon before the name, which then stands in any case. always: so
  // does a name without.
  name(text, x, y, half, offs, number = 0, always = number > 0) {
    const sign = number ? SIGN + 4 : 0;
    const wide = this.size(text, "label halo").width + sign;
    const level = offs.map((off) => [-wide / 2, off < 0 ? off - half : off + half]);
    const places = [...level.slice(0, 2), [half + 5, 5], [-half - 5 - wide, 5], ...level.slice(2)];
    const box = ([right, down]) => ({ x: x + right, y: y + down - 13, width: wide, height: 18 });
    const place = places.find((one) => this.clear(box(one))) || (always ? places[0] : null);
    if (!place) return;
    const at = box(place);
    this.labels.push(at);
    draw(this.svg, "text", { x: at.x + sign, y: at.y + 13, class: "label halo" }, text);
    if (!number) return;
    const middle = at.x + SIGN / 2;
    draw(this.svg, "path", { d: `M${at.x},${at.y + 8}l6,-10h12l6,10l-6,10h-12z`, class: "number-sign" });
    draw(this.svg, "text", { x: middle, y: at.y + 13, "text-anchor": "middle", class: "number" }, number);
  }

  // Whether a box meets nothing that is written, and lies within the picture.
  clear({ x, y, width, height }) {
    const meets = (other) => x < other.x + other.width && other.x < x + width && y < other.y + other.height && other.y < y + height;
    return !this.labels.some(meets) && x >= 0 && x + width <= this.view.width;
  }

  // A run's label outside its open edge, where it is clear of grips and of those before it and has room beside the
  // plan; its letter alone where it has none anywhere along the run.
  label(run) {
    const className = "label strong halo";
    const out = [-run.house[0], run.house[1]];
    const anchor = Math.abs(out[0]) < 0.1 ? "middle" : out[0] > 0 ? "start" : "end";
    const stand = (text, share) => {
      const at = [0, 1].map((i) => run.edge[0][i] + share * (run.edge[1][i] - run.edge[0][i]));
      const [x, y] = [this.x(at) + LABEL * out[0], this.y(at) + LABEL * out[1] + 5];
      return { text, x, y, box: this.written(text, className, x, y, anchor) };
    };
    let put = [0.5, 0.35, 0.65, 0.2, 0.8].map((share) => stand(run.label, share)).find(({ box }) => this.clear(box));
    if (!put) {
      const inside = (low, size, room) => Math.max(0, -low) - Math.max(0, low + size - room);
      put = stand(run.name, 0.5);
      const { box } = put;
      const [right, down] = [inside(box.x, box.width, this.view.width), inside(box.y, box.height, this.view.height)];
      put = { ...put, x: put.x + right, y: put.y + down, box: { ...box, x: box.x + right, y: box.y + down } };
    }
    draw(this.svg, "text", { x: put.x, y: put.y, "text-anchor": anchor, class: className }, put.text);
    this.labels.push(put.box);
  }

  // A small circle is only ever a mark: a light is a square with an L, as on paper (with its diagonals it would be
  // an air diffuser); a fan its sweep.
  drawThing(thing, x, y, scale, shape) {
    const { svg } = this;
    if (thing.kind === "fan") {
      draw(svg, "circle", { cx: x, cy: y, r: thing.radius * scale, class: "sweep" });
    } else if (thing.kind === "light" || !thing.outline.length) {
      draw(svg, "rect", { x: x - 5, y: y - 5, width: 10, height: 10, class: "thing" });
      if (thing.kind === "light") draw(svg, "path", { d: `M${x - 1.5},${y - 3}v6h3.5`, class: "light" });
    } else {
      shape(thing.outline, thing.kind === "door glass" ? "glass" : thing.kind === "column" ? "post" : "thing");
    }
  }

  // The stretch of the run that the strip shows now.
  drawShown(run, shown, fromStart, X, Y) {
    const length = Math.hypot(run.edge[1][0] - run.edge[0][0], run.edge[1][1] - run.edge[0][1]);
    const ends = shown.map((along) => {
      const share = Math.min(1, Math.max(0, (fromStart ? along : length - along) / length));
      return [0, 1].map((i) => run.edge[0][i] + share * (run.edge[1][i] - run.edge[0][i]));
    });
    const [[x1, x2], [y1, y2]] = [ends.map(X), ends.map(Y)];
    const long = Math.hypot(x2 - x1, y2 - y1) + 18;
    const turn = `rotate(${(Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI})`;
    const middle = `translate(${(x1 + x2) / 2}, ${(y1 + y2) / 2}) ${turn}`;
    draw(this.svg, "rect", { x: -long / 2, y: -9, width: long, height: 18, transform: middle, class: "window" });
  }
}
