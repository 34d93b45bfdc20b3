// Frames, as package talk has them: 4 bytes each for the lengths of head and body, then both.

const words = new TextEncoder(), letters = new TextDecoder();

// framed returns the bytes of an ask; files is a list of {id, path, bytes}.
export function framed(ask, files = []) {
  const head = words.encode(JSON.stringify({ ...ask, files: files.map(f => ({ id: f.id, path: f.path, size: f.bytes.length })) }));
  const body = files.reduce((n, f) => n + f.bytes.length, 0);
  const out = new Uint8Array(8 + head.length + body);
  const view = new DataView(out.buffer);
  view.setUint32(0, head.length, true);
  view.setUint32(4, body, true);
  out.set(head, 8);
  let at = 8 + head.length;
  for (const f of files) {
    out.set(f.bytes, at);
    at += f.bytes.length;
  }
  return out;
}

// answered reads one frame, and returns its head with the bytes of its files in place of their sizes.
export function answered(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const head = view.getUint32(0, true);
  const answer = JSON.parse(letters.decode(bytes.subarray(8, 8 + head)));
  let at = 8 + head;
  answer.files = (answer.files ?? []).map(f => {
    const one = { id: f.id, path: f.path, bytes: bytes.slice(at, at + f.size) };
    at += f.size;
    return one;
  });
  return answer;
}

// Frames puts the pieces of a stream together to frames.
export class Frames {
  #rest = new Uint8Array(0);

  // next takes a piece and returns the frames that are whole by it.
  next(piece) {
    const all = new Uint8Array(this.#rest.length + piece.length);
    all.set(this.#rest);
    all.set(piece, this.#rest.length);
    const out = [];
    let at = 0;
    while (all.length - at >= 8) {
      const view = new DataView(all.buffer, at);
      const long = 8 + view.getUint32(0, true) + view.getUint32(4, true);
      if (all.length - at < long) break;
      out.push(all.slice(at, at + long));
      at += long;
    }
    this.#rest = all.slice(at);
    return out;
  }
}
