// A worker that has the program of Lampblack, compiled for WebAssembly. What it is told and what it says:
//
//	{packed}        → {module}         the program as it stands in the page, unpacked and compiled
//	{module, core}  → {ready}          the program runs
//	{id, ask}       → {id, frame} ... {id, end: true}
//	{stop: id}                         the answer ends soon, by {id, end: true}
//	                → {fault}          the program broke down, in words
import { decompress } from "fzstd";

const unpacked = text => WebAssembly.compile(decompress(bytes(text)));

// bytes reads what package page wrote as Letters.
function bytes(text) {
  const none = text.split("z").length - 1; // z: four bytes of nothing
  const out = new Uint8Array(none * 4 + Math.ceil((text.length - none) / 5) * 4);
  let at = 0, group = 0, n = 0;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 122) at += 4;
    else {
      group = group * 85 + (c === 118 ? 27 : c - 33); // v stands for <
      if (++n < 5) continue;
      out[at++] = group / 2 ** 24;
      out[at++] = group >>> 16;
      out[at++] = group >>> 8;
      out[at++] = group;
      group = n = 0;
    }
  }
  if (n === 0) return out.subarray(0, at);
  for (let i = n; i < 5; i++) group = group * 85 + 84;
  for (let i = 0; i < n - 1; i++) out[at++] = Math.floor(group / 2 ** (24 - 8 * i));
  return out.subarray(0, at);
}

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
