// What the agent told last, and how old it is. Nothing here knows how it is shown.

const BEATS_STALE_MS = 500;
const REST_STALE_MS = 10_000;
const LOST_MS = 2_000;
const MOST_BORES = 200;
const MOST_MARKS = 60;

export class Stream {
  constructor(changed) {
    this.changed = changed;
    this.state = undefined;
    this.runs = new Map();
    this.head = {};
    this.beat = { turned_ms: 0, read_ms: 0, at: 0 };
    this.connected = false;
    this.arrived = performance.now();
    this.open();
  }

  open(old) {
    const source = new EventSource("/events");
    let first = true;
    source.onmessage = (message) => {
      if (first) {
        first = false;
        old?.close();
      }
      this.take(JSON.parse(message.data));
    };
    source.addEventListener("renew", () => {
      source.onerror = () => source.close();
      this.open(source);
    });
    source.onerror = () => {
      first = true;
      this.connected = false;
      this.changed();
      if (source.readyState === EventSource.CLOSED) {
        this.openLater(source);
      }
    };
  }

  /** After an answer other than a stream the browser does not try again by itself: this does, slowly. */
  openLater(source) {
    source.onerror = undefined;
    setTimeout(() => this.signedOut().then((out) => (out ? location.reload() : this.open())), 2_000);
  }

  signedOut() {
    return fetch("/events", { method: "HEAD" }).then((answer) => answer.status === 401, () => false);
  }

  take(told) {
    if (told.zone !== undefined) {
      if (!this.connected) {
        this.runs.clear();
      }
      this.head = { zone: told.zone, hands: told.hands, pin: told.pin };
    }
    this.connected = true;
    this.arrived = performance.now();
    this.beat = { turned_ms: told.turned_ms, read_ms: told.read_ms, at: told.at };
    if (told.state) {
      this.state = told.state;
    }
    for (const [feature, run] of Object.entries(told.runs ?? {})) {
      const had = this.runs.get(feature) ?? { bores: [], marks: [] };
      this.runs.set(feature, {
        bores: merged(had.bores, run.bores, MOST_BORES),
        marks: merged(had.marks, run.marks, MOST_MARKS),
      });
    }
    this.changed();
  }

  /** How much of what is shown may be believed: the cell's hold, the rest, anything. */
  trust() {
    const silent = performance.now() - this.arrived;
    const { turned_ms, read_ms } = this.beat;
    return {
      lost: !this.connected || silent > LOST_MS,
      hold: turned_ms <= BEATS_STALE_MS && silent <= BEATS_STALE_MS,
      rest: Math.max(turned_ms, read_ms) + silent <= REST_STALE_MS,
      age: (turned_ms + silent) / 1000,
    };
  }

  run(feature) {
    return this.runs.get(feature) ?? { bores: [], marks: [] };
  }
}

function merged(had, more, most) {
  const bySeq = new Map(had.map((row) => [row.seq, row]));
  more.forEach((row) => bySeq.set(row.seq, row));
  const all = [...bySeq.values()].sort((a, b) => a.seq - b.seq);
  return all.slice(-most);
}
