/** The camera: views by name, flying to them, turning and shifting by keys. */

import { Box3, MathUtils, PerspectiveCamera, Spherical, Vector3 } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";

const FIELD = 26; // degrees from top to bottom: narrow, so that panels look straight
const FLIGHT = 420; // ms
const STEP = 0.14; // radians or shares of the distance that one key press moves
const ROOM = 1.08; // of the least distance at which all is seen

/** Where each named view looks from. @type {Record<string, [number, number, number]>} */
const FROM = {
  front: [0, 0, 1],
  rear: [0, 0, -1],
  corner: [0.5, 0.42, 0.85],
  "rear corner": [-0.5, 0.42, -0.85],
  above: [0, 1, 0.001],
  side: [1, 0, 0.001],
};

export class Eye {
  /**
   * @param {HTMLElement} stage
   * @param {HTMLCanvasElement} canvas
   * @param {() => void} changed
   */
  constructor(stage, canvas, changed) {
    this.stage = stage;
    this.changed = changed;
    this.camera = new PerspectiveCamera(FIELD, 1, 1, 5000);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.addEventListener("change", changed);
    this.controls.addEventListener("start", () => {
      this.stop();
      delete stage.dataset.view;
    });
    this.flight = 0;
  }

  /** Look from a named side at a box, whole. @param {string} name @param {Box3} box @param {boolean} [atOnce] */
  lookFrom(name, box, atOnce = false) {
    this.frame(new Vector3(...FROM[name]).normalize(), box, atOnce);
    this.stage.dataset.view = name;
  }

  /** Look at a box, whole, from a direction. @param {Vector3} from @param {Box3} box @param {boolean} [atOnce] */
  frame(from, box, atOnce = false) {
    delete this.stage.dataset.view;
    const target = box.getCenter(new Vector3());
    const distance = this.#distance(from, box, target);
    this.fly(target, from.clone().multiplyScalar(distance), atOnce);
  }

  /** The distance at which all corners of a box are seen. @param {Vector3} from @param {Box3} box @param {Vector3} target */
  #distance(from, box, target) {
    const right = new Vector3(0, 1, 0).cross(from).normalize();
    const up = from.clone().cross(right);
    const high = Math.tan(MathUtils.degToRad(FIELD / 2));
    const wide = high * this.camera.aspect;
    let most = 0;
    for (const x of [box.min.x, box.max.x])
      for (const y of [box.min.y, box.max.y])
        for (const z of [box.min.z, box.max.z]) {
          const corner = new Vector3(x, y, z).sub(target);
          const ahead = corner.dot(from);
          most = Math.max(most, ahead + Math.abs(corner.dot(right)) / wide, ahead + Math.abs(corner.dot(up)) / high);
        }
    return most * ROOM;
  }

  /** Move the camera to `offset` from a target. @param {Vector3} target @param {Vector3} offset @param {boolean} [atOnce] */
  fly(target, offset, atOnce = false) {
    this.stop();
    const still = atOnce || matchMedia("(prefers-reduced-motion: reduce)").matches;
    const [t0, s0] = [this.controls.target.clone(), new Spherical().setFromVector3(this.#offset())];
    const s1 = new Spherical().setFromVector3(offset);
    s1.theta = s0.theta + MathUtils.euclideanModulo(s1.theta - s0.theta + Math.PI, 2 * Math.PI) - Math.PI;
    const begun = performance.now();
    const move = (/** @type {number} */ now) => {
      const share = still ? 1 : Math.min(1, Math.max(0, (now - begun) / FLIGHT));
      const eased = share * share * (3 - 2 * share);
      const mixed = new Spherical(
        s0.radius * (s1.radius / s0.radius) ** eased,
        MathUtils.lerp(s0.phi, s1.phi, eased),
        MathUtils.lerp(s0.theta, s1.theta, eased),
      ).makeSafe();
      this.controls.target.lerpVectors(t0, target, eased);
      this.#place(new Vector3().setFromSpherical(mixed));
      this.flight = share < 1 ? requestAnimationFrame(move) : 0;
      this.stage.dataset.moving = String(share < 1);
    };
    move(still ? Infinity : begun);
  }

  /** End a flight where it is. */
  stop() {
    cancelAnimationFrame(this.flight);
    this.flight = 0;
    this.stage.dataset.moving = "false";
  }

  #offset() {
    const offset = this.camera.position.clone().sub(this.controls.target);
    return offset.lengthSq() > 0 ? offset : new Vector3(0, 0, 1000);
  }

  /** @param {Vector3} offset */
  #place(offset) {
    this.camera.position.copy(this.controls.target).add(offset);
    this.controls.update();
    this.changed();
  }

  /** Turn about what is looked at, in steps. @param {number} across @param {number} up */
  turn(across, up) {
    delete this.stage.dataset.view;
    const way = new Spherical().setFromVector3(this.#offset());
    way.theta -= across * STEP;
    way.phi -= up * STEP;
    this.#place(new Vector3().setFromSpherical(way.makeSafe()));
  }

  /** Shift what is looked at, in steps. @param {number} across @param {number} up */
  shift(across, up) {
    delete this.stage.dataset.view;
    const step = this.#offset().length() * STEP * 0.25;
    const matrix = this.camera.matrixWorld;
    const [right, above] = [new Vector3().setFromMatrixColumn(matrix, 0), new Vector3().setFromMatrixColumn(matrix, 1)];
    const offset = this.#offset();
    this.controls.target.addScaledVector(right, across * step).addScaledVector(above, up * step);
    this.#place(offset);
  }

  /** Come nearer (above zero) or go back, in steps. @param {number} steps */
  nearer(steps) {
    delete this.stage.dataset.view;
    this.#place(this.#offset().multiplyScalar((1 - STEP) ** steps));
  }

  /** Fit the picture's depth to what there is. @param {number} radius of all there is, about what is looked at */
  fit(radius) {
    const distance = this.#offset().length();
    this.camera.near = Math.max(0.5, distance - radius);
    this.camera.far = distance + radius;
    this.camera.updateProjectionMatrix();
  }
}
