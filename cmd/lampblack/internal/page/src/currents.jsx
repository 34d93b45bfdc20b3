// What the console draws: fields for supply, wires and LEDs, and beside them what follows: the verdict, each panel's feed, each string. It
// follows while a slider moves; what was before stands beside what is now.
import "./currents.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { panel } from "./at.js";
import { change, desk, known } from "./desk.js";
import { Stopped } from "./engine.js";
import { engine } from "./work.js";
import { edit } from "./do.js";
import { InTheWay, viewOf } from "./findings.jsx";

// useCurrents returns the fields of the desk, what follows from it, what was before, and how to try and take a change.
function useCurrents() {
  const [fields, setFields] = useState([]);
  const [now, setNow] = useState(null);
  const [before, setBefore] = useState(null);
  const [wrong, setWrong] = useState("");
  const stop = useRef(null);

  const supply = async (files, signal) => (await engine.ask("supply", { desk: files, signal })).gives;
  useEffect(() => {
    const mine = new AbortController();
    (async () => {
      setFields((await engine.ask("settings", { desk: desk.value, signal: mine.signal })).gives);
      const r = await supply(desk.value, mine.signal);
      setNow(r);
      setBefore(b => b ?? r);
      setWrong("");
    })().catch(e => e instanceof Stopped || setWrong(e.message));
    return () => mine.abort();
  }, [desk.value]);

  // trial computes a change; taken, it becomes a step of the desk.
  const trial = async (field, value, take) => {
    stop.current?.abort();
    const mine = (stop.current = new AbortController());
    const words = field.words + (value === "" ? " as usual" : `: ${value}`);
    const one = value === "" ? { words, at: field.at, remove: field.value } : { words, at: field.at, set: value };
    if (value === field.value) return setWrong("");
    try {
      const { files } = await engine.ask("edit", { desk: desk.value, take: { changes: [one] }, signal: mine.signal });
      known(files);
      const laid = Object.fromEntries(files.map(f => [f.path, f.id]));
      if (take) {
        change(words, laid);
      } else {
        setNow(await supply({ ...desk.value, ...laid }, mine.signal));
      }
      setWrong("");
    } catch (e) {
      if (!(e instanceof Stopped)) setWrong(e.message);
    }
  };
  return { fields, now, before, keep: () => setBefore(now), wrong, trial };
}

export function Currents() {
  const { fields, now, before, keep, wrong, trial } = useCurrents();
  const groups = [...new Set(fields.map(f => f.of))].filter(g => !fields.some(f => f.of === g && f.at.startsWith("panels.")) || g === panel.value);
  return (
    <section class="view currents" aria-label="currents">
      {now && !now.supply ? <InTheWay words="There are no currents to work out yet." /> : now ? <Verdict now={now} before={before} keep={keep} wrong={wrong} /> : !wrong && <p class="quiet">Working out the currents …</p>}
      <form onSubmit={e => e.preventDefault()}>
        {groups.map(g => (
          <fieldset key={g}>
            <legend>{g}</legend>
            {fields
              .filter(f => f.of === g)
              .map(f => (
                <Field key={f.at} field={f} trial={trial} />
              ))}
          </fieldset>
        ))}
        {wrong && !now?.supply && (
          <p class="said wrong" role="alert">
            {wrong}
          </p>
        )}
      </form>
      {now?.supply && <Follows now={now} before={before} fields={fields} />}
    </section>
  );
}

// number returns the number that a value with its unit has, in the slider's unit, if it is one.
function number(value, slide) {
  const m = /^\s*([0-9]*\.?[0-9]+)\s*(\S*)\s*$/.exec(value ?? "");
  return m && (m[2] === slide.unit || m[2] === "") ? +m[1] : null;
}

function Field({ field, trial }) {
  const [value, set] = useState(field.value);
  useEffect(() => set(field.value), [field.value]);
  const id = "f-" + field.at;
  const { slide } = field;
  const [fair, ...whose] = field.usual.split(", "); // "8 mA, as all panels"
  const usual = slide && number(fair, slide);
  const at = slide && (number(value, slide) ?? usual);
  return (
    <div class="field">
      <div class="asked">
        <label for={id}>{field.words}</label>
        {field.value && field.usual && (
          <button type="button" class="plain" onClick={() => trial(field, "", true)} aria-label={`${field.words}: as usual, ${field.usual}`} title={`as usual: ${field.usual}`}>
            as usual
          </button>
        )}
        {!field.value && whose.length > 0 && <span class="quiet">{whose.join(", ")}</span>}
      </div>
      <div class="entry">
        <input
          id={id}
          value={value}
          placeholder={fair}
          list={field.choose ? id + "-of" : undefined}
          spellcheck={false}
          autocomplete="off"
          onInput={e => set(e.target.value)}
          onChange={e => trial(field, e.target.value.trim(), true)}
        />
        {field.choose && (
          <datalist id={id + "-of"}>
            {field.choose.map(c => (
              <option key={c} value={c} />
            ))}
          </datalist>
        )}
        {slide && (
          <input
            type="range"
            aria-label={`${field.words}, ${slide.unit}`}
            aria-valuetext={value || field.usual}
            min={slide.least}
            max={slide.most}
            step={slide.step}
            value={at ?? slide.least}
            onInput={e => {
              const v = `${+e.target.value} ${slide.unit}`;
              set(v);
              trial(field, v, false);
            }}
            onChange={e => trial(field, `${+e.target.value} ${slide.unit}`, true)}
          />
        )}
      </div>
    </div>
  );
}

