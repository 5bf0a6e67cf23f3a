/* Reads what a person types as a size, in the grammar that Python states; refusals are codes of texts. */
"use strict";

class Grammar {
  constructor({ one, feetAndInches, thousands, plain, digits, lengths, perInch, per10mm }) {
    const pattern = (text, flags) => new RegExp(`^(?:${text.replaceAll("(?P<", "(?<")})$`, flags);
    this.one = pattern(one, "i");
    this.feet = pattern(feetAndInches, "i");
    this.thousands = pattern(thousands, "");
    Object.assign(this, { plain, digits, lengths, perInch, per10mm });
  }

  /* {value, unit, off, offUnit, bareFraction}, or {refused: code}. */
  read(text) {
    const spelt = [...text].map((c) => (/[¼½¾⅐-⅞↉]/.test(c) ? ` ${c.normalize("NFKC")}` : c)).join("");
    const plain = [...spelt].map((c) => this.plain[c] || c).join("").replaceAll("''", '"').split(/\s+/).filter(Boolean).join(" ");
    if (/\p{Nd}|\p{No}/u.test(plain.replace(/[0-9]/g, ""))) return { refused: "other_digits" };
    const both = this.feet.exec(plain);
    if (both) {
      const { feet, inches } = both.groups;
      return endless(feet, inches) || { value: Number(feet) + (number(inches) * this.lengths.in) / this.lengths.ft, unit: "ft", off: null, offUnit: "", bareFraction: false };
    }
    const found = this.one.exec(plain);
    if (!found) return { refused: "no_number" };
    const { sign, value, off, off_unit: offUnit } = found.groups, unit = found.groups.unit || offUnit;
    if ([value, off].some((part) => part && this.thousands.test(part))) return { refused: "thousands" };
    const refused = endless(value, off || "0"), size = number(value) * (sign === "-" ? -1 : 1);
    if (refused) return refused;
    const bareFraction = !unit && (value.includes("/") || (off || "").includes("/"));
    return { value: size, unit: unit || "", off: off === undefined ? null : number(off), offUnit: offUnit || "", bareFraction };
  }

  /* So many of a unit that counts so much, without the last digits, in which a machine rounds. */
  counted(number, unit) {
    return Number((number * unit).toPrecision(this.digits));
  }

  /* Millimetres in one of a unit, a bare number being in mm; undefined for another unit. */
  perMm(unit) {
    return this.lengths[unit.toLowerCase() || "mm"];
  }

  /* A reading of a look: {read, off, typed}, or {refused: code} with the values of its text. `least` and `most` are what
   * any port measures, `finest` is the least plus-minus that is believed. */
  reading(text, { threads, off, gaugeOff, least, most, finest }) {
    const found = this.read(text);
    if (found.refused) return found;
    let value, spread;
    if (threads) {
      const [unit, offUnit] = [found.unit.toLowerCase(), (found.offUnit || found.unit).toLowerCase()];
      const known = (name) => name === "" || this.perInch.includes(name) || this.per10mm.includes(name);
      if (!known(unit) || !known(offUnit)) return { refused: "no_thread" };
      const byGauge = this.perInch.includes(unit), per10mm = this.lengths.in / this.lengths.cm;
      value = found.value / (byGauge ? per10mm : 1);
      spread = found.off === null ? (byGauge ? gaugeOff : off) : found.off / (this.perInch.includes(offUnit) ? per10mm : 1);
    } else {
      if (found.bareFraction) return { refused: "bare_fraction" };
      const [one, other] = [this.perMm(found.unit), this.perMm(found.offUnit || found.unit)];
      if (one === undefined || other === undefined) return { refused: "no_length" };
      value = this.counted(found.value, one);
      spread = found.off === null ? off : this.counted(found.off, other);
    }
    if (!(value >= least && value <= most)) return { refused: "no_port" };
    if (!(spread > 0 && spread < value)) return { refused: "plus_minus" };
    if (spread < finest) return { refused: "too_fine", typed: text.trim(), least: finest };
    return { read: value, off: spread, typed: text.trim() };
  }
}

/* What is wrong with the first of some numbers that is not finite; null where all are. */
function endless(...texts) {
  const text = texts.find((one) => !Number.isFinite(number(one)));
  return text === undefined ? null : { refused: text.includes("/") ? "by_nought" : "too_large" };
}

function number(text) {
  if (!text.includes("/")) return Number(text.replace(",", "."));
  const at = text.replace(" ", "-").lastIndexOf("-");
  const plain = text.replace(" ", "-");
  const [above, below] = plain.slice(at + 1).split("/").map(Number);
  return below === 0 ? Infinity : (at > 0 ? Number(plain.slice(0, at)) : 0) + above / below;
}

if (typeof module !== "undefined") module.exports = { Grammar };
