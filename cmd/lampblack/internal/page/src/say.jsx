// Saying what is what: what is chosen gets a role, for itself alone or by a wider rule, whose things are shown before it is applied.
import { useEffect, useState } from "preact/hooks";
import { desk } from "./desk.js";
import { Stopped } from "./engine.js";
import { understood, engine } from "./work.js";
import { choose, chosen, things, told, would } from "./chosen.js";
import { edit, said } from "./do.js";
import { RoleMark } from "./marks.jsx";
import { roleOf } from "./roles.js";

export function Say({ read }) {
  const list = [...chosen.value].map(id => things.value.get(id)).filter(Boolean);
  const [role, setRole] = useState("");
  const [offers, setOffers] = useState(null);
  const ids = list.map(t => t.id).join();
  useEffect(() => setRole(""), [ids]);
  useEffect(() => {
    setOffers(null);
    would.value = null;
    if (!role || !list.length) return;
    const stop = new AbortController();
    engine.ask("offer", { desk: desk.value, take: { entry: read.entry, things: list.map(t => t.id), role }, signal: stop.signal }).then(
      ({ gives }) => setOffers(gives.offers),
      e => { if (!(e instanceof Stopped)) said.value = { words: e.message, wrong: true }; },
    );
    return () => { stop.abort(); would.value = null; };
  }, [role, ids, desk.value]);
  if (!list.length) return null;
  const roles = understood.value?.roles ?? [];
  const now = [...new Set(list.map(t => t.role ?? ""))];
  const layers = [...new Set(list.map(t => t.layer))];
  const apply = async offer => {
    would.value = null;
    if (await edit(offer.changes)) setRole("");
  };
  return (
    <section class="say" aria-label="say what is what">
      <div class="pane-head">
        <h2>{told(list)}</h2>
        <button class="plain" onClick={() => choose([])} aria-label="choose nothing">✕</button>
      </div>
      <p class="quiet">
        {now.length === 1 ? <>Now <RoleMark role={now[0]} /> {roleOf(now[0]).word}</> : `Now of ${now.length} kinds`}, on {layers.length === 1 ? `layer ${layers[0]}` : `${layers.length} layers`}.
      </p>
      <div class="roles" role="group" aria-label="what it is">
        {roles.map(r => (
          <button key={r.role} aria-pressed={role === r.role} title={r.words} onClick={() => setRole(role === r.role ? "" : r.role)}><RoleMark role={r.role} />{roleOf(r.role).short}</button>
        ))}
      </div>
      {role && (
        <div class="offers" aria-live="polite">
          <p class="quiet">It is {roles.find(r => r.role === role)?.words}. {offers ? (offers.length ? "Say so of" : "There is no rule that says so.") : "Looking for what is like it …"}</p>
          {offers?.map((o, i) => {
            const see = () => (would.value = { things: o.things, role }), leave = () => (would.value = null);
            return (
              <button key={i} class={i ? undefined : "first"} onClick={() => apply(o)} onFocus={see} onBlur={leave} onPointerEnter={see} onPointerLeave={leave}>
                <span>{o.words}</span> <span class="number" aria-label={`${o.count} ${o.count === 1 ? "thing" : "things"}`}>{o.count}</span>
              </button>
            );
          })}
        </div>
      )}
    </section>
  );
}
