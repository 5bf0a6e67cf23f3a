/* Says reasons: a text by its code with the values it quotes, as Python's catalogue does. No text stands here. */
"use strict";

class Words {
  constructor(texts) {
    this.texts = texts;
  }

  /* Whether a reason can be said whole: a page of another version may have kept others. */
  says(reason) {
    try {
      return typeof this.say(reason) === "string";
    } catch {
      return false;
    }
  }

  /* What the language calls a name that is English in the tables. */
  named(name) {
    return this.texts[`word.${name}`] || name;
  }

  /* A reason is [code, {name: value}]; a value is a number, a name, a reason, or {list: [reasons]}. */
  say(reason) {
    const [code, values] = typeof reason === "string" ? [reason, {}] : reason;
    const text = this.texts[code];
    if (text === undefined) throw new Error(`no text for ${code}`);
    const join = this.texts[`${code.split(".")[0]}.join`] || this.texts["list.join"];
    const said = (value) => {
      if (Array.isArray(value)) return this.say(value);
      if (typeof value === "string") return this.named(value);
      if (value !== null && typeof value === "object") return value.list.map((one) => this.say(one)).filter(Boolean).join(join);
      return value;
    };
    return text.replace(/\{\{|\}\}|\{(\w+)(!r)?(?::([^}]*))?\}/g, (all, name, quoted, format) => {
      if (name === undefined) return all[0];
      if (!(name in values)) throw new Error(`${code} lacks ${name}`);
      const value = said(values[name]), text = formatted(value, format || "");
      if (quoted) return text.includes("'") ? `"${text}"` : `'${text}'`;
      return typeof value === "number" ? text.replace(".", this.texts["list.decimal"]) : text;
    });
  }
}

/* A value in one of the formats that texts use: .2f, .0f, .0%, +.1f, g, .3g, or as it stands. */
function formatted(value, format) {
  const found = /^(\+?)(?:\.(\d+))?([fg%])$/.exec(format);
  if (!found || typeof value !== "number") return String(value);
  const [, plus, digits, kind] = found;
  let text;
  if (kind === "g") text = general(value, digits === undefined ? 6 : Number(digits));
  else if (kind === "%") text = `${evenFixed(100 * value, Number(digits || 0))}%`;
  else text = evenFixed(value, digits === undefined ? 6 : Number(digits));
  return plus && value >= 0 ? `+${text}` : text;
}

/* As toFixed, a tie that the binary number truly holds going to the even digit. */
function evenFixed(value, digits) {
  const scaled = Math.abs(value) * 10 ** digits;
  const whole = Math.floor(scaled);
  if (scaled - whole === 0.5 && Number.isInteger(Math.abs(value) * 2 ** (digits + 1))) {
    const even = (whole % 2 ? whole + 1 : whole) / 10 ** digits;
    return (value < 0 ? "-" : "") + even.toFixed(digits);
  }
  return value.toFixed(digits);
}

/* `digits` figures at most, no zeros behind. */
function general(value, digits) {
  if (value === 0) return "0";
  const [mantissa, exponent] = value.toExponential(Math.max(digits, 1) - 1).split("e");
  const power = Number(exponent);
  const bare = (text) => (text.includes(".") ? text.replace(/\.?0+$/, "") : text);
  if (power < -4 || power >= Math.max(digits, 1)) return `${bare(mantissa)}e${power < 0 ? "-" : "+"}${String(Math.abs(power)).padStart(2, "0")}`;
  return bare(value.toFixed(Math.max(0, digits - 1 - power)));
}

if (typeof module !== "undefined") module.exports = { Words, formatted };
