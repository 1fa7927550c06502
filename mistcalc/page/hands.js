// What hands and keys do to what is on the plan and in the strip. Every change is an absolute place handed to
// the queue (move_queue.js); it is drawn at once, and drawn again when the program has laid the marks anew.

// Whether two places are one.
function same(one, other) {
  return one.run === other.run && Math.abs(one.along - other.along) < 1e-9 && Math.abs((one.back ?? 0) - (other.back ?? 0)) < 1e-9;
}

const ANCHORED = 2000; // ms after a change that the plan is kept where it stands

class Hands extends RunDrawing {
  // ---------------------------------------------------------------- where things are

  get joists() {
    const { run, words, joists } = this.data;
    return joists.map((joist) => ({ ...joist, kind: "joist", run, label: words.joist.replace("{name}", joist.name) }));
  }

  get items() {
    const { marks, things, screens, pulls, stated_joints: joints } = this.data;
    return [...marks, ...things, ...screens, ...pulls, ...joints, ...this.joists];
  }

  item(key) {
    return this.items.find((item) => keyOf(item) === key);
  }

  // {run, along, back}: where it was let go of or is held, else where the program has it.
  at(item) {
    const move = this.queue.of(item);
    if (!move || move.free || move.remove || move.add) return item;
    return { run: move.run, along: move.along, back: move.back ?? item.back };
  }

  along(item) {
    return this.at(item).along;
  }

  // Whether a hand has it elsewhere than the program was last heard to have it.
  isMoved(item) {
    return !same(this.at(item), item);
  }

  frame(run) {
    return this.data.plan.runs.find((one) => one.name === run);
  }

  // ---------------------------------------------------------------- how it is told

  // What the tape reads at a step of the grid, looked up (units/tape_table.py); table: tape or spoken.
  looked_up(length, table) {
    const { steps, stretches, endings } = this.data[table];
    const read = (step) => {
      const [begin, list] = stretches[Math.floor(step / steps)];
      return begin + endings[list][step % steps];
    };
    const step = Math.round(length / this.data.grid);
    const text = read(Math.abs(step));
    return step < 0 && text !== read(0) ? `-${text}` : text;
  }

  // The length of one of an item's fields as the program told it, else as it is looked up.
  length(item, field, table = "tape") {
    const value = this.at(item)[field];
    const told = item[`${table === "tape" ? "" : "spoken_"}${field}_text`];
    return told && Math.abs(value - item[field]) < 1e-9 ? told : this.looked_up(value, table);
  }

  text(item, table = "tape") {
    const { words } = this.data;
    const kind = item.away === "along" ? "end" : item.kind;
    const template = { run: "length", thing: "place", seat: "place", screen: "outside", end: "outside_end" }[kind] || "taped";
    const told = { along: this.length(item, "along", table), run: this.at(item).run };
    if (item.kind === "screen") told.out = this.looked_up(Math.abs(this.at(item)[item.away] - item.side), table);
    else if (item.back !== undefined) told.back = this.length(item, "back", table);
    return words[table === "tape" ? template : `${template}_spoken`].replace(/\{(\w+)\}/g, (_, name) => told[name]);
  }

  // What a handle says of itself to who cannot see it.
  tell(handle, item) {
    handle.setAttribute("aria-label", item.label);
    handle.setAttribute("aria-valuemin", item.low.toFixed(4));
    handle.setAttribute("aria-valuemax", item.high.toFixed(4));
    handle.setAttribute("aria-valuenow", this.along(item).toFixed(4));
    handle.setAttribute("aria-valuetext", this.text(item, "spoken"));
    handle.dataset.told = this.length(item, "along");
    if (item.drilled) handle.setAttribute("aria-disabled", "true");
  }

  // A handle: made once and kept, so that focus and a finger on it survive every new drawing.
  grip(parent, key, tabIndex) {
    const handle = element(parent, "div", { tabIndex });
    handle.setAttribute("role", "slider");
    handle.dataset.key = key;
    handle.onpointerdown = (event) => this.take_hold(event, handle, key);
    handle.onpointermove = (event) => this.drag(event);
    handle.onpointerup = handle.onpointercancel = (event) => this.release(event);
    handle.onfocus = () => this.choose(handle.dataset.key);
    return handle;
  }

  // ---------------------------------------------------------------- what hands and keys do

  snapped(value, low, high) {
    const { grid } = this.data;
    const steps = Math.round(value / grid);
    return Math.min(Math.floor(high / grid + 1e-6), Math.max(Math.ceil(low / grid - 1e-6), steps)) * grid;
  }

