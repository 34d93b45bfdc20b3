// What a thing of the drawing can be: its word, and how it is told apart by colour, line and mark alike. Colours are custom properties
// of page.css, so that they follow the mode; dashes are in pixels.
const all = {
  outline: { word: "outline of the panel", short: "outline", dash: "", wide: 2.2, mark: "square" },
  opening: { word: "opening", short: "opening", dash: "", wide: 1.5, mark: "ring" },
  mount: { word: "hole for a screw", short: "screw hole", dash: "", wide: 1.5, mark: "cross" },
  led: { word: "LED", short: "LED", dash: "", wide: 1.5, mark: "dot" },
  body: { word: "room of a part behind", short: "room behind", dash: "7 4", wide: 1.5, mark: "dashes" },
  board: { word: "shape of the board", short: "board", dash: "12 4 2 4", wide: 1.7, mark: "dashdot" },
  lettering: { word: "lettering, lit", short: "lettering", dash: "", wide: 1.1, mark: "letter" },
  window: { word: "window, lit through", short: "window", dash: "", wide: 1.3, mark: "pane" },
  print: { word: "print on the board's LED side", short: "print, front", dash: "2 3", wide: 1.1, mark: "dots" },
  "print-back": { word: "print on the board's wiring side", short: "print, back", dash: "2 3 2 8", wide: 1.1, mark: "twodots" },
  ignore: { word: "nothing: left out", short: "left out", dash: "3 5", wide: 1, mark: "strike" },
  "": { word: "not known yet", short: "not known", dash: "4 4", wide: 1.2, mark: "query" },
};

// order is that of legends and of choosing.
export const order = Object.keys(all);

// roleOf returns how a role is shown: {role, word, short, dash, wide, mark, colour}.
export function roleOf(role) {
  const name = role in all ? role : "";
  return { role: name, colour: `var(--role-${name || "unknown"})`, ...all[name] };
}
