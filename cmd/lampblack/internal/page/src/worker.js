// A worker that has the program of Lampblack, compiled for WebAssembly. What it is told and what it says:
//
//	{packed}        → {module}         the program as it stands in the page, unpacked and compiled
//	{module, peers, alive} → {ready}   the program runs, and may hand errands to so many others; the lock of that name is held as long as the worker lives
//	{id, ask}       → {id, frame} ... {id, end: true, bytes}    bytes of memory that the program has
//	{id, help}      → {id, frame} ... {id, end: true}    an errand of another worker; frames of nothing while it is done, then what comes of it
//	                → {hand, peer, errand}           for another worker
//	{hand, made}                       what that made of it; null: nothing
//	                → {leave}          that peer need not go on
//	{stop: id}                         the answer ends soon, by {id, end: true}
//	                → {fault}          the program broke down, in words
import { decompress } from "fzstd";
import { bytes } from "./letters.js";

const unpacked = text => WebAssembly.compile(decompress(bytes(text)));

const handed = new Map(); // promises of errands that others do
let hands = 0;
let memory = null;

globalThis.lampblackHand = (peer, errand) =>
  new Promise(kept => {
    handed.set(++hands, kept);
    postMessage({ hand: hands, peer, errand }, [errand.buffer]);
  });
globalThis.lampblackLeave = peer => postMessage({ leave: peer });

// lives holds a lock, which the browser takes back from a worker that has ended, however it did.
const lives = name => new Promise(held => navigator.locks ? navigator.locks.request(name, () => (held(), new Promise(() => {}))).catch(held) : held());

async function run(module, peers) {
  globalThis.lampblackPeers = peers;
  const go = new Go(); // the toolchain's loader stands before this script
  const said = [];
  console.error = console.log = (...words) => (said.push(words.join(" ")), said.splice(0, said.length - 20)); // what a Go program says last
  globalThis.lampblackReady = () => postMessage({ ready: true });
  const instance = await WebAssembly.instantiate(module, go.importObject);
  memory = instance.exports.mem;
  await go.run(instance);
  throw new Error(said.find(s => /^(panic|fatal error|runtime)/.test(s)) ?? "it ended");
}

onmessage = async ({ data }) => {
  try {
    if (data.packed) postMessage({ module: await unpacked(data.packed) });
    else if (data.module) {
      if (data.alive) await lives(data.alive);
      await run(data.module, data.peers);
    }
    else if (data.hand) handed.get(data.hand)(data.made), handed.delete(data.hand);
    else if (data.stop) lampblackStop(data.stop);
    else {
      await (data.help ? lampblackHelp : lampblackAsk)(data.id, data.help ?? data.ask, frame => postMessage({ id: data.id, frame }, [frame.buffer]));
      postMessage({ id: data.id, end: true, bytes: memory.buffer.byteLength });
    }
  } catch (e) {
    postMessage({ fault: e.message ?? String(e) });
  }
};
