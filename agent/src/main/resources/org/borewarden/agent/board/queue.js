// What a person must decide, most urgent first, grouped by tool.
import { el, keep, text } from "/make.js";

const CONTAIN_SHOWN = 24;
const SOON_PARTS = 10;
const SAYS_ITSELF = new Set(["hold-test-due", "challenge-due"]);
const STANDING = new Set(["active-unacknowledged", "active-acknowledged", "returned-unacknowledged"]);

/** The decisions: each with how urgent it is (the least first), its group, and its words. */
export function decisions(stream, words) {
  const state = stream.state;
  const all = words.all;
  const now = stream.beat.at;
  const features = new Map(state.features.map((f) => [f.feature, f]));
  const trends = new Map(state.trends.map((t) => [t.feature, t]));
  const groupOf = (id, cell) => {
    const feature = features.get(id);
    if (feature) {
      return feature.tool ? all.tool(feature.tool) : all.noTool(feature.part);
    }
    return cell ? all.cell(cell) : all.agentGroup;
  };
  const items = [];
  const told = new Set();
  const add = (urgency, key, group, item) => items.push({ urgency, key, group, ...item });

  for (const cell of state.cells) {
    const first = cell.causes.find((cause) => cause.feature)?.feature;
    const group = groupOf(first, cell.cell);
    const about = [
      all.since(words.since(cell.since, now)),
      cell.by && cell.by !== "agent" ? all.by(cell.by) : undefined,
      cell.watch_only ? all.watchOnly : undefined,
    ];
    const causes = cell.causes.map((cause) => {
      told.add(cause.cause);
      return `${words.reason(cause.reason)}${cause.feature ? ` (${cause.feature})` : ""}${cause.count > 1 ? `, ${all.count(cause.count)}` : ""}`;
    });
    const conditions = cell.conditions.map((c) => `${words.reason(c.condition)}${c.subject ? ` (${c.subject})` : ""}`);
    if (cell.hold > 0 && !cell.permit) {
      const step = cell.stopped ? "stopped" : cell.state === "releasing" ? "releasing" : cell.heard ? "stopping" : "requested";
      add(0, `held/${cell.cell}`, group, {
        strong: true, ofHold: true, title: all.held(cell.cell), why: all.because([...causes, ...conditions].join(", ")), about,
        next: all.next[step], contain: cell.contain, feature: first,
      });
    } else if (!cell.permit) {
      const why = cell.conditions[0]?.condition ?? cell.state;
      add(10, `not-ready/${cell.cell}`, group, {
        ofHold: true, title: all.notReady(cell.cell), why: all.because((conditions.length ? conditions : [words.reason(why)]).join(", ")), about,
        next: all.next[why] ?? all.next.stopped, contain: cell.contain,
      });
    } else if (cell.state === "trial") {
      add(15, `trial/${cell.cell}`, group, {
        ofHold: true, title: all.trial(cell.cell, cell.trial_parts_left), why: all.because(causes.join(", ")), about, next: all.next.trial, contain: cell.contain,
      });
    } else if (cell.state === "bypassed") {
      add(12, `bypassed/${cell.cell}`, group, {
        ofHold: true, title: all.bypassed(cell.cell, cell.bypass_until ? words.since(cell.bypass_until, now) : ""), why: all.because(causes.join(", ")), about,
        next: all.next.bypassed, contain: cell.contain,
      });
    }
  }

  for (const alert of state.alerts) {
    if (alert.reason === "forecast" && STANDING.has(alert.state)) {
      told.add(`forecast of ${alert.feature}`);
    }
  }
  for (const trend of state.trends) {
    const left = trend.forecast?.parts_left;
    if (left === undefined || !(told.has(`forecast of ${trend.feature}`) || left <= SOON_PARTS)) {
      continue;
    }
    const feature = features.get(trend.feature);
    const minutes = minutesFor(left, stream.run(trend.feature).bores);
    const about = [
      minutes === undefined ? undefined : all.minutes(minutes),
      trend.forecast.side ? all.toward[trend.forecast.side] : undefined,
    ];
    add(20 + left / 1000, `soon/${trend.feature}`, groupOf(trend.feature), {
      strong: left <= 4, title: all.soonOut(trend.feature, left), about, next: all.next.soonOut(feature?.tool), feature: trend.feature,
    });
  }

  for (const gauge of state.gauges) {
    if (!gauge.connected) {
      add(30, `lost/${gauge.gauge}`, all.gaugeGroup, { title: all.gaugeLost(gauge.gauge), why: gauge.detail, about: [], next: all.next.lost, gauge: gauge.gauge });
    } else if (gauge.truth && gauge.truth.belief !== "good") {
      add(40, `ring/${gauge.gauge}`, all.gaugeGroup, {
        title: all.unbelieved(gauge.gauge, all.belief[gauge.truth.belief]), about: [], next: all.next.ring, gauge: gauge.gauge,
      });
    } else if (gauge.truth?.check_due) {
      add(41, `ring/${gauge.gauge}`, all.gaugeGroup, { title: all.ringDue(gauge.gauge), about: [], next: all.next.ring, gauge: gauge.gauge });
    }
    if (gauge.battery_low) {
      add(42, `battery/${gauge.gauge}`, all.gaugeGroup, { title: `${gauge.gauge}: ${all.batteryLow}`, about: [], next: all.next.battery, gauge: gauge.gauge });
    }
  }
  if (state.refused.length > 0) {
    add(35, "rules", all.agentGroup, { title: all.rulesRefused, about: [], next: all.next.rules, contain: state.refused, plain: true });
  }
  for (const alert of state.alerts) {
    const elsewhere = (alert.reason === "forecast" && trends.get(alert.feature)?.forecast?.parts_left !== undefined)
      || alert.reason === "ring-check-due" || alert.reason === "source-lost" || told.has(alert.alert) || told.has(alert.alert.replaceAll(".", "/"));
    if (STANDING.has(alert.state) && !elsewhere) {
      add(alert.state === "active-unacknowledged" ? 50 : 60, `alert/${alert.alert}`, groupOf(alert.feature, alert.cell), {
        title: titled(words.reason(alert.reason), alert.feature ?? alert.cell), about: [alert.words,
          alert.state === "returned-unacknowledged" ? all.gone : undefined, all.since(words.since(alert.since, now)), alert.count > 1 ? all.count(alert.count) : undefined,
          alert.would_have_held ? all.wouldHaveHeld : undefined],
        next: all.next[SAYS_ITSELF.has(alert.reason) ? alert.reason : alert.feature ? "alert" : "seen"], feature: alert.feature,
      });
    }
  }
  return items.sort((a, b) => a.urgency - b.urgency || (a.key < b.key ? -1 : 1));
}