  // A place as near to the one wanted as it can be: on the tape's grid and on the lid of its run.
  placeFor(item, { run, along, back }) {
    const rests = back === undefined || item.kind === "screen" || this.isUnder(run, [along, back]);
    if (!rests) [along, back] = nearestUnder(this.frame(run), [along, back]);
    const limits = run === item.run ? item : this.frame(run);
    // What goes along all of its side has one place on it, off the grid or not.
    const put = (wanted, low, high) => (low === high ? low : this.snapped(wanted, low, high));
    const place = { run, along: put(along, limits.low, limits.high) };
    return item.back === undefined ? place : { ...place, back: put(back, limits.shallow ?? 0, limits.deep) };
  }

  // Whether a place told from a run lies under the lid, of that run or past a bend of the next.
  isUnder(run, place) {
    const point = inPlan(this.frame(run), place);
    return this.data.plan.runs.some((one) => under(one, onTape(one, point)));
  }

  put(item, { run, along, back }, commit) {
    const place = back === undefined ? { run, along } : { run, along, back };
    this.queue.add({ kind: item.kind, name: item.name, ...place, commit, gesture: this.gesture });
    this.stayPut();
    this.drawSoon();
  }

  // A drag, or a spell of keys on one thing, is one gesture: one step to undo.
  begin() {
    this.gesture = Math.random().toString(36).slice(2, 10);
  }

  choose(key) {
    if (this.chosen !== key || !this.gesture) this.begin();
    this.chosen = key;
    const item = this.item(key);
    if (item && item.kind !== "run" && item.run !== this.data.run) this.look(item.run);
    this.drawSoon();
    if (item) this.show(key);
  }

  step(along, back = 0) {
    const item = this.item(this.chosen);
    if (!item || item.drilled) return;
    if (!this.gesture) this.begin();
    const now = this.at(item);
    const { grid } = this.data;
    const to = this.placeFor(item, { run: now.run, along: now.along + along * grid, back: (now.back ?? 0) + back * grid });
    if (!same(to, now)) this.put(item, to, true);
  }

  // Whatever is sent with a place beside it: let go of, taken away, put there anew.
  send(item, how) {
    this.begin();
    const { kind, name } = item;
    const { run, along, back } = this.at(item);
    this.queue.add({ kind, name, run, along, ...(back === undefined ? {} : { back }), ...how, commit: true, gesture: this.gesture });
    this.stayPut();
    this.drawSoon();
  }

  letGo() {
    const item = this.item(this.chosen);
    if (item && item.fixed && !item.drilled) this.send(item, { free: true });
  }

  get removable() {
    const item = this.item(this.chosen);
    return item && ["thing", "seat", "screen", "joist"].includes(item.kind) ? item : null;
  }

  remove() {
    if (this.removable) this.send({ ...this.removable, ...this.at(this.removable) }, { remove: true });
  }

  // What was typed is read by the program, which says so where it cannot. Only a screen may go without a length.
  resize(typed) {
    const item = this.item(this.chosen);
    if (!item || !item.size) return;
    const size = item.thing === "fan" ? [typed[0], typed[0]] : typed.slice(0, item.size.length);
    if (size.some((text, i) => i < 2 && !text.trim()) || size.every((text, i) => text === item.size[i])) return;
    this.begin();
    const kind = item.kind === "screen" ? "screen-size" : "size";
    if (item.kind === "screen" && size.length < 3) size.push("");
    this.typed = { key: this.chosen, size };
    this.queue.add({ kind, name: item.name, run: item.run, along: item.along, size, commit: true, gesture: this.gesture });
    this.stayPut();
  }

  addThing(wanted) {
    const one = this.data.new.find((each) => each.add === wanted);
    const kind = one.of || (wanted === "seat" ? "seat" : "thing");
    this.wanted = this.chosen = `${kind}/${one.name}`;
    this.wantedRow = this.data.row;
    this.send({ kind, run: this.data.run, ...one }, { add: wanted });
  }

  // Halfway to the next joist on the tape, or a hand's breadth on where there is none.
  addJoist() {
    const item = this.item(this.chosen);
    const at = this.joists.findIndex((joist) => joist.name === item.name);
    const next = this.joists[at + 1];
    const along = next ? (this.along(item) + this.along(next)) / 2 : Math.min(this.along(item) + 0.1, item.high);
    this.send({ kind: "joist", name: "new", run: this.data.run, along: this.snapped(along, item.low, next ? next.high : item.high) }, { add: true });
  }

