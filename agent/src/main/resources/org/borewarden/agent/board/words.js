// Words, sizes and times as the viewer chose them. Texts stand in one file per language.
import en from "/words-en.js";
import de from "/words-de.js";

export const LANGUAGES = { en, de };
const PICOMETRES = { mm: 1e9, um: 1e6, in: 2.54e10, uin: 25_400 };

const kept = (name) => {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
};

export class Words {
  constructor() {
    const wanted = kept("language") ?? navigator.language.slice(0, 2);
    this.language = wanted in LANGUAGES ? wanted : "en";
    this.unit = kept("unit") ?? "shop";
    this.zone = "UTC";
  }

  choose(name, value) {
    this[name] = value;
    try {
      localStorage.setItem(name, value);
    } catch {
      // The choice then lasts as long as the page.
    }
  }

  get all() {
    return LANGUAGES[this.language];
  }

  /** The unit that a feature is shown in. */
  unitOf(feature) {
    return this.unit === "shop" ? (feature.unit === "uin" ? "in" : feature.unit === "um" ? "mm" : feature.unit) : this.unit;
  }

  number(value, digits, sign = "auto") {
    return new Intl.NumberFormat(this.language, {
      minimumFractionDigits: digits, maximumFractionDigits: digits, signDisplay: sign, useGrouping: false,
    }).format(value);
  }

  /** A size with the digits of its reading, or as many as say the same in the other unit. */
  size(pm, feature, bore) {
    const unit = this.unitOf(feature);
    return `${this.number(pm / PICOMETRES[unit], digitsOf(feature, bore, unit))} ${unit}`;
  }

  deviation(pm, feature, bore) {
    const unit = this.unitOf(feature);
    return `${this.number(pm / PICOMETRES[unit], digitsOf(feature, bore, unit), "exceptZero")} ${unit}`;
  }

  /** Picometres in one of the small unit of charts: micrometres, or ten-thousandths of an inch. */
  small(feature) {
    return this.unitOf(feature) === "in" ? { name: this.all.tenths, pm: 2.54e6 } : { name: "µm", pm: 1e6 };
  }

  time(at) {
    return this.format(at, { hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" });
  }

  /** A time of today by its hour, another with its day. */
  since(at, now) {
    const same = this.format(at, { dateStyle: "short" }) === this.format(now, { dateStyle: "short" });
    return same ? this.format(at, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" })
      : this.format(at, { weekday: "short", day: "2-digit", month: "2-digit", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  }

  format(at, options) {
    return new Intl.DateTimeFormat(this.language, { ...options, timeZone: this.zone }).format(new Date(at));
  }

  /** What is known of how sure a verdict is. */
  sure(bore) {
    if (bore.conformity === undefined) {
      return this.all.sureUnknown;
    }
    const p = bore.conformity * 100;
    const shown = p > 99.9 ? `> ${this.number(99.9, 1)}` : p < 0.1 ? `< ${this.number(0.1, 1)}` : this.number(p, 1);
    return this.all.sure(shown);
  }

  verdict(bore) {
    return bore.gone ? this.all.verdict.discarded : (this.all.verdict[bore.verdict] ?? bore.verdict);
  }

  reason(key) {
    return this.all.reason[key] ?? key;
  }
}

function digitsOf(feature, bore, unit) {
  const own = bore?.unit ?? feature.unit;
  const digits = bore?.digits ?? { mm: 3, um: 0, in: 4, uin: 0 }[own];
  const inMillimetres = { mm: digits, um: digits + 3, in: digits - 1, uin: digits + 5 }[own];
  const inInches = { mm: digits + 2, um: digits + 5, in: digits, uin: digits + 6 }[own];
  return Math.max(0, unit === "in" ? inInches : inMillimetres);
}
