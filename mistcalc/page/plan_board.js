// The plan as a board to draw on: a handle over each thing, seat and end of a run, looked at closer or from
// farther off, and the list of what can be added. overview.js draws what lies under the handles.

const ZOOMS = [1, 1.5, 2.25, 3.5, 5];
const REACH = 22; // px from a handle's middle that a finger may be off
const LEAST = 26; // px between the middles of handles, where things lie closer
const OUT = 22; // px from a run's end to its grip: outside the open edge, and back along it

// Places moved apart so far that no two targets are nearer than LEAST px, each as little as can be.
function apart(places) {
  const out = places.map(([x, y]) => [x, y]);
  for (let turn = 0, moved = true; moved && turn < 40; turn++) {
    moved = false;
    for (let i = 0; i < out.length; i++) {
      for (let j = i + 1; j < out.length; j++) {
        const off = [out[j][0] - out[i][0], out[j][1] - out[i][1]];
        const axis = Math.abs(off[0]) >= Math.abs(off[1]) ? 0 : 1;
        const push = (LEAST - Math.abs(off[axis])) / 2;
        if (push < 0.01) continue;
        const way = off[axis] < 0 ? -1 : 1;
        out[i][axis] -= way * push;
        out[j][axis] += way * push;
        moved = true;
      }
    }
  }
  return out;
}

class PlanBoard {
  constructor(lid, parent) {
    this.lid = lid;
    this.handles = new Map();
    this.zoom = 0;
    this.tools = element(parent, "div", { className: "buttons tools" });
    this.tools.setAttribute("role", "group");
    this.what = element(this.tools, "select");
    const button = (act) => Object.assign(element(this.tools, "button", { type: "button" }), { onclick: act });
    this.add = button(() => lid.addThing(this.what.value));
    this.closer = button(() => this.look(this.zoom + 1));
    this.farther = button(() => this.look(this.zoom - 1));
    this.whole = button(() => this.look(0));
    this.overview = new Overview(parent);
    this.overview.svg.onclick = (event) => this.tap(event);
  }

  has(handle) {
    return handle.parentElement === this.overview.box;
  }

  get items() {
    return [...this.lid.data.things, ...this.lid.data.screens, ...this.lid.data.pulls];
  }

  // In plan, metres.
  point(item) {
    const frame = this.lid.frame(this.lid.at(item).run);
    const { along, back } = this.lid.at(item);
    const from = (start, one, first, two, second) => [0, 1].map((i) => start[i] + one * first[i] + two * second[i]);
    if (item.kind === "run") return from(frame.edge[1], along - item.along, frame.ahead, 0, frame.house);
    return from(frame.datum, along + (item.half ?? 0), frame.tape, back, frame.house);
  }

  // How far a thing that is being moved lies from where the program has it.
  moved(kind, name) {
    const item = this.lid.data.things.find((thing) => thing.kind === kind && thing.name === name);
    if (!item || !this.lid.isMoved(item)) return [0, 0];
    const frame = this.lid.frame(item.run);
    const now = this.point(item);
    return [0, 1].map((i) => now[i] - (frame.datum[i] + item.along * frame.tape[i] + item.back * frame.house[i]));
  }

  // The place so many pixels from a point: on the run of the lid that comes nearest, its own first.
  placeAt(item, point, right, down) {
    const { scale } = this.overview.view;
    const to = [point[0] + right / scale, point[1] - down / scale];
    if (item.kind === "run") {
      const { ahead, edge } = this.lid.frame(item.run);
      return { run: item.run, along: item.along + (to[0] - edge[1][0]) * ahead[0] + (to[1] - edge[1][1]) * ahead[1] };
    }
    const own = this.lid.at(item).run;
    if (item.kind === "screen") {
      const { datum, tape, house } = this.lid.frame(own);
      const [along, back] = [tape, house].map((way) => (to[0] - datum[0]) * way[0] + (to[1] - datum[1]) * way[1]);
      return { run: own, along: along - item.half, back };
    }
    return placeUnder(this.lid.data.plan.runs, own, to);
  }

  // Handles stand aside where the plan is small: a finger takes the thing that is drawn nearest to it.
  nearest(event, handle) {
    if (!this.has(handle)) return null;
    const box = this.overview.svg.getBoundingClientRect();
    const off = (item) => {
      const [x, y] = this.middle(item);
      return Math.hypot(event.clientX - box.x - x, event.clientY - box.y - y);
    };
    const key = keyOf(this.items.reduce((best, one) => (off(one) < off(best) ? one : best)));
    return { key, handle: this.handles.get(key) };
  }