  // onPlan: arrows go the way they point; in the strip left and right go along it, up to the house.
  key(event, key, onPlan) {
    const pages = { PageUp: this.data.page_steps, PageDown: -this.data.page_steps }[event.key];
    const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    const item = this.item(key);
    if (event.key === "Delete" && this.removable) {
      event.preventDefault();
      this.remove();
    }
    if (!item || !(pages || way)) return;
    event.preventDefault();
    this.choose(key);
    if (pages) this.step(pages);
    else this.step(...(onPlan ? this.stepsOnPlan(item, way) : this.stepsInStrip(item, way)));
    this.show(key);
  }

  stepsInStrip(item, [x, y]) {
    if (y) return item.back === undefined ? [y, 0] : [0, y];
    return [this.data.datum_left ? x : -x, 0];
  }

  stepsOnPlan(item, way) {
    const frame = this.frame(this.at(item).run);
    const dot = (direction) => Math.round(way[0] * direction[0] + way[1] * direction[1]);
    if (item.kind === "run") return [dot(frame.ahead) || way[0] + way[1], 0];
    return [dot(frame.tape), dot(frame.house)];
  }

  take_hold(event, handle, key) {
    if (event.button > 0) return;
    const field = this.root.getRootNode().activeElement;
    if (field && field.tagName === "INPUT") field.blur(); // what was typed is taken first
    const taken = this.board.nearest(event, handle) || { handle, key };
    const item = this.item(taken.key);
    this.begin();
    this.choose(taken.key);
    taken.handle.focus({ preventScroll: true });
    event.preventDefault();
    if (!item || item.drilled) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    const onPlan = this.board.has(taken.handle);
    this.held = {
      key: taken.key, pointer: event.pointerId, onPlan, x: event.clientX + (onPlan ? 0 : this.window.scrollLeft), y: event.clientY,
      from: this.at(item), point: onPlan ? this.board.point(item) : null,
    };
  }

  drag(event) {
    if (!this.held || event.pointerId !== this.held.pointer) return;
    const item = this.item(this.held.key);
    if (!item) return;
    const { onPlan, from } = this.held;
    if (!onPlan) {
      const box = this.window.getBoundingClientRect();
      if (event.clientX > box.right - 24) this.window.scrollLeft += 6;
      if (event.clientX < box.left + 24) this.window.scrollLeft -= 6;
    }
    const right = event.clientX + (onPlan ? 0 : this.window.scrollLeft) - this.held.x;
    const down = event.clientY - this.held.y;
    if (!this.held.moved && Math.hypot(right, onPlan ? down : 0) < 3) return;
    const to = onPlan
      ? this.board.placeAt(item, this.held.point, right, down)
      : { run: from.run, back: from.back, along: from.along + (this.data.datum_left ? right : -right) / this.scale };
    const place = this.placeFor(item, { run: item.run, ...to });
    if (same(place, this.at(item))) return;
    this.held.moved = true;
    this.put(item, place, false);
  }

  release(event) {
    if (!this.held || event.pointerId !== this.held.pointer) return;
    const { key, moved } = this.held;
    this.held = null;
    const item = this.item(key);
    if (!item || !moved) return this.draw();
    const place = this.at(item);
    this.put(item, place, true);
    if (item.kind !== "run" && place.run !== this.data.run) this.look(place.run);
  }

  // What is said above the plan grows and shrinks as something moves: the page is scrolled by as much before it
  // is painted, so that the plan stays under hand and eye.
  anchor() {
    const scrolls = (one) => one.scrollHeight > one.clientHeight + 1 && /auto|scroll/.test(getComputedStyle(one).overflowY);
    let scroller = this.root.getRootNode().host || this.root;
    while (scroller && !scrolls(scroller)) scroller = scroller.parentElement;
    if (!scroller || this.scroller === scroller) return;
    this.scroller = scroller;
    const top = () => this.root.getBoundingClientRect().top;
    let before = top();
    scroller.addEventListener("scroll", () => (before = top()), { passive: true });
    const grown = new ResizeObserver(() => {
      if (this.held || performance.now() < this.anchoredUntil) scroller.scrollTop += top() - before;
      before = top();
    });
    for (const child of scroller.children) grown.observe(child);
  }

  stayPut() {
    this.anchor();
    this.anchoredUntil = performance.now() + ANCHORED;
  }

  show(key) {
    const item = this.item(key);
    if (!item || this.held || this.at(item).run !== this.data.run || item.kind === "run") return;
    const x = this.x(this.along(item));
    const { scrollLeft, clientWidth } = this.window;
    if (x < scrollLeft + TAB || x > scrollLeft + clientWidth - TAB) this.window.scrollLeft = x - clientWidth / 2;
  }
}
