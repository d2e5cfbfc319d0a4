// Every feature on a line of its own, grouped by tool; and one feature whole.
import { Chart } from "/chart.js";
import { el, keep, text } from "/make.js";
import { place } from "/place.js";

const WORDS_OF = 12;
const MARKS_OF = 10;

export class RunsView {
  constructor() {
    this.heading = el("h1");
    this.stale = el("p", { class: "stale", hidden: true });
    this.tools = el("div", { class: "tools" });
    this.node = el("section", { class: "bores" }, this.heading, this.stale, this.tools);
  }

  show(stream, words) {
    text(this.heading, words.all.nav.bores);
    this.stale.hidden = stream.trust().rest;
    text(this.stale, words.all.restStale);
    const groups = new Map();
    for (const feature of stream.state.features) {
      const name = feature.tool ? words.all.tool(feature.tool) : words.all.noTool(feature.part);
      groups.set(name, [...(groups.get(name) ?? []), feature]);
    }
    const shown = [...groups].map(([name, features]) => ({ key: name, signature: words.language, features }));
    keep(this.tools, shown, (group) => el("section", { "aria-label": group.key }, el("h2", {}, group.key), el("ul", { class: "features" })));
    for (const [i, group] of shown.entries()) {
      const list = this.tools.children[i].lastElementChild;
      keep(list, group.features.map((feature) => this.item(feature, stream, words)), (item) => this.line(item, words));
    }
  }

  item(feature, stream, words) {
    const bores = stream.run(feature.feature).bores;
    const left = stream.state.trends.find((trend) => trend.feature === feature.feature)?.forecast?.parts_left;
    const last = bores.at(-1);
    return { key: feature.feature, signature: `${words.language}${words.unit}${last?.seq}${last?.gone}${left}`, feature, bores, left };
  }

  line({ feature, bores, left }, words) {
    const last = bores.at(-1);
    return el("li", {},
      el("a", { href: `#/bores/${encodeURIComponent(feature.feature)}`, "data-part": "link" }, feature.feature),
      place(feature, bores, words),
      el("span", { class: "word" }, last ? words.verdict(last) : words.all.noBore),
      el("span", { class: "size" }, last && last.pm !== null ? words.size(last.pm, feature, last) : ""),
      el("span", { class: "left" }, left === undefined ? "" : words.all.soonOut("", left).replace(/^: /, "")));
  }
}

export class FeatureView {
  constructor(id) {
    this.id = id;
    this.chart = new Chart();
    this.back = el("a", { href: "#/bores" });
    this.heading = el("h1");
    this.limits = el("p", { class: "limits" });
    this.stale = el("p", { class: "stale", hidden: true });
    this.forecast = el("p", { class: "forecast" });
    this.head = el("tr");
    this.rows = el("tbody");
    this.caption = el("caption");
    this.marksHead = el("h2");
    this.marks = el("ul", { class: "marks" });
    this.node = el("section", { class: "feature" }, el("p", {}, this.back), this.heading, this.limits, this.stale, this.chart.node, this.forecast,
      el("div", { class: "wide", tabindex: "0", role: "region" }, el("table", {}, this.caption, el("thead", {}, this.head), this.rows)), this.marksHead, this.marks);
  }

  show(stream, words) {
    const all = words.all;
    const feature = stream.state.features.find((f) => f.feature === this.id);
    text(this.back, all.back);
    text(this.heading, this.id);
    this.stale.hidden = stream.trust().rest;
    text(this.stale, all.restStale);
    if (!feature) {
      text(this.limits, all.noBore);
      return;
    }
    const run = stream.run(this.id);
    const trend = stream.state.trends.find((t) => t.feature === this.id);
    const size = (pm) => (pm === undefined ? undefined : words.size(pm, feature, run.bores.at(-1)));
    const [lower, upper] = [size(feature.lower), size(feature.upper)];
    const limits = lower && upper ? all.limits(lower, upper) : lower ? all.onlyLower(lower) : all.onlyUpper(upper ?? "");
    text(this.limits, [feature.part, feature.tool ? all.tool(feature.tool) : undefined, limits].filter(Boolean).join("; "));
    const newest = `${run.bores.at(-1)?.seq} ${run.marks.at(-1)?.seq} ${JSON.stringify(trend?.forecast)} ${words.language} ${words.unit} ${run.bores.filter((b) => b.gone).length}`;
    if (newest !== this.newest || this.chart.made === "") {
      this.newest = newest;
      this.chart.show(feature, run, trend, words);
    }
    text(this.forecast, forecastWords(trend?.forecast, words));
    this.table(feature, run, words);
    text(this.marksHead, all.marks);
    this.marksHead.hidden = run.marks.length === 0;
    keep(this.marks, run.marks.slice(-MARKS_OF).reverse().map((mark) => ({ key: String(mark.seq), signature: words.language, mark })),
      ({ mark }) => el("li", {}, `${words.since(mark.at, stream.beat.at)}: ${all.kind[mark.kind](mark)}`));
  }

  table(feature, run, words) {
    const all = words.all;
    text(this.caption, all.lastBores);
    this.caption.closest("div").setAttribute("aria-label", all.lastBores);
    const heads = [all.verdictHead, all.how, all.size, all.where, all.part, all.when];
    keep(this.head, heads.map((head, i) => ({ key: String(i), signature: head, head })), ({ head }) => el("th", { scope: "col" }, head));
    const rows = run.bores.slice(-WORDS_OF).reverse().map((bore) => ({ key: String(bore.seq), signature: `${words.language}${words.unit}${bore.gone}`, bore }));
    keep(this.rows, rows, ({ bore }) => el("tr", { class: bore.gone ? "gone" : "" },
      el("th", { scope: "row" }, words.verdict(bore)),
      el("td", {}, bore.pm === null ? (bore.why ?? "") : words.sure(bore)),
      el("td", { class: "number" }, bore.pm === null ? "" : words.size(bore.pm, feature, bore)),
      el("td", {}, bore.pm === null ? "" : place(feature, [bore], words, { alone: true, height: 28 })),
      el("td", {}, bore.serial ?? String(bore.part ?? "")),
      el("td", {}, words.time(bore.at))));
  }
}

function forecastWords(forecast, words) {
  const all = words.all;
  if (!forecast) {
    return "";
  }
  const side = forecast.side ? all.verdict[forecast.side] : "";
  const lines = [];
  if (forecast.parts_left !== undefined) {
    lines.push(`${all.forecast(forecast.parts_left, side)}.`);
  } else if (forecast.no_forecast) {
    lines.push(all.noForecast[forecast.no_forecast] ?? forecast.no_forecast);
  }
  if (forecast.mean_crossing > 0 && forecast.mean_crossing_latest !== undefined) {
    const whole = (n) => words.number(n, 0);
    lines.push(all.crossing(whole(forecast.mean_crossing), whole(forecast.mean_crossing_earliest ?? 0), whole(forecast.mean_crossing_latest)));
  }
  return lines.join(" ");
}
