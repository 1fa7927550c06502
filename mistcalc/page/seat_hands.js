// Seats of the afternoon's plan moved by their chips: by mouse, finger or arrow keys. Until the new answer comes the
// chip's old range stays, greyed. Moves go by the queue of move_queue.js, so that none is lost; but one that waited in
// the browser's storage is forgotten where its seat has been moved otherwise meanwhile.

const STILL = 5; // px a hand may tremble
const REST = 700; // ms after the last key till a move is sent
const SAME = 0.01; // m two places may differ, by rounding to the tape, and be one

class SeatHands {
  constructor(picture, place) {
    this.picture = picture;
    this.moved = new Map(); // seat -> its new place: what is not answered yet
    this.queue = new MoveQueue(place, () => {
      document.dispatchEvent(new CustomEvent("mistcalc-waiting", { detail: this.queue.waiting.length > 0 }));
    }, true);
    this.leaving = () => this.hurry();
    addEventListener("pagehide", this.leaving);
  }

  at(n) {
    const place = this.moved.get(n);
    return place ? place.point : this.picture.data.seats[n];
  }

  // What has been heard is told no more; once its answer is here, it is done.
  heard({ ack, stale }) {
    this.queue.acknowledge(ack);
    if (!stale) this.queue.release((move) => this.holdsGood(move));
    this.queue.send();
    if (stale) return;
    for (const [n, place] of this.moved) if (place.sent && !this.queue.of(place)) this.moved.delete(n);
  }

  // Whether the seat is still where it was when the move was made, or where a move before it had put it.
  holdsGood({ name, since }) {
    const seat = this.picture.data.seats[this.picture.data.words.names.indexOf(name)];
    return Boolean(seat && since) && since.some(([x, y]) => Math.hypot(x - seat[0], y - seat[1]) < SAME);
  }

  take(chip, n) {
    const { data } = this.picture;
    if (!data.plan.runs || !data.stated[n]) return;
    chip.classList.add("movable");
    chip.classList.toggle("moving", this.moved.has(n));
    chip.disabled = false;
    chip.title = data.words.move;
    chip.onpointerdown = (event) => this.grab(chip, n, event);
    chip.onkeydown = (event) => this.key(n, event);
    chip.onblur = () => this.hurry();
  }

  grab(chip, n, start) {
    const off = (event) => [event.clientX - start.clientX, event.clientY - start.clientY];
    let far = false;
    chip.setPointerCapture(start.pointerId);
    chip.focus({ preventScroll: true });
    chip.onpointermove = (event) => {
      const [right, down] = off(event);
      far = far || Math.hypot(right, down) > STILL;
      if (!far) return;
      chip.classList.add("moving");
      chip.style.transform = `translate(${right}px, ${down}px)`;
    };
    const end = (event, keep) => {
      chip.onpointermove = chip.onpointerup = chip.onpointercancel = null;
      chip.style.transform = "";
      if (!far) return;
      const swallow = (click) => click.stopImmediatePropagation(); // a drag's end is no choice
      chip.addEventListener("click", swallow, true);
      setTimeout(() => chip.removeEventListener("click", swallow, true));
      const [right, down] = off(event);
      const { scale } = this.picture.frame;
      if (keep) this.put(n, [right / scale, -down / scale], 0);
      else this.picture.draw();
    };
    chip.onpointerup = (event) => end(event, true);
    chip.onpointercancel = (event) => end(event, false);
  }

  key(n, event) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!way) return;
    event.preventDefault();
    const { step } = this.picture.data;
    this.put(n, way.map((one) => one * step), REST);
  }

  // The nearest place under the lid to one so far from where the seat is, kept and, after a rest, told.
  put(n, [right, up], rest) {
    const { data } = this.picture;
    const from = this.at(n);
    const to = [from[0] + right, from[1] + up];
    const place = { kind: "seat", name: data.words.names[n], ...placeUnder(data.plan.runs, null, to) };
    const before = this.moved.get(n);
    place.since = before ? [...before.since, ...(before.sent ? [before.point] : [])] : [data.seats[n]];
    this.moved.set(n, place);
    this.picture.draw();
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.send(), rest);
  }

  send() {
    for (const place of this.moved.values()) {
      if (place.sent) continue;
      place.sent = true;
      const { kind, name, run, along, back, since } = place;
      this.queue.add({ kind, name, run, along, back, since, commit: true });
    }
  }

  // Whoever turns to something else may be leaving this view, and with it goes what sends; a tab that is closed
  // keeps in its storage what nobody heard any more.
  hurry() {
    this.send();
    this.queue.hurry();
  }

  close() {
    removeEventListener("pagehide", this.leaving);
    clearTimeout(this.resting);
    this.send();
    this.queue.close();
  }
}
