// The beginning: what to drop, and what to begin with.
import { useRef } from "preact/hooks";
import { begun, takeChosen } from "./take.js";

// Choose are buttons that open files or a folder; brief is one for files alone.
export function Choose({ brief }) {
  const files = useRef(), folder = useRef();
  const on = e => {
    takeChosen(e.currentTarget.files);
    e.currentTarget.value = "";
  };
  return (
    <>
      <input ref={files} class="hidden" type="file" multiple accept=".dxf,.zip,.yaml,.csv,.ttf,.otf" onChange={on} aria-label="files" tabIndex={-1} />
      <button class={brief ? undefined : "first"} onClick={() => files.current.click()} title={brief && "add drawings, or open another project"}>
        {brief ? "+ files" : "Choose a drawing or a zip"}
      </button>
      {!brief && (
        <>
          <input ref={folder} class="hidden" type="file" webkitdirectory onChange={on} aria-label="a folder" tabIndex={-1} />
          <button onClick={() => folder.current.click()}>Choose a project's folder</button>
        </>
      )}
    </>
  );
}

export function Beginning() {
  return (
    <main id="main" class="beginning" tabIndex={-1}>
      <div class="welcome">
        <Plate />
        <h2>Drop a drawing of your panel</h2>
        <p>
          A DXF file of the faceplate is enough: its outline, its holes, its lettering. You see at once how it was understood, then the
          panel in the dark, its board, and what the supply must give; then you take the files to order and to cut.
        </p>
        <p class="choose"><Choose /></p>
        <p class="quiet">Several drawings, a project's folder or its zip will do as well, here and at any time; files of at most 64 MB.</p>
        <h3>or begin with</h3>
        <ul class="starts">
          <Start of="observatory" name="An observatory's desk">six panels with red light for eyes that are used to the dark</Start>
          <Start of="greenhouse" name="A greenhouse's desk">a climate desk with light by day and by night</Start>
          <Start of="empty" name="A small panel">one plain panel and its project, to draw on from</Start>
        </ul>
      </div>
    </main>
  );
}

const Start = ({ of, name, children }) => (
  <li><button onClick={() => begun(of)}><b>{name}</b><span>{children}</span></button></li>
);

// Plate is a lit panel, to see what this is about.
const Plate = () => (
  <svg class="plate" viewBox="0 0 320 104" aria-hidden="true">
    <rect class="face" x="2" y="2" width="316" height="100" rx="7" />
    {[14, 306].map(x => [14, 90].map(y => <circle class="hole" key={x + "," + y} cx={x} cy={y} r="3.5" />))}
    {[70, 160, 250].map(x => <circle class="hole" key={x} cx={x} cy="68" r="15" />)}
    <g class="lit">
      <path d="M32 25h52M236 25h52" />
      <text x="160" y="31">SHUTTER</text>
      <text class="small" x="70" y="45">OPEN</text>
      <text class="small" x="160" y="45">STOP</text>
      <text class="small" x="250" y="45">CLOSE</text>
    </g>
  </svg>
);
