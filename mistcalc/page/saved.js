// "Saved", "Not saved yet" or "No connection", in a word. Typing makes it "Not saved yet"; each run of the
// program that follows makes it "Saved". A cut line is found by asking our own server, nothing else.

const ASK_EVERY = 3000; // ms
const words = new WeakMap();

export default function ({ data, parentElement }) {
  let word = words.get(parentElement);
  if (!word) {
    word = new Word(parentElement.querySelector(".word"));
    words.set(parentElement, word);
  }
  word.confirm(data);
  return () => {
    if (!word.shown.isConnected) word.close();
  };
}

class Word {
  constructor(shown) {
    this.shown = shown;
    this.typed = (event) => {
      const inside = event.composedPath()[0];
      if (inside instanceof HTMLInputElement && ["text", "number"].includes(inside.type)) this.set({ typing: true });
    };
    this.waits = (event) => this.set({ waiting: event.detail });
    document.addEventListener("input", this.typed, true);
    document.addEventListener("mistcalc-waiting", this.waits);
    this.asking = setInterval(() => this.ask(), ASK_EVERY);
    this.state = { typing: false, waiting: false, cut: false };
  }

  close() {
    document.removeEventListener("input", this.typed, true);
    document.removeEventListener("mistcalc-waiting", this.waits);
    clearInterval(this.asking);
  }

  confirm(data) {
    this.data = data;
    this.set({ typing: false });
  }

  async ask() {
    try {
      const answer = await fetch("_stcore/health", { cache: "no-store" });
      this.set({ cut: !answer.ok });
    } catch {
      this.set({ cut: true });
    }
  }

  set(change) {
    Object.assign(this.state, change);
    const { typing, waiting, cut } = this.state;
    const said = this.data.words[cut ? "no_connection" : typing || waiting ? "not_saved" : "saved"];
    if (this.shown.textContent !== said) this.shown.textContent = said;
    this.shown.classList.toggle("waiting", typing || waiting || cut);
  }
}
