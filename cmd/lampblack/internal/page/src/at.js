// Where the page is: which view, which panel, which place; and how it looks. Shared by all views.
import { signal, computed, effect } from "@preact/signals";
import { understood, made } from "./work.js";

export const views = ["drawing", "light", "boards", "currents", "files"];
export const view = signal("drawing");

// panels are the names of the panels, in the project's order, each with the reading it is of, where there is one.
export const panels = computed(() => {
  const out = [];
  for (const reading of understood.value?.readings ?? []) {
    const own = reading.panels?.length ? reading.panels : [{ name: reading.name }];
    for (const p of own) out.push({ name: p.name, reading, panel: p });
  }
  return out;
});

// panel is the name of the panel that all views show.
export const panel = signal("");

effect(() => {
  const names = panels.value.map(p => p.name);
  if (names.length && !names.includes(panel.value)) panel.value = names[0];
});

// reading is that of the panel, with its drawing.
export const reading = computed(() => (panels.value.find(p => p.name === panel.value) ?? panels.value[0])?.reading ?? null);

// result is what the last build tells of the panel; null where there is none yet.
export const result = computed(() => made.value?.result.panels?.find(p => p.name === panel.value) ?? null);

// place is a finding that is to be seen: {finding, turn}; a view that shows it goes there.
export const place = signal(null);

// modes are how the page looks; the system's is light or dark.
export const modes = ["system", "light", "dark", "red"];
export const mode = signal(kept("mode", modes));

const dark = matchMedia("(prefers-color-scheme: dark)");
const systemDark = signal(dark.matches);
dark.addEventListener("change", () => (systemDark.value = dark.matches));

// shown is the mode as it is on the screen: light, dark or red.
export const shown = computed(() => (mode.value === "system" ? (systemDark.value ? "dark" : "light") : mode.value));

effect(() => {
  document.documentElement.dataset.mode = shown.value;
  try {
    localStorage.setItem("lampblack." + "mode", mode.value);
  } catch {
    // a browser that keeps nothing
  }
});

// kept returns what the browser kept under a name, the first of what is fair otherwise.
function kept(name, fair) {
  try {
    const was = localStorage.getItem("lampblack." + name);
    return fair.includes(was) ? was : fair[0];
  } catch {
    return fair[0];
  }
}
