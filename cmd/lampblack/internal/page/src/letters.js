// bytes reads what package page wrote as Letters.
export function bytes(text) {
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
