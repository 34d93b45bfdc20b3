// The files to take away, and the project's file as text.
import { made } from "./work.js";

export function Files() {
  return (
    <section class="view" aria-label="files">
      <ul>{made.value?.files.map(f => <li key={f.path}>{f.path}</li>)}</ul>
    </section>
  );
}
