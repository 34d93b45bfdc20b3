// The way to the engine where it is in the page: the program stands in the page's elements, and workers run it.
//
// One worker answers what is quick, so that a click is never behind a build; one does what takes long and has what the build made, and
// hands boards to as many others as the machine has cores for. An ask that is left off is stopped, by which the program keeps what it has done so far; where it does not stop, its worker is ended and
// a new one begun.
import { Stopped } from "./engine.js";

const long = new Set(["build", "zip", "fetch", "place", "board"]);
const patience = 3000; // ms that a stop may take
const most = 1 << 30; // bytes: a program's memory never shrinks, so that one with more is begun anew before it builds again
const idle = 30_000; // ms after which a helper is let go
const deafness = 30_000; // ms without a sign of a helper, after which it is taken to be stuck

// peers returns how many workers may help the one that builds: each has a core, and some 300 MB while it works.
export function peers({ hardwareConcurrency: cores = 1, deviceMemory: gigabytes = 4, userAgentData, userAgent = "" } = navigator) {
  const phone = userAgentData?.mobile ?? /Mobi|Android/.test(userAgent);
  return phone ? 0 : Math.max(0, Math.min(cores, gigabytes, 6) - 1);
}

// inPage returns the way to the engine in this page, as `served` is one; null where the page has none.
export function inPage() {
  const text = id => document.getElementById(id)?.textContent;
  const packed = text("program");
  if (!packed) return null;
  const script = URL.createObjectURL(new Blob([text("loader"), "\n", text("worker")], { type: "text/javascript" }));
  const module = compiled(script, packed);
  document.getElementById("program").remove(); // ten million letters
  const helpers = new Helpers(peers(), () => new Seat("helps", script, module));
  const quick = new Seat("is quick", script, module), slow = new Seat("takes long", script, module, helpers);
  return (bytes, signal, frame, what) => {
    if (what === "build") slow.renew();
    return (long.has(what) ? slow : quick).send(bytes, signal, frame);
  };
}

// compiled returns a promise of the program, that all workers share.
function compiled(script, packed) {
  return new Promise((kept, broken) => {
    const worker = new Worker(script);
    const done = (f, v) => (f(v), worker.terminate());
    worker.onmessage = ({ data }) => (data.module ? done(kept, data.module) : done(broken, new Error(data.fault)));
    worker.onerror = e => done(broken, new Error(e.message));
    worker.postMessage({ packed });
  });
}

// Helpers do errands for a worker. Each is begun when there is the first one for it, and one that fails makes nothing of it: then
// whoever sent it does it.
class Helpers {
  #begun;
  #seats = [];
  #errands = []; // of each, what stops it

  constructor(n, begun) {
    this.n = n;
    this.#begun = begun;
  }

  async do(peer, errand) {
    const seat = (this.#seats[peer] ??= this.#begun()), stop = (this.#errands[peer] = new AbortController());
    let made = null, deaf;
    const heard = () => (clearTimeout(deaf), (deaf = setTimeout(() => seat.end("it gave no sign of life"), deafness)));
    heard();
    await seat.send(errand, stop.signal, b => (heard(), b.length && (made = b)), "help").catch(() => (made = null));
    clearTimeout(deaf);
    seat.idles(idle);
    return made;
  }

  leave(peer) {
    this.#errands[peer]?.abort();
  }

  leaveAll() {
    this.#errands.forEach(e => e.abort());
  }
}

// Anew is why an ask broke whose worker was ended for another ask, which did not stop: it is asked again.
class Anew extends Error {}

// ended keeps its promise when the worker that holds the lock of a name has ended, of which a browser tells nothing. Where the browser has
// no locks for this page, or others for its workers, it is never kept.
async function ended(name) {
  const never = new Promise(() => {}), locks = navigator.locks;
  const held = await locks?.request(name, { ifAvailable: true }, free => !free).catch(() => false);
  if (!held) return never;
  return locks.request(name, () => {}).catch(() => never);
}

// Seat is where a worker sits: the one that is there, or the next.
class Seat {
  #name; // in the browser's own tools
  #script;
  #module;
  #helpers; // null: none
  #sitting = null; // {worker, ready, asks}

  constructor(name, script, module, helpers = null) {
    this.#name = name;
    this.#script = script;
    this.#module = module;
    this.#helpers = helpers;
  }

  async #seated() {
    const mine = (this.#sitting ??= this.#begun());
    await mine.ready;
    return mine;
  }

  #begun() {
    const worker = new Worker(this.#script, { name: this.#name }), asks = new Map(); // of id: {frame, kept, broken}
    const alive = "lampblack " + Array.from(crypto.getRandomValues(new Uint32Array(4))).join("-");
    const one = { worker, asks, next: 1, bytes: 0, left: false };
    one.leave = (words, fault = new Error(words)) => {
      if (one.left) return;
      one.left = true;
      worker.terminate();
      this.#helpers?.leaveAll();
      if (this.#sitting === one) this.#sitting = null;
      for (const a of asks.values()) a.broken(fault);
    };
    one.ready = new Promise((kept, broken) => {
      const fault = words => {
        const told = `the program broke down (${words}), and was begun anew`;
        broken(new Error(told));
        one.leave(told);
      };
      worker.onerror = e => fault(e.message);
      worker.onmessage = ({ data }) => {
        const a = asks.get(data.id);
        if (data.ready) kept(), ended(alive).then(() => fault("the browser ended it"));
        else if (data.fault) fault(data.fault);
        else if (data.hand) this.#helpers.do(data.peer, data.errand).then(made => worker.postMessage({ hand: data.hand, made }, made ? [made.buffer] : []));
        else if ("leave" in data) this.#helpers.leave(data.leave);
        else if (data.end) (one.bytes = data.bytes), a?.kept(asks.delete(data.id));
        else a?.frame(data.frame);
      };
      this.#module.then(module => worker.postMessage({ module, peers: this.#helpers?.n ?? 0, alive }), e => fault(e.message));
    });
    return one;
  }

  // renew lets a worker go that has taken too much memory, and idles one that is asked nothing for so many ms. What it knows goes with it.
  renew() {
    const one = this.#sitting;
    if (one?.bytes > most && one.asks.size === 0) one.leave("");
  }

  idles(ms) {
    const one = this.#sitting, asked = one?.next;
    setTimeout(() => one?.next === asked && one?.asks.size === 0 && one.leave(""), ms);
  }

  // end ends the worker, and breaks what it was asked.
  end(words) {
    this.#sitting?.leave(words);
  }

  // send asks, as Engine wants it, or hands an errand over.
  async send(bytes, signal, frame, as = "ask") {
    const one = await this.#seated();
    if (signal?.aborted) throw new Stopped();
    const id = one.next++;
    let left;
    try {
      await new Promise((kept, broken) => {
        one.asks.set(id, { frame: f => signal?.aborted || frame(f), kept, broken });
        left = () => {
          broken(new Stopped());
          one.worker.postMessage({ stop: id });
          setTimeout(() => one.asks.has(id) && one.leave("", new Anew()), patience);
        };
        signal?.addEventListener("abort", left);
        one.worker.postMessage({ id, [as]: bytes });
      });
    } catch (e) {
      if (!(e instanceof Anew)) throw e;
      if (signal?.aborted) throw new Stopped();
      return this.send(bytes, signal, frame, as);
    } finally {
      signal?.removeEventListener("abort", left);
    }
  }
}
