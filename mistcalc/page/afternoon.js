// A hot afternoon that moves: hour and wind slide, and plan, cut, numbers and words follow with no word to the server.
// Drawn by felt_picture.js, moved by slider.js and seat_hands.js, with helpers of overview.js, all put before this
// file. data: see afternoon_data.py.

const WIDE = 41; // rem, over which figures stand side by side
const WAYS = ["shade", "fan", "mist", "both"];
const pictures = new WeakMap();

function show({ data, parentElement, setTriggerValue }) {
  let picture = pictures.get(parentElement);
  if (!picture) {
    picture = new Afternoon(parentElement, data.place);
    pictures.set(parentElement, picture);
  }
  picture.seats.queue.post = (message) => setTriggerValue("moved", message);
  picture.take(data);
  return () => {
    if (!picture.root.isConnected) picture.seats.close();
  };
}

class Afternoon {
  constructor(parent, kept) {
    const root = (this.root = element(parent, "div", { className: "afternoon" }));
    this.head = element(root, "p", { className: "head" });
    this.head.setAttribute("aria-live", "polite");
    this.limit = element(root, "p", { className: "side" });
    this.strip = element(root, "div", { className: "strip" });
    this.hour = new Slider(this.strip, (n) => this.set({ h: n }));
    this.wind = new Slider(this.strip, (n) => this.set({ w: n }));
    this.blows = element(this.strip, "div", { className: "blows" });
    this.compass = element(this.blows, "canvas");
    this.side = element(this.blows, "span");
    const two = element(root, "div", { className: "two" });
    [this.plan, this.cut] = ["plan", "cut"].map((name) => this.figure(two, name));
    this.plan.canvas.onpointermove = this.plan.canvas.onpointerdown = (event) => this.read(event);
    this.seats = new SeatHands(this, kept);
    this.here = element(this.plan.root, "p", { className: "side here" });
    this.legend = element(root, "div", { className: "legend" });
    this.meant = element(root, "p", { className: "side" });
    this.waysHead = element(root, "h3");
    this.ways = element(root, "div", { className: "ways" });
    this.ways.setAttribute("role", "radiogroup");
    this.tiles = WAYS.map((way, n) => this.tile(way, n));
    const small = element(root, "div", { className: "small" });
    [this.wet, this.sun] = ["wet", "sun"].map((name) => {
      const one = this.figure(small, name);
      return { ...one, told: element(one.root, "p"), swatch: element(one.root, "p", { className: "side" }) };
    });
    new ResizeObserver(() => this.width !== root.clientWidth && this.draw()).observe(root);
    this.dark = matchMedia("(prefers-color-scheme: dark)");
    this.dark.onchange = () => root.isConnected && this.draw();
  }

  figure(parent, name) {
    const root = element(parent, "div", { className: `figure ${name}` });
    const head = element(root, "h3");
    const box = element(root, "div", { className: "box" });
    const canvas = element(box, "canvas");
    canvas.setAttribute("role", "img");
    return { root, head, box, canvas, chips: [] };
  }

  tile(way, n) {
    const root = element(this.ways, "button", { type: "button", onclick: () => this.set({ way }) });
    root.setAttribute("role", "radio");
    root.onkeydown = (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      const next = (n + step + WAYS.length) % WAYS.length;
      this.set({ way: WAYS[next] });
      this.tiles[next].root.focus();
    };
    const canvas = element(root, "canvas");
    const range = draw(root, "svg", { viewBox: "0 0 100 14", preserveAspectRatio: "none", "aria-hidden": "true", class: "range" });
    const shape = draw(range, "polygon", {});
    const line = element(root, "span", { className: "line" });
    return { root, canvas, shape, name: element(line, "b"), reading: element(line, "b"), sentence: element(root, "span"), best: element(root, "span", { className: "best" }) };
  }

