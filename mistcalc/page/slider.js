// A line with ticks and a square that carries its value: by finger, mouse and arrow keys. Uses `element` of overview.js.

class Slider {
  constructor(parent, move) {
    this.root = element(parent, "div", { className: "slider" });
    this.name = element(this.root, "div", { className: "name" });
    this.track = element(this.root, "div", { className: "track" });
    this.handle = element(this.track, "div", { className: "handle", tabIndex: 0 });
    this.handle.setAttribute("role", "slider");
    this.move = move;
    this.track.onpointerdown = (event) => {
      this.track.setPointerCapture(event.pointerId);
      this.held = true;
      this.to(event);
      this.handle.focus({ preventScroll: true });
      event.preventDefault();
    };
    this.track.onpointermove = (event) => this.held && this.to(event);
    this.track.onpointerup = this.track.onpointercancel = () => (this.held = false);
    this.handle.onkeydown = (event) => {
      const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, Home: -99, End: 99 }[event.key];
      if (!step) return;
      event.preventDefault();
      this.go(this.value + step);
    };
  }

  to(event) {
    const box = this.track.getBoundingClientRect();
    this.go(Math.round(((event.clientX - box.left - 22) / (box.width - 44)) * (this.texts.length - 1)));
  }

  go(value) {
    const within = Math.min(this.texts.length - 1, Math.max(0, value));
    if (within !== this.value) this.move(within);
  }

  show(name, texts, value) {
    [this.texts, this.value] = [texts, value];
    this.root.hidden = texts.length < 2;
    const unit = texts[texts.length - 1].split(" ").slice(1).join(" ");
    this.name.textContent = unit && !/^[ap]m$/.test(unit) ? `${name}, ${unit}` : name;
    const place = (n) => `calc(22px + (100% - 44px) * ${texts.length > 1 ? n / (texts.length - 1) : 0})`;
    this.track.querySelectorAll("span").forEach((tick) => tick.remove());
    texts.forEach((text, n) => {
      if (n === value) return;
      const tick = element(this.track, "span", { textContent: text.split(" ")[0] });
      tick.style.left = place(n);
    });
    this.handle.textContent = texts[value].split(" ")[0];
    this.handle.style.left = place(value);
    const told = { label: name, valuemin: 0, valuemax: texts.length - 1, valuenow: value, valuetext: texts[value] };
    for (const [key, text] of Object.entries(told)) this.handle.setAttribute(`aria-${key}`, text);
  }
}
