// The project file as text: what is written here changes the page, what is done on the page changes the text; comments stay.
import { useEffect, useRef } from "preact/hooks";
import { effect } from "@preact/signals";
import { ChangeSet, EditorState } from "@codemirror/state";
import { EditorView, drawSelection, highlightActiveLine, hoverTooltip, keymap, lineNumbers } from "@codemirror/view";
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { indentUnit, syntaxHighlighting } from "@codemirror/language";
import { yaml } from "@codemirror/lang-yaml";
import { autocompletion, completionKeymap } from "@codemirror/autocomplete";
import { lintGutter, lintKeymap, setDiagnostics } from "@codemirror/lint";
import { searchKeymap } from "@codemirror/search";
import { classHighlighter } from "@lezer/highlight";
import { change, content, desk, fresh } from "./desk.js";
import { place } from "./at.js";
import { engine } from "./work.js";
import { findings } from "./findings.jsx";
import { at, keysOf, pathAt, valuesOf } from "./scheme.js";
import { differing, written } from "./written.js";

const file = "lampblack.yaml";
const pause = 500; // ms without a key, after which what was written is looked at

let scheme = null; // the promise of it
const schemeOf = () => (scheme ??= engine.ask("scheme").then(a => a.gives, () => { scheme = null; return {}; }));

export function Text() {
  const box = useRef();
  useEffect(() => {
    const laid = () => written(content(desk.value[file]) ?? new Uint8Array());
    let writing = 0, last = laid(); // as it lies on the desk
    const lay = () => {
      clearTimeout(writing);
      const now = view.state.doc.toString();
      if (now === last.text) return;
      const bytes = last.bytesOf(now);
      last = written(bytes);
      change("write in the project file", { [file]: fresh(bytes) }, true);
    };
    const view = new EditorView({
      parent: box.current,
      state: EditorState.create({
        doc: last.text,
        extensions: [
          lineNumbers(), lintGutter(), history(), drawSelection(), highlightActiveLine(), yaml(), indentUnit.of("  "),
          syntaxHighlighting(classHighlighter), EditorView.lineWrapping,
          autocompletion({ override: [completed], icons: false }), hoverTooltip(explained),
          keymap.of([...completionKeymap, ...lintKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap]),
          EditorView.contentAttributes.of({ "aria-label": "project file", tabindex: "0" }),
          EditorView.updateListener.of(u => { if (u.docChanged && !u.transactions.some(t => t.isUserEvent("page"))) { clearTimeout(writing); writing = setTimeout(lay, pause); } }),
          EditorView.domEventHandlers({ blur: lay }), // what is clicked next must find it written
        ],
      }),
    });
    // What the page changed is put in where it differs, so that the cursor stays, and beside what is being written.
    const follow = effect(() => {
      if (!desk.value[file]) return;
      const old = last.text, now = view.state.doc.toString(), from = next => ChangeSet.of([differing(old, next)], old.length);
      last = laid();
      if (last.text !== old) view.dispatch({ changes: from(last.text).map(from(now)), userEvent: "page" });
    });
    const mark = effect(() => {
      const list = findings.value.filter(f => f.file === file && f.line);
      view.dispatch(setDiagnostics(view.state, list.filter(f => f.line <= view.state.doc.lines).map(f => {
        const line = view.state.doc.line(f.line), from = Math.min(line.to, line.from + Math.max(0, (f.column ?? 1) - 1));
        const long = /^[^\s:,\]}#]+/.exec(line.text.slice(from - line.from))?.[0].length ?? 1;
        return { from, to: Math.min(line.to, from + long), severity: f.severity === "note" ? "info" : f.severity, message: [f.text, f.clicks ?? f.advice].filter(Boolean).join("\n") };
      })));
    });
    const go = effect(() => {
      const f = place.value?.finding;
      if (f?.file !== file || !f.line || f.line > view.state.doc.lines) return;
      const line = view.state.doc.line(f.line);
      view.dispatch({ selection: { anchor: Math.min(line.to, line.from + Math.max(0, (f.column ?? 1) - 1)) }, effects: EditorView.scrollIntoView(line.from, { y: "center" }) });
      view.focus();
    });
    return () => {
      for (const stop of [follow, mark, go]) stop();
      lay();
      view.destroy();
    };
  }, []);
  return <div class="project-text" ref={box} />;
}

const linesOf = state => state.doc.toString().split("\n");

async function completed(context) {
  const line = context.state.doc.lineAt(context.pos), before = line.text.slice(0, context.pos - line.from);
  const lines = linesOf(context.state), n = line.number - 1;
  const key = /^(\s*(?:- +)*)([\w-]*)$/.exec(before);
  if (key) {
    if (!context.explicit && !key[2]) return null;
    const path = pathAt(lines, n, key[1].length);
    return { from: context.pos - key[2].length, options: keysOf(at(await schemeOf(), path)).map(k => ({ label: k.key, apply: k.key + ": ", info: k.words })) };
  }
  const value = /^(\s*(?:- +)*)([\w-]+)\s*:\s+(.*)$/.exec(before);
  if (!value) return null;
  const path = [...pathAt(lines, n, value[1].length), value[2]];
  return { from: context.pos - value[3].length, options: valuesOf(at(await schemeOf(), path)).map(v => ({ label: v })) };
}

// explained tells what a key is.
async function explained(view, pos) {
  const line = view.state.doc.lineAt(pos), m = /^(\s*(?:- +)*)([\w-]+)\s*:/.exec(line.text);
  if (!m) return null;
  const from = line.from + m[1].length, to = from + m[2].length;
  if (pos < from || pos > to) return null;
  const known = keysOf(at(await schemeOf(), pathAt(linesOf(view.state), line.number - 1, m[1].length))).find(k => k.key === m[2]);
  if (!known?.words) return null;
  return {
    pos: from, end: to, above: true,
    create: () => {
      const dom = document.createElement("div");
      dom.className = "explained";
      dom.textContent = known.words;
      return { dom };
    },
  };
}
