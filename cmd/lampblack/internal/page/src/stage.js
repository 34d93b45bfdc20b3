// A stage for the glTF of a console: three.js draws it, when something changed and not otherwise. Nodes tell what they are by extras, as
// package solid writes them.
import { AmbientLight, Box3, Color, DirectionalLight, PerspectiveCamera, Raycaster, Scene, Vector2, Vector3, WebGLRenderer } from "three";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";

// Whole things that move when the stack is pulled apart.
const pieces = new Set(["sheet", "board", "control", "screw"]);
const ways = { front: [0, 0, 1], back: [0, 0, -1], side: [0, -1, 0.05], aslant: [-0.5, -0.75, 0.9] };

export class Stage {
  #scene = new Scene();
  #camera = new PerspectiveCamera(32, 1, 0.01, 20);
  #ambient = new AmbientLight(0xffffff, 1.3);
  #sun = new DirectionalLight(0xffffff, 2.4);
  #model = null;
  #asked = { panel: "", apart: 0, dark: false, ground: "#000" };
  #pending = 0;
  #way = ""; // the side that it is looked at from, until it is turned
  #radius = 1; // of what is seen, about the target

  // Told is called with what is pointed at, null for nothing. It throws where there is no WebGL.
  constructor(canvas, told) {
    this.canvas = canvas;
    this.#scene.add(this.#ambient, this.#sun, this.#camera);
    this.renderer = new WebGLRenderer({ canvas, antialias: true, powerPreference: "low-power" });
    this.orbit = new OrbitControls(this.#camera, canvas);
    this.orbit.addEventListener("start", () => (this.#way = ""));
    this.orbit.addEventListener("change", () => this.#draw());
    this.resize = new ResizeObserver(() => this.#fit());
    this.resize.observe(canvas.parentElement);
    canvas.addEventListener("pointermove", e => e.buttons === 0 && told(this.#under(e)));
    canvas.addEventListener("click", e => told(this.#under(e)));
    canvas.addEventListener("keydown", e => this.#key(e));
  }

  end() {
    this.resize.disconnect();
    this.orbit.dispose();
    this.renderer.dispose();
    cancelAnimationFrame(this.#pending);
  }

  // show puts another model on the stage.
  async show(bytes) {
    const { scene } = await new GLTFLoader().parseAsync(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength), "");
    const first = !this.#model;
    if (this.#model) this.#scene.remove(this.#model);
    this.#model = scene;
    this.#scene.add(scene);
    scene.traverse(o => {
      if (pieces.has(o.userData.kind)) o.userData.rest = o.position.z;
    });
    this.look(this.#asked);
    if (first) this.from("aslant");
  }

  // look changes what is seen: one panel or, without a name, all; pulled apart from 0 to 1; in the dark.
  look(asked) {
    const moved = asked.panel !== this.#asked.panel;
    this.#asked = asked;
    this.#scene.background = new Color(asked.ground || "#000");
    this.#ambient.intensity = asked.dark ? 0.02 : 1.3;
    this.#sun.intensity = asked.dark ? 0 : 2.4;
    this.#sun.position.set(-1, 2, 3);
    this.#model?.traverse(o => {
      if (o.userData.kind === "panel") o.visible = !asked.panel || this.#named(o) === asked.panel;
      if (pieces.has(o.userData.kind) && o.userData.rest !== undefined) o.position.z = o.userData.rest - asked.apart * apart(o);
    });
    if (moved) this.from("aslant");
    this.#draw();
  }

  #named = o => o.userData.name ?? o.name;

  // from looks from a side at all that is seen.
  from(way) {
    if (!this.#model) return;
    const box = new Box3();
    this.#model.updateWorldMatrix(true, true);
    this.#model.traverse(o => o.isMesh && seen(o) && box.expandByObject(o));
    if (box.isEmpty()) return;
    const middle = box.getCenter(new Vector3()), far = box.getSize(new Vector3()).length() / 2;
    this.orbit.target.copy(middle);
    const tall = Math.min(1, this.#camera.aspect);
    this.#camera.position.copy(middle).addScaledVector(new Vector3(...ways[way]).normalize(), (far / Math.sin((this.#camera.fov * Math.PI) / 360) / tall) * 0.9);
    this.#way = way;
    this.#radius = far;
    this.orbit.update();
    this.#draw();
  }

  #key(e) {
    const turn = Math.PI / 24, offset = this.#camera.position.clone().sub(this.orbit.target);
    const right = new Vector3().setFromMatrixColumn(this.#camera.matrix, 0), up = new Vector3().setFromMatrixColumn(this.#camera.matrix, 1);
    const keys = {
      ArrowLeft: () => offset.applyAxisAngle(up, -turn), ArrowRight: () => offset.applyAxisAngle(up, turn),
      ArrowUp: () => offset.applyAxisAngle(right, -turn), ArrowDown: () => offset.applyAxisAngle(right, turn),
      "+": () => offset.multiplyScalar(0.85), "=": () => offset.multiplyScalar(0.85), "-": () => offset.multiplyScalar(1.18),
    };
    if (!keys[e.key] || e.ctrlKey || e.metaKey) return;
    e.preventDefault();
    this.#way = "";
    keys[e.key]();
    this.#camera.position.copy(this.orbit.target).add(offset);
    this.orbit.update();
    this.#draw();
  }

  // under returns what the nearest thing under the pointer tells of itself.
  #under(e) {
    if (!this.#model) return null;
    const r = this.canvas.getBoundingClientRect();
    const ray = new Raycaster();
    ray.setFromCamera(new Vector2(((e.clientX - r.left) / r.width) * 2 - 1, 1 - ((e.clientY - r.top) / r.height) * 2), this.#camera);
    for (const hit of ray.intersectObject(this.#model, true)) {
      if (!seen(hit.object)) continue;
      for (let o = hit.object; o; o = o.parent) if (o.userData.kind) return { name: this.#named(o), ...o.userData };
    }
    return null;
  }

  #fit() {
    const { width, height } = this.canvas.getBoundingClientRect();
    if (!width || !height) return;
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    this.renderer.setSize(width, height, false);
    this.#camera.aspect = width / height;
    this.#camera.updateProjectionMatrix();
    if (this.#way) this.from(this.#way);
    this.#draw();
  }

  #draw() {
    if (this.#pending) return;
    this.#pending = requestAnimationFrame(() => {
      this.#pending = 0;
      // Sheets and paint lie hundredths of a millimetre apart: depth is told best where what is seen begins, however near the eye is.
      const away = this.#camera.position.distanceTo(this.orbit.target);
      this.#camera.near = Math.max(away - 2 * this.#radius, away / 50);
      this.#camera.far = away + 4 * this.#radius;
      this.#camera.updateProjectionMatrix();
      this.renderer.render(this.#scene, this.#camera);
    });
  }
}

// apart is how far back a piece goes, in metres: the deeper it lies, the farther.
function apart(o) {
  const d = o.userData.depths_mm;
  return d ? ((d.from + d.to) / 2) * 0.006 : 0;
}

// seen reports whether nothing above a thing hides it.
function seen(o) {
  for (; o; o = o.parent) if (!o.visible) return false;
  return true;
}
