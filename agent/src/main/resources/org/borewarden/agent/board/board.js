// The page: chooses the view, keeps it in step with the stream, and covers it when nothing is known any more.
import { el, text } from "/make.js";
import { GaugeView } from "/gauge.js";
import { QueueView } from "/queue.js";
import { FeatureView, RunsView } from "/runs.js";
import { Stream } from "/stream.js";
import { LANGUAGES, Words } from "/words.js";

const LOOK_MS = 250;
const byId = (id) => document.getElementById(id);
const words = new Words();
const main = byId("main");
const queue = new QueueView();
let view;
let shownAt = "";
let announced = "";
let waiting = false;

const stream = new Stream(() => {
  if (!waiting) {
    waiting = true;
    requestAnimationFrame(show);
  }
});

function route() {
  const [kind, id] = location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if (location.hash === shownAt && view) {
    return;
  }
  shownAt = location.hash;
  if (kind === "bores") {
    view = id ? new FeatureView(id) : new RunsView();
  } else if (kind === "gauge") {
    view = new GaugeView(id);
  } else {
    view = queue;
  }
  main.replaceChildren(view.node);
  document.body.dataset.view = kind || "decide";
}

function show() {
  waiting = false;
  cover();
  if (!stream.state) {
    return;
  }
  if (stream.head.zone) {
    words.zone = stream.head.zone;
  }
  route();
  frame();
  view.show(stream, words);
}

function frame() {
  const all = words.all;
  document.documentElement.lang = words.language;
  text(byId("skip"), all.skip);
  text(byId("agent"), stream.state.agent);
  text(byId("heard"), all.heard(words.time(stream.beat.at)));
  text(byId("unit-label"), all.unit);
  text(byId("language-label"), all.language);
  const here = document.body.dataset.view;
  const links = [["decide", "#/"], ["bores", "#/bores"], ["gauge", "#/gauge"]];
  const key = words.language + here;
  const nav = byId("nav");
  if (nav.dataset.key !== key) {
    nav.dataset.key = key;
    nav.replaceChildren(...links.map(([name, to]) => el("a", { href: to, "aria-current": name === here ? "page" : undefined }, all.nav[name])));
    choices("unit", ["shop", "mm", "in"], (name) => all.units[name]);
    choices("language", Object.keys(LANGUAGES), (name) => LANGUAGES[name].name);
    document.title = `${all.nav[here] ?? ""} - ${stream.state.agent}`;
  }
  announce();
}

function choices(name, values, shown) {
  byId(name).replaceChildren(...values.map((value) => el("option", { value, selected: words[name] === value }, shown(value))));
}

/** A new first decision is said to whoever does not look. */
function announce() {
  const first = queue.groups.querySelector(".title")?.textContent ?? "";
  if (view !== queue) {
    queue.show(stream, words);
  }
  if (first !== announced) {
    announced = first;
    text(byId("say"), first || words.all.calm);
  }
}

/** What is not known any more is not claimed: the page is covered at once. */
function cover() {
  const trust = stream.trust();
  const node = byId("cover");
  const blind = trust.lost || !stream.state;
  main.inert = blind;
  node.hidden = !blind;
  document.body.classList.toggle("blind", blind);
  if (blind) {
    const seconds = Math.floor((performance.now() - stream.arrived) / 1000);
    text(byId("cover-words"), stream.state ? words.all.cover(seconds) : words.all.waiting);
  }
}

addEventListener("hashchange", () => {
  show();
  main.focus();
});
for (const name of ["unit", "language"]) {
  byId(name).addEventListener("change", (event) => {
    words.choose(name, event.target.value);
    show();
  });
}
// Not a poll: what is old must show as old though nothing comes any more.
setInterval(show, LOOK_MS);
show();
