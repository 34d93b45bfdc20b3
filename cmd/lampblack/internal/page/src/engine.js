// The engine, wherever it is: ask() sends one ask and returns a promise of what it gives.
import { framed, answered, Frames } from "./talk.js";

// gone is that the program which serves the page has ended: its address is another next time.
const gone = "The program behind this page has ended. Take what is not saved from Files, one by one; then run 'lampblack open' again";

// Stopped is what ask throws once its signal is given.
export class Stopped extends Error {}

// Engine asks over a way of sending: send(bytes, signal, frame, what) calls frame for each frame of the answer, and returns a promise of
// the end. what is the ask's word; of `have`, that of the ask which lacked something.
export class Engine {
  #send;
  #content; // id -> bytes, of what the page has

  constructor(send, content) {
    this.#send = send;
    this.#content = content;
  }

  // ask returns {gives, files}; files is a list of {id, path, bytes}. step is told how far it is, and sign that the engine works. What the engine lacks is handed over. It throws Stopped, or an
  // Error in a builder's words.
  async ask(what, { desk, take, files, signal, step, sign, way = what } = {}) {
    for (let tries = 0; ; tries++) {
      let end = null;
      await this.#send(framed({ do: what, desk, with: take }, files), signal, bytes => {
        const a = answered(bytes);
        sign?.();
        if (a.step) step?.(a.step);
        else if (!a.beat) end = a;
      }, way);
      if (signal?.aborted) throw new Stopped();
      if (!end) throw new Error("the program gave no answer: try again");
      if (end.wrong) throw new Error(end.wrong);
      if (!end.lacks) return { gives: end.gives, files: end.files };
      const missing = end.lacks.map(id => ({ id, bytes: this.#content(id) }));
      const gone = missing.filter(f => !f.bytes);
      if (gone.length || tries > 3) throw new Error("a file is no longer there; build again");
      await this.ask("have", { files: missing, signal, way });
    }
  }
}

// served is the way to an engine behind the page's own address.
export async function served(bytes, signal, frame) {
  let answer;
  try {
    answer = await fetch("ask", { method: "POST", body: bytes, signal });
  } catch (e) {
    if (signal?.aborted) throw new Stopped();
    throw new Error(gone);
  }
  if (!answer.ok) throw new Error(await answer.text());
  const frames = new Frames(), pieces = answer.body.getReader();
  try {
    for (;;) {
      const { done, value } = await pieces.read();
      if (done) return;
      for (const f of frames.next(value)) frame(f);
    }
  } catch (e) {
    if (signal?.aborted) throw new Stopped();
    throw new Error(gone);
  }
}
