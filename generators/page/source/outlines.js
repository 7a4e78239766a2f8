/** Outlines in 2D: rings of points to draw, and how far they reach in a direction, exactly. */

/** @import {Corner, Outline, Profile} from "./data.js" */

const FACET = 0.03; // mm a chord may stray from its arc: far below what a screen shows
const WHOLE = 360;
const SAME = 1e-7;

/** @typedef {[x: number, y: number]} Point */
/** @typedef {{points: Point[], corners: number[]}} Ring points with, for each, the number of the corner it lies on */

/**
 * The outline of a profile at a share (0 to 1) of its height.
 * @param {Profile} profile
 * @param {number} share
 * @param {Outline[]} outlines
 * @returns {Outline}
 */
export function outlineAt(profile, share, outlines) {
  if (typeof profile === "number") return outlines[profile];
  const [low, high, x, y] = profile;
  return [[x, y, (low + (high - low) * share) / 2, 0, WHOLE]];
}

/**
 * How many chords an arc takes.
 * @param {number} radius
 * @param {number} sweep degrees
 */
export function chords(radius, sweep) {
  const step = 2 * Math.acos(Math.max(0, 1 - FACET / Math.max(radius, FACET)));
  const least = sweep >= WHOLE ? 16 : 1;
  return Math.max(least, Math.ceil((sweep * Math.PI) / 180 / step));
}

/**
 * An outline as a ring of points, anticlockwise. All rings of one cone have as many points as its larger end.
 * @param {Outline} outline
 * @param {number} [radius] to count chords by, for cones
 * @returns {Ring}
 */
export function ring(outline, radius) {
  /** @type {Ring} */
  const made = { points: [], corners: [] };
  outline.forEach((corner, number) => {
    for (const point of arc(corner, radius ?? corner[2])) {
      made.points.push(point);
      made.corners.push(number);
    }
  });
  return made;
}

/**
 * @param {Corner} corner
 * @param {number} counted radius that chords are counted by
 * @returns {Point[]}
 */
function arc([x, y, radius, start, stop], counted) {
  if (radius <= 0 && counted <= 0) return [[x, y]];
  const sweep = stop - start;
  const count = chords(counted, sweep);
  const last = sweep >= WHOLE ? count : count + 1;
  return Array.from({ length: last }, (_, i) => {
    const angle = ((start + (i * sweep) / count) * Math.PI) / 180;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });
}

/**
 * An outline turned anticlockwise (degrees), mirrored first where it is seen from behind, then moved.
 * @param {Outline} outline
 * @param {number} x
 * @param {number} y
 * @param {number} turn
 * @param {boolean} flip
 * @returns {Outline}
 */
export function placed(outline, x, y, turn, flip) {
  const cos = Math.cos((turn * Math.PI) / 180);
  const sin = Math.sin((turn * Math.PI) / 180);
  const own = flip ? [...outline].reverse().map(mirrored) : outline;
  return own.map(([cx, cy, r, a, b]) => [x + cx * cos - cy * sin, y + cx * sin + cy * cos, r, a + turn, b + turn]);
}

/** @param {Corner} corner @returns {Corner} */
function mirrored([x, y, r, start, stop]) {
  return [-x, y, r, 180 - stop, 180 - start];
}

/**
 * How far an outline reaches in a unit direction.
 * @param {Outline} outline
 * @param {Point} way
 * @returns {number}
 */
export function reach(outline, [ux, uy]) {
  let most = -Infinity;
  for (const [x, y, r, start, stop] of outline) {
    const centre = x * ux + y * uy;
    if (faces(start, stop, (Math.atan2(uy, ux) * 180) / Math.PI)) most = Math.max(most, centre + r);
    else for (const [px, py] of ends(x, y, r, start, stop)) most = Math.max(most, px * ux + py * uy);
  }
  return most;
}

/**
 * Where along the tangent an outline touches the line that bounds it in a direction: from and to, mm.
 * @param {Outline} outline
 * @param {Point} way
 * @returns {[from: number, to: number]}
 */
export function touch(outline, [ux, uy]) {
  const most = reach(outline, [ux, uy]);
  let from = Infinity;
  let to = -Infinity;
  const angle = (Math.atan2(uy, ux) * 180) / Math.PI;
  for (const [x, y, r, start, stop] of outline) {
    const spots = ends(x, y, r, start, stop);
    if (faces(start, stop, angle)) spots.push([x + r * ux, y + r * uy]);
    for (const [px, py] of spots) {
      if (px * ux + py * uy < most - 1e-5) continue;
      const along = py * ux - px * uy;
      from = Math.min(from, along);
      to = Math.max(to, along);
    }
  }
  return [from, to];
}

/** @returns {Point[]} @param {number} x @param {number} y @param {number} r @param {number} start @param {number} stop */
function ends(x, y, r, start, stop) {
  return [start, stop].map((a) => [x + r * Math.cos((a * Math.PI) / 180), y + r * Math.sin((a * Math.PI) / 180)]);
}

/** Whether an arc from start to stop faces a direction; all degrees. @param {number} start @param {number} stop @param {number} angle */
function faces(start, stop, angle) {
  return ((((angle - start + SAME) % WHOLE) + WHOLE) % WHOLE) <= stop - start + 2 * SAME;
}

/**
 * The directions in which two outlines may come closest, or fit closest into each other.
 * @param {Outline} a
 * @param {Outline} b
 * @returns {Point[]}
 */
export function ways(a, b) {
  /** @type {Point[]} */
  const found = [];
  for (const [ax, ay] of a)
    for (const [bx, by] of b) {
      const length = Math.hypot(bx - ax, by - ay);
      const way = /** @type {Point} */ (length > SAME ? [(bx - ax) / length, (by - ay) / length] : [1, 0]);
      found.push(way, [-way[0], -way[1]]);
    }
  for (const outline of [a, b])
    if (outline.length > 1)
      for (const [, , , start, stop] of outline)
        for (const degrees of [start, stop]) {
          const angle = (degrees * Math.PI) / 180;
          found.push([Math.cos(angle), Math.sin(angle)], [-Math.cos(angle), -Math.sin(angle)]);
        }
  return found;
}

/**
 * The box about an outline: left, bottom, right, top.
 * @param {Outline} outline
 */
export function boxOf(outline) {
  return [-reach(outline, [-1, 0]), -reach(outline, [0, -1]), reach(outline, [1, 0]), reach(outline, [0, 1])];
}
