// Pieces that screens are made of. All text is set as text: what a person wrote is never markup.
"use strict";

function made(name, attributes = {}, ...children) {
  const piece = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") piece.addEventListener(key, value);
    else if (value === true) piece.setAttribute(key, "");
    else if (value !== false && value !== undefined) piece.setAttribute(key, value);
  }
  piece.append(...children.filter((child) => child !== "" && child !== null && child !== undefined));
  return piece;
}

// {name} in a text replaced. A name that is written from the right is set apart: it would turn figures beside it.
function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => {
    const value = String(values[name] ?? whole);
    return RIGHT_TO_LEFT.test(value) ? `\u2068${value}\u2069` : value;
  });
}

const RIGHT_TO_LEFT = /[\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}]/u;

// id: by which focus finds it again when the screen is drawn anew.
function button(id, text, click, attributes = {}, ...more) {
  return made("button", { type: "button", id, click, ...attributes }, text, ...more);
}

function row(...children) {
  return made("div", { class: "row" }, ...children.filter(Boolean));
}

function line(text, name = "") {
  return text ? made("p", { class: name }, text) : null;
}

// Writing as large as fits across: a distance 92 px, smaller where it has a fraction.
function fitted(name, text, most, least) {
  const room = Math.min(document.documentElement.clientWidth, 640) - 32;
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = `bold ${most}px ${getComputedStyle(document.body).fontFamily}`;
  const size = Math.max(least, Math.min(most, Math.floor((0.98 * most * room) / pen.measureText(text).width)));
  const piece = made(name, { class: "fitted" }, text);
  piece.style.fontSize = `${size}px`;
  return piece;
}

function warning(text, stop) {
  const sign = drawn("svg", { viewBox: "0 0 44 40", width: 44, height: 40, class: "sign", "aria-hidden": "true" });
  sign.append(
    drawn("path", { d: "M22 3L42 37H2Z", class: "caution" }),
    drawn("path", { d: "M22 14V25M22 29V33", class: "bang" }),
  );
  return made("div", { class: stop ? "warning stop" : "warning" }, sign, made("p", {}, text));
}

function field(id, text, value, attributes, change) {
  const long = attributes.rows !== undefined;
  const box = made(long ? "textarea" : "input", { id, autocomplete: "off", ...attributes });
  box.value = value;
  box.addEventListener("input", () => change(box.value));
  return made("div", { class: "field" }, made("label", { for: id }, text), box);
}
