// Taking files in: from a drop, from a folder, from a zip, or chosen by a button.
import { known, change, desk, fresh } from "./desk.js";
import { deed, said } from "./do.js";
import { engine } from "./work.js";
import { view } from "./at.js";

const most = 64 << 20; // bytes of one file
const mostTogether = 200 << 20; // bytes at once: an ask is bounded
const mostFiles = 500;

// begun lays an example, or the small panel to draw on from, on the desk.
export async function begun(of) {
  try {
    const { files } = await engine.ask("start", { take: { of } });
    known(files);
    change("begin with an example", Object.fromEntries(files.map(f => [f.path, f.id])));
    said.value = null;
    view.value = "drawing";
  } catch (e) {
    said.value = { words: e.message, wrong: true };
  }
}

// anew clears the desk, for another project.
export const anew = () => change("begin anew", Object.fromEntries(Object.keys(desk.value).map(path => [path, null])));

// takeDrop takes what was dropped. The entries must be asked for before the event ends.
export function takeDrop(transfer) {
  const entries = [...transfer.items].map(i => i.webkitGetAsEntry?.()).filter(Boolean);
  return attempt(async () => {
    const out = [];
    for (const e of entries) await walk(e, "", out);
    return out;
  });
}

// takeChosen takes the files of an input.
export const takeChosen = files => attempt(async () => [...files].map(file => ({ path: file.webkitRelativePath || file.name, file })).filter(f => wanted(f.path)));

async function attempt(list) {
  try {
    await lay(await list());
  } catch (e) {
    said.value = { words: `the files cannot be read: ${e.message}`, wrong: true };
  }
}

// wanted leaves out what a project's folder has beside the project: what was built, and what is hidden.
const wanted = path => !path.split("/").some((part, i, all) => part.startsWith(".") || (part === "out" && i > 0 && i < all.length - 1));

async function walk(entry, folder, out) {
  const path = folder + entry.name;
  if (!wanted(path + (entry.isDirectory ? "/" : ""))) return;
  if (entry.isFile) {
    out.push({ path, file: await new Promise((ok, no) => entry.file(ok, no)) });
  } else {
    const reader = entry.createReader();
    for (;;) {
      const some = await new Promise((ok, no) => reader.readEntries(ok, no)); // gives at most 100 at a time
      if (!some.length) return;
      for (const e of some) await walk(e, path + "/", out);
      if (out.length > mostFiles) return; // told by lay
    }
  }
}

// stripped takes off the folder that all files lie in: the project is what is in it.
function stripped(files) {
  const [folder] = files[0].path.split("/");
  if (!files.every(f => f.path.startsWith(folder + "/"))) return files;
  return files.map(f => ({ ...f, path: f.path.slice(folder.length + 1) }));
}

const megabytes = n => `${Math.ceil(n / (1 << 20))} MB`;

async function lay(found) {
  if (!found.length) throw new Error("there is nothing among them that a project has; drop a drawing (.dxf), a project's folder or its zip");
  const files = stripped(found);
  if (files.length > mostFiles) throw new Error(`there are more than ${mostFiles} of them; drop the project's own folder alone`);
  const large = files.find(f => f.file.size > most);
  if (large) throw new Error(`${large.path} has ${megabytes(large.file.size)}, the page takes files of at most 64 MB; leave out of the drawing what is not the panel`);
  const together = files.reduce((n, f) => n + f.file.size, 0);
  if (together > mostTogether) throw new Error(`together they have ${megabytes(together)}, the page takes at most 200 MB at once; drop fewer`);
  const laid = {};
  for (const f of files) laid[f.path] = fresh(new Uint8Array(await f.file.arrayBuffer()));
  if (!desk.value["lampblack.yaml"]) view.value = "drawing";
  await deed("take", { paths: Object.keys(laid) }, laid);
}
