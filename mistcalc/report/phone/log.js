// What was tapped, as lines of the site log, in the browser's own storage under this project and this set of
// sheets. Lines are only ever added: undo is a further line that strikes out. What cannot be kept still works.
"use strict";

const FIELDS = ["mark drilled", "mark measured", "mark back", "mark cannot", "mark note"];
const STRIKE = "strike";

class SiteLog {
  constructor(project, code) {
    this.project = project;
    this.code = code;
    this.key = SiteLog.begin(project) + code;
    this.kept = true;
    this.lines = [];
    this.place = {}; // where the person is: mark, language, initials, started
    this.read();
    this.write(); // so that a phone that keeps nothing says so before the first hole
  }

  static begin(project) {
    return `mistcalc marks/${JSON.stringify(project)}/`;
  }

  // What is kept, joined to what is here: another tab of this page may have written meanwhile.
  read() {
    const kept = this.stored();
    if (kept === null || typeof kept !== "object") return;
    const sound = (Array.isArray(kept.lines) ? kept.lines : []).filter(isLine);
    this.lines = [...new Set([...sound, ...this.lines])];
    const place = kept.place;
    if (place !== null && typeof place === "object" && !Object.keys(this.place).length) this.place = place;
  }

  stored() {
    try {
      const text = window.localStorage.getItem(this.key) ?? "null";
      try {
        return JSON.parse(text);
      } catch {
        window.localStorage.setItem(`${this.key} unread`, text); // never thrown away
      }
    } catch {
      this.kept = false;
    }
    return null;
  }

  write() {
    this.read();
    try {
      window.localStorage.setItem(this.key, JSON.stringify({ place: this.place, lines: this.lines }));
      this.kept = true;
    } catch {
      this.kept = false;
    }
  }

  goTo(place) {
    Object.assign(this.place, place);
    this.write();
  }

  // One tap: all its lines bear one time, so that one undo takes them back together.
  add(mark, readings) {
    const when = this.now();
    for (const [field, value, photo] of readings) {
      const line = { when, who: this.place.who || undefined, mark, revision: this.code, field };
      this.lines.push(JSON.stringify({ ...line, value: plain(value), photo: photo ? plain(photo) : undefined }));
    }
    this.write();
  }

  // Strikes out the last tap that still counts; returns its mark, "" where there is none.
  undo() {
    const counting = this.counting();
    const last = counting.at(-1);
    if (!last) return "";
    const tap = counting.filter((entry) => entry.when === last.when);
    this.add(last.mark, tap.map((entry) => [STRIKE, named(entry)]));
    return last.mark;
  }

  // The phone's clock on the wall, as people on site read it; never twice the same, never backwards.
  now() {
    const last = this.entries().reduce((late, entry) => (entry.when > late ? entry.when : late), "");
    const clock = new Date();
    let told = wall(clock);
    if (last && told <= last) told = wall(new Date(new Date(last).getTime() + 1));
    return told;
  }

  entries() {
    return this.lines.map((line) => JSON.parse(line));
  }

  // Lines about marks that no other strikes out, in the order of time.
  counting() {
    const entries = this.entries();
    const strikes = new Set(entries.filter((one) => one.field === STRIKE).map((one) => `${one.mark}\n${one.value}`));
    return entries
      .filter((one) => FIELDS.includes(one.field) && !strikes.has(`${one.mark}\n${named(one)}`))
      .sort((one, other) => (one.when < other.when ? -1 : one.when > other.when ? 1 : 0));
  }

  // Of each mark: its last reading of a kind, and its notes. What could not be drilled counts until it is.
  marks() {
    const of = new Map();
    for (const entry of this.counting()) {
      if (!of.has(entry.mark)) of.set(entry.mark, { notes: [] });
      const mark = of.get(entry.mark);
      const kind = entry.field.slice("mark ".length);
      if (kind === "note") mark.notes.push(entry);
      else mark[kind] = entry;
      if (kind === "drilled" || kind === "measured") delete mark.cannot;
    }
    return of;
  }

  // Codes of other sheets of this project of which this phone holds lines.
  others() {
    const begin = SiteLog.begin(this.project);
    try {
      const keys = Array.from({ length: window.localStorage.length }, (_, n) => window.localStorage.key(n));
      return keys
        .filter((key) => key.startsWith(begin) && key !== this.key)
        .filter((key) => window.localStorage.getItem(key).includes('"lines":["'))
        .map((key) => key.slice(begin.length));
    } catch {
      return [];
    }
  }

  // The file to send: a head by which a file of another job or one cut short is known, then every line.
  text() {
    const head = { project: this.project, code: this.code, lines: this.lines.length };
    return [JSON.stringify(head), ...this.lines, ""].join("\n");
  }
}

function named(entry) {
  return `${entry.when} ${entry.field} ${entry.value}`;
}

function isLine(line) {
  try {
    const entry = JSON.parse(line);
    return ["when", "mark", "field", "value"].every((key) => typeof entry[key] === "string");
  } catch {
    return false;
  }
}

// Without half characters, which no file can hold, and without ends of lines.
function plain(text) {
  return text.replace(/\p{Surrogate}/gu, "").replace(/\s+/gu, " ").trim();
}

function wall(clock) {
  const local = new Date(clock.getTime() - clock.getTimezoneOffset() * 60000);
  return local.toISOString().slice(0, -1);
}
