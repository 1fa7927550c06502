// Which way one looks: the ceiling in a ring, turned about the middle of its edge A by a square, with a finger, a mouse
// or the arrow keys.
// data: {turn: degrees clockwise from north, step: degrees, name, points, letters: [N, E, S, W], plan: {walls, edges,
// tubes: points about the middle of edge A, none farther than 1; faces: degrees clockwise from up}}

const SVG = "http://www.w3.org/2000/svg";
const MIDDLE = 120;
const REACH = 77; // px from the middle to the square's
const PLAN = 50; // px: the farthest point of the plan
const REPEAT_AFTER = 2000; // ms
const compasses = new WeakMap();

function show({ data, parentElement, setTriggerValue }) {
  let compass = compasses.get(parentElement);
  if (!compass) {
    compass = new Compass(parentElement);
    compasses.set(parentElement, compass);
  }
  compass.send = (turn) => setTriggerValue("turned", turn);
  compass.take(data);
}

class Compass {
  constructor(parent) {
    this.root = parent.appendChild(document.createElement("div"));
    this.root.className = "compass";
    this.drawing = this.root.appendChild(document.createElementNS(SVG, "svg"));
    this.drawing.setAttribute("viewBox", `0 0 ${2 * MIDDLE} ${2 * MIDDLE}`);
    this.drawing.setAttribute("aria-hidden", "true");
    this.handle = this.root.appendChild(document.createElement("div"));
    this.handle.className = "handle";
    this.handle.setAttribute("role", "slider");
    this.handle.tabIndex = 0;
    this.handle.onpointerdown = (event) => this.take_hold(event);
    this.handle.onpointermove = (event) => this.drag(event);
    this.handle.onpointerup = this.handle.onpointercancel = () => this.let_go();
    this.handle.onkeydown = (event) => this.key(event);
    this.held = false;
    this.told = null; // a turn the program has not answered: what comes before its answer is older
  }

  take(data) {
    this.data = data;
    if (data.turn === this.told) this.told = null;
    if (!this.held && this.told === null) this.turn = data.turn;
    this.draw();
  }

  tell(turn) {
    this.told = turn;
    clearTimeout(this.repeating);
    this.repeating = setTimeout(() => this.told !== null && this.root.isConnected && this.tell(this.told), REPEAT_AFTER);
    this.send(turn);
  }

  take_hold(event) {
    this.held = true;
    this.handle.setPointerCapture(event.pointerId);
    event.preventDefault();
    this.handle.focus();
  }

  drag(event) {
    if (!this.held) return;
    const box = this.root.getBoundingClientRect();
    const angle = Math.atan2(event.clientX - box.left - MIDDLE, box.top + MIDDLE - event.clientY);
    this.turn = this.snapped((angle * 180) / Math.PI);
    this.draw();
  }

  let_go() {
    if (!this.held) return;
    this.held = false;
    if (this.turn !== (this.told ?? this.data.turn)) this.tell(this.turn);
  }

  key(event) {
    const { step } = this.data;
    const by = { ArrowRight: step, ArrowUp: step, ArrowLeft: -step, ArrowDown: -step }[event.key];
    if (!by) return;
    event.preventDefault();
    this.turn = this.snapped(this.turn + by);
    this.draw();
    this.tell(this.turn);
  }

  snapped(angle) {
    const { step } = this.data;
    return (Math.round(angle / step) * step + 360) % 360;
  }

  draw() {
    const { data, turn } = this;
    const pieces = [`<circle cx="${MIDDLE}" cy="${MIDDLE}" r="${REACH}"/>`];
    for (let at = 0; at < 360; at += data.step) {
      const long = at % 45 === 0 ? 8 : 4;
      pieces.push(`<path d="M${MIDDLE} ${MIDDLE - REACH}v${long}" transform="rotate(${at} ${MIDDLE} ${MIDDLE})"/>`);
    }
    const lines = (name) =>
      data.plan[name].map((points) => `<path class="${name}" d="M${points.map(([x, y]) => `${x * PLAN} ${y * PLAN}`).join("L")}"/>`);
    const plan = ["edges", "tubes", "walls"].flatMap(lines).join("");
    const about = `translate(${MIDDLE} ${MIDDLE})`;
    pieces.push(
      `<g transform="${about} rotate(${turn - data.plan.faces})">${plan}</g>`,
      `<g transform="${about} rotate(${turn})"><path class="out" d="M0 -9v-33"/><path class="tip" d="M-5 -40h10l-5 -10z"/></g>`,
      `<g transform="${about}"><rect x="-9" y="-9" width="18" height="18"/><text y="6">A</text></g>`,
    );
    this.drawing.innerHTML = pieces.join(""); // numbers only: no text of a project
    data.letters.forEach((letter, n) => {
      const text = this.drawing.appendChild(document.createElementNS(SVG, "text"));
      text.setAttribute("x", MIDDLE + [0, 1, 0, -1][n] * (REACH + 31));
      text.setAttribute("y", MIDDLE - [1, 0, -1, 0][n] * (REACH + 31) + 6);
      text.textContent = letter;
    });
    const angle = (turn * Math.PI) / 180;
    this.handle.style.transform = `translate(${MIDDLE + REACH * Math.sin(angle) - 22}px, ${MIDDLE - REACH * Math.cos(angle) - 22}px)`;
    this.handle.setAttribute("aria-label", data.name);
    this.handle.setAttribute("aria-valuemin", 0);
    this.handle.setAttribute("aria-valuemax", 360 - data.step);
    this.handle.setAttribute("aria-valuenow", turn);
    this.handle.setAttribute("aria-valuetext", data.points[Math.round(turn / data.step)]);
  }
}
