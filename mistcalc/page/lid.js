// One run of the lid, straightened out to be edited: what hands and keys do to it, and where they put things.
// All that is shown comes in `data` (metres, made by lid.py). run_drawing.js draws it; that file, move_queue.js
// and overview.js are put before this one (views/lid.py).

const lids = new WeakMap();

export default function ({ data, parentElement, setTriggerValue }) {
  let lid = lids.get(parentElement);
  if (!lid || lid.data.place !== data.place) {
    if (lid) lid.close();
    lid = new Lid(parentElement, data);
    lids.set(parentElement, lid);
  }
  lid.queue.post = (message) => setTriggerValue("edit", message);
  lid.settle = (count) => setTriggerValue("settled", count);
  lid.take(data);
  return () => {
    if (!lid.root.isConnected) lid.close();
  };
}

class Lid extends RunDrawing {
  constructor(parent, data) {
    super();
    this.data = data;
    this.handles = new Map(); // kind/name -> the element a hand takes hold of
    this.chosen = null; // kind/name
    this.held = null; // the drag going on
    this.root = element(parent, "div", { className: "lid" });
    this.overview = new Overview(this.root);
    this.heading = element(this.root, "h3");
    this.hint = element(this.root, "p", { className: "hint" });
    this.window = element(this.root, "div", { className: "window" });
    this.strip = element(this.window, "div", { className: "strip" });
    this.drawing = draw(this.strip, "svg", { "aria-hidden": "true" });
    this.foot = element(this.root, "div", { className: "foot" });
    this.distance = element(this.foot, "div", { className: "distance" });
    this.note = element(this.foot, "p", { className: "note" });
    const buttons = element(this.foot, "div", { className: "buttons" });
    this.back = element(buttons, "button", { type: "button" });
    this.on = element(buttons, "button", { type: "button" });
    this.free = element(buttons, "button", { type: "button" });
    this.saved = element(this.root, "p", { className: "saved" });
    this.saved.setAttribute("role", "status");
    this.back.onclick = () => this.step(-1);
    this.on.onclick = () => this.step(1);
    this.free.onclick = () => this.letGo();
    this.window.onscroll = () => this.drawOverview();
    this.queue = new MoveQueue(data.place, () => this.updateSaveStatus());
    this.watcher = new ResizeObserver(() => this.draw());
    this.watcher.observe(this.root);
    this.settled = 0;
  }

  close() {
    this.watcher.disconnect();
    clearTimeout(this.settling);
    this.queue.close();
  }

  take(data) {
    this.data = data;
    const first = data.things.find((thing) => thing.warning) || data.marks[0];
    if (!this.item(this.chosen) && first) {
      this.chosen = `${first.kind}/${first.name}`;
      requestAnimationFrame(() => this.show(this.chosen));
    }
    this.queue.acknowledge(data.ack);
    this.queue.send();
    this.draw();
    this.updateSaveStatus();
  }

  // Saved, or not yet: said in a word whenever it changes. Once all is quiet the rest of the page follows.
  updateSaveStatus() {
    const waiting = this.queue.waiting.length > 0;
    const word = waiting ? this.data.words.not_saved : "";
    if (this.saved.textContent !== word) this.saved.textContent = word;
    if (waiting) this.unsettled = true;
    document.dispatchEvent(new CustomEvent("mistcalc-waiting", { detail: waiting }));
    clearTimeout(this.settling);
    if (this.unsettled && !waiting && !this.held) {
      this.settling = setTimeout(() => {
        this.unsettled = false;
        this.settle(++this.settled + Math.random());
      }, 400);
    }
  }

  // ---------------------------------------------------------------- where things are

  get items() {
    return [...this.data.marks, ...this.data.things];
  }

  item(key) {
    return this.items.find((item) => `${item.kind}/${item.name}` === key);
  }

  along(item) {
    const move = this.queue.at(item.kind, item.name);
    return move && !move.free ? move.along : item.along;
  }