const verdicts = { ok: "✓ enough", tight: "! tight", over: "✕ too much", none: "? not judged" };
const milli = a => (a * 1000).toFixed(Math.abs(a) < 0.01 ? 2 : 1);

// Two shows a figure as it is, and as it was where that differs.
function Two({ now, was, unit = "", better = 0, word = "" }) {
  if (was === undefined || was === null || now === was) return <td class={word}>{now}{unit}</td>;
  const way = better && +now !== +was ? (Math.sign(+now - +was) === better ? "better" : "worse") : "other";
  return (
    <td class={`two ${way} ${word}`}>
      <del aria-label={`before: ${was}${unit}`}>{was}</del> <ins aria-label={`now: ${now}${unit}`}>{now}{unit}</ins>
    </td>
  );
}

// Verdict is whether the supply does: in sight while one slides.
function Verdict({ now, before, keep, wrong }) {
  const s = now.supply;
  return (
    <div class={"verdict " + s.verdict}>
      <p><strong>{verdicts[s.verdict]}</strong> {s.sentence}</p>
      <button disabled={JSON.stringify(now) === JSON.stringify(before)} onClick={keep}>compare with what is now</button>
      {wrong && <p class="said wrong" role="alert">{wrong}</p>}
    </div>
  );
}

function Follows({ now, before, fields }) {
  const s = now.supply, b = before?.supply;
  const links = now.chains.flatMap(c => c.links), was = name => before?.chains.flatMap(c => c.links).find(l => l.panel === name);
  const own = now.panels.find(p => p.name === panel.value), old = before?.panels.find(p => p.name === panel.value);
  const strings = own?.strings ?? own?.boards?.flatMap(b => b.strings) ?? [], former = old?.strings ?? old?.boards?.flatMap(b => b.strings) ?? [];
  return (
    <div class="follows">
      <table>
        <caption>supply</caption>
        <tbody>
          <tr><th scope="row">usual</th><Two now={milli(s.typical_a)} was={b && milli(b.typical_a)} unit=" mA" /></tr>
          <tr><th scope="row">at worst</th><Two now={milli(s.worst_a)} was={b && milli(b.worst_a)} unit=" mA" /></tr>
          <tr><th scope="row">asked of it, with other loads</th><Two now={milli(s.demand_a)} was={b && milli(b.demand_a)} unit=" mA" /></tr>
        </tbody>
      </table>
      <div class="scroll" tabIndex={0} role="region" aria-label="panels along the feed">
        <table>
          <caption>along the feed</caption>
          <thead>
            <tr><th scope="col">panel</th><th scope="col">in its feed, mA</th><th scope="col">at worst, mA</th><th scope="col">at the board, V</th><th scope="col">light of the brightest, %</th></tr>
          </thead>
          <tbody>
            {links.map(l => {
              const w = was(l.panel);
              return (
                <tr key={l.panel} class={l.panel === panel.value ? "own" : ""}>
                  <th scope="row">{l.panel}</th>
                  <Two now={milli(l.segment_a)} was={w && milli(w.segment_a)} />
                  <Two now={milli(l.segment_worst_a)} was={w && milli(w.segment_worst_a)} />
                  <Two now={l.volts.toFixed(3)} was={w && w.volts.toFixed(3)} better={1} />
                  <Two now={(l.relative_light * 100).toFixed(0)} was={w && (w.relative_light * 100).toFixed(0)} />
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <div class="scroll" tabIndex={0} role="region" aria-label={`strings of ${panel.value}`}>
        <table>
          <caption>strings of {panel.value}</caption>
          <thead>
            <tr><th scope="col">LEDs</th><th scope="col" class="word">kind</th><th scope="col">resistor, ohms</th><th scope="col">usual, mA</th><th scope="col">least, mA</th><th scope="col">most, mA</th><th scope="col">in the resistor, mW</th></tr>
          </thead>
          <tbody>
            {strings.map((t, i) => {
              const w = former.find(f => f.leds.join() === t.leds.join());
              return (
                <tr key={i}>
                  <th scope="row" class="leds">{t.leds.join(" ")}</th>
                  <Two now={t.kind ?? ""} was={w && (w.kind ?? "")} word="word" />
                  <Two now={t.ohms} was={w && w.ohms} />
                  <Two now={milli(t.typical_a)} was={w && milli(w.typical_a)} />
                  <Two now={milli(t.min_a)} was={w && milli(w.min_a)} />
                  <Two now={milli(t.max_a)} was={w && milli(w.max_a)} />
                  <Two now={(t.worst_w * 1000).toFixed(0)} was={w && (w.worst_w * 1000).toFixed(0)} />
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <Found list={now.findings} fields={fields} />
    </div>
  );
}

// Found are the findings that these fields can mend.
function Found({ list, fields }) {
  const keys = new Set(fields.map(f => f.at));
  const own = list.filter(f => f.severity !== "note" && (keys.has(f.key) || viewOf(f) === "currents"));
  if (!own.length) return null;
  return (
    <ul class="found">
      {own.map((f, i) => (
        <li key={i}>
          <strong>{f.severity}{f.panel && ` in ${f.panel}`}</strong>: {f.text} {(f.clicks ?? f.advice) && <span class="quiet">{f.clicks ?? f.advice}</span>}
          {f.changes && <span class="changes">{f.changes.map((c, k) => <button key={k} onClick={() => edit([c])}>{c.words}</button>)}</span>}
        </li>
      ))}
    </ul>
  );
}
