// What there is to say and to ask of the folder on disk: what is not saved, a draft from last time, a file that changed in two places.
import "./follow.css";
import { useState } from "preact/hooks";
import { content, desk } from "./desk.js";
import { disk, disputed, draft, folder, lost, resume, save, settle, unsaved } from "./home.js";

export function Follow() {
  const [said, say] = useState("");
  if (!folder.value) return null;
  const saves = () => save().then(say, e => say(e.message));
  return (
    <section class="follow" aria-label="the folder on disk">
      {draft.value && (
        <div role="alert">
          <p>Last time something was not saved{draft.value.stale.length > 0 && `; ${draft.value.stale.join(", ")} changed on disk since`}.</p>
          <button onClick={() => resume(true)}>take it up again</button>
          <button onClick={() => resume(false)}>leave it</button>
        </div>
      )}
      {disputed.value.map(p => <Dispute key={p} path={p} />)}
      {lost.value && <p role="alert">{lost.value}.</p>}
      <p class="state">
        <span>{folder.value}: {unsaved.value.length ? `${unsaved.value.join(", ")} not saved` : "all is saved"}</span>
        {unsaved.value.length > 0 && <button disabled={disputed.value.length > 0} onClick={saves}>save</button>}
        <output>{said}</output>
      </p>
    </section>
  );
}

// Dispute shows a file as it is in the page and as it is on disk, and asks which to go on with.
function Dispute({ path }) {
  const mine = content(desk.value[path]), theirs = content(disk.value[path]);
  return (
    <div class="dispute" role="alert">
      <p>{path} was changed in this page, and in another program. Which one goes on?</p>
      <div class="both">
        <Side words="in this page" bytes={mine} other={theirs} take={() => settle(path, false)} button="keep this page's" />
        <Side words="on disk" bytes={theirs} other={mine} take={() => settle(path, true)} button="take the disk's" />
      </div>
    </div>
  );
}

const lines = bytes => (bytes ? new TextDecoder().decode(bytes).split(/\r?\n/) : []);

function Side({ words, bytes, other, take, button }) {
  const there = new Set(lines(other));
  const own = lines(bytes).filter(l => l.trim() && !there.has(l));
  return (
    <div>
      <h3>{words}</h3>
      <p>{bytes ? `${bytes.length} bytes, ${own.length} lines that the other has not` : "the file is gone"}</p>
      {own.length > 0 && <pre>{own.slice(0, 20).join("\n")}</pre>}
      <button onClick={take}>{button}</button>
    </div>
  );
}