  // What the tape reads there: as told of where it stands, else looked up (units/tape_table.py).
  text(item) {
    const along = this.along(item);
    if (Math.abs(along - item.along) < 1e-9) return item.text;
    const { steps, first, stretches, endings } = this.data.tape;
    const step = Math.round(along / this.data.grid);
    const [begin, list] = stretches[Math.floor(step / steps) - first];
    return begin + endings[list][((step % steps) + steps) % steps];
  }

  snapped(along, item) {
    const { grid } = this.data;
    const steps = Math.round(along / grid);
    const low = Math.ceil(item.low / grid - 1e-6);
    const high = Math.floor(item.high / grid + 1e-6);
    return Math.min(high, Math.max(low, steps)) * grid;
  }

  // ---------------------------------------------------------------- what hands and keys do

  move(item, along, commit) {
    const { kind, name, run } = item;
    this.queue.add({ kind, name, run, along, commit, gesture: this.gesture });
    this.draw();
  }

  // A drag, or a spell of keys on one thing, is one gesture: one step to undo.
  begin() {
    this.gesture = Math.random().toString(36).slice(2, 10);
  }

  choose(key) {
    if (this.chosen !== key || !this.gesture) this.begin();
    this.chosen = key;
    this.draw();
  }

  step(steps) {
    const item = this.item(this.chosen);
    if (!item || item.drilled) return;
    if (!this.gesture) this.begin();
    const to = this.snapped(this.along(item) + steps * this.data.grid, item);
    if (Math.abs(to - this.along(item)) > 1e-9) this.move(item, to, true);
  }

  letGo() {
    const item = this.item(this.chosen);
    if (!item || !item.fixed || item.drilled) return;
    this.begin();
    const { kind, name, run } = item;
    this.queue.add({ kind, name, run, along: this.along(item), free: true, commit: true, gesture: this.gesture });
    this.draw();
  }

  key(event, key) {
    const right = this.data.datum_left ? 1 : -1;
    const steps = {
      ArrowRight: right, ArrowLeft: -right, ArrowUp: 1, ArrowDown: -1,
      PageUp: this.data.page_steps, PageDown: -this.data.page_steps,
    }[event.key];
    if (!steps) return;
    event.preventDefault();
    this.choose(key);
    this.step(steps);
    this.show(key);
  }

  take_hold(event, key) {
    const item = this.item(key);
    if (event.button > 0) return;
    this.begin();
    this.choose(key);
    this.handles.get(key).focus({ preventScroll: true });
    event.preventDefault();
    if (!item || item.drilled) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    this.held = { key, pointer: event.pointerId, x: event.clientX + this.window.scrollLeft, along: this.along(item) };
  }

  drag(event) {
    if (!this.held || event.pointerId !== this.held.pointer) return;
    const item = this.item(this.held.key);
    if (!item) return;
    const box = this.window.getBoundingClientRect();
    if (event.clientX > box.right - 24) this.window.scrollLeft += 6;
    if (event.clientX < box.left + 24) this.window.scrollLeft -= 6;
    const pixels = event.clientX + this.window.scrollLeft - this.held.x;
    const metres = (this.data.datum_left ? pixels : -pixels) / this.scale;
    const to = this.snapped(this.held.along + metres, item);
    if (!this.held.moved && Math.abs(pixels) < 3) return;
    if (Math.abs(to - this.along(item)) > 1e-9) {
      this.held.moved = true;
      this.move(item, to, false);
    }
  }

  release(event) {
    if (!this.held || event.pointerId !== this.held.pointer) return;
    const { key, moved } = this.held;
    this.held = null;
    const item = this.item(key);
    if (item && moved) this.move(item, this.along(item), true);
  }

  show(key) {
    const item = this.item(key);
    if (!item) return;
    const x = this.x(this.along(item));
    const { scrollLeft, clientWidth } = this.window;
    if (x < scrollLeft + TAB || x > scrollLeft + clientWidth - TAB) this.window.scrollLeft = x - clientWidth / 2;
  }
}
