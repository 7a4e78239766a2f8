/** Bodies and legends as geometry to draw: faces with their features, and the edges that outline them. */

import { BufferAttribute, BufferGeometry, ShapeUtils, Vector2 } from "three";
import { outlineAt, ring } from "./outlines.js";

/** @import {Body, Corner, Data, Outline, Profile, Slice} from "./data.js" */
/** @import {Point, Ring} from "./outlines.js" */

/**
 * What a face is of, in the frame of its body: a level face (normal along z), a flat wall, or a round one, which
 * stands for its axis.
 * @typedef {{kind: "level", z: number, up: boolean}
 *   | {kind: "wall", x: number, y: number, angle: number}
 *   | {kind: "axis", x: number, y: number, radius: number}} Feature
 */

/** @typedef {{faces: BufferGeometry, edges: BufferGeometry, features: Feature[], starts: number[]}} Drawn
 *   `starts` are the numbers of the first triangle of each feature */

const STEP = 1.0; // mm between the outlines of two slices that lie on each other: less are the steps of a bend, no edge
const SHARP = 0.35; // radians between walls beyond which their common edge is drawn

class Pen {
  constructor() {
    /** @type {number[]} */ this.points = [];
    /** @type {number[]} */ this.normals = [];
    /** @type {number[]} */ this.lines = [];
    /** @type {Feature[]} */ this.features = [];
    /** @type {number[]} */ this.starts = [];
  }

  /** @param {Feature} feature */
  begin(feature) {
    this.features.push(feature);
    this.starts.push(this.points.length / 9);
  }

  /** @param {number[]} point @param {number[]} normal */
  corner(point, normal) {
    this.points.push(...point);
    this.normals.push(...normal);
  }

  /** @returns {Drawn} */
  drawn() {
    const faces = new BufferGeometry();
    faces.setAttribute("position", new BufferAttribute(new Float32Array(this.points), 3));
    faces.setAttribute("normal", new BufferAttribute(new Float32Array(this.normals), 3));
    const edges = new BufferGeometry();
    edges.setAttribute("position", new BufferAttribute(new Float32Array(this.lines), 3));
    return { faces, edges, features: this.features, starts: this.starts };
  }
}

/**
 * A body, drawn.
 * @param {Body} body
 * @param {Outline[]} outlines
 * @returns {Drawn}
 */
export function drawBody(body, outlines) {
  const pen = new Pen();
  for (const slice of body.slices) drawSlice(pen, slice, body, outlines);
  return pen.drawn();
}

/** @param {Pen} pen @param {Slice} slice @param {Body} body @param {Outline[]} outlines */
function drawSlice(pen, slice, body, outlines) {
  const [z0, z1, profile, holes] = slice;
  for (const one of [profile, ...holes]) {
    const open = { low: goesOn(body, one, z0, 1, outlines), high: goesOn(body, one, z1, 0, outlines) };
    drawWall(pen, rings(one, outlines), z0, z1, one !== profile, outlines, one, open);
  }
  drawLevel(pen, slice, 0, outlines);
  drawLevel(pen, slice, 1, outlines);
}

/**
 * Whether another slice carries the same profile on from a level, or nearly the same.
 * @param {Body} body @param {Profile} profile @param {number} z @param {0 | 1} end @param {Outline[]} outlines
 */
function goesOn(body, profile, z, end, outlines) {
  if (typeof profile !== "number") return false;
  const here = outlines[profile];
  return body.slices.some((s) => Math.abs(s[end] - z) < 1e-4
    && [s[2], ...s[3]].some((other) => typeof other === "number" && (other === profile || isNear(outlines[other], here))));
}

/** Whether two outlines have like corners in nearly the same places. @param {Outline} one @param {Outline} other */
function isNear(one, other) {
  return one.length === other.length && one.every(([x, y], n) => Math.hypot(x - other[n][0], y - other[n][1]) < STEP);
}

/**
 * The rings at both ends of a profile, point by point alike.
 * @param {Profile} profile
 * @param {Outline[]} outlines
 * @returns {[low: Ring, high: Ring]}
 */
export function rings(profile, outlines) {
  if (typeof profile === "number") {
    const one = ring(outlines[profile]);
    return [one, one];
  }
  const widest = Math.max(profile[0], profile[1]) / 2;
  return [ring(outlineAt(profile, 0, outlines), widest), ring(outlineAt(profile, 1, outlines), widest)];
}

/**
 * @param {Pen} pen @param {[Ring, Ring]} ends @param {number} z0 @param {number} z1 @param {boolean} inward
 * @param {Outline[]} outlines @param {Profile} profile @param {{low: boolean, high: boolean}} open
 */
