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
    const apart = this.mode === "joist" && this.joists.length > 1 ? (this.joists[1].along - this.joists[0].along) : this.data.pitch;
    const scale = Math.max(SCALES[0], (TAB + GAP) / apart, (room - 2 * MARGIN) / length);
    this.scale = Math.min(SCALES[1], scale);
    this.width = Math.max(room, length * this.scale + 2 * MARGIN);
  }

  x(along) {
    const from = this.data.datum_left ? along - this.data.low : this.data.high - along;
    return MARGIN + from * this.scale;
  }

  // With the next picture on the screen, however often it is asked for until then: what a hand has done is on its
  // way before anything is drawn.
  drawSoon() {
    this.drawn_next ??= requestAnimationFrame(() => this.draw());
  }

  draw() {
    cancelAnimationFrame(this.drawn_next);
    this.drawn_next = undefined;
    if (!this.root.isConnected || !this.data) return;
    this.measure();
    this.heading.textContent = this.data.words.heading;
    const { hint: mark, joist_note: joist, joint_note: joint } = this.data.words;
    this.hint.textContent = { mark, joist, joint }[this.mode];
    this.drawStrip();
    this.drawOverview();
    this.drawFoot();
  }

  // What stands in the row under the strip: marks, joists to be put where they were found, or control joints.
  get below() {
    return { mark: this.data.marks, joist: this.joists, joint: this.data.stated_joints }[this.mode];
  }

  drawStrip() {
    const { data } = this;
    this.strip.style.width = `${this.width}px`;
    this.strip.style.height = `${ROWS.foot}px`;
    this.drawing.setAttribute("width", this.width);
    this.drawing.setAttribute("height", ROWS.foot);
    this.drawing.replaceChildren();
    const line = (x1, y1, x2, y2, className) => draw(this.drawing, "line", { x1, y1, x2, y2, class: className });
    const [start, end] = data.tube.map((along) => this.x(along)).sort((a, b) => a - b);
    line(this.x(data.low), ROWS.edge, this.x(data.high), ROWS.edge, "edge");
    line(start, ROWS.tube, end, ROWS.tube, "tube");
    for (const { along, width } of this.movedMembers()) {
      const wide = Math.max(3, width * this.scale);
      draw(this.drawing, "rect", { x: this.x(along) - wide / 2, y: ROWS.tube - 14, width: wide, height: 28, class: "member" });
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
    const here = data.things.filter((thing) => thing.kind === "thing" && this.at(thing).run === data.run);
    this.strip.style.marginTop = here.length ? "" : `${-ROWS.bracket}px`; // no tabs above: no room for them
    this.place(here, ROWS.thing, (item) => Math.max(TAB, 22 + 9 * item.name.length + (item.warning ? 22 : 0)));
    this.place(this.below, ROWS.tab, () => TAB);
    for (const mark of data.marks) this.drawMark(mark);
    const datum = this.x(0);
    const out = data.datum_left ? 1 : -1;
    line(datum, ROWS.tube - 22, datum, ROWS.datum + 6, "datum");
    draw(this.drawing, "path", { d: `M${datum},${ROWS.datum - 2}l${out * 12},-7v14z`, class: "datum" });
    const anchor = data.datum_left ? "start" : "end";
    const at = { x: datum + out * 18, y: ROWS.datum + 3, "text-anchor": anchor, class: "label strong" };
    draw(this.drawing, "text", at, data.words.datum);
    const kept = new Set([...here, ...this.below].map(keyOf));
    for (const [key, handle] of this.handles) {
      if (kept.has(key) || (this.held && this.held.key === key)) continue;
      handle.remove();
      this.handles.delete(key);
    }
  }

  movedMembers() {
    if (!this.joists.length) return this.data.members;
    const width = this.data.members.length ? this.data.members[0].width : 0;
    return this.joists.map((joist) => ({ along: this.along(joist), width }));
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
    const key = keyOf(item);
    let handle = this.handles.get(key);
    if (!handle) {
      // A thing is reached by Tab once, on the plan; marks and joists are reached here.
      handle = this.grip(this.strip, key, item.kind === "thing" ? -1 : 0);
      handle.setAttribute("aria-orientation", "horizontal");
      handle.onkeydown = (event) => this.key(event, key, false);
      this.handles.set(key, handle);
    }
    const shown = [item.stop ? "stop" : "", item.warning ? "warned" : "", key === this.chosen ? "chosen" : ""];
    handle.className = `handle ${item.kind} ${shown.join(" ")}`;
    this.tell(handle, item);
    const face = `${item.warning || ""}|${item.name}|${item.stop}`;
    if (handle.dataset.face !== face) {
      handle.dataset.face = face;
      handle.replaceChildren();
      if (item.warning) element(handle, "span", { className: "hexagon", textContent: item.warning });
      element(handle, "span", { textContent: item.name });
      if (item.stop) element(handle, "b", { textContent: this.data.words.stop });
    }
    return handle;
  }

  drawOverview() {
    this.board.draw(this.width > this.window.clientWidth + 1 ? this.shown() : null);
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
