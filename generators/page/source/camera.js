/** The camera: views by name, flying to them, turning and shifting by keys. */

import { MathUtils, PerspectiveCamera, Spherical, Vector3 } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";

/** @import {Box3} from "three" */

const FIELD = 26; // degrees from top to bottom: narrow, so that panels look straight
const FLIGHT = 420; // ms
const STEP = 0.14; // radians or shares of the distance that one key press moves
const LEAST = 12; // mm between the eye and what it looks at
const ROOM = 1.06; // of the least distance at which all is seen

/** Where each named view looks from. @type {Record<string, [number, number, number]>} */
const FROM = {
  front: [0, 0, 1],
  rear: [0, 0, -1],
  corner: [0.5, 0.42, 0.85],
  "rear corner": [-0.5, 0.42, -0.85],
  above: [0, 1, 0.001],
  side: [1, 0, 0.001],
};

/** The corners of a box; none of an empty one. @param {Box3} box @returns {Vector3[]} */
export function corners(box) {
  if (box.isEmpty()) return [];
  const { min, max } = box;
  return [min.x, max.x].flatMap((x) => [min.y, max.y].flatMap((y) => [min.z, max.z].map((z) => new Vector3(x, y, z))));
}

/**
 * How far from the origin the eye must be to see all points between two opposite sides of the picture, and where then the
 * middle is.
 * @param {Vector3[]} points @param {Vector3} from @param {Vector3} way @param {number} slope of the sides
 */
function sides(points, from, way, slope) {
  let [high, low] = [-Infinity, Infinity];
  for (const point of points) {
    const [off, nearer] = [point.dot(way), slope * point.dot(from)];
    [high, low] = [Math.max(high, off + nearer), Math.min(low, off - nearer)];
  }
  return { distance: (high - low) / (2 * slope), middle: (high + low) / 2 };
}

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

  /** Look from a named side at some points, all of them. @param {string} name @param {Vector3[]} points @param {boolean} [atOnce] */
  lookFrom(name, points, atOnce = false) {
    this.frame(new Vector3(...FROM[name]).normalize(), points, atOnce);
    this.stage.dataset.view = name;
  }

  /**
   * Look at some points from a direction, as near as all of them are seen.
   *
   * A point is seen if it lies within the four sides of the picture. How far it lies towards a side, and how much nearer
   * the eye it is, both ask for distance: what two opposite sides ask for is shared by shifting the eye between them.
   * @param {Vector3} from @param {Vector3[]} points @param {boolean} [atOnce]
   */
  frame(from, points, atOnce = false) {
    delete this.stage.dataset.view;
    const right = new Vector3(0, 1, 0).cross(from).normalize();
    const up = from.clone().cross(right);
    const high = Math.tan(MathUtils.degToRad(FIELD / 2));
    const [across, along] = [sides(points, from, right, high * this.camera.aspect), sides(points, from, up, high)];
    const depths = points.map((point) => point.dot(from));
    const depth = (Math.max(...depths) + Math.min(...depths)) / 2;
    const distance = Math.max(LEAST, (Math.max(across.distance, along.distance) - depth) * ROOM);
    const target = from.clone().multiplyScalar(depth).addScaledVector(right, across.middle).addScaledVector(up, along.middle);
    this.fly(target, from.clone().multiplyScalar(distance), atOnce);
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

  /** How many mm one pixel shows at a point. @param {Vector3} point @param {number} height of the picture, pixels */
  pixelAt(point, height) {
    const ahead = point.clone().sub(this.camera.position).dot(this.camera.getWorldDirection(new Vector3()));
    return (2 * ahead * Math.tan(MathUtils.degToRad(FIELD / 2))) / height;
  }

  /** Fit the picture's depth to what there is. @param {number} radius of all there is, about what is looked at */
  fit(radius) {
    const distance = this.#offset().length();
    this.camera.near = Math.max(0.5, distance - radius);
    this.camera.far = distance + radius;
    this.camera.updateProjectionMatrix();
  }
}
