// A worker that has the program of Lampblack, compiled for WebAssembly. What it is told and what it says:
//
//	{packed}        → {module}         the program as it stands in the page, unpacked and compiled
//	{module, core}  → {ready}          the program runs
//	{id, ask}       → {id, frame} ... {id, end: true}
//	{stop: id}                         the answer ends soon, by {id, end: true}
//	                → {fault}          the program broke down, in words
import { decompress } from "fzstd";
import { bytes } from "./letters.js";

const unpacked = text => WebAssembly.compile(decompress(bytes(text)));

async function run(module) {
  const go = new Go(); // the toolchain's loader stands before this script
  const said = [];
  console.error = console.log = (...words) => (said.push(words.join(" ")), said.splice(0, said.length - 20)); // what a Go program says last
  globalThis.lampblackReady = () => postMessage({ ready: true });
  await go.run(await WebAssembly.instantiate(module, go.importObject));
  throw new Error(said.find(s => /^(panic|fatal error|runtime)/.test(s)) ?? "it ended");
}

onmessage = async ({ data }) => {
  try {
    if (data.packed) postMessage({ module: await unpacked(data.packed) });
    else if (data.module) await run(data.module);
    else if (data.stop) lampblackStop(data.stop);
    else {
      await lampblackAsk(data.id, data.ask, frame => postMessage({ id: data.id, frame }, [frame.buffer]));
      postMessage({ id: data.id, end: true });
    }
  } catch (e) {
    postMessage({ fault: e.message ?? String(e) });
  }
};
