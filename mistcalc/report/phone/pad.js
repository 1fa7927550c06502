// A pad for glove and thumb: feet, inches and an eighth, or millimeters; no length is spelled here.
"use strict";

class Pad {
  // steps: what it begins with; foot: steps of a foot, 0 in millimeters
  constructor(steps, foot) {
    this.foot = foot;
    this.parts = foot ? ["feet", "inches", "fraction"] : ["millimetres"];
    this.part = this.parts[0];
    const inch = foot / 12;
    this.digits = foot
      ? { feet: String(Math.floor(steps / foot)), inches: String(Math.floor((steps % foot) / inch)), fraction: String(steps % inch) }
      : { millimetres: String(steps) };
    this.of = "";
  }

  keys() {
    return this.part === "fraction" ? EIGHTHS : [..."1234567890"];
  }

  press(key) {
    if (this.part === "fraction") {
      this.digits.fraction = String(EIGHTHS.indexOf(key));
      return;
    }
    const begin = this.of === this.part ? this.digits[this.part] : "";
    this.of = this.part;
    const text = (begin + key).replace(/^0+(?=\d)/, "");
    if (text.length <= (this.foot ? 3 : 6)) this.digits[this.part] = text;
  }

  clear() {
    this.digits[this.part] = "0";
    this.of = this.part;
  }

  shown(part) {
    return part === "fraction" ? EIGHTHS[Number(this.digits.fraction)] : this.digits[part];
  }

  steps() {
    const { feet, inches, fraction, millimetres } = this.digits;
    return this.foot ? Number(feet) * this.foot + Number(inches) * (this.foot / 12) + Number(fraction) : Number(millimetres);
  }
}

const EIGHTHS = ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];
