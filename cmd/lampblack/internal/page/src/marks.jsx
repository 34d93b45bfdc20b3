// Small signs: what a finding is, and what a thing is, told by shape as well as by colour.
import { roleOf } from "./roles.js";

// kinds of findings, gravest first: their words, one and several.
export const kinds = {
  error: ["error", "errors"],
  question: ["question", "questions"],
  warning: ["warning", "warnings"],
  note: ["note", "notes"],
};

// kindOf returns the kind of a finding: a question is a warning that can be answered.
export const kindOf = f => (f.question ? "question" : f.severity);

const shapes = {
  error: <path d="M5 1h6l4 4v6l-4 4H5l-4-4V5z" />,
  question: <path d="M8 .5 15.5 8 8 15.5.5 8z" />,
  warning: <path d="M8 1 15.6 14.8H.4z" />,
  note: <circle cx="8" cy="8" r="7" />,
};
const signs = {
  error: <path d="m5.2 5.2 5.6 5.6m0-5.6-5.6 5.6" />,
  question: <path d="M6 6.3a2 2 0 1 1 2.9 1.8Q8 8.6 8 9.5M8 11.6v.1" />,
  warning: <path d="M8 6v4m0 2.2v.1" />,
  note: <path d="M8 7.4v4M8 4.6v.1" />,
};

// Kind is the sign of a kind of finding.
export const Kind = ({ kind }) => (
  <svg class={"kind " + kind} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
    <g class="shape">{shapes[kind]}</g>
    <g class="sign">{signs[kind]}</g>
  </svg>
);

const marks = {
  square: <path d="M2 3h14v10H2z" />,
  ring: <circle cx="9" cy="8" r="5.5" />,
  cross: <><circle cx="9" cy="8" r="5" /><path d="M9 1v14M2 8h14" /></>,
  dot: <><circle cx="9" cy="8" r="5.5" /><circle cx="9" cy="8" r="2" fill="currentColor" /></>,
  dashes: <rect x="2" y="3" width="14" height="10" stroke-dasharray="4 2.4" />,
  dashdot: <rect x="2" y="3" width="14" height="10" stroke-dasharray="6 2 1 2" />,
  letter: <path d="M3.5 14 9 2l5.5 12M5.4 10h7.2" />,
  pane: <><rect x="2" y="3" width="14" height="10" /><path d="M9 3v10M2 8h14" /></>,
  dots: <path d="M3 4h2m3 0h2m3 0h2M3 8h2m3 0h2m3 0h2M3 12h2m3 0h2m3 0h2" />,
  twodots: <path d="M3 4h2m8 0h2M3 8h2m8 0h2M3 12h2m8 0h2" />,
  strike: <><rect x="3" y="4" width="12" height="8" stroke-dasharray="1.5 2" /><path d="M2 14 16 2" /></>,
  query: <path d="M6 5.5a3 3 0 1 1 4.4 2.7Q9 9 9 10.4M9 13.4v.1" />,
};

// Role is the sign of a role.
export const RoleMark = ({ role }) => {
  const r = roleOf(role);
  return (
    <svg class="role-mark" viewBox="0 0 18 16" width="18" height="16" style={{ color: r.colour }} aria-hidden="true">
      {marks[r.mark]}
    </svg>
  );
};
