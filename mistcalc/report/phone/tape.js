// The tape as it is read: a stretch true to scale, the mark, the wood beside it, and what was measured.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const WIDE = 358;
const AT = 0.56; // of the width: the mark, so that the joist before it shows

// What the tape reads at a number of steps; past its datum with a minus, as the site log has it.
function tapeText(table, steps) {
  if (steps < 0) return `-${tapeText(table, -steps)}`;
  const stretch = Math.floor(steps / table.steps);
  const [begin, endings] = table.stretches[stretch];
  return begin + table.endings[endings][steps - stretch * table.steps];
}

function drawn(name, attributes, ...children) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

// show: units, window, at (steps where the mark is), joists, assumed (nobody stated them), joist (mark past its center), joistText, joistWord;
// found, foundWord, within: only where a hole is measured.
function tapePicture(show, spoken) {
  const scale = WIDE / show.window;
  const first = show.at - AT * show.window;
  const x = (steps) => (steps - first) * scale;
  const top = show.found === undefined ? 82 : 34;
  const height = top + (show.found === undefined ? 58 : 92);
  const picture = drawn("svg", { viewBox: `0 0 ${WIDE} ${height}`, class: "tape", role: "img", "aria-label": spoken });
  if (show.found === undefined) above(picture, show, x);
  else bracket(picture, show, x, top);
  tape(picture, show, x, first, top);
  if (show.found !== undefined) found(picture, show, x, top + 56);
  return picture;
}

function above(picture, show, x) {
  const line = 26;
  picture.append(drawn("line", { x1: 0, x2: WIDE, y1: line, y2: line, class: "tube" }));
  for (const [from, to] of show.joists) {
    const [left, right] = [Math.max(0, x(from)), Math.min(WIDE, x(to))];
    if (right <= 0 || left >= WIDE || right <= left) continue;
    picture.append(drawn("rect", { x: left, y: line - 26, width: right - left, height: 52, class: show.assumed ? "guess" : "wood" }));
    const word = show.assumed ? "?" : show.joistWord;
    const size = Math.min(16, Math.floor((right - left - 4) / (0.53 * word.length)));
    const ink = show.assumed ? "" : "on-wood";
    const place = { x: (left + right) / 2, y: line + 5, class: ink, "text-anchor": "middle", "font-size": size };
    if (size >= 13) picture.append(drawn("text", place, word));
  }
  const mark = x(show.at);
  picture.append(
    drawn("circle", { cx: mark, cy: line, r: 17, class: "mark" }),
    drawn("path", { d: `M${mark - 26} ${line}H${mark + 26}M${mark} ${line - 26}V68`, class: "cross" }),
    drawn("path", { d: `M${mark - 11} 66H${mark + 11}L${mark} 82Z`, class: "solid" }),
  );
  if (show.joist !== null) offset(picture, show, x(show.at - show.joist), mark);
}

// How far the mark is past the center of the wood, cut into its own line.
function offset(picture, show, joist, mark) {
  const y = 64;
  const end = Math.min(WIDE - 2, Math.max(2, joist));
  const side = Math.sign(mark - end) || 1;
  const near = mark - 14 * side;
  if (Math.abs(near - end) < 20) return;
  const arrow = `M${end + 8 * side} ${y - 6}L${end} ${y}L${end + 8 * side} ${y + 6}`;
  const open = end === joist ? `M${end} ${y - 7}V${y + 7}` : arrow;
  const middle = (end + near) / 2;
  const place = { x: middle, y: y + 6, class: "offset", "text-anchor": "middle", "font-size": 18 };
  const half = 5.6 * show.joistText.length + 2;
  picture.append(drawn("path", { d: `${open}M${end} ${y}H${near}`, class: "dimension" }));
  if (Math.abs(near - end) <= 2 * half) return;
  const cut = drawn("rect", { x: middle - half, y: y - 11, width: 2 * half, height: 22, class: "paper" });
  picture.append(cut, drawn("text", place, show.joistText));
}

