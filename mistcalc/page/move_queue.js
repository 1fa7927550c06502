// Carries moves to the program so that none is lost, and with them what else is asked of it. The framework keeps
// only the last of several messages of one component: one is in flight at a time, holding every move and every
// question not yet acknowledged, a move as an absolute position; acknowledged by its number, repeated after two
// seconds, and copied to the browser's own storage while it waits: a cut line, a closed tab or a restarted program
// finds it there. Sending a position twice changes nothing, so a doubtful message is simply sent again.

const REPEAT_AFTER = 2000; // ms

// What a move is of, once in a patio: joists and joints are named run by run, all else has a name of its own.
function keyOf({ kind, run, name }) {
  return kind === "joist" || kind === "joint" ? `${kind}/${run}/${name}` : `${kind}/${name}`;
}

class MoveQueue {
  // holds: what the storage kept is sent only once `release` has judged it.
  constructor(place, changed, holds = false) {
    this.place = place; // name in the browser's storage
    this.changed = changed; // called when what waits has changed
    this.client = Math.random().toString(36).slice(2, 12);
    this.seq = 0;
    this.inFlight = 0; // number of the message in flight, 0 for none
    this.timer = 0;
    this.moves = new Map(); // key -> {kind, name, run, along, back, size, free, add, remove, commit, gesture, since, sentIn, held}
    this.asked = new Map(); // row to show, or settled: how many times all has been quiet -> {value, sentIn}
    for (const move of this.readStored()) this.moves.set(keyOf(move), { ...move, sentIn: 0, held: holds });
  }

  // What was held goes on its way where it still holds good; the rest is forgotten.
  release(good) {
    const held = [...this.moves].filter(([, move]) => move.held);
    for (const [key, move] of held) {
      if (good(move)) move.held = false;
      else this.moves.delete(key);
    }
    if (held.length) this.store();
  }

  // A move that replaces any earlier one of the same thing. commit: to be kept, not only looked at.
  add(move) {
    this.moves.set(keyOf(move), { ...move, sentIn: 0 });
    this.store();
    this.send();
  }

  ask(what, value) {
    this.asked.set(what, { value, sentIn: 0 });
    this.send();
  }

  of(item) {
    return this.moves.get(keyOf(item));
  }

  // Committed moves that the program has not confirmed.
  get waiting() {
    return [...this.moves.values()].filter((move) => move.commit);
  }

  acknowledge(ack) {
    if (!ack || ack.client !== this.client || ack.seq < this.inFlight) return;
    for (const held of [this.moves, this.asked]) {
      for (const [key, one] of held) if (one.sentIn && one.sentIn <= ack.seq) held.delete(key);
    }
    this.inFlight = 0;
    clearTimeout(this.timer);
    this.store();
    this.send();
  }

  send(again = false) {
    const going = [...this.moves.values()].filter((move) => !move.held);
    if (!this.post || !(going.length + this.asked.size) || (this.inFlight && !again)) return;
    this.inFlight = ++this.seq;
    const moves = going.map((move) => {
      move.sentIn = this.seq;
      const { sentIn, since, held, ...told } = move;
      return told;
    });
    const asked = {};
    for (const [what, one] of this.asked) {
      one.sentIn = this.seq;
      asked[what] = one.value;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(true), REPEAT_AFTER);
    this.post({ client: this.client, seq: this.seq, moves, ...asked });
  }

  // What has not been sent yet, though an answer is still out: whoever is leaving cannot wait for it.
  hurry() {
    if ([...this.moves.values()].some((move) => !move.sentIn && !move.held)) this.send(true);
  }

  store() {
    try {
      if (this.waiting.length) localStorage.setItem(this.place, JSON.stringify(this.waiting));
      else localStorage.removeItem(this.place);
    } catch {
      // storage switched off: the moves still wait in memory
    }
    this.changed();
  }

  readStored() {
    try {
      const stored = JSON.parse(localStorage.getItem(this.place) || "[]");
      return Array.isArray(stored) ? stored.filter((move) => move && move.kind && move.name) : [];
    } catch {
      return [];
    }
  }

  close() {
    clearTimeout(this.timer);
    this.post = null;
  }
}