function titled(reason, subject) {
  return `${reason[0].toUpperCase()}${reason.slice(1)}${subject ? ` (${subject})` : ""}`;
}

/** Minutes for so many parts at the rate of the last bores; undefined where none is known. */
export function minutesFor(parts, bores) {
  const last = bores.filter((bore) => !bore.gone).slice(-20);
  if (last.length < 3) {
    return undefined;
  }
  const minutes = (last.at(-1).at - last[0].at) / 60_000;
  const made = (last.at(-1).part ?? 0) - (last[0].part ?? 0);
  return minutes > 0 && made > 0 ? Math.round((parts * minutes) / made) : undefined;
}

export class QueueView {
  constructor() {
    this.stale = el("p", { class: "stale", hidden: true });
    this.calm = el("p", { class: "calm", hidden: true }, el("span"), el("small"));
    this.groups = el("div", { class: "groups" });
    this.heading = el("h1");
    this.node = el("section", { class: "queue" }, this.heading, this.stale, this.calm, this.groups);
  }

  show(stream, words) {
    const all = words.all;
    const trust = stream.trust();
    const items = decisions(stream, words);
    text(this.heading, all.nav.decide);
    this.stale.hidden = trust.rest;
    text(this.stale, all.restStale);
    const holdKnown = trust.hold || stream.state.cells.length === 0;
    this.calm.hidden = items.length > 0 || !trust.rest || !holdKnown;
    if (!this.calm.hidden) {
      const last = Math.max(0, ...[...stream.runs.values()].map((run) => run.bores.at(-1)?.at ?? 0));
      text(this.calm.firstChild, all.calm);
      text(this.calm.lastChild, last > 0 ? all.calmMore(stream.state.features.length, words.since(last, stream.beat.at)) : all.noBore);
    }
    const shown = grouped(items);
    if (!holdKnown) {
      shown.unshift({ key: "unknown", signature: "", name: all.cell(stream.state.cells.map((c) => c.cell).join(", ")),
        items: [{ key: "hold-unknown", strong: true, title: all.holdStale(words.number(trust.age, 0)), about: [], ofHold: true }] });
    }
    for (const group of shown) {
      for (const item of group.items) {
        item.old = item.ofHold ? !trust.hold : !trust.rest;
      }
      group.signature = words.language + JSON.stringify(group.items);
    }
    keep(this.groups, shown, (group) => this.group(group, words));
    return items;
  }

  group(group, words) {
    return el("section", { class: "group", "aria-label": group.name }, el("h2", {}, group.name),
      el("ol", {}, ...group.items.map((item) => line(item, words))));
  }
}

function grouped(items) {
  const groups = new Map();
  for (const item of items) {
    if (!groups.has(item.group)) {
      groups.set(item.group, { key: item.group, name: item.group, items: [] });
    }
    groups.get(item.group).items.push(item);
  }
  return [...groups.values()];
}

function line(item, words) {
  const about = [item.why, ...item.about].filter(Boolean).join("; ");
  const to = item.feature ? `#/bores/${encodeURIComponent(item.feature)}` : item.gauge ? `#/gauge/${encodeURIComponent(item.gauge)}` : undefined;
  const contain = item.contain ?? [];
  return el("li", { class: `line${item.strong ? " strong" : ""}${item.old ? " old" : ""}`, "data-decision": item.key },
    el("p", { class: "title" }, to ? el("a", { href: to, "data-part": item.key }, item.title) : item.title),
    el("p", { class: "about" }, about),
    el("p", { class: "next" }, item.next ?? ""),
    contain.length === 0 ? undefined
      : el("p", { class: "contain" }, item.plain ? "" : el("strong", {}, `${words.all.contain}: `), contain.slice(0, CONTAIN_SHOWN).join(item.plain ? " · " : ", "),
        contain.length > CONTAIN_SHOWN ? ` ${words.all.containMore(contain.length - CONTAIN_SHOWN)}` : ""));
}