  take(data) {
    const same = this.data && this.data.key === data.key;
    this.data = data;
    if (!same) {
      const [nx, ny] = [data.grid.x[2], data.grid.y[2]];
      this.cells = nx * ny;
      for (const name of ["inside", "mist", "fan_at"]) this[name] = bytes(data.grid[name]);
      this.cuts = data.cuts.map((cut) => ({ ...cut, mist: bytes(cut.mist), fan_at: bytes(cut.fan_at) }));
      this.lit = data.sun && bytes(data.sun.maps);
      const old = this.at || { h: data.first[0], w: data.first[1], cut: 0 };
      const within = (n, all) => Math.min(n, all.length - 1);
      const way = this.day === data.day && this.at ? this.at.way : data.advised;
      this.at = { h: within(old.h, data.hours), w: within(old.w, data.winds), cut: within(old.cut, this.cuts), way };
      this.day = data.day;
    }
    this.seats.heard(data);
    this.floor = data.wet && bytes(data.wet.floor);
    this.draw();
  }

  set(change) {
    Object.assign(this.at, change);
    this.draw();
  }

  // Kelvin felt cooler in every cell of the plan, or of a cut, now.
  felt(way, of) {
    if (way === "shade") return null;
    const { h, w } = this.at;
    const { grid, winds } = this.data;
    const moment = h * winds.length + w;
    const [step, lowest] = this.data.byte;
    const cells = of ? of.places * of.levels : this.cells;
    const out = new Float32Array(cells);
    if (way === "mist") {
      const maps = (of || this).mist;
      for (let n = 0; n < cells; n++) out[n] = maps[moment * cells + n] * step + lowest;
    } else {
      const speeds = grid[way][h][w];
      for (let n = 0; n < cells; n++) out[n] = speeds[of ? of.fan_at[n % of.places] : this.fan_at[n]];
    }
    return out;
  }

  draw() {
    const { data, root } = this;
    this.width = root.clientWidth;
    if (!data || !this.width) return;
    const { h, w, way } = this.at;
    const { words } = data;
    const told = data.told[h][w];
    this.wide = this.width > WIDE * parseFloat(getComputedStyle(document.documentElement).fontSize);
    root.classList.toggle("wide", this.wide);
    root.classList.toggle("old", Boolean(data.stale));
    this.head.textContent = told.ways[way].head;
    this.limit.textContent = told.limit;
    this.hour.show(words.hour, data.hours, h);
    this.wind.show(words.wind, data.winds, w);
    this.side.textContent = told.side.trim();
    this.blows.hidden = !told.side;
    colors = PRINTED;
    this.drawPlan(told.ways[way]);
    this.drawCut(told.ways[way]);
    this.drawLegend();
    this.drawWays(told);
    useColorsOf(root);
    arrow(sized(this.compass, 44, 44), 22, 22, -data.toward[h][w], 32);
    this.drawWet();
    this.drawSun();
  }

  drawPlan(told) {
    const { data, plan } = this;
    plan.head.textContent = data.words.plan;
    const frame = (this.frame = planFrame(data.plan, plan.box.clientWidth, 8, this.wide ? 460 : 330));
    const on = sized(plan.canvas, frame.width, frame.height);
    const values = (this.values = this.felt(this.at.way) || new Float32Array(this.cells));
    laid(on, data.plan, frame, data.grid, (width, height) =>
      classes(values, this.inside, data.grid.x[2], data.grid.y[2], width, height, data.classes.step));
    frameLines(on, data.plan, frame);
    marks(on, data.plan, frame);
    plan.canvas.setAttribute("aria-label", told.head);
    const taken = [];
    plan.chips.splice(data.seats.length).forEach((chip) => chip.remove());
    data.seats.forEach((_, n) => this.drawChip(n, told.seats[n] || "", frame, on, taken));
  }

