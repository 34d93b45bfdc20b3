// A picture that the build wrote.
import { useEffect, useState } from "preact/hooks";
import { fetched, made } from "./work.js";

const types = { svg: "image/svg+xml", png: "image/png" };

// typeOf returns the media type of a picture, nothing of another file.
export const typeOf = path => types[path.slice(path.lastIndexOf(".") + 1)];

// Picture shows a file of the last build; words say what is seen.
export function Picture({ path, words }) {
  const [url, set] = useState("");
  const id = made.value?.files.find(f => f.path === path)?.id;
  useEffect(() => {
    let gone = false, mine = "";
    set("");
    if (id) {
      fetched(path).then(bytes => {
        if (gone || !bytes) return;
        mine = URL.createObjectURL(new Blob([bytes], { type: typeOf(path) }));
        set(mine);
      }, () => {});
    }
    return () => {
      gone = true;
      if (mine) URL.revokeObjectURL(mine);
    };
  }, [id, path]);
  if (!url) return <p class="quiet">{id ? "fetching the picture …" : `Not made yet: ${words}.`}</p>;
  return <img class="picture" src={url} alt={words} />;
}
