/** Outlines in 2D: rings of points to draw, and how far they reach in a direction, exactly. */

/** @import {Corner, Outline, Profile} from "./data.js" */

const FACET = 0.03; // mm a chord may stray from its arc: far below what a screen shows
const WHOLE = 360;

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
 * @param {number} [facet] mm a chord may stray from it
 */
export function chords(radius, sweep, facet = FACET) {
  const step = 2 * Math.acos(Math.max(0, 1 - facet / Math.max(radius, facet)));
  const least = sweep >= WHOLE ? 12 : 1;
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
