// One run of the lid drawn as a strip with its handles, to scale. Elements are made once and kept, so that focus
// and a finger on a handle survive every new drawing. What hands do is in lid.js.

const SCALES = [80, 200]; // px per metre, least and most
const TAB = 44; // px: a thumb
const GAP = 2; // px between tabs
const MARGIN = 34; // px left and right of the run
const ROWS = { thing: 0, bracket: 66, joint: 82, tube: 120, edge: 140, tab: 156, datum: 222, foot: 232 };

// Tabs as near their marks as their widths allow, in order: least squares by pooling adjacent violators.
function spread(wanted, widths) {
  const before = [0];
  for (let i = 1; i < wanted.length; i++) before.push(before[i - 1] + (widths[i - 1] + widths[i]) / 2 + GAP);
  const pools = [];
  wanted.forEach((x, i) => {
    let pool = { sum: x - before[i], count: 1 };
    while (pools.length && pools.at(-1).sum / pools.at(-1).count > pool.sum / pool.count) {
      const last = pools.pop();
      pool = { sum: pool.sum + last.sum, count: pool.count + last.count };
    }
    pools.push(pool);
  });
  return pools.flatMap((pool) => Array(pool.count).fill(pool.sum / pool.count)).map((x, i) => x + before[i]);
}

class RunDrawing {
  measure() {
    const room = this.window.clientWidth || 320;
    const length = this.data.high - this.data.low;
    const scale = Math.max(SCALES[0], (TAB + GAP) / this.data.pitch, (room - 2 * MARGIN) / length);
    this.scale = Math.min(SCALES[1], scale);
    this.width = Math.max(room, length * this.scale + 2 * MARGIN);
  }

  x(along) {
    const from = this.data.datum_left ? along - this.data.low : this.data.high - along;
    return MARGIN + from * this.scale;
  }

  draw() {
    if (!this.root.isConnected || !this.data) return;
    this.measure();
    this.heading.textContent = this.data.words.heading;
    this.hint.textContent = this.data.words.hint;
    this.drawStrip();
    this.drawOverview();
    this.drawFoot();
  }

  drawStrip() {
    const { data } = this;
    this.strip.style.width = `${this.width}px`;
    this.strip.style.height = `${ROWS.foot}px`;
    this.drawing.setAttribute("width", this.width);
    this.drawing.setAttribute("height", ROWS.foot);
    this.drawing.replaceChildren();
    const line = (x1, y1, x2, y2, className) => draw(this.drawing, "line", { x1, y1, x2, y2, class: className });
    const [start, end] = [this.x(data.ends[0]), this.x(data.ends[1])].sort((a, b) => a - b);
    line(this.x(data.low), ROWS.edge, this.x(data.high), ROWS.edge, "edge");
    line(start, ROWS.tube, end, ROWS.tube, "tube");
    for (const member of data.members) {
      const x = this.x(member.along);
      const width = Math.max(3, member.width * this.scale);
      draw(this.drawing, "rect", { x: x - width / 2, y: ROWS.tube - 14, width, height: 28, class: "member" });
    }
    for (const joint of data.joints) {
      line(this.x(joint.along), ROWS.joint, this.x(joint.along), ROWS.edge, "joint");
      const at = { x: this.x(joint.along) + 4, y: ROWS.joint + 11, class: "label halo" };
      draw(this.drawing, "text", at, joint.name);
    }
    for (const stop of data.blocked) {
      const [from, to] = [this.x(stop.from), this.x(stop.to)];
      const y = ROWS.bracket + 18;
      draw(this.drawing, "path", { d: `M${from},${y + 6}V${y}H${to}V${y + 6}`, class: "bracket" });
    }
    this.place(data.things, ROWS.thing, (item) => Math.max(TAB, 22 + 9 * item.name.length + (item.warning ? 22 : 0)));
    this.place(data.marks, ROWS.tab, () => TAB);
    for (const mark of data.marks) this.drawMark(mark);
    const datum = this.x(0);
    const out = data.datum_left ? 1 : -1;
    line(datum, ROWS.tube - 22, datum, ROWS.datum + 6, "datum");
    draw(this.drawing, "path", { d: `M${datum},${ROWS.datum - 2}l${out * 12},-7v14z`, class: "datum" });
    const anchor = data.datum_left ? "start" : "end";
    const at = { x: datum + out * 18, y: ROWS.datum + 3, "text-anchor": anchor, class: "label strong" };
    draw(this.drawing, "text", at, data.words.datum);
    for (const [key, handle] of this.handles) {
      if (this.item(key) || (this.held && this.held.key === key)) continue;
      handle.remove();
      this.handles.delete(key);
    }
  }

