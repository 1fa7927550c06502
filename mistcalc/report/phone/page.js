// The page: where one stands, what is tapped, and the screen that follows.
"use strict";

const QUIET = 700; // ms in which a second tap of the main button counts for nothing: a glove taps twice

class Page {
  constructor(data) {
    this.data = data;
    this.log = new SiteLog(data.project, data.code);
    this.foot = data.units === "us" ? data.tape.steps : 0;
    this.at = Math.max(0, data.marks.findIndex((mark) => mark.name === this.log.place.mark));
    this.screen = this.log.place.started ? "mark" : "start";
    this.said = "";
    this.speak(this.log.place.language ?? this.wished());
    window.addEventListener("storage", () => this.redraw(() => this.log.read()));
  }

  // ---------------------------------------------------------------- words

  /** The crew's, where the file states it; else the phone's own; else the file's. */
  wished() {
    const codes = this.data.languages.map((language) => language.code);
    return this.data.crew ?? (navigator.languages ?? []).map((code) => code.split("-")[0]).find((code) => codes.includes(code)) ?? codes[0];
  }

  speak(code) {
    this.told = this.data.languages.find((language) => language.code === code) ?? this.data.languages[0];
    document.documentElement.lang = this.told.code;
    document.title = this.say("title", { code: this.data.code });
  }

  say = (key, values = {}) => filled(this.told.words[key], values);

  // ---------------------------------------------------------------- what is known

  get mark() {
    return this.data.marks[this.at];
  }

  known(n) {
    return this.readings.get(this.data.marks[n].name) ?? { notes: [] };
  }

  state(n) {
    const known = this.known(n);
    if (known.measured) return "measured";
    if (known.drilled || this.data.marks[n].drilled) return "drilled";
    return known.cannot ? "cannot" : "open";
  }

  stateText(n) {
    const known = this.known(n);
    const clock = (entry) => entry.when.slice(11, 16);
    const texts = [];
    if (known.cannot) texts.push(this.say("refused", { text: this.reason(known.cannot.value) }));
    if (known.measured) texts.push(this.say("measured_at", { at: known.measured.value, time: clock(known.measured) }));
    else if (known.drilled) texts.push(this.say("drilled_at", { time: clock(known.drilled) }));
    else if (this.data.marks[n].drilled) texts.push(this.say("drilled_before"));
    if (known.notes.length) texts.push(this.say("noted", { n: known.notes.length }));
    return texts.join(" ");
  }

  reason(text) {
    const n = this.data.cannot.indexOf(text);
    return n < 0 ? text : this.told.cannot[n];
  }

  notes(n) {
    return this.known(n).notes.map((note) =>
      [note.value, note.photo && this.say("photo_of", { number: note.photo })].filter(Boolean).join(" "));
  }

  // The next mark on the way that is neither drilled nor refused; null where there is none.
  nextOpen() {
    const count = this.data.marks.length;
    const way = Array.from({ length: count }, (_, n) => (this.at + n) % count);
    return way.find((n) => this.state(n) === "open") ?? null;
  }

  counts(of = this.data.marks.keys()) {
    const marks = [...of];
    const states = marks.map((n) => [this.state(n), this.known(n).notes.length]);
    const count = (...wanted) => states.filter(([state]) => wanted.includes(state)).length;
    return {
      here: marks.filter((n) => this.known(n).drilled || this.known(n).measured).length,
      drilled: count("drilled", "measured"), of: states.length, measured: count("measured"), cannot: count("cannot"),
      notes: states.filter(([, notes]) => notes).length };
  }

  last() {
    return this.taps.at(-1)?.mark ?? "";
  }

  // ---------------------------------------------------------------- taps on a mark

  drill() {
    this.log.add(this.mark.name, [["mark drilled", this.mark.exact]]);
    this.on();
  }

  refuse(reason) {
    this.log.add(this.mark.name, [["mark cannot", reason]]);
    this.on();
  }

  undo() {
    const name = this.log.undo();
    const n = this.data.marks.findIndex((mark) => mark.name === name);
    this.stand(n < 0 ? this.at : n);
  }

  // On to the next mark to be drilled; after the last, to what there is to send.
  on() {
    this.refresh();
    const open = this.nextOpen();
    if (open === null) this.go("send");
    else this.stand(open);
  }

  measure() {
    const known = this.known(this.at);
    const steps = (entry, planned) => (entry ? this.read(entry.value) : null) ?? Math.round(planned);
    const [along, back] = [steps(known.measured, this.mark.along), steps(known.back, this.mark.back)];
    this.draft = { which: "along", touched: false, along, back };
    this.go("measure");
  }

  // Steps of a tape's text, by looking it up; null where it is none of ours.
  read(text) {
    for (let n = -this.most(); n <= this.most(); n += 1) if (tapeText(this.data.tape, n) === text) return n;
    return null;
  }

  most() {
    return this.data.tape.stretches.length * this.data.tape.steps - 1;
  }

  set(which, steps) {
    if (!(Math.abs(steps) <= this.most())) return false;
    this.draft[which] = steps;
    this.draft.touched ||= which === "back";
    return true;
  }

  nudge(sign) {
    const { which } = this.draft;
    this.redraw(() => this.set(which, this.draft[which] + sign * this.side(which) * (which === "along" ? this.data.nudge : 1)));
  }

  // -1 where the tape is pulled the other way, past its datum: there too more is farther from the datum.
  side(which) {
    return which === "along" && this.mark.along < 0 ? -1 : 1;
  }