  // A seat's box with its range, set aside from the seat so that its colors stay seen. Made once and kept, so that
  // focus and a finger on it survive every new drawing.
  drawChip(n, text, frame, on, taken) {
    const { plan, data } = this;
    if (!plan.chips[n]) {
      plan.chips[n] = element(plan.box, "button", { type: "button", className: "chip" });
      for (const part of ["span", "b"]) element(plan.chips[n], part);
    }
    const chip = plan.chips[n];
    [data.words.names[n], text].forEach((told, i) => (chip.children[i].textContent = told));
    const cut = this.cuts.findIndex((one) => one.seat === n);
    chip.disabled = cut < 0;
    chip.setAttribute("aria-pressed", cut === this.at.cut);
    chip.onclick = () => {
      if (cut >= 0) this.set({ cut });
      plan.chips[n].focus();
    };
    this.seats.take(chip, n);
    const [x, y] = frame.at(this.seats.at(n));
    const [wide, tall] = [chip.offsetWidth, chip.offsetHeight];
    const corner = this.beside(x, y, wide, tall, frame, taken);
    taken.push({ left: corner[0], top: corner[1], wide, tall });
    [chip.style.left, chip.style.top] = corner.map((px) => `${px}px`);
    const end = [Math.min(Math.max(x, corner[0]), corner[0] + wide), Math.min(Math.max(y, corner[1]), corner[1] + tall)];
    stroke(on, [[x, y], end], 4, colors.paper);
    stroke(on, [[x, y], end], 1.5);
    place(on, x, y);
  }

  beside(x, y, wide, tall, frame, taken) {
    const seats = this.data.seats.map((_, n) => frame.at(this.seats.at(n)));
    let [best, least] = [[0, 0], Infinity];
    for (const off of [12, 30, 55, 90])
      for (const [u, v] of [[0, -1], [0, 1], [1, 0], [-1, 0], [1, -1], [-1, -1], [1, 1], [-1, 1]]) {
        const left = x + u * (off + wide / 2) - wide / 2;
        const top = y + v * (off + tall / 2) - tall / 2;
        const out = Math.max(0, -left, left + wide - frame.width) + Math.max(0, -top, top + tall - frame.height);
        const over = taken.filter((t) => left < t.left + t.wide + 3 && t.left < left + wide + 3 && top < t.top + t.tall + 3 && t.top < top + tall + 3).length;
        const hides = seats.filter(([sx, sy]) => sx > left - 6 && sx < left + wide + 6 && sy > top - 6 && sy < top + tall + 6).length;
        const cost = off + 20 * out + 500 * over + 300 * hides;
        if (cost < least) [best, least] = [[left, top], cost];
      }
    return [Math.min(Math.max(best[0], 0), frame.width - wide), Math.min(Math.max(best[1], 0), frame.height - tall)];
  }

  along(cut) {
    return this.at.w || !this.data.told[this.at.h][0].side ? Math.cos(this.data.toward[this.at.h][this.at.w] - cut.inward) : 0;
  }

  drawCut(told) {
    const { data, at } = this;
    const cut = this.cuts[at.cut];
    this.cut.root.hidden = !cut;
    if (!cut) return;
    this.cut.head.textContent = data.words.cut_of[cut.seat];
    const frame = cutFrame(cut, this.cut.box.clientWidth, 48);
    const on = sized(this.cut.canvas, frame.width, frame.height);
    const values = this.felt(at.way, cut) || new Float32Array(cut.places * cut.levels);
    drawCut(on, cut, frame, values, data.classes.step, at.way === "fan" || at.way === "both", this.along(cut));
    this.cut.canvas.setAttribute("aria-label", `${data.words.cut_of[cut.seat]}. ${told.seats[cut.seat] || ""}`);
  }

  drawLegend() {
    const { classes: six, words } = this.data;
    this.legend.replaceChildren();
    element(this.legend, "span", { textContent: words.legend });
    six.names.forEach((name, n) => {
      const key = element(this.legend, "span", { className: "key" });
      element(key, "i").style.background = SIX[n];
      element(key, "span", { textContent: name });
    });
    this.meant.textContent = words.meant;
  }