function drawWall(pen, ends, z0, z1, inward, outlines, profile, open) {
  const [low, high] = ends;
  const corners = outlineAt(profile, 0.5, outlines);
  const slope = typeof profile === "number" ? 0 : (profile[0] - profile[1]) / 2 / (z1 - z0);
  const count = low.points.length;
  const sign = inward ? -1 : 1;
  let last = "";
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    const [a, b, c, d] = [at(low, i, z0), at(low, j, z0), at(high, j, z1), at(high, i, z1)];
    const flat = Math.atan2(-(b[0] + c[0] - a[0] - d[0]), b[1] + c[1] - a[1] - d[1]);
    const corner = corners[low.corners[i]];
    const round = low.corners[i] === low.corners[j] && corner[2] > 0;
    const key = round ? `${corner[0]} ${corner[1]}` : `wall ${i}`;
    if (key !== last) pen.begin(feature(round, corner, a, flat));
    last = key;
    const [ni, nj] = round ? [angleAt(corner, low.points[i], i), angleAt(corner, low.points[j], j)] : [flat, flat];
    const normal = (/** @type {number} */ angle) => tilted(angle, slope, sign);
    const turns = inward ? [[a, ni], [d, ni], [c, nj], [a, ni], [c, nj], [b, nj]] : [[a, ni], [b, nj], [c, nj], [a, ni], [c, nj], [d, ni]];
    for (const [point, angle] of turns) pen.corner(/** @type {number[]} */ (point), normal(/** @type {number} */ (angle)));
    if (!open.low) pen.lines.push(...a, ...b);
    if (!open.high) pen.lines.push(...d, ...c);
    if (isSharp(corners, low, i)) pen.lines.push(...a, ...d);
  }

  /** @param {Corner} corner @param {Point} point @param {number} i */
  function angleAt(corner, point, i) {
    const [x, y] = Math.hypot(point[0] - corner[0], point[1] - corner[1]) > 1e-6 ? point : high.points[i];
    return Math.atan2(y - corner[1], x - corner[0]);
  }
}

/** @param {Ring} ends @param {number} i @param {number} z */
function at(ends, i, z) {
  return [ends.points[i][0], ends.points[i][1], z];
}

/** @param {boolean} round @param {Corner} corner @param {number[]} point @param {number} angle @returns {Feature} */
function feature(round, corner, point, angle) {
  if (round) return { kind: "axis", x: corner[0], y: corner[1], radius: corner[2] };
  return { kind: "wall", x: point[0], y: point[1], angle };
}

/** A wall's normal, tilted by the slope of a cone. @param {number} angle @param {number} slope @param {number} sign */
function tilted(angle, slope, sign) {
  const length = Math.hypot(1, slope);
  return [(sign * Math.cos(angle)) / length, (sign * Math.sin(angle)) / length, (sign * slope) / length];
}

/** Whether an edge runs up the wall at a point: a corner that is not rounded. @param {Outline} corners @param {Ring} low @param {number} i */
function isSharp(corners, low, i) {
  const [, , radius, start, stop] = corners[low.corners[i]];
  return radius <= 0 && ((stop - start) * Math.PI) / 180 > SHARP;
}

/** @param {Pen} pen @param {Slice} slice @param {0 | 1} end @param {Outline[]} outlines */
function drawLevel(pen, [z0, z1, profile, holes], end, outlines) {
  const z = end ? z1 : z0;
  const up = end === 1;
  const bounds = [profile, ...holes].map((one) => rings(one, outlines)[end].points);
  pen.begin({ kind: "level", z, up });
  for (const triangle of triangles(bounds)) {
    const [a, b, c] = up ? triangle : [triangle[0], triangle[2], triangle[1]];
    for (const point of [a, b, c]) pen.corner([...point, z], [0, 0, up ? 1 : -1]);
  }
}

/**
 * The triangles, anticlockwise, of what lies within the first ring and outside the others.
 * @param {Point[][]} bounds
 * @returns {Point[][]}
 */
export function triangles([outer, ...holes]) {
  const vectors = (/** @type {Point[]} */ points) => points.map(([x, y]) => new Vector2(x, y));
  const inner = holes.map((hole) => vectors(hole).reverse());
  const all = [vectors(outer), ...inner];
  const points = all.flat();
  return ShapeUtils.triangulateShape(all[0], inner).map((three) => three.map((i) => [points[i].x, points[i].y]));
}

/**
 * The legends as flat faces at a height, with, for each, its place.
 * @param {Data} data
 * @param {number} z
 * @returns {BufferGeometry}
 */
export function drawLegends(data, z) {
  /** @type {number[]} */
  const points = [];
  const glyphs = new Map(Object.entries(data.glyphs).map(([letter, [, loops]]) => [letter, glyph(loops)]));
  for (const [, text, x, y, height] of data.legends) {
    let pen = x;
    for (const letter of text) {
      for (const [px, py] of glyphs.get(letter) ?? []) points.push(pen + px * height, y + py * height, z);
      pen += data.glyphs[letter][0] * height;
    }
  }
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
  return made;
}

/** The triangles of a letter, corner by corner. @param {number[][]} loops @returns {Point[]} */
function glyph(loops) {
  const rounds = loops.map((flat) => Array.from({ length: flat.length / 2 }, (_, i) => /** @type {Point} */ ([flat[2 * i], flat[2 * i + 1]])));
  const solid = rounds.filter((loop) => area(loop) < 0); // this typeface turns clockwise around what is inked
  const empty = rounds.filter((loop) => area(loop) >= 0);
  return solid.flatMap((loop) => {
    const holes = empty.filter((hole) => holds(loop, hole[0]));
    return triangles([[...loop].reverse(), ...holes]).flat();
  });
}

/** @param {Point[]} loop */
function area(loop) {
  return ShapeUtils.area(loop.map(([x, y]) => new Vector2(x, y)));
}

/** Whether a point lies within a loop. @param {Point[]} loop @param {Point} point */
function holds(loop, [x, y]) {
  let inside = false;
  loop.forEach(([ax, ay], i) => {
    const [bx, by] = loop[(i + 1) % loop.length];
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  });
  return inside;
}
