// The boards, from front and back.
import { panel } from "./at.js";
import { Picture } from "./picture.jsx";

export function Boards() {
  return (
    <section class="view" aria-label="boards">
      <Picture path={`${panel.value}/board-top.svg`} words={`the board of ${panel.value}, its LED side`} />
      <Picture path={`${panel.value}/board-bottom.svg`} words={`the board of ${panel.value}, its wiring side`} />
    </section>
  );
}
