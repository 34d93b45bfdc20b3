// Help: what to do here, and the keys.
import { useEffect, useRef } from "preact/hooks";

const keys = [
  ["everywhere", [
    ["Tab, Shift+Tab", "to the next and the last control"],
    ["Alt+1 … Alt+5", "drawing, light, boards, currents, files"],
    ["Ctrl+Z", "take back; Ctrl+Shift+Z does it again"],
    ["?", "this help"],
  ]],
  ["on the drawing", [
    ["arrows", "to the next thing in that direction"],
    ["Enter or Space", "choose it; with Shift more of them"],
    ["Ctrl+A", "choose all"],
    ["Esc", "choose nothing"],
    ["+ and −", "nearer and farther"],
    ["Shift+arrows", "move the sheet"],
    ["0", "the whole drawing"],
  ]],
  ["on the light", [
    ["Tab", "to the next LED; Space picks it, more of them too"],
    ["arrows", "move what is picked by 0.5 mm; with Shift by 0.1 mm"],
    ["A", "add an LED where the pointer is, or beside the one that is picked"],
    ["Delete", "take away what is picked"],
    ["Esc", "leave the move undone; pick nothing"],
  ]],
  ["on the boards", [
    ["arrows", "move the board; in three dimensions, turn it"],
    ["+ and −", "nearer and farther"],
  ]],
];

export function Help({ close }) {
  const dialog = useRef();
  useEffect(() => dialog.current.showModal(), []);
  return (
    <dialog ref={dialog} onClose={close} aria-labelledby="help-title">
      <div class="pane-head"><h2 id="help-title">Help and keys</h2><button onClick={() => dialog.current.close()}>close</button></div>
      <p>
        Go from left to right: see that the <b>drawing</b> was understood, look at the panel's <b>light</b> in the dark, at its <b>boards</b>,
        at the <b>currents</b>, and take the <b>files</b>. Findings beside the view tell what needs you; their buttons do what they advise.
      </p>
      <p>Drag over the drawing to choose things by a frame; hold Space or the middle button, or use two fingers, to move the sheet; turn the wheel to go nearer.</p>
      {keys.map(([where, list]) => (
        <section key={where}>
          <h3>{where}</h3>
          <dl>{list.map(([k, what]) => <div key={k}><dt>{k}</dt><dd>{what}</dd></div>)}</dl>
        </section>
      ))}
    </dialog>
  );
}
