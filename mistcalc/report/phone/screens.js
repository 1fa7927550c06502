// What stands on each screen: (page) in, { name, body, hand, foot } out. hand stays under the thumb.
"use strict";

const screens = {
  start(page) {
    const { say, told, data, log } = page;
    const others = log.others();
    return {
      body: [
        made("h1", { tabindex: "-1" }, made("bdi", {}, data.project)),
        made("div", { class: "head" }, fitted("p", data.code, 48, 24), quickCode(data.quick_code, say("quick_code", { code: data.code }))),
        line(say("start_code")),
        line(told.fails, "boxed strong"),
        line(say("start_count", { n: data.marks.length })),
        ...told.holes.map((hole) => line(hole, "strong")),
        told.assumed ? warning(told.assumed, true) : null,
        ...told.cautions.map(([grade, texts]) =>
          made("section", { class: "boxed" }, made("h2", {}, grade), made("ul", {}, ...texts.map((text) => made("li", {}, text))))),
        line(log.kept ? "" : say("not_kept"), "boxed strong"),
        line(others.length ? say("kept_old", { code: others.join(", ") }) : "", "boxed"),
        field("who", say("initials"), log.place.who ?? "", { maxlength: 40 }, (who) => log.goTo({ who: plain(who) })),
      ],
      hand: [button("main", say("start"), () => page.go("mark"), { class: "main" })],
      foot: [],
    };
  },

  mark(page) {
    const { data, mark, told, say, log } = page;
    const words = told.marks[page.at];
    const state = page.state(page.at);
    const open = page.nextOpen();
    const done = state === "drilled" || state === "measured";
    const last = page.last();
    const main = done
      ? open === null
        ? button("main", say("send"), () => page.go("send"), { class: "main" })
        : button("main", say("next_open", { mark: data.marks[open].name }), () => page.stand(open), { class: "main" })
      : button("main", say(mark.stop ? "anyway" : "drilled", { mark: mark.name }), () => page.drill(), {
          class: mark.stop ? "main outlined" : "main" });
    const other = (id, arrow, step) => {
      const neighbor = data.marks[page.at + step];
      const text = neighbor ? say(arrow, { mark: neighbor.name }) : say("none");
      const spoken = neighbor && say(id, { mark: neighbor.name });
      return button(id, text, () => page.stand(page.at + step), { "aria-label": spoken, disabled: !neighbor });
    };
    const { joists, assumed } = data.runs[mark.run];
    return {
      body: [
        made("div", { class: "head" },
          made("h1", { tabindex: "-1", class: mark.name.length > 6 ? "long" : "" }, made("bdi", {}, mark.name)),
          line(told.datums[mark.run])),
        fitted("p", words.tape, 92, 40),
        line(words.turned, "strong"),
        line(words.second),
        words.inches && row(line(words.inches, "second"), line(words.mm, "second")),
        line(`${filled(words.last, { mark: data.marks[page.at - 1]?.name })} ${words.back}`),
        line(assumed && mark.joist !== null ? say("joist_assumed", { near: words.near }) : words.near, "strong"),
        line(page.stateText(page.at), "boxed strong"),
        words.warning ? warning(words.warning, mark.stop) : null,
        tapePicture({
          units: data.units, window: data.window, at: mark.along, joists, assumed, joist: mark.joist,
          joistText: words.joist, joistWord: say("joist") }, `${words.tape}. ${words.near}`),
      ],
      hand: [
        main,
        row(
          button("measured", say("measured"), () => page.measure()),
          button("note", say("note"), () => page.go("note")),
          button("cannot", say("cannot"), () => page.go("cannot"), { disabled: done })),
      ],
      foot: [
        made("nav", { class: "row", "aria-label": say("all_marks") },
          other("previous", "arrow_back", -1),
          button("undo", say(last ? "undo" : "undo_none", { mark: last }), () => page.undo(), { disabled: !last }),
          other("next", "arrow_on", 1)),
        row(
          line(log.kept ? say("kept", page.counts()) : say("not_kept"), log.kept ? "grow" : "grow boxed strong"),
          button("send", say("send"), () => page.go("send"), { class: "link" })),
      ],
    };
  },

  measure(page) {
    const { data, mark, told, say, draft } = page;
    const words = told.marks[page.at];
    const which = draft.which;
    const verdict = page.verdict(which);
    const tab = (kind, key) =>
      button(kind, say(key), () => page.redraw(() => { draft.which = kind; }), { "aria-pressed": String(which === kind) },
        made("span", {}, tapeText(data.tape, draft[kind])));
    const nudge = (id, key, sign) =>
      button(id, say(key, { by: told.nudge[which] }), () => page.nudge(sign), { class: "nudge" });
    return {
      body: [
        made("h1", { tabindex: "-1" }, say("measure_head", { mark: mark.name })),
        row(tab("along", "along"), tab("back", "across")),
        fitted("p", tapeText(data.tape, draft[which]), 72, 40),
        line(say("plan", { at: which === "along" ? `${words.tape} ${words.turned}`.trim() : tapeText(data.tape, Math.round(mark.back)) })),
        tapePicture({
          units: data.units, window: data.window, at: mark[which], within: data.within[which], found: draft[which],
          foundWord: say("found"), holdText: say("hold", { limit: told.limits[which] }) }, verdict.text),
        made("div", { role: "status" }, verdict.held ? line(verdict.text, "boxed strong") : warning(verdict.text, true)),
        row(nudge("less", "less", -1), nudge("more", "more", 1)),
        row(
          button("as_plan", say("as_plan"), () => page.redraw(() => page.set(which, Math.round(mark[which])))),
          button("type_it", say("type_it"), () => page.type())),
        words.warning && mark.stop ? warning(words.warning, true) : null,
      ],
      hand: [
        button("main", say("save", { mark: mark.name }), () => page.saveMeasured(), { class: "main" }),
        row(button("back-to", say("back"), () => page.go("mark")), button("note", say("note"), () => page.go("note"))),
      ],
      foot: [],
    };
  },

  pad(page) {
    const { say, pad } = page;
    const box = (part) =>
      button(`pad-${part}`, say(part, { n: pad.shown(part) }), () => page.redraw(() => { pad.part = part; }), {
        "aria-pressed": String(pad.part === part) });
    const keys = pad.keys().map((key) => button(`key-${key}`, key, () => page.redraw(() => pad.press(key))));
    return {
      body: [
        made("h1", { tabindex: "-1" }, say("measure_head", { mark: page.mark.name })),
        row(...pad.parts.map(box)),
        made("div", { class: "keys" }, ...keys.slice(0, -1), button("clear", say("clear"), () => page.redraw(() => pad.clear())), keys.at(-1)),
        made("p", { class: "strong", role: "status" }, page.said),
      ],
      hand: [
        button("main", say("done_typing"), () => page.typed(), { class: "main" }),
        row(button("back-to", say("back"), () => page.go("measure"))),
      ],
      foot: [],
    };
  },

  note(page) {
    const { say, writing } = page;
    return {
      body: [
        made("h1", { tabindex: "-1" }, say("note_head", { mark: page.mark.name })),
        ...page.notes(page.at).map((note) => line(note, "boxed")),
        field("note-text", say("note_text"), writing.text, { maxlength: 300, rows: 4 }, (text) => { writing.text = text; }),
        field("photo", say("photo"), writing.photo, { maxlength: 20, inputmode: "numeric" }, (text) => { writing.photo = text; }),
      ],
      hand: [
        button("main", say("save_note"), () => page.saveNote(), { class: "main" }),
        row(button("back-to", say("back"), () => page.go("mark"))),
      ],
      foot: [],
    };
  },

  cannot(page) {
    const { data, say, told } = page;
    const reason = (key, n) => button(`reason-${n}`, told.cannot[n], () => page.refuse(key), { class: "tall" });
    return {
      body: [made("h1", { tabindex: "-1" }, say("cannot_head", { mark: page.mark.name })), ...data.cannot.map(reason)],
      hand: [row(button("back-to", say("back"), () => page.go("mark")), button("note", say("note"), () => page.go("note")))],
      foot: [],
    };
  },

  list(page) {
    const { data, say, told } = page;
    const entry = (mark, n) => {
      const state = page.state(n);
      const spoken = `${mark.name}, ${say(`state_${state}`)}`;
      return button(`mark-${n}`, made("bdi", {}, mark.name), () => page.stand(n), {
        class: state, "aria-label": spoken, "aria-current": n === page.at ? "true" : undefined });
    };
    const groups = data.runs.map((run, r) =>
      made("section", {},
        made("h2", {}, made("bdi", {}, run.patio ? `${run.patio}: ${told.datums[r]}` : told.datums[r])),
        made("div", { class: "marks" }, ...data.marks.map((mark, n) => (mark.run === r ? entry(mark, n) : "")))));
    const signs = ["open", "drilled", "measured", "cannot"].map((state) =>
      made("li", {}, made("span", { class: `key ${state}` }), ` ${say(`state_${state}`)}`));
    return {
      body: [made("h1", { tabindex: "-1" }, say("list_head")), made("ul", { class: "signs" }, ...signs), ...groups],
      hand: [row(button("back-to", say("back"), () => page.go("mark")))],
      foot: [],
    };
  },

  send(page) {
    const { say, log } = page;
    const text = log.text();
    const share = page.shareable();
    const save = button(share ? "download" : "main", say("download"), () => page.download(), { class: share ? "" : "main" });
    const copy = button("copy", say("copy"), () => page.copy());
    return {
      body: [
        made("h1", { tabindex: "-1" }, say(page.nextOpen() === null ? "all_done" : "send_head")),
        line(say("send_counts", page.counts()), "strong"),
        line(say("send_about")),
        line(log.kept ? "" : say("not_kept"), "boxed strong"),
        field("who", say("initials"), log.place.who ?? "", { maxlength: 40 }, (who) => log.goTo({ who: plain(who) })),
        field("text", say("text_label"), text, { rows: 4, readonly: true }, () => {}),
        made("p", { role: "status", class: "strong" }, page.said),
      ],
      hand: [
        share ? button("main", say("share"), () => page.share(), { class: "main" }) : save,
        row(share ? save : "", copy, button("back-to", say("back"), () => page.go("mark"))),
      ],
      foot: [],
    };
  },
};