function tape(picture, show, x, first, top) {
  const bottom = top + 56;
  const us = show.units === "us";
  const [step, long, longest] = us ? [1, 4, 8] : [5, 10, 50];
  picture.append(drawn("path", { d: `M0 ${top}H${WIDE}M0 ${bottom}H${WIDE}`, class: "tape-edge" }));
  let ticks = "";
  for (let n = Math.max(0, Math.ceil(first / step) * step); n <= first + show.window; n += step) {
    const deep = n % longest === 0 ? 28 : n % long === 0 ? 20 : us && n % 2 === 0 ? 14 : 9;
    ticks += `M${x(n).toFixed(1)} ${top}v${deep}`;
    if (n > 0 && n % (us ? 16 : 50) === 0) tapeNumber(picture, n, x(n), top + 46, us);
  }
  picture.append(drawn("path", { d: ticks, class: "tick" }));
  if (first < 0) picture.append(drawn("rect", { x: x(0) - 7, y: top - 8, width: 7, height: 72, class: "solid" }));
}

// Even inches, feet white on black, every 16 in boxed, as on a tape; millimeters by fifty, meters white on black.
function tapeNumber(picture, n, at, y, us) {
  const number = us ? n / 8 : n;
  const whole = us ? number % 12 === 0 : number % 1000 === 0;
  const boxed = us ? number % 16 === 0 : number % 100 === 0;
  const text = whole ? (us ? `${number / 12}F` : `${number / 1000}m`) : String(number);
  const half = 5 * text.length + 6;
  if (at < half || at > WIDE - half) return;
  if (whole || boxed) {
    const box = { x: at - half, y: y - 17, width: 2 * half, height: 22, class: whole ? "wood" : "boxed" };
    picture.append(drawn("rect", box));
  }
  const place = { x: at, y, class: whole ? "on-wood" : "", "text-anchor": "middle", "font-size": 17 };
  picture.append(drawn("text", place, text));
}

// What is held, over the tape; what was found, under it.
function bracket(picture, show, x, top) {
  const [left, right] = [x(show.at - show.within), x(show.at + show.within)];
  picture.append(drawn("path", { d: `M${left} ${top}V${top - 24}H${right}V${top}`, class: "bracket" }));
  const place = { x: right + 10, y: top - 12, class: "offset", "font-size": 18 };
  picture.append(drawn("text", place, show.holdText));
}

function found(picture, show, x, bottom) {
  const at = Math.min(WIDE - 12, Math.max(12, x(show.found)));
  picture.append(drawn("path", { d: `M${at - 12} ${bottom + 22}H${at + 12}L${at} ${bottom + 2}Z`, class: "solid" }));
  const before = at > WIDE / 2;
  const [x0, anchor] = before ? [at - 18, "end"] : [at + 18, "start"];
  const place = { x: x0, y: bottom + 22, class: "offset", "text-anchor": anchor, "font-size": 18 };
  picture.append(drawn("text", place, show.foundWord));
}

// The sheets' code for the camera of another phone: squares of one path, with the white that belongs round them.
function quickCode(code, spoken) {
  const box = `-4 -4 ${code.size + 8} ${code.size + 8}`;
  const picture = drawn("svg", { viewBox: box, class: "quick", role: "img", "aria-label": spoken });
  picture.append(drawn("path", { d: code.path }));
  return picture;
}

// How far a run has come: a square a mark. Filled is drilled, crossed cannot be, the frame is where one is.
function squares(states, here, spoken) {
  const size = states.length > 44 ? 10 : 16;
  const gap = 2;
  const across = Math.floor((WIDE + gap) / (size + gap));
  const rows = Math.ceil(states.length / across);
  const high = rows * (size + 4) + 8;
  const picture = drawn("svg", { viewBox: `0 0 ${WIDE} ${high}`, class: "squares", role: "img", "aria-label": spoken });
  states.forEach((state, n) => {
    const [left, top] = [(n % across) * (size + gap) + 1, Math.floor(n / across) * (size + 4) + 4];
    const box = { x: left + 1, y: top + 1, width: size - 3, height: size - 3 };
    picture.append(drawn("rect", { ...box, class: state === "drilled" || state === "measured" ? "done" : "open" }));
    if (state === "cannot") {
      const [right, low] = [left + size - 2, top + size - 2];
      const cross = `M${left + 1} ${top + 1}L${right} ${low}M${right} ${top + 1}L${left + 1} ${low}`;
      picture.append(drawn("path", { d: cross, class: "cross" }));
    }
    const frame = { x: left - 0.5, y: top - 3, width: size, height: size + 4, class: "here" };
    if (n === here) picture.append(drawn("rect", frame));
  });
  return picture;
}
