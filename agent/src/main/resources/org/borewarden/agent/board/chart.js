// The run of a feature: bores in order, limits, guard band, centre, what happened between them, and where it goes.
import uPlot from "/chart-library.js";
import { guardOf, limitsOf, shapeOf } from "/place.js";

const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const HEIGHT = 340;
const AHEAD = 12;
const SHORT_MS = 600_000;

export class Chart {
  constructor() {
    this.node = document.createElement("div");
    this.node.className = "chart";
    this.node.setAttribute("role", "img");
    this.plot = undefined;
    this.made = "";
    addEventListener("resize", () => this.plot?.setSize({ width: this.width(), height: HEIGHT }));
    for (const query of ["(prefers-color-scheme: dark)"]) {
      matchMedia(query).addEventListener("change", () => (this.made = ""));
    }
  }

  width() {
    return Math.max(280, this.node.clientWidth);
  }

  show(feature, run, trend, words) {
    const bores = run.bores.filter((bore) => bore.pm !== null && !bore.gone);
    this.feature = feature;
    this.bores = bores;
    this.marks = run.marks;
    this.trend = trend;
    this.words = words;
    this.small = words.small(feature);
    this.places = new Map(bores.map((bore, i) => [bore.seq, i + 1]));
    const x = bores.map((bore, i) => i + 1);
    const y = bores.map((bore) => this.scaled(bore.pm));
    const ahead = this.ahead();
    x.push(bores.length + Math.max(2, ahead));
    y.push(null);
    const key = feature.feature + words.language + this.small.name;
    if (!this.plot || this.made !== key) {
      this.plot?.destroy();
      this.made = key;
      this.plot = new uPlot(this.options(), [x, y], this.node);
    } else {
      this.plot.setData([x, y]);
    }
    const last = run.bores.at(-1);
    const label = words.all.chart(feature.feature, bores.length, last ? words.verdict(last) : words.all.noBore);
    if (this.node.getAttribute("aria-label") !== label) {
      this.node.setAttribute("aria-label", label);
    }
  }

  scaled(pm) {
    return (pm - this.feature.nominal) / this.small.pm;
  }

  /** How many parts of the future are drawn: no more than half of what is known. */
  ahead() {
    const forecast = this.trend?.forecast;
    const far = forecast?.mean_crossing_latest ?? forecast?.mean_crossing ?? forecast?.parts_left ?? 0;
    return Math.ceil(Math.min(Math.max(far, 0) + 1, Math.max(AHEAD, this.bores.length / 2)));
  }

  range() {
    const limits = limitsOf(this.feature);
    const values = [this.scaled(limits.lower), this.scaled(limits.upper), ...this.bores.map((bore) => this.scaled(bore.pm))];
    const low = Math.min(...values);
    const high = Math.max(...values);
    const margin = (high - low) * 0.08;
    return [low - margin, high + margin];
  }

  options() {
    const axis = { stroke: () => colour("--ink"), grid: { stroke: () => colour("--faint"), width: 1 }, ticks: { stroke: () => colour("--faint") }, font: "13px system-ui, sans-serif" };
    return {
      width: this.width(), height: HEIGHT, legend: { show: false }, cursor: { show: false }, padding: [22, 14, 0, 0],
      scales: { x: { time: false, range: (u, low, high) => [0, high + 0.5] }, y: { range: () => this.range() } },
      axes: [
        { ...axis, values: (u, splits) => splits.map((split) => this.at(split)), incrs: [5, 10, 20, 50, 100] },
        { ...axis, label: this.words.all.chartAxis(this.small.name), labelFont: "13px system-ui, sans-serif", size: 64 },
      ],
      series: [{}, { paths: () => null, points: { show: false } }],
      hooks: { drawClear: [() => this.ground()], draw: [() => this.foreground()] },
    };
  }

