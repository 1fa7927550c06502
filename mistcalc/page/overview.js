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

const PAD = 44; // px round the lid: for what stands at its edge
const HIGHEST = 520; // px of the lid at its whole size

class Overview {
  constructor(parent) {
    this.box = element(parent, "div", { className: "overview" });
    this.svg = draw(this.box, "svg", { role: "img" });
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
  draw(data, shown, { chosen = null, zoom = 1, held = false, moved = () => [0, 0] } = {}) {
    const { plan } = data;
    const { svg } = this;
    this.measure(plan, zoom, held);
    const { scale, width, height } = this.view;
    const X = (p) => this.x(p);
    const Y = (p) => this.y(p);
    for (const [name, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` })) svg.setAttribute(name, value);
    svg.setAttribute("aria-label", data.words.overview);
    svg.replaceChildren();
    this.labels = [];
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
    for (const thing of things) this.drawThing(thing, X(thing.at), Y(thing.at), scale, shape);
    const middle = { "text-anchor": "middle", class: "label halo" };
    for (const thing of things) {
      const radius = thing.kind === "fan" ? thing.radius * scale : 6;
      if (!thing.warning && thing.kind !== "fan" && zoom === 1) continue;
      draw(svg, "text", { x: X(thing.at), y: Y(thing.at) - radius - 4, ...middle }, thing.name);
    }
    for (const seat of plan.seats.map((one) => shifted(one, "seat"))) {
      draw(svg, "path", { d: `M${X(seat.at) - 6},${Y(seat.at) - 6}v12h12v-12`, class: "seat" });
      draw(svg, "text", { x: X(seat.at), y: Y(seat.at) + 20, ...middle }, seat.name);
    }
    plan.tubes.forEach((tube) => segment(tube, "tube"));
    const dot = Math.max(2.5, Math.min(6, 0.09 * scale));
    for (const mark of plan.marks) {
      draw(svg, "circle", { cx: X(mark.at), cy: Y(mark.at), r: dot, class: mark.stop ? "mark stop" : "mark" });
      if (chosen === `mark/${mark.name}`) draw(svg, "circle", { cx: X(mark.at), cy: Y(mark.at), r: dot + 5, class: "ring" });
    }
    for (const run of plan.runs) {
      const at = { x: X(run.label_at), y: Y(run.label_at) + 5, "text-anchor": run.anchor, class: "label strong halo" };
      this.label(at, run);
      if (shown && run.name === data.run) this.drawShown(run, shown, data.datum_left, X, Y);
    }
  }

  // A run's label whole where it is clear of those before it and has room beside the plan, else its letter alone.
  label(at, run) {
    const drawn = draw(this.svg, "text", at, run.label);
    const box = drawn.getBBox();
    const meets = (other) =>
      box.x < other.x + other.width && other.x < box.x + box.width && box.y < other.y + other.height && other.y < box.y + box.height;
    const inside = (low, size, room) => Math.max(0, -low) - Math.max(0, low + size - room);
    if (this.labels.some(meets) || inside(box.x, box.width, this.view.width)) drawn.textContent = run.name;
    const { x, y, width, height } = drawn.getBBox();
    drawn.setAttribute("x", at.x + inside(x, width, this.view.width));
    drawn.setAttribute("y", at.y + inside(y, height, this.view.height));
    this.labels.push(drawn.getBBox());
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
    const [x1, x2] = ends.map(X).sort((p, q) => p - q);
    const [y1, y2] = ends.map(Y).sort((p, q) => p - q);
    draw(this.svg, "rect", { x: x1 - 9, y: y1 - 9, width: x2 - x1 + 18, height: y2 - y1 + 18, class: "window" });
  }
}