  verdict(which) {
    const off = (this.draft[which] - this.mark[which]) * this.side(which);
    const by = this.told.by[Math.round(Math.abs(off))];
    if (by === undefined) return { held: false, text: this.say("far_off") };
    const [less, more] = which === "along" ? ["short", "past_plan"] : ["shallower", "deeper"];
    const where = Math.abs(off) < 0.5 ? this.say("on_plan") : this.say(off < 0 ? less : more, { by });
    const held = Math.abs(off) <= this.data.within[which] + 1e-6;
    const limit = this.say(held ? "in_limit" : "over_limit", { limit: this.told.limits[which] });
    return { held, text: `${where} ${limit}` };
  }

  type() {
    this.pad = new Pad(Math.abs(this.draft[this.draft.which]), this.foot);
    this.go("pad");
  }

  typed() {
    // A pad has no minus: the hole lies where its mark does.
    if (this.set(this.draft.which, this.side(this.draft.which) * this.pad.steps())) this.go("measure");
    else this.redraw(() => { this.said = this.say("far_off"); });
  }

  // A hole that is measured is there: it counts as drilled too.
  saveMeasured() {
    const text = (steps) => tapeText(this.data.tape, steps);
    const readings = this.known(this.at).drilled ? [] : [["mark drilled", this.mark.exact]];
    readings.push(["mark measured", text(this.draft.along)]);
    if (this.draft.touched) readings.push(["mark back", text(this.draft.back)]);
    this.log.add(this.mark.name, readings);
    this.stand(this.at);
  }

  saveNote() {
    const [text, photo] = [plain(this.writing.text), plain(this.writing.photo)];
    if (text || photo) this.log.add(this.mark.name, [["mark note", text, photo]]);
    this.go("mark");
  }

  // ---------------------------------------------------------------- sending

  file() {
    const name = `holes-${this.data.code.replace(/\W/g, "")}-${this.log.now().slice(0, 16).replace(/\D/g, "")}.txt`;
    return new File([this.log.text()], name, { type: "text/plain" });
  }

  shareable() {
    return Boolean(navigator.canShare?.({ files: [this.file()] }));
  }

  async share() {
    try {
      await navigator.share({ files: [this.file()] });
    } catch {
      // the person chose to send nothing, or the phone refuses: the other ways stand below
    }
  }

  download() {
    const file = this.file();
    const link = made("a", { href: URL.createObjectURL(file), download: file.name });
    document.body.append(link);
    link.click();
    link.remove();
    this.redraw(() => { this.said = this.say("saved", { text: file.name }); });
  }

  async copy() {
    let done = true;
    try {
      await navigator.clipboard.writeText(this.log.text());
    } catch {
      document.getElementById("text").select();
      done = document.execCommand("copy");
    }
    this.redraw(() => { this.said = this.say(done ? "copied" : "copy_failed"); });
  }

  // ---------------------------------------------------------------- drawing

  stand(n) {
    this.at = n;
    this.go("mark");
  }

  go(screen) {
    if (screen === "note") this.writing = { text: "", photo: "" };
    this.screen = screen;
    this.said = "";
    this.log.goTo({ mark: this.mark.name, started: this.log.place.started || screen !== "start" });
    this.draw();
    window.scrollTo(0, 0);
    document.querySelector("h1").focus({ preventScroll: true });
  }

  redraw(change) {
    change();
    this.draw();
  }

  refresh() {
    this.readings = this.log.marks();
    this.taps = this.log.counting();
  }

  draw() {
    this.refresh();
    const focused = document.activeElement?.id;
    const shown = screens[this.screen](this);
    document.getElementById("page").replaceChildren(
      this.header(),
      made("main", { class: this.screen }, ...shown.body.filter(Boolean)),
      made("div", { class: "hand", role: "group", "aria-label": this.mark.name }, ...shown.hand.filter(Boolean)),
      made("footer", {}, ...shown.foot.filter(Boolean)),
    );
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  }

  header() {
    const { data, told } = this;
    const next = data.languages[(data.languages.indexOf(told) + 1) % data.languages.length];
    const change = () => this.redraw(() => {
      this.speak(next.code);
      this.log.goTo({ language: next.code });
    });
    const run = data.runs[this.mark.run];
    const ofRun = [...data.marks.keys()].filter((n) => data.marks[n].run === this.mark.run);
    const here = ofRun.indexOf(this.at);
    const count = this.say("run_count", { run: run.name, n: here + 1, of: ofRun.length });
    const states = ofRun.map((n) => this.state(n));
    const all = { class: "link grow", "aria-label": `${count}. ${this.say("all_marks")}` };
    const look = { class: "link", "aria-label": this.say("check_head", { code: data.code }) };
    return made("header", {},
      row(
        this.screen === "start" ? made("p", { class: "grow" }) : button("list", count, () => this.go("list"), all),
        this.screen === "start" ? null : button("code", data.code, () => this.go("start"), look),
        data.languages.length > 1 ? button("language", next.name, change, { lang: next.code }) : null),
      told.fails && this.screen !== "start" ? line(told.fails, "fails") : null,
      this.screen === "mark" ? squares(states, here, this.say("squares", this.counts(ofRun))) : null);
  }
}

Page.quietUntil = 0;
document.addEventListener("click", (click) => {
  if (!click.target.closest?.("#main")) return;
  const now = performance.now();
  if (now < Page.quietUntil) click.stopImmediatePropagation();
  else Page.quietUntil = now + QUIET;
}, true);

new Page(JSON.parse(document.getElementById("data").textContent)).draw();
