// At the gauge: what comes next, what the last bore was, the ring, and slips of the hand.
import { el, keep, text } from "/make.js";
import { place } from "/place.js";

const ARMED_MS = 4_000;
const ORDERS = ["discard", "measure-again", "skip", "attribute", "next-part"];

export class GaugeView {
  constructor(id) {
    this.id = id;
    this.heading = el("h1");
    this.choose = el("nav", { class: "choose" });
    this.stale = el("p", { class: "stale", hidden: true });
    this.next = el("p", { class: "next-bore" }, el("small"), el("strong"));
    this.verdict = el("p", { class: "verdict", "aria-live": "polite" });
    this.about = el("p", { class: "verdict-about" });
    this.drawing = el("div", { class: "large-place" });
    this.ring = el("p", { class: "ring" });
    this.hands = new Hands(this);
    this.node = el("section", { class: "gauge" }, this.heading, this.choose, this.stale, this.next, this.verdict, this.about, this.drawing, this.ring, this.hands.node);
  }

  show(stream, words) {
    const all = words.all;
    const gauges = stream.state.gauges;
    const id = this.id ?? (gauges.length === 1 ? gauges[0].gauge : undefined);
    text(this.heading, id ?? all.choose);
    keep(this.choose, gauges.length < 2 ? [] : gauges.map((gauge) => ({ key: gauge.gauge, signature: String(gauge.gauge === id) })), ({ key }) =>
      el("a", { href: `#/gauge/${encodeURIComponent(key)}`, "data-part": "link", "aria-current": key === id ? "page" : undefined }, key));
    this.choose.setAttribute("aria-label", all.choose);
    const trust = stream.trust();
    this.stale.hidden = trust.rest;
    text(this.stale, all.restStale);
    const gauge = gauges.find((g) => g.gauge === id);
    const features = stream.state.features.filter((f) => f.gauge === id);
    for (const node of [this.next, this.verdict, this.about, this.drawing, this.ring]) {
      node.hidden = !gauge;
    }
    this.hands.node.hidden = !gauge || !stream.head.hands || features.length === 0;
    if (!gauge) {
      return;
    }
    const waiting = features.filter((f) => f.awaited !== undefined);
    // A gauge that measures in sequence says whose turn it is.
    const turn = features.filter((f) => f.feature === gauge.next?.feature);
    const next = waiting.length > 0 ? waiting : turn.length > 0 ? turn : features;
    text(this.next.firstChild, all.expected);
    text(this.next.lastChild, next.map((f) => f.feature + (f.awaited === undefined ? "" : ` ${f.awaited ? all.place(f.awaited) : all.again}`)).join(", "));
    const last = features.map((feature) => ({ feature, bore: stream.run(feature.feature).bores.at(-1) }))
      .filter((each) => each.bore).sort((a, b) => b.bore.seq - a.bore.seq)[0];
    this.last(last, trust, stream, words);
    text(this.ring, `${gauge.connected ? all.readingOk : `${all.lostNow}: ${gauge.detail}`}${ringWords(gauge.truth, stream, words)}${gauge.battery_low ? `; ${all.batteryLow}` : ""}`);
    this.hands.show((waiting[0] ?? turn[0] ?? last?.feature ?? features[0])?.feature, features, last?.feature.feature, stream.head.pin, words);
  }

  last(last, trust, stream, words) {
    const signature = last ? `${last.bore.seq}${last.bore.gone}${words.language}${words.unit}` : `none${words.language}`;
    this.verdict.classList.toggle("old", !trust.rest);
    if (signature === this.signature) {
      return;
    }
    this.signature = signature;
    text(this.verdict, last ? words.verdict(last.bore) : words.all.noBore);
    this.drawing.replaceChildren();
    if (!last) {
      text(this.about, "");
      return;
    }
    const { feature, bore } = last;
    const disposition = bore.disposition ? words.all.disposition[bore.disposition] ?? bore.disposition : undefined;
    const sized = bore.pm === null ? [bore.why] : [words.size(bore.pm, feature, bore), words.sure(bore)];
    text(this.about, [feature.feature, bore.serial ? `${words.all.serial} ${bore.serial}` : undefined, disposition, ...sized, words.time(bore.at)].filter(Boolean).join("; "));
    this.drawing.append(place(feature, stream.run(feature.feature).bores, words, { height: 52 }));
  }
}

function ringWords(truth, stream, words) {
  if (!truth) {
    return "";
  }
  const all = words.all;
  const how = truth.on_ring ? all.onRing
    : truth.belief === "good" && truth.ring ? all.ringGood(truth.ring, words.since(truth.checked, stream.beat.at)) : all.belief[truth.belief];
  return `; ${all.ring}: ${how}${truth.check_due ? `; ${all.reason["ring-check-due"]}` : ""}`;
}

/** Buttons for gloves: the first tap asks, the second does. */
class Hands {
  constructor() {
    this.heading = el("h2");
    this.pinLabel = el("span");
    this.pin = el("input", { type: "password", inputmode: "numeric", autocomplete: "off", id: "pin", maxlength: "12" });
    this.pinRow = el("p", {}, el("label", { for: "pin" }, this.pinLabel), " ", this.pin);
    this.answer = el("p", { class: "answer", role: "status" });
    this.buttons = ORDERS.map((order) => el("button", { type: "button", "data-order": order, onclick: () => this.tap(order) }));
    this.node = el("section", { class: "hands" }, this.heading, this.pinRow, el("div", { class: "slips" }, ...this.buttons), this.answer);
  }

  show(feature, features, last, pin, words) {
    this.feature = feature;
    this.lastFeature = last;
    this.words = words;
    text(this.heading, words.all.hands.title);
    text(this.pinLabel, words.all.hands.pin);
    this.pinRow.hidden = !pin;
    for (const button of this.buttons) {
      const order = button.dataset.order;
      text(button, this.armed === order ? words.all.hands.sure : words.all.hands[order]);
      button.classList.toggle("armed", this.armed === order);
      button.disabled = order === "discard" && !last;
    }
  }

  tap(order) {
    if (this.armed !== order) {
      this.arm(order);
      return;
    }
    this.arm(undefined);
    this.give(order);
  }

  arm(order) {
    clearTimeout(this.timer);
    this.armed = order;
    if (order) {
      this.timer = setTimeout(() => this.arm(undefined), ARMED_MS);
    }
    this.show(this.feature, undefined, this.lastFeature, !this.pinRow.hidden, this.words);
  }

  async give(command) {
    const hands = this.words.all.hands;
    const order = { command, feature: command === "discard" ? this.lastFeature : this.feature };
    if (command === "discard" || command === "skip" || command === "attribute") {
      order.reason = "slip-of-the-hand";
    }
    if (command === "attribute") {
      order.found = "does-not-enter";
      order.reason = "gauge-does-not-enter";
    }
    if (!this.pinRow.hidden) {
      order.pin = this.pin.value;
      this.pin.value = "";
    }
    text(this.answer, hands.wait);
    try {
      const answer = await fetch("/hands", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(order) });
      const told = answer.ok ? await answer.json() : { code: String(answer.status), detail: await answer.text() };
      text(this.answer, told.code === "accepted" ? hands.done : hands.refused(told.detail || told.code));
    } catch {
      text(this.answer, hands.failed);
    }
  }
}