  // A mark is chosen by a tap on the plan as on its tab in the strip.
  tap(event) {
    const box = this.overview.svg.getBoundingClientRect();
    const from = ([x, y]) => Math.hypot(event.clientX - box.x - x, event.clientY - box.y - y);
    const off = (mark) => from([this.overview.x(mark.at), this.overview.y(mark.at)]);
    const { marks } = this.lid.data.plan;
    const item = this.items.find((one) => from(this.middle(one)) < REACH / 2);
    if (item) return this.lid.choose(keyOf(item));
    if (!marks.length) return;
    const mark = marks.reduce((best, one) => (off(one) < off(best) ? one : best));
    if (off(mark) > REACH) return;
    this.lid.setMode("mark");
    this.lid.chooseMark(mark);
  }

  look(zoom) {
    this.zoom = Math.min(ZOOMS.length - 1, Math.max(0, zoom));
    this.lid.draw();
    const { chosen, data } = this.lid;
    const item = this.items.find((one) => keyOf(one) === chosen);
    const mark = data.plan.marks.find((one) => `mark/${one.name}` === chosen);
    if (item || mark) this.reveal(item ? this.point(item) : mark.at);
  }

  reveal(at) {
    const { box } = this.overview;
    box.scrollTo({ left: this.overview.x(at) - box.clientWidth / 2, top: this.overview.y(at) - box.clientHeight / 2 });
  }

  draw(shown) {
    const { data, held } = this.lid;
    const hand = { chosen: this.lid.chosen, zoom: ZOOMS[this.zoom], held: Boolean(held && held.onPlan), moved: (kind, name) => this.moved(kind, name) };
    const { items } = this;
    this.overview.measure(data.plan, hand.zoom, hand.held);
    const places = apart(items.map((item) => this.middle(item)));
    hand.grips = places.filter((_, i) => items[i].kind === "run").map(([x, y]) => ({ x: x - OUT, y: y - OUT, width: 2 * OUT, height: 2 * OUT }));
    this.overview.draw(data, shown, hand);
    this.drawTools();
    const room = (i) => Math.min(2 * REACH, ...places.filter((_, j) => j !== i).map((other) => Math.max(Math.abs(other[0] - places[i][0]), Math.abs(other[1] - places[i][1]))));
    const size = (item, i) => (keyOf(item) === this.lid.chosen ? 2 * REACH : room(i)); // chosen, it takes a thumb
    items.forEach((item, i) => this.drawHandle(item, places[i], size(item, i)));
    const kept = new Set(items.map(keyOf));
    for (const [key, handle] of this.handles) {
      if (kept.has(key) || (held && held.key === key)) continue;
      const next = handle.getRootNode().activeElement === handle && (handle.nextElementSibling || handle.previousElementSibling);
      handle.remove();
      this.handles.delete(key);
      if (next && next.dataset.key) next.focus({ preventScroll: true });
    }
    if (this.handles.has(this.lid.wanted)) {
      this.handles.get(this.lid.wanted).focus({ preventScroll: true });
    }
  }

  drawTools() {
    const { words } = this.lid.data;
    this.tools.setAttribute("aria-label", words.tools);
    this.what.setAttribute("aria-label", words.what);
    const kinds = this.lid.data.new.map((one) => one.word).join("|");
    if (this.what.dataset.kinds !== kinds) {
      this.what.dataset.kinds = kinds;
      this.what.replaceChildren();
      for (const { add, word } of this.lid.data.new) element(this.what, "option", { value: add, textContent: word });
    }
    for (const name of ["add", "closer", "farther", "whole"]) if (this[name].textContent !== words[name]) this[name].textContent = words[name];
    this.closer.disabled = this.zoom === ZOOMS.length - 1;
    this.farther.disabled = this.whole.disabled = this.zoom === 0;
  }

  // Where an item's handle would best be, in px of the drawing.
  middle(item) {
    const at = this.point(item);
    const [x, y] = [this.overview.x(at), this.overview.y(at)];
    if (item.kind !== "run") return [x, y];
    const { house, ahead } = this.lid.frame(item.run);
    return [x - OUT * (house[0] + ahead[0]), y + OUT * (house[1] + ahead[1])];
  }

  drawHandle(item, [x, y], size) {
    const key = keyOf(item);
    let handle = this.handles.get(key);
    if (!handle) {
      handle = this.lid.grip(this.overview.box, key, 0);
      handle.onkeydown = (event) => this.lid.key(event, key, true);
      this.handles.set(key, handle);
    }
    handle.className = `spot ${item.kind} ${key === this.lid.chosen ? "chosen" : ""}`;
    this.lid.tell(handle, item);
    if (item.kind === "run") {
      const { ahead } = this.lid.frame(item.run);
      const face = `${item.name} ${Math.abs(ahead[0]) > 0.5 ? "\u2194" : "\u2195"}`;
      if (handle.textContent !== face) {
        handle.replaceChildren();
        element(handle, "span", { textContent: face });
      }
    }
    handle.style.width = handle.style.height = `${size}px`;
    handle.style.transform = `translate(${x - size / 2}px, ${y - size / 2}px)`;
  }
}
