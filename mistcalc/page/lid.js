// The plan of one patio and one run of it straightened out, to be edited. All that is shown comes in `data`
// (metres, made by lid_data.py). What hands do is in hands.js; run_drawing.js draws the strip, plan_board.js and
// overview.js the plan. Those files and move_queue.js are put before this one (views/lid.py).

const lids = new WeakMap();

function show({ data, parentElement, setTriggerValue }) {
  let lid = lids.get(parentElement);
  if (!lid || lid.data.place !== data.place) {
    if (lid) lid.close();
    lid = new Lid(parentElement, data);
    lids.set(parentElement, lid);
  }
  lid.queue.post = (message) => setTriggerValue("edit", message);
  lid.take(data);
  return () => {
    if (!lid.root.isConnected) lid.close();
  };
}

class Lid extends Hands {
  constructor(parent, data) {
    super();
    this.data = data;
    this.handles = new Map(); // key -> the element in the strip that a hand takes hold of
    this.chosen = null; // key
    this.wanted = null; // key of what was chosen or added and has not come yet, and the row it comes with
    this.wantedRow = "";
    this.typed = null; // a size as it was typed: {key, size}
    this.held = null; // the drag going on
    this.mode = "mark"; // or joist, or joint
    this.root = element(parent, "div", { className: "lid" });
    this.board = new PlanBoard(this, this.root);
    this.distance = element(this.root, "div", { className: "distance" });
    const head = element(this.root, "div", { className: "head" });
    this.heading = element(head, "h3");
    const button = (parent, act) => Object.assign(element(parent, "button", { type: "button" }), { onclick: act });
    this.modes = element(head, "div", { className: "buttons modes" });
    this.shows = ["mark", "joist", "joint"].map((mode) => [mode, button(this.modes, () => this.setMode(mode))]);
    this.hint = element(this.root, "p", { className: "hint" });
    this.window = element(this.root, "div", { className: "window" });
    this.strip = element(this.window, "div", { className: "strip" });
    this.drawing = draw(this.strip, "svg", { "aria-hidden": "true" });
    this.foot = element(this.root, "div", { className: "foot" });
    const buttons = element(this.foot, "div", { className: "buttons" });
    this.acts = {
      back: button(buttons, () => this.step(-1)),
      on: button(buttons, () => this.step(1)),
      house: button(buttons, () => this.step(0, 1)),
      edge: button(buttons, () => this.step(0, -1)),
      remove: button(buttons, () => this.remove()),
      add_joist: button(buttons, () => this.addJoist()),
      free: button(buttons, () => this.letGo()),
    };
    this.sizes = element(this.foot, "div", { className: "sizes" });
    this.size = [0, 1, 2].map(() => {
      const field = element(this.sizes, "label");
      const [name, input] = [element(field, "span"), element(field, "input", { type: "text", autocomplete: "off", maxLength: 100 })];
      input.onchange = () => this.resize(this.size.map((one) => one.input.value));
      return { field, name, input };
    });
    this.taken = element(this.foot, "p", { className: "note" });
    this.taken.setAttribute("role", "status");
    this.wrong = element(this.foot, "p", { className: "wrong" });
    this.wrong.setAttribute("role", "alert");
    this.note = element(this.foot, "p", { className: "note" });
    this.saved = element(this.root, "p", { className: "saved" });
    this.saved.setAttribute("role", "status");
    this.window.onscroll = () => this.drawOverview();
    this.queue = new MoveQueue(data.place, () => this.updateSaveStatus());
    this.watcher = new ResizeObserver(() => this.draw());
    this.watcher.observe(this.root);
    this.spells = 0; // of work after which all was quiet again
  }

  // The strip of another row.
  look(row) {
    this.queue.ask("row", row);
  }

  close() {
    this.watcher.disconnect();
    clearTimeout(this.settling);
    this.queue.close();
  }

  take(data) {
    this.data = data;
    this.queue.acknowledge(data.ack);
    this.queue.send();
    if (!this.below.length) this.mode = "mark";
    const first = data.things.find((thing) => thing.warning) || data.marks[0];
    const coming = this.wanted && (this.queue.waiting.length > 0 || this.wantedRow !== data.row);
    if (this.item(this.chosen)) {
      if (this.wanted) requestAnimationFrame(() => this.show(this.chosen));
    } else if (!coming && first) {
      this.chosen = keyOf(first);
      requestAnimationFrame(() => this.show(this.chosen));
    }
    this.draw();
    if (!coming) this.wanted = null;
    this.updateSaveStatus();
  }

