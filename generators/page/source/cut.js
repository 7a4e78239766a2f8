/** The section of bodies by a plane across an axis, filled: worked out from slices, so that it is exact and closed. */

import { BufferAttribute, BufferGeometry, Color, Matrix4, Vector3 } from "three";
import { outlineAt, ring } from "./outlines.js";
import { triangles } from "./shapes.js";

/** @import {Outline, Profile, Slice} from "./data.js" */
/** @import {Point} from "./outlines.js" */

/** @typedef {"x" | "y" | "z"} Axis */
/** @typedef {{slices: Slice[], matrix: Matrix4, colour: string, rank: number}} Solid */

const STEPS = 8; // levels at which a cone's section is taken
const LAYER = 0.02; // mm a cut face lies before those of the rank below, so that none flickers through another
const PALE = new Color("#ffffff");
const CUT = new Color("#e0701a");
const [PALER, WARMER] = [0.3, 0.22]; // shares of both in the colour of a cut face

/**
 * The cut faces of bodies, coloured by body, as one geometry.
 * @param {Solid[]} solids
 * @param {Axis} axis
 * @param {number} position mm along the axis
 * @param {1 | -1} towards the way along the axis from which the faces are seen
 * @param {Outline[]} outlines
 * @returns {BufferGeometry}
 */
export function section(solids, axis, position, towards, outlines) {
  /** @type {number[]} */
  const points = [];
  /** @type {number[]} */
  const colours = [];
  for (const solid of solids) {
    const colour = new Color(solid.colour).lerp(PALE, PALER).lerp(CUT, WARMER);
    const before = new Vector3().setComponent("xyz".indexOf(axis), towards * LAYER * solid.rank);
    for (const corner of cutFace(solid, axis, position, outlines)) {
      points.push(...corner.applyMatrix4(solid.matrix).add(before).toArray());
      colours.push(colour.r, colour.g, colour.b);
    }
  }
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
  made.setAttribute("color", new BufferAttribute(new Float32Array(colours), 3));
  return made;
}

/** The triangles of one body's cut face in its own frame. @param {Solid} solid @param {Axis} axis @param {number} position @param {Outline[]} outlines */
function cutFace({ slices, matrix }, axis, position, outlines) {
  const back = matrix.clone().invert();
  const on = new Vector3().setComponent("xyz".indexOf(axis), position).applyMatrix4(back);
  if (axis === "z") return slices.flatMap((slice) => levelCut(slice, on.z, outlines));
  const normal = new Vector3().setComponent("xyz".indexOf(axis), 1).transformDirection(back);
  const away = on.x * normal.x + on.y * normal.y;
  return slices.flatMap((slice) => uprightCut(slice, [normal.x, normal.y], away, outlines));
}

/** @param {Slice} slice @param {number} z @param {Outline[]} outlines @returns {Vector3[]} */
function levelCut([z0, z1, profile, holes], z, outlines) {
  if (z <= z0 || z >= z1) return [];
  const share = (z - z0) / (z1 - z0);
  const bounds = [profile, ...holes].map((one) => ring(outlineAt(one, share, outlines)).points);
  return triangles(bounds).flatMap((three) => three.map(([x, y]) => new Vector3(x, y, z)));
}

/** @param {Slice} slice @param {Point} normal @param {number} away @param {Outline[]} outlines @returns {Vector3[]} */
function uprightCut([z0, z1, profile, holes], normal, away, outlines) {
  const straight = [profile, ...holes].every((one) => typeof one === "number");
  const steps = straight ? 1 : STEPS;
  const chordsAt = (/** @type {number} */ share) => spans(profile, holes, share, normal, away, outlines);
  /** @type {Vector3[]} */
  const corners = [];
  for (let i = 0; i < steps; i++) {
    let [low, high] = [chordsAt(i / steps), chordsAt((i + 1) / steps)];
    if (low.length !== high.length) low = high = chordsAt((i + 0.5) / steps);
    const height = (/** @type {number} */ n) => z0 + ((z1 - z0) * n) / steps;
    low.forEach(([from, to], n) => corners.push(...quad(from, to, high[n][0], high[n][1], height(i), height(i + 1))));
  }
  return corners;

  /** @param {number} a @param {number} b @param {number} c @param {number} d @param {number} low @param {number} high */
  function quad(a, b, c, d, low, high) {
    const point = (/** @type {number} */ t, /** @type {number} */ z) =>
      new Vector3(normal[0] * away - normal[1] * t, normal[1] * away + normal[0] * t, z);
    return [point(a, low), point(b, low), point(d, high), point(a, low), point(d, high), point(c, high)];
  }
}

/**
 * The stretches of a line that lie in a profile and in none of its holes.
 * @param {Profile} profile @param {Profile[]} holes @param {number} share @param {Point} normal @param {number} away
 * @param {Outline[]} outlines
 * @returns {[from: number, to: number][]}
 */
function spans(profile, holes, share, normal, away, outlines) {
  const whole = chord(outlineAt(profile, share, outlines), normal, away);
  if (!whole) return [];
  const gaps = holes
    .map((hole) => chord(outlineAt(hole, share, outlines), normal, away))
    .filter((gap) => gap !== null)
    .sort((a, b) => a[0] - b[0]);
  /** @type {[number, number][]} */
  const left = [];
  let from = whole[0];
  for (const [a, b] of gaps) {
    if (a > from) left.push([from, Math.min(a, whole[1])]);
    from = Math.max(from, b);
  }
  if (from < whole[1]) left.push([from, whole[1]]);
  return left;
}

/** Where a line enters and leaves a convex outline. @param {Outline} outline @param {Point} normal @param {number} away @returns {[number, number] | null} */
function chord(outline, [nx, ny], away) {
  const { points } = ring(outline);
  /** @type {number[]} */
  const hits = [];
  points.forEach(([ax, ay], i) => {
    const [bx, by] = points[(i + 1) % points.length];
    const [a, b] = [ax * nx + ay * ny - away, bx * nx + by * ny - away];
    if (a > 0 === b > 0) return;
    const share = a / (a - b);
    hits.push((ay + (by - ay) * share) * nx - (ax + (bx - ax) * share) * ny);
  });
  return hits.length < 2 ? null : [Math.min(...hits), Math.max(...hits)];
}
