// Where bores stand between their limits: a passage between two banks. Readable without colour: the banks are hatched, a bore
// that is in is a ring, one that is out is a cross, one that is undecided an open square, one that is withheld a bar; the line
// through it is as long as what is unsure. Older bores stand above it, as ticks, the oldest highest.
import { svg } from "/make.js";

const WIDTH = 240;
const BANK = 34;
const OLD = 6;
let hatches = 0;

/** The drawing of a feature's bores, of which the last is marked; old ones may be left out. */
export function place(feature, bores, words, options = {}) {
  const height = options.height ?? 44;
  const rail = height - 14;
  const limits = limitsOf(feature);
  const x = (pm) => BANK + ((pm - limits.lower) / (limits.upper - limits.lower)) * (WIDTH - 2 * BANK);
  const inside = (value) => Math.min(WIDTH - 10, Math.max(10, value));
  const last = bores.at(-1);
  const hatch = `bank-${++hatches}`;
  const drawing = svg("svg", { viewBox: `0 0 ${WIDTH} ${height}`, class: "place", preserveAspectRatio: "xMinYMid", role: "img", "aria-label": said(feature, last, limits, words) },
    svg("defs", {}, svg("pattern", { id: hatch, width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      svg("line", { x1: 0, y1: 0, x2: 0, y2: 5, class: "hatch" }))));
  if (limits.hasLower) {
    drawing.append(svg("rect", { x: 0, y: 0, width: BANK, height, fill: `url(#${hatch})` }), svg("line", { x1: BANK, x2: BANK, y1: 0, y2: height, class: "limit" }));
  }
  if (limits.hasUpper) {
    drawing.append(svg("rect", { x: WIDTH - BANK, y: 0, width: BANK, height, fill: `url(#${hatch})` }),
      svg("line", { x1: WIDTH - BANK, x2: WIDTH - BANK, y1: 0, y2: height, class: "limit" }));
  }
  const guard = guardOf(feature, last);
  if (guard.lower > limits.lower && limits.hasLower) {
    drawing.append(svg("line", { x1: x(guard.lower), x2: x(guard.lower), y1: 0, y2: height, class: "guard" }));
  }
  if (guard.upper < limits.upper && limits.hasUpper) {
    drawing.append(svg("line", { x1: x(guard.upper), x2: x(guard.upper), y1: 0, y2: height, class: "guard" }));
  }
  if (feature.centre !== undefined) {
    drawing.append(svg("line", { x1: x(feature.centre), x2: x(feature.centre), y1: rail - 6, y2: rail + 6, class: "centre" }));
  }
  drawing.append(svg("line", { x1: limits.hasLower ? BANK : 0, x2: limits.hasUpper ? WIDTH - BANK : WIDTH, y1: rail, y2: rail, class: "rail" }));
  if (!options.alone) {
    const old = bores.slice(-OLD - 1, -1).filter((bore) => bore.pm !== null && !bore.gone);
    old.forEach((bore, i) => {
      const y = 3 + (i * (rail - 12)) / OLD;
      drawing.append(svg("line", { x1: inside(x(bore.pm)), x2: inside(x(bore.pm)), y1: y, y2: y + 4, class: "tick" }));
    });
  }
  if (last && last.pm !== null) {
    drawing.append(...mark(inside(x(last.pm)), rail, last));
    if (feature.expanded !== undefined) {
      drawing.append(svg("line", { x1: inside(x(last.pm - feature.expanded)), x2: inside(x(last.pm + feature.expanded)), y1: rail, y2: rail, class: "unsure" }));
    }
  }
  return drawing;
}

function mark(x, y, bore) {
  switch (shapeOf(bore)) {
    case "cross":
      return [svg("path", { d: `M${x - 7} ${y - 7}L${x + 7} ${y + 7}M${x - 7} ${y + 7}L${x + 7} ${y - 7}`, class: "bore out" })];
    case "square":
      return [svg("rect", { x: x - 6, y: y - 6, width: 12, height: 12, class: "bore unsettled" })];
    case "bar":
      return [svg("line", { x1: x, x2: x, y1: y - 8, y2: y + 8, class: "bore withheld" })];
    default:
      return [svg("circle", { cx: x, cy: y, r: 6.5, class: "bore" })];
  }
}

/** The shape of a verdict: the same in every drawing. */
export function shapeOf(bore) {
  switch (bore.verdict) {
    case "undersize":
    case "oversize":
      return "cross";
    case "undecided-low":
    case "undecided-high":
    case "confirming":
      return "square";
    case "withheld":
      return "bar";
    default:
      return "ring";
  }
}

/** Limits for a scale: a missing one is as far away as the other from nominal, or a little. */
export function limitsOf(feature) {
  const far = Math.max(1e7, Math.abs((feature.upper ?? feature.lower ?? feature.nominal) - feature.nominal));
  return {
    lower: feature.lower ?? feature.nominal - far, upper: feature.upper ?? feature.nominal + far,
    hasLower: feature.lower !== undefined, hasUpper: feature.upper !== undefined,
  };
}

const PICOMETRES = { mm: 1e9, um: 1e6, in: 2.54e10, uin: 25_400 };

/** The acceptance limits that the last bore was held against; the limits themselves where there is no band. */
export function guardOf(feature, bore) {
  const unit = PICOMETRES[bore?.unit] ?? 0;
  const limits = limitsOf(feature);
  return {
    lower: bore?.accept_lower === undefined || !unit ? limits.lower : bore.accept_lower * unit,
    upper: bore?.accept_upper === undefined || !unit ? limits.upper : bore.accept_upper * unit,
  };
}

function said(feature, bore, limits, words) {
  if (!bore) {
    return words.all.noBore;
  }
  if (bore.pm === null || !limits.hasLower || !limits.hasUpper) {
    return words.all.standsOpen(words.verdict(bore));
  }
  return words.all.stands(words.verdict(bore), Math.round((100 * (bore.pm - limits.lower)) / (limits.upper - limits.lower)));
}