  /** Below a bore stands when it was. */
  at(split) {
    const bore = this.bores[split - 1];
    if (!bore) {
      return "";
    }
    const short = this.bores.at(-1).at - this.bores[0].at < SHORT_MS;
    return short ? this.words.time(bore.at) : this.words.since(bore.at, this.bores.at(-1).at);
  }

  pixel(x, y) {
    return [this.plot.valToPos(x, "x", true), this.plot.valToPos(y, "y", true)];
  }

  /** Draws with the library's context; called while it draws, when this.plot may not stand yet. */
  drawing(draw) {
    const plot = this.plot;
    if (!plot) {
      return;
    }
    const ctx = plot.ctx;
    ctx.save();
    ctx.beginPath();
    ctx.rect(plot.bbox.left, 0, plot.bbox.width, plot.bbox.top + plot.bbox.height);
    ctx.clip();
    draw(ctx, plot.bbox, devicePixelRatio);
    ctx.restore();
  }

  ground() {
    this.drawing((ctx, box, dpr) => {
      const limits = limitsOf(this.feature);
      const guard = guardOf(this.feature, this.bores.at(-1));
      const top = box.top;
      const bottom = box.top + box.height;
      const upper = this.pixel(0, this.scaled(limits.upper))[1];
      const lower = this.pixel(0, this.scaled(limits.lower))[1];
      if (limits.hasUpper) {
        this.bank(ctx, box, top, upper, dpr);
        this.level(ctx, box, upper, "--ink", 2, [], this.words.all.upper, dpr);
      }
      if (limits.hasLower) {
        this.bank(ctx, box, lower, bottom, dpr);
        this.level(ctx, box, lower, "--ink", 2, [], this.words.all.lower, dpr);
      }
      if (guard.upper < limits.upper) {
        this.level(ctx, box, this.pixel(0, this.scaled(guard.upper))[1], "--muted", 1, [2, 3], this.words.all.guard, dpr);
      }
      if (guard.lower > limits.lower) {
        this.level(ctx, box, this.pixel(0, this.scaled(guard.lower))[1], "--muted", 1, [2, 3], this.words.all.guard, dpr);
      }
      if (this.feature.centre !== undefined) {
        this.level(ctx, box, this.pixel(0, this.scaled(this.feature.centre))[1], "--muted", 1, [10, 6], this.words.all.centre, dpr);
      }
      this.future(ctx, box, dpr);
    });
  }

  bank(ctx, box, from, to, dpr) {
    ctx.save();
    ctx.beginPath();
    ctx.rect(box.left, from, box.width, to - from);
    ctx.clip();
    ctx.strokeStyle = colour("--faint");
    ctx.lineWidth = dpr;
    for (let x = box.left - (to - from); x < box.left + box.width; x += 8 * dpr) {
      line(ctx, x, to, x + (to - from), from);
    }
    ctx.restore();
  }

  level(ctx, box, y, name, width, dash, words, dpr) {
    ctx.strokeStyle = colour(name);
    ctx.lineWidth = width * dpr;
    ctx.setLineDash(dash.map((d) => d * dpr));
    line(ctx, box.left, y, box.left + box.width, y);
    ctx.setLineDash([]);
    ctx.fillStyle = colour("--muted");
    ctx.font = `${12 * dpr}px system-ui, sans-serif`;
    ctx.textAlign = "left";
    ctx.fillText(words, box.left + 4 * dpr, y - 4 * dpr);
  }

