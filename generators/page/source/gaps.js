/** Where two bodies come closest: the exact gap between slices, with the two points between which it is measured. */

import { boxOf, outlineAt, placed, reach, touch, ways } from "./outlines.js";

/** @import {Data, Finding, Instance, Outline, Profile} from "./data.js" */
/** @import {Point} from "./outlines.js" */

/** @typedef {[x: number, y: number, z: number]} Point3 */
/** @typedef {{gap: number, from: Point3, to: Point3, inside?: boolean}} Gap mm, below zero where bodies clash; `inside` a hole */
/** @typedef {Gap & {bodies: Instance[], across: boolean}} Found `across`: what was measured is the play, twice the gap */
/** @typedef {{z0: number, z1: number, at: (share: number) => Outline, holes: ((share: number) => Outline)[]}} Standing */

const SAME = 0.0011; // mm: the page's numbers carry four decimals, and a gap is the difference of several
const TOUCHING = 1e-5;

/**
 * The gap that a finding tells of, found again between the bodies that it names and those about them; null where no
 * gap between bodies is what was measured (a hole that has no body, a rack rail, a length of thread).
 * @param {Data} data
 * @param {Finding} finding
 * @returns {Found | null}
 */
export function gapOf(data, finding) {
  const { measured } = finding;
  if (measured === null) return null;
  let best = /** @type {Found | null} */ (null);
  let least = SAME;
  for (const [a, b] of pairs(data, finding))
    for (const found of between(data, a, b))
      for (const across of found.inside ? [false, true] : [false]) {
        const off = Math.abs((across ? 2 : 1) * found.gap - measured);
        if (off < least) [best, least] = [{ ...found, bodies: [a, b], across }, off];
      }
  return best;
}

/**
 * The pairs of bodies that a finding may tell of, the ones that it names first.
 * @param {Data} data
 * @param {Finding} finding
 * @returns {[Instance, Instance][]}
 */
function pairs(data, finding) {
  const near = new Set([finding.place, ...finding.beside, -1]);
  const others = data.instances.filter((one) => near.has(one.place));
  const named = finding.bodies.map((number) => data.instances[number]);
  const first = named.length ? named : others.filter((one) => one.role === "part");
  const second = named.length > 1 ? named : others;
  return first.flatMap((a) => second.filter((b) => b !== a).map((b) => /** @type {[Instance, Instance]} */ ([a, b])));
}

/**
 * Every way in which two bodies come close: beside each other, one within a hole of the other, one above the other.
 * @param {Data} data
 * @param {Instance} one
 * @param {Instance} other
 * @returns {Gap[]}
 */
export function between(data, one, other) {
  const found = [];
  const theirs = standing(data, other);
  for (const a of standing(data, one))
    for (const b of theirs) {
      if (Math.min(a.z1, b.z1) - Math.max(a.z0, b.z0) > TOUCHING) found.push(...beside(a, b));
      found.push(...above(a, b), ...above(b, a));
    }
  return found;
}

/**
 * The slices of a body where it stands.
 * @param {Data} data
 * @param {Instance} one
 * @returns {Standing[]}
 */
function standing(data, one) {
  const [x, y, z, turn] = one.at;
  const put = (/** @type {Profile} */ profile) => (/** @type {number} */ share) =>
    placed(outlineAt(profile, one.flip ? 1 - share : share, data.outlines), x, y, turn, one.flip);
  return data.bodies[one.body].slices.map(([z0, z1, profile, holes]) => ({
    z0: z + (one.flip ? -z1 : z0),
    z1: z + (one.flip ? -z0 : z1),
    at: put(profile),
    holes: holes.map(put),
  }));
}

/** @param {Standing} a @param {Standing} b @returns {Gap[]} */
function beside(a, b) {
  const z0 = Math.max(a.z0, b.z0);
  const z1 = Math.min(a.z1, b.z1);
  const found = [];
  for (const z of new Set([z0, z1])) {
    const [sa, sb] = [(z - a.z0) / (a.z1 - a.z0), (z - b.z0) / (b.z1 - b.z0)];
    const [ours, theirs] = [a.at(sa), b.at(sb)];
    const middle = a.at(0) === b.at(0) ? z : (z0 + z1) / 2;
    const apart = outside(ours, theirs, middle);
    if (apart.gap >= 0) found.push(apart);
    else {
      const inside = [
        ...b.holes.filter((hole) => overlap(ours, hole(sb))).map((hole) => within(ours, hole(sb), middle)),
        ...a.holes.filter((hole) => overlap(theirs, hole(sa))).map((hole) => within(theirs, hole(sa), middle)),
      ];
      found.push(...inside, ...(inside.some((one) => one.gap > apart.gap) ? [] : [apart]));
    }
  }
  return found;
}

/** Whether the boxes of two outlines overlap. @param {Outline} a @param {Outline} b */
function overlap(a, b) {
  const [al, ab, ar, at] = boxOf(a);
  const [bl, bb, br, bt] = boxOf(b);
  return al < br && bl < ar && ab < bt && bb < at;
}

/** The strip that parts two outlines best. @param {Outline} a @param {Outline} b @param {number} z @returns {Gap} */
function outside(a, b, z) {
  let [gap, way] = [-Infinity, /** @type {Point} */ ([1, 0])];
  for (const u of ways(a, b)) {
    const here = -reach(b, [-u[0], -u[1]]) - reach(a, u);
    if (here > gap + 1e-9) [gap, way] = [here, u];
  }
  const along = middle(touch(a, way), turned(touch(b, [-way[0], -way[1]])));
  return { gap, ...line(way, reach(a, way), reach(a, way) + gap, along, z) };
}

/** The least air about an outline in a hole. @param {Outline} inner @param {Outline} hole @param {number} z @returns {Gap} */
function within(inner, hole, z) {
  let [gap, way] = [Infinity, /** @type {Point} */ ([1, 0])];
  for (const u of ways(inner, hole)) {
    const here = reach(hole, u) - reach(inner, u);
    if (here < gap - 1e-9) [gap, way] = [here, u];
  }
  const along = middle(touch(inner, way), touch(hole, way));
  return { gap, inside: true, ...line(way, reach(inner, way), reach(hole, way), along, z) };
}

/** One slice over another: the height between them. @param {Standing} low @param {Standing} high @returns {Gap[]} */
function above(low, high) {
  const [a, b] = [low.at(1), high.at(0)];
  if (!overlap(a, b)) return [];
  const [al, ab, ar, at] = boxOf(a);
  const [bl, bb, br, bt] = boxOf(b);
  const x = (Math.max(al, bl) + Math.min(ar, br)) / 2;
  const y = (Math.max(ab, bb) + Math.min(at, bt)) / 2;
  return [{ gap: high.z0 - low.z1, from: [x, y, low.z1], to: [x, y, high.z0] }];
}

/** @param {[number, number]} span @returns {[number, number]} */
function turned([from, to]) {
  return [-to, -from];
}

/** Where two spans along a tangent meet best. @param {[number, number]} a @param {[number, number]} b */
function middle(a, b) {
  return (Math.max(a[0], b[0]) + Math.min(a[1], b[1])) / 2;
}

/**
 * Two points across a gap, at `along` on the tangent.
 * @param {Point} way
 * @param {number} from
 * @param {number} to
 * @param {number} along
 * @param {number} z
 * @returns {{from: Point3, to: Point3}}
 */
function line([ux, uy], from, to, along, z) {
  const point = (/** @type {number} */ d) => /** @type {Point3} */ ([d * ux - along * uy, d * uy + along * ux, z]);
  return { from: point(from), to: point(to) };
}
