// Supply, strings and drops.
import { made } from "./work.js";

export function Currents() {
  const s = made.value?.result.supply;
  return (
    <section class="view" aria-label="currents">
      <p>{s ? s.sentence : "The currents are not computed yet."}</p>
    </section>
  );
}