  drawMark(mark) {
    const x = this.x(this.along(mark));
    if (mark.fixed) draw(this.drawing, "rect", { x: x - 10, y: ROWS.tube - 10, width: 20, height: 20, class: "fixed" });
    const className = mark.drilled ? "mark drilled" : "mark";
    draw(this.drawing, "circle", { cx: x, cy: ROWS.tube, r: 6, class: className });
  }

  // Handles of one row over or under the strip, each on its stem.
  place(items, top, widthOf) {
    const ordered = [...items].sort((a, b) => this.x(this.along(a)) - this.x(this.along(b)));
    const widths = ordered.map(widthOf);
    const wanted = ordered.map((item) => this.x(this.along(item)));
    const middles = spread(wanted, widths);
    ordered.forEach((item, i) => {
      const handle = this.handle(item);
      handle.style.transform = `translate(${middles[i] - widths[i] / 2}px, ${top}px)`;
      handle.style.width = `${widths[i]}px`;
      const path = top === ROWS.thing
        ? `M${middles[i]},${TAB}V${TAB + 6}L${wanted[i]},${ROWS.bracket}V${ROWS.bracket + 6}`
        : `M${wanted[i]},${ROWS.tube + 9}V${ROWS.edge + 4}L${middles[i]},${top}`;
      draw(this.drawing, "path", { d: path, class: "stem" });
      if (item.kind === "thing") this.drawReach(item, wanted[i]);
    });
  }

  // The stretch of line that lies within the clearance of a thing, true length.
  drawReach(item, x) {
    if (!item.reach) return;
    const reach = item.reach * this.scale;
    const y = ROWS.bracket + 6;
    const d = `M${x - reach},${y + 7}V${y}H${x + reach}V${y + 7}`;
    draw(this.drawing, "path", { d, class: item.warning || item.stop ? "bracket" : "reach" });
  }

  handle(item) {
    const key = `${item.kind}/${item.name}`;
    let handle = this.handles.get(key);
    if (!handle) {
      handle = element(this.strip, "div", { tabIndex: 0 });
      handle.setAttribute("role", "slider");
      handle.setAttribute("aria-orientation", "horizontal");
      handle.dataset.key = key;
      handle.onpointerdown = (event) => this.take_hold(event, key);
      handle.onpointermove = (event) => this.drag(event);
      handle.onpointerup = handle.onpointercancel = (event) => this.release(event);
      handle.onkeydown = (event) => this.key(event, key);
      handle.onfocus = () => this.choose(key);
      this.handles.set(key, handle);
    }
    const along = this.along(item);
    const shown = [item.stop ? "stop" : "", item.warning ? "warned" : "", key === this.chosen ? "chosen" : ""];
    handle.className = `handle ${item.kind} ${shown.join(" ")}`;
    handle.setAttribute("aria-label", item.label);
    handle.setAttribute("aria-valuemin", item.low.toFixed(4));
    handle.setAttribute("aria-valuemax", item.high.toFixed(4));
    handle.setAttribute("aria-valuenow", along.toFixed(4));
    handle.setAttribute("aria-valuetext", this.text(item));
    if (item.drilled) handle.setAttribute("aria-disabled", "true");
    const face = `${item.warning || ""}|${item.name}|${item.stop}`;
    if (handle.dataset.face !== face) {
      handle.dataset.face = face;
      handle.replaceChildren();
      if (item.warning) element(handle, "span", { className: "triangle", textContent: item.warning });
      element(handle, "span", { textContent: item.name });
      if (item.stop) element(handle, "b", { textContent: this.data.words.stop });
    }
    return handle;
  }

  drawFoot() {
    const item = this.item(this.chosen);
    this.foot.classList.toggle("empty", !item);
    for (const button of [this.back, this.on, this.free]) button.hidden = !item || item.drilled;
    if (!item) {
      this.distance.textContent = "";
      this.note.textContent = this.data.words.choose;
      return;
    }
    this.distance.textContent = `${item.name}  ${this.text(item)}`;
    this.note.textContent = this.queue.at(item.kind, item.name) ? "" : item.note;
    this.back.textContent = this.data.words.back;
    this.on.textContent = this.data.words.on;
    this.free.textContent = this.data.words.free;
    this.free.hidden = !item.fixed || item.drilled;
  }

  drawOverview() {
    this.overview.draw(this.data, this.width > this.window.clientWidth + 1 ? this.shown() : null);
  }

  // The stretch of the run that the strip shows now, as `along` of its two ends.
  shown() {
    const at = (pixel) => {
      const from = (pixel - MARGIN) / this.scale;
      return this.data.datum_left ? this.data.low + from : this.data.high - from;
    };
    return [at(this.window.scrollLeft), at(this.window.scrollLeft + this.window.clientWidth)];
  }
}
