/** Distances between two picked features: level faces, flat walls, axes of round faces and rims, straight edges. */

import { Line3, Vector3 } from "three";

/** @import {Hit} from "./scene.js" */

/** @typedef {"face" | "axis" | "edge"} Noun */
/** @typedef {{what: string, noun: Noun, kind: "plane" | "line", point: Vector3, way: Vector3}} Picked `way`: normal or direction */
/** @typedef {{mm: number, from: Vector3, to: Vector3, says: string}} Distance */

const PARALLEL = 1e-4; // sine of the angle up to which two directions are one
const BEND = 0.8; // radians: chords that follow each other by less, and are as long, are of one arc; a hexagon turns by more
const AS_LONG = 1e-3; // mm

/**
 * What was picked, where it is now: an edge within reach of the spot, which stands for its axis where it is round, else
 * the face that was hit.
 * @param {Hit} hit @param {string} name @param {ArrayLike<number>} lines edges of the body, two points each @param {number} reach mm
 * @returns {Picked}
 */
export function picked({ feature, matrix, point }, name, lines, reach) {
  const edge = edgeNear(lines, point.clone().applyMatrix4(matrix.clone().invert()), reach);
  if (edge) return { what: `${edge.noun} of ${name}`, noun: edge.noun, kind: "line", point: edge.point.applyMatrix4(matrix), way: edge.way.transformDirection(matrix) };
  const way = new Vector3();
  if (feature.kind === "axis") {
    const on = new Vector3(feature.x, feature.y, 0).applyMatrix4(matrix);
    way.set(0, 0, 1).transformDirection(matrix);
    const along = on.addScaledVector(way, point.clone().sub(on).dot(way));
    return { what: `axis of ${name}`, noun: "axis", kind: "line", point: along, way };
  }
  if (feature.kind === "level") way.set(0, 0, feature.up ? 1 : -1);
  else way.set(Math.cos(feature.angle), Math.sin(feature.angle), 0);
  return { what: `face of ${name}`, noun: "face", kind: "plane", point: point.clone(), way: way.transformDirection(matrix) };
}

/**
 * The edge that comes nearest to a spot within reach, in the frame of its body; of a round one its axis.
 * @param {ArrayLike<number>} lines @param {Vector3} spot @param {number} reach
 * @returns {{noun: Noun, point: Vector3, way: Vector3} | null}
 */
function edgeNear(lines, spot, reach) {
  let best = /** @type {{ends: [Vector3, Vector3], point: Vector3} | null} */ (null);
  let least = reach;
  for (let n = 0; n < lines.length; n += 6) {
    const ends = segment(lines, n);
    const point = new Line3(...ends).closestPointToPoint(spot, true, new Vector3());
    const away = point.distanceTo(spot);
    if (away <= least) [best, least] = [{ ends, point }, away];
  }
  if (!best) return null;
  const centre = centreOf(lines, best.ends);
  if (centre) return { noun: "axis", point: centre, way: new Vector3(0, 0, 1) };
  return { noun: "edge", point: best.point, way: best.ends[1].clone().sub(best.ends[0]).normalize() };
}

/** @param {ArrayLike<number>} lines @param {number} n @returns {[Vector3, Vector3]} */
function segment(lines, n) {
  return [new Vector3(lines[n], lines[n + 1], lines[n + 2]), new Vector3(lines[n + 3], lines[n + 4], lines[n + 5])];
}

/** The centre of the level arc that a chord is of; null where it is a straight edge. @param {ArrayLike<number>} lines @param {[Vector3, Vector3]} chord */
function centreOf(lines, [a, b]) {
  const length = a.distanceTo(b);
  if (Math.abs(a.z - b.z) > AS_LONG) return null;
  for (let n = 0; n < lines.length; n += 6) {
    const [c, d] = segment(lines, n);
    if (Math.abs(c.distanceTo(d) - length) > AS_LONG) continue;
    const next = [[c, d], [d, c]].find(([near, far]) => near.distanceTo(b) < AS_LONG && far.distanceTo(a) > AS_LONG)?.[1];
    const turn = next ? b.clone().sub(a).angleTo(next.clone().sub(b)) : 0;
    if (next && turn > PARALLEL && turn < BEND && Math.abs(next.z - b.z) < AS_LONG) return about(a, b, next);
  }
  return null;
}

/** The centre of the level circle through three points. @param {Vector3} a @param {Vector3} b @param {Vector3} c */
function about(a, b, c) {
  const [bx, by, cx, cy] = [b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y];
  const twice = 2 * (bx * cy - by * cx);
  const [bb, cc] = [bx * bx + by * by, cx * cx + cy * cy];
  return new Vector3(a.x + (cy * bb - by * cc) / twice, a.y + (bx * cc - cx * bb) / twice, a.z);
}

/**
 * The distance between two features: square to them where they are parallel, where they pass each other if both are
 * lines, else between the picked points.
 * @param {Picked} a
 * @param {Picked} b
 * @returns {Distance}
 */
export function distance(a, b) {
  const aligned = new Vector3().crossVectors(a.way, b.way).length() < PARALLEL;
  const square = Math.abs(a.way.dot(b.way)) < PARALLEL;
  if (a.kind === "plane" && b.kind === "plane" && aligned) return toPlane(a, b, "square to both faces");
  if (a.kind === "line" && b.kind === "line") return aligned ? acrossLines(a, b) : passing(a, b);
  if (a.kind !== b.kind && square) {
    const [line, plane] = a.kind === "line" ? [a, b] : [b, a];
    return toPlane(line, plane, `from the ${line.noun} square to the face`);
  }
  return { mm: a.point.distanceTo(b.point), from: a.point, to: b.point, says: "between the two points, as the features are not parallel" };
}

/** @param {Picked} from @param {Picked} plane @param {string} says @returns {Distance} */
function toPlane(from, plane, says) {
  const away = plane.point.clone().sub(from.point).dot(plane.way);
  const to = from.point.clone().addScaledVector(plane.way, away);
  return { mm: Math.abs(away), from: from.point, to, says };
}

/** @param {Picked} a @param {Picked} b @returns {Distance} */
function acrossLines(a, b) {
  const between = b.point.clone().sub(a.point);
  between.addScaledVector(a.way, -between.dot(a.way));
  return { mm: between.length(), from: a.point, to: a.point.clone().add(between), says: `from ${a.noun} to ${b.noun}` };
}

/** Where two lines that are not parallel pass each other. @param {Picked} a @param {Picked} b @returns {Distance} */
function passing(a, b) {
  const between = b.point.clone().sub(a.point);
  const slant = a.way.dot(b.way);
  const share = 1 - slant * slant;
  const [along, along2] = [between.dot(a.way), between.dot(b.way)];
  const from = a.point.clone().addScaledVector(a.way, (along - slant * along2) / share);
  const to = b.point.clone().addScaledVector(b.way, (slant * along - along2) / share);
  return { mm: from.distanceTo(to), from, to, says: `from ${a.noun} to ${b.noun}, where they pass each other` };
}
