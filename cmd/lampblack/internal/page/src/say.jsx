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
  return list.length > 0 && <SayOf key={list.map(t => t.id).join()} read={read} list={list} />;
}

// SayOf is of one choice: another one begins anew.
function SayOf({ read, list }) {
  const [asked, setAsked] = useState(null); // {role}, {kind} or {room}
  const [offers, setOffers] = useState(null);
  useEffect(() => {
    setOffers(null);
    would.value = null;
    if (!asked) return;
    const stop = new AbortController();
    engine.ask("offer", { desk: desk.value, take: { entry: read.entry, things: list.map(t => t.id), ...asked }, signal: stop.signal }).then(
      ({ gives }) => setOffers(gives.offers),
      e => { if (!(e instanceof Stopped)) { setOffers([]); said.value = { words: e.message, wrong: true }; } },
    );
    return () => { stop.abort(); would.value = null; };
  }, [JSON.stringify(asked), desk.value]);
  const roles = understood.value?.roles ?? [];
  const now = [...new Set(list.map(t => t.role ?? ""))];
  const layers = [...new Set(list.map(t => t.layer))];
  const apply = async offer => {
    would.value = null;
    if (await edit(offer.changes)) setAsked(null);
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
          <button key={r.role} aria-pressed={asked?.role === r.role} title={r.words} onClick={() => setAsked(asked?.role === r.role ? null : { role: r.role })}><RoleMark role={r.role} />{roleOf(r.role).short}</button>
        ))}
      </div>
      {now.length === 1 && now[0] === "led" && (
        <label class="trait">kind of LED
          <select value={asked?.kind ?? ""} onChange={e => setAsked(e.currentTarget.value ? { kind: e.currentTarget.value } : null)}>
            <option value="">choose</option>
            {(understood.value?.kinds ?? []).map(k => <option key={k} value={k}>{k}</option>)}
          </select>
        </label>
      )}
      {now.length === 1 && now[0] === "opening" && (
        <label class="trait">room behind, beyond the edge
          <span class="with-unit"><input type="number" min="0" max="50" step="0.5" placeholder="as common" value={asked?.room ? parseFloat(asked.room) : ""}
            onChange={e => setAsked(e.currentTarget.value && e.currentTarget.checkValidity() ? { room: `${+e.currentTarget.value} mm` } : null)} /> mm</span>
        </label>
      )}
      {asked && (
        <div class="offers" aria-live="polite">
          <p class="quiet">{asked.role ? `It is ${roles.find(r => r.role === asked.role)?.words}.` : asked.kind ? `A ${asked.kind} goes there.` : `${asked.room} beyond its edge stay free of the board.`} {offers ? (offers.length ? "Say so of" : "There is no rule that says so.") : "Looking for what is like it …"}</p>
          {offers?.map((o, i) => {
            const see = () => (would.value = { things: o.things, role: asked.role ?? now[0] }), leave = () => (would.value = null);
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