  /** The line goes on to the limit; the wedge is as wide as the interval of where it gets there. */
  future(ctx, box, dpr) {
    const forecast = this.trend?.forecast;
    if (!forecast || this.bores.length === 0 || forecast.slope === undefined || !forecast.side) {
      return;
    }
    const last = this.bores.length;
    const guard = guardOf(this.feature, this.bores.at(-1));
    const limit = this.scaled(forecast.side === "undersize" ? guard.lower : guard.upper);
    if (forecast.mean_crossing !== undefined && forecast.mean_crossing > 0) {
      const from = limit - (forecast.slope * 1e12 * forecast.mean_crossing) / this.small.pm;
      const start = this.pixel(last, from);
      const early = this.pixel(last + (forecast.mean_crossing_earliest ?? forecast.mean_crossing), limit);
      const late = this.pixel(last + (forecast.mean_crossing_latest ?? forecast.mean_crossing), limit);
      ctx.fillStyle = colour("--wedge");
      ctx.beginPath();
      ctx.moveTo(...start);
      ctx.lineTo(...early);
      ctx.lineTo(...late);
      ctx.closePath();
      ctx.fill();
      ctx.strokeStyle = colour("--ink");
      ctx.lineWidth = 1.5 * dpr;
      ctx.setLineDash([6 * dpr, 4 * dpr]);
      line(ctx, ...start, ...this.pixel(last + forecast.mean_crossing, limit));
      ctx.setLineDash([]);
    }
    if (forecast.parts_left !== undefined) {
      const x = this.pixel(last + forecast.parts_left, 0)[0];
      ctx.strokeStyle = colour("--urgent");
      ctx.lineWidth = 2 * dpr;
      line(ctx, x, box.top, x, box.top + box.height);
    }
  }

  foreground() {
    this.drawing((ctx, box, dpr) => {
      ctx.font = `${11 * dpr}px system-ui, sans-serif`;
      for (const mark of this.marks) {
        const after = this.bores.findIndex((bore) => bore.seq > mark.seq);
        const finding = mark.kind === "finding";
        if (after === 0 && !finding) {
          continue;
        }
        const x = this.pixel((after < 0 ? this.bores.length + 1 : after + 1) - (finding ? 1 : 0.5), 0)[0];
        ctx.strokeStyle = colour("--muted");
        ctx.lineWidth = dpr;
        if (finding) {
          ctx.fillStyle = colour("--ink");
          ctx.beginPath();
          ctx.moveTo(x, box.top - 2 * dpr);
          ctx.lineTo(x - 5 * dpr, box.top - 12 * dpr);
          ctx.lineTo(x + 5 * dpr, box.top - 12 * dpr);
          ctx.fill();
        } else {
          ctx.setLineDash([3 * dpr, 3 * dpr]);
          line(ctx, x, box.top, x, box.top + box.height);
          ctx.setLineDash([]);
          ctx.fillStyle = colour("--ink");
          ctx.textAlign = "center";
          ctx.fillText(this.words.all.kind[mark.kind](mark), x, box.top - 6 * dpr);
        }
      }
      ctx.lineWidth = 1.5 * dpr;
      this.bores.forEach((bore, i) => this.bore(ctx, bore, this.pixel(i + 1, this.scaled(bore.pm)), i === this.bores.length - 1, dpr));
    });
  }

  bore(ctx, bore, [x, y], last, dpr) {
    const r = (last ? 5.5 : 3.2) * dpr;
    const shape = shapeOf(bore);
    ctx.strokeStyle = colour(shape === "cross" ? "--urgent" : "--ink");
    ctx.fillStyle = colour(last ? "--ink" : "--paper");
    ctx.beginPath();
    if (shape === "cross") {
      ctx.lineWidth = 2.4 * dpr;
      line(ctx, x - r, y - r, x + r, y + r);
      line(ctx, x - r, y + r, x + r, y - r);
      ctx.lineWidth = 1.5 * dpr;
    } else if (shape === "bar") {
      line(ctx, x, y - r * 1.4, x, y + r * 1.4);
    } else if (shape === "square") {
      ctx.rect(x - r, y - r, 2 * r, 2 * r);
      ctx.fill();
      ctx.stroke();
    } else {
      ctx.arc(x, y, r, 0, 7);
      ctx.fill();
      ctx.stroke();
    }
  }
}

function line(ctx, x1, y1, x2, y2) {
  ctx.beginPath();
  ctx.moveTo(x1, y1);
  ctx.lineTo(x2, y2);
  ctx.stroke();
}
