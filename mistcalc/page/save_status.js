// "Saved", "Not saved yet" or "No connection", in a word. Typing makes it "Not saved yet"; each run of the
// program that follows makes it "Saved", and so does a value put back as it was. A cut line is found by asking
// our own server, nothing else; it is said here, in place of the framework's own dialog. The document is marked
// with the language it speaks, which the framework leaves at English.

const ASK_EVERY = 3000; // ms
const words = new WeakMap();
let place = ""; // what is looked at: the framework would leave another one as far down as the last

// Light or dark that somebody chose for another program at this address: the framework would keep it here, where nothing
// chooses it back, against the colors of page.css.
function forgetTheme() {
  try {
    const kept = Object.keys(localStorage).filter((key) => key.startsWith("stActiveTheme") && localStorage[key] !== '"System"');
    kept.forEach((key) => localStorage.removeItem(key));
    if (kept.length) location.reload();
  } catch {
    // a browser that keeps nothing
  }
}

export default function ({ data, parentElement }) {
  forgetTheme();
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
    this.entered = (event) => {
      this.before = event.composedPath()[0].value;
    };
    this.left = (event) => {
      if (event.composedPath()[0].value === this.before) this.set({ typing: false });
    };
    this.waits = (event) => this.set({ waiting: event.detail });
    document.addEventListener("input", this.typed, true);
    document.addEventListener("focusin", this.entered, true);
    document.addEventListener("focusout", this.left, true);
    document.addEventListener("mistcalc-waiting", this.waits);
    this.asking = setInterval(() => this.ask(), ASK_EVERY);
    this.state = { typing: false, waiting: false, cut: false };
  }

  close() {
    document.removeEventListener("input", this.typed, true);
    document.removeEventListener("focusin", this.entered, true);
    document.removeEventListener("focusout", this.left, true);
    document.removeEventListener("mistcalc-waiting", this.waits);
    clearInterval(this.asking);
  }

  confirm(data) {
    this.data = data;
    document.documentElement.lang = data.language;
    if (data.place !== place) document.querySelector('[data-testid="stMain"]')?.scrollTo(0, 0);
    place = data.place;
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
    const unsaved = typing || waiting;
    const word = cut ? (unsaved ? "no_connection_unsaved" : "no_connection") : unsaved ? "not_saved" : "saved";
    const said = this.data.words[word];
    if (this.shown.textContent !== said) this.shown.textContent = said;
    this.shown.classList.toggle("waiting", unsaved || cut);
    this.shown.classList.toggle("gone", cut);
    if (cut) for (const close of document.querySelectorAll('[data-testid="stDialog"] button[aria-label="Close"]')) close.click();
  }
}