  // A mark tapped on the plan; that of another row comes with the strip of that row.
  chooseMark({ name, row }) {
    this.chosen = `mark/${name}`;
    this.begin();
    if (row !== this.data.row) {
      this.wanted = this.chosen;
      this.wantedRow = row;
      this.look(row);
    } else this.show(this.chosen);
    this.draw();
  }

  setMode(mode) {
    if (this.mode === mode) return;
    this.mode = mode;
    const first = this.below[0];
    if (first) this.chosen = keyOf(first);
    this.begin();
    this.draw();
    this.show(this.chosen);
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
        this.queue.ask("settled", ++this.spells);
      }, 400);
    }
  }

  // What is chosen: where it is, what can be done to it, and why it is there.
  drawFoot() {
    const { words } = this.data;
    const item = this.item(this.chosen);
    const some = { mark: true, joist: this.joists.length > 0, joint: this.data.stated_joints.length > 0 };
    this.modes.hidden = !some.joist && !some.joint;
    for (const [mode, button] of this.shows) {
      const word = words[`show_${mode}s`];
      if (button.textContent !== word) button.textContent = word;
      button.hidden = !some[mode];
      button.setAttribute("aria-pressed", String(mode === this.mode));
    }
    const told = item ? `${item.title || (item.kind === "joist" || item.kind === "joint" ? item.label : item.name)}  ${this.text(item)}` : words.choose;
    if (this.distance.textContent !== told) this.distance.textContent = told;
    const movable = Boolean(item) && !item.drilled;
    const slides = movable && item.low !== item.high;
    const placed = movable && item.back !== undefined && (item.shallow ?? 0) !== item.deep;
    const can = {
      back: slides, on: slides, house: placed, edge: placed, remove: movable && Boolean(this.removable),
      add_joist: movable && item.kind === "joist", free: movable && Boolean(item.fixed),
    };
    for (const [name, button] of Object.entries(this.acts)) {
      button.hidden = !can[name];
      const joist = name === "remove" && item && item.kind === "joist";
      const word = joist ? words.remove_joist : words[name].replace("{name}", item ? item.name : "");
      if (button.textContent !== word) button.textContent = word;
    }
    this.drawSizes(item, words);
    this.drawTaken(item, words);
    if (this.wrong.textContent !== this.data.wrong) this.wrong.textContent = this.data.wrong;
    const note = item && !this.isMoved(item) ? item.note || "" : "";
    if (this.note.textContent !== note) this.note.textContent = note;
  }

  // Whether the program has read the size that was typed last, of what is chosen.
  get sizesRead() {
    const waits = this.queue.waiting.some((move) => move.kind === "size" || move.kind === "screen-size");
    return Boolean(this.typed) && this.typed.key === this.chosen && !waits && !this.data.wrong;
  }

  // A size goes where the tape shows it: what was typed otherwise is said beside what was taken for it.
  drawTaken(item, words) {
    const told = item && item.size && this.sizesRead ? this.typed.size : [];
    const bare = (text) => text.replace(/\s/g, "");
    const pairs = told.map((text, i) => [text.trim(), item.size[i] ?? text]);
    const other = pairs.filter(([text, taken], i) => bare(text) !== bare(taken) && !(item.kind === "screen" && i === 1));
    const line = [...new Set(other.map(([, taken]) => words.taken.replace("{taken}", () => taken)))].join(" ");
    if (this.taken.textContent !== line) this.taken.textContent = line;
  }

  // How large the chosen thing is: typed as a tape reads it. A fan is round, and a door has no thickness in plan.
  drawSizes(item, words) {
    const size = item && item.size;
    this.sizes.hidden = !size;
    if (!size) return;
    const kind = item.kind === "screen" ? "screen" : item.thing;
    const all = { fan: [words.size_fan], "door glass": [words.size_along], screen: [words.size_height, words.size_open, words.size_length] };
    const names = (all[kind] || [words.size_along, words.size_back]).slice(0, size.length);
    const read = this.sizesRead && !this.typed.shown;
    this.size.forEach(({ field, name, input }, i) => {
      field.hidden = !names[i];
      if (name.textContent !== names[i]) name.textContent = names[i] || "";
      const told = `${item.name} ${size[i]}`;
      const taken = read && input.value === this.typed.size[i];
      if (input.dataset.told === told && !taken) return; // what is being typed stays, and what could not be read
      input.dataset.told = told;
      input.value = size[i];
    });
    if (read) this.typed.shown = true;
  }
}
