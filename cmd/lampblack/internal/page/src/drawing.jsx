// The drawing as it was understood.
import { reading } from "./at.js";

export function Drawing() {
  return <section class="view" aria-label="drawing"><pre>{JSON.stringify(reading.value, null, 1)}</pre></section>;
}
