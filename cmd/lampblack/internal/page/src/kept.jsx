// What there is to say of the work that the browser keeps, where the program is in the page.
import "./follow.css";
import { useState } from "preact/hooks";
import { desk } from "./desk.js";
import { clear, keeping, refused } from "./keep.js";

export function Kept() {
  const [sure, ask] = useState(false);
  if (refused.value) {
    return (
      <section class="follow" aria-label="what is kept">
        <p class="state">This browser keeps nothing of your work ({refused.value}): take the project as a zip before you close the page.</p>
      </section>
    );
  }
  if (!keeping.value || !Object.keys(desk.value).length) return null;
  return (
    <section class="follow" aria-label="what is kept">
      <p class="state">
        <span>{sure ? "The project and its history go from this page and this browser." : "Kept in this browser, for the next time that you open this page."}</span>
        {sure && <button onClick={() => { ask(false); clear(); }}>forget it</button>}
        <button onClick={() => ask(!sure)}>{sure ? "keep it" : "forget it …"}</button>
      </p>
    </section>
  );
}