  drawWays(told) {
    const { data, at } = this;
    const cut = this.cuts[at.cut];
    this.waysHead.textContent = data.words.ways;
    element(this.waysHead, "small", { textContent: ` ${data.words.ways_do}` });
    this.ways.setAttribute("aria-label", data.words.ways);
    WAYS.forEach((way, n) => {
      const tile = this.tiles[n];
      const { reading, shape, sentence } = told.ways[way];
      tile.root.setAttribute("aria-checked", way === at.way);
      tile.root.tabIndex = way === at.way ? 0 : -1;
      tile.name.textContent = data.words.columns[way];
      tile.reading.textContent = reading;
      tile.sentence.textContent = sentence;
      tile.best.textContent = way === data.advised ? data.words.best : "";
      tile.shape.setAttribute("points", hexagon(shape));
      tile.shape.setAttribute("class", way === data.advised ? "solid" : "");
      tile.canvas.hidden = !cut;
      if (!cut) return;
      const frame = cutFrame(cut, tile.root.clientWidth - 16, 24);
      drawCut(sized(tile.canvas, frame.width, frame.height), cut, frame, this.felt(way, cut), data.classes.step, way === "fan" || way === "both", 0);
    });
  }

  // A small plan, hatched where `lit` is, and words under it.
  hatched(figure, head, told, swatch, layers, way) {
    figure.head.textContent = head;
    figure.told.textContent = told;
    figure.swatch.textContent = swatch;
    const { plan } = this.data;
    const frame = planFrame(plan, Math.min(figure.root.clientWidth, 400) - 48, 8, this.wide ? 240 : 150);
    const on = sized(figure.canvas, frame.width + 48, frame.height);
    for (const { grid, where, dense } of layers) hatch(on, plan, frame, grid, where, dense);
    frameLines(on, plan, frame);
    for (const seat of this.data.seats) place(on, ...frame.at(seat));
    if (way !== null) arrow(on, frame.width + 24, frame.height / 2, -way, 34);
    figure.canvas.setAttribute("aria-label", told);
  }

  drawWet() {
    const { wet, words } = this.data;
    this.wet.root.hidden = !wet;
    if (!wet) return;
    const layers = [1, 2].map((level) => ({ grid: wet, where: this.floor.map((one) => one === level), dense: level === 2 }));
    this.hatched(this.wet, words.wet, wet.told, words.wet_swatch, layers, null);
  }

  drawSun() {
    const { sun, words, grid } = this.data;
    this.sun.root.hidden = !sun;
    if (!sun) return;
    const { h } = this.at;
    const way = sun.toward[h];
    const where = this.lit.subarray(h * this.cells, (h + 1) * this.cells);
    const { plan } = this.data;
    this.sun.head.textContent = words.sun;
    this.sun.told.textContent = sun.told[h];
    this.sun.swatch.textContent = this.wide ? `${words.swatch}. ${words.sun_path}` : words.swatch;
    const side = Math.min(this.sun.root.clientWidth, 400);
    const on = sized(this.sun.canvas, side, side);
    const sky = skyFrame(plan, side);
    if (way !== null) hatch(on, plan, sky, grid, where, false);
    frameLines(on, plan, sky);
    for (const seat of this.data.seats) place(on, ...sky.at(seat));
    sunPath(on, sky, sun, h, this.data.hours, words.compass);
    this.sun.canvas.setAttribute("aria-label", sun.told[h]);
  }

  // The value under the pointer.
  read(event) {
    const { grid, plan, classes: six, words } = this.data;
    const box = this.plan.canvas.getBoundingClientRect();
    const [left, , , high] = plan.box;
    const x = left + (event.clientX - box.left - 8) / this.frame.scale;
    const y = high - (event.clientY - box.top - 8) / this.frame.scale;
    const cell = ([first, last, count], at) => Math.round(((at - first) / (last - first)) * (count - 1));
    const [column, row] = [cell(grid.x, x), cell(grid.y, y)];
    const n = row * grid.x[2] + column;
    if (column < 0 || row < 0 || column >= grid.x[2] || row >= grid.y[2] || !this.inside[n]) return;
    const degrees = Math.round(this.values[n] / six.degree);
    this.here.textContent = degrees > 0 ? words.here[Math.min(degrees, words.here.length - 1)] : words.here_none;
  }
}

function hexagon([first, thick, thin, last]) {
  const end = Math.max(last, first + 3);
  const [rise, fall] = [Math.max(thick, first + 1), Math.min(Math.max(thin, first + 2), end)];
  return `${first},7 ${rise},1 ${fall},1 ${end},7 ${fall},13 ${rise},13`;
}
