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
const LABEL = 20; // px from an open edge to what its run is called

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
    this.labels = [...grips, ...[...plan.runs.map((run) => run.edge), ...plan.screens].map(thin)];
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
      this.label(run);
      if (shown && run.name === data.run) this.drawShown(run, shown, data.datum_left, X, Y);
    }
  }

  // A run's label outside its open edge, where it is clear of grips and of those before it and has room beside the
  // plan; its letter alone where it has none anywhere along the run.
  label(run) {
    const drawn = draw(this.svg, "text", { class: "label strong halo" }, run.label);
    const out = [-run.house[0], run.house[1]];
    drawn.setAttribute("text-anchor", Math.abs(out[0]) < 0.5 ? "middle" : out[0] > 0 ? "start" : "end");
    const inside = (low, size, room) => Math.max(0, -low) - Math.max(0, low + size - room);
    const stand = (share) => {
      const at = [0, 1].map((i) => run.edge[0][i] + share * (run.edge[1][i] - run.edge[0][i]));
      const [x, y] = [this.x(at) + LABEL * out[0], this.y(at) + LABEL * out[1] + 5];
      drawn.setAttribute("x", x);
      drawn.setAttribute("y", y);
      return drawn.getBBox();
    };
    const free = (share) => {
      const { x, y, width, height } = stand(share);
      const meets = (other) => x < other.x + other.width && other.x < x + width && y < other.y + other.height && other.y < y + height;
      return !this.labels.some(meets) && !inside(x, width, this.view.width);
    };
    if (![0.5, 0.35, 0.65, 0.2, 0.8].some(free)) {
      drawn.textContent = run.name;
      const { x, y, width, height } = stand(0.5);
      drawn.setAttribute("x", Number(drawn.getAttribute("x")) + inside(x, width, this.view.width));
      drawn.setAttribute("y", Number(drawn.getAttribute("y")) + inside(y, height, this.view.height));
    }
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
