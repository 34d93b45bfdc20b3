// The panel in the dark.
import { panel } from "./at.js";
import { Picture } from "./picture.jsx";

export function Light() {
  return (
    <section class="view" aria-label="light">
      <Picture path={`${panel.value}/glow.png`} words={`${panel.value}, lit, in the dark`} />
    </section>
  );
}
