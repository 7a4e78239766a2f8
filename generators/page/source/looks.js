/** Looks as geometry to draw: layers and turned pieces with the colours of their finishes, and the edges about them. */

import { BufferAttribute, BufferGeometry, Color } from "three";
import { chords } from "./outlines.js";
import { triangles } from "./shapes.js";

/** @import {Finish, Layer, Piece, Skin as Triangles, Spot, Turning} from "./data.js" */
/** @import {Point} from "./outlines.js" */

/** @typedef {{faces: BufferGeometry, edges: BufferGeometry}} Skin faces in two groups: what is plain, what is metal */

const FACET = 0.05; // mm a chord may stray from a turned piece
const FINE = 100; // looks are written in hundredths of a mm
const SMOOTH = 0.6; // radians between two walls up to which they are drawn as one that is round
const [DARK, LIGHTER, DARKER] = [0.12, 0.2, 0.32]; // edges of what is dark are lighter, all others darker
/** @type {Spot[]} */
const HOME = [[0, 0, 0]];

class Pen {
  constructor() {
    /** @type {[number[], number[]]} */ this.points = [[], []];
    /** @type {[number[], number[]]} */ this.normals = [[], []];
    /** @type {[number[], number[]]} */ this.colours = [[], []];
    /** @type {Map<string, {lines: number[], colour: Color} | null>} */ this.loops = new Map();
    /** @type {number[]} */ this.lines = [];
    /** @type {number[]} */ this.lineColours = [];
  }

  /** Take up a finish, at a spot. @param {Finish} finish @param {Spot} spot */
  begin([hex, metal], [x, y, turn]) {
    this.group = metal ? 1 : 0;
    this.colour = new Color(hex);
    this.edge = edgeOf(this.colour);
    this.spot = [x, y, Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  }

  /** @param {number[]} point */
  #put([px, py, pz]) {
    const [x, y, cos, sin] = this.spot ?? [0, 0, 1, 0];
    return [x + px * cos - py * sin, y + px * sin + py * cos, pz];
  }

  /** @param {number[]} point @param {number[]} normal */
  corner(point, [nx, ny, nz]) {
    const group = this.group ?? 0;
    const [, , cos, sin] = this.spot ?? [0, 0, 1, 0];
    this.points[group].push(...this.#put(point));
    this.normals[group].push(nx * cos - ny * sin, nx * sin + ny * cos, nz);
    this.colours[group].push(...(this.colour ?? new Color()).toArray());
  }

  /** @param {number[]} a @param {number[]} b */
  line(a, b) {
    this.lines.push(...this.#put(a), ...this.#put(b));
    const edge = (this.edge ?? new Color()).toArray();
    this.lineColours.push(...edge, ...edge);
  }

  /** An edge all around, unless another piece of that finish goes on from it. @param {string} key @param {number[][]} ring */
  loop(key, ring) {
    const flat = ring.flatMap((point, i) => [...this.#put(point), ...this.#put(ring[(i + 1) % ring.length])]);
    this.loops.set(key, this.loops.has(key) ? null : { lines: flat, colour: this.edge ?? new Color() });
  }

  /** @returns {Skin} */
  drawn() {
    for (const loop of this.loops.values()) {
      if (!loop) continue;
      this.lines.push(...loop.lines);
      for (let i = 0; i < loop.lines.length; i += 3) this.lineColours.push(...loop.colour.toArray());
    }
    const faces = new BufferGeometry();
    faces.setAttribute("position", attribute(this.points.flat()));
    faces.setAttribute("normal", attribute(this.normals.flat()));
    faces.setAttribute("color", attribute(this.colours.flat()));
    const plain = this.points[0].length / 3;
    faces.addGroup(0, plain, 0);
    faces.addGroup(plain, this.points[1].length / 3, 1);
    const edges = new BufferGeometry();
    edges.setAttribute("position", attribute(this.lines));
    edges.setAttribute("color", attribute(this.lineColours));
    return { faces, edges };
  }
}

/** The colour of edges on a colour. @param {Color} colour */
function edgeOf(colour) {
  const bright = 0.3 * colour.r + 0.6 * colour.g + 0.1 * colour.b;
  return bright < DARK ? colour.clone().lerp(new Color("#ffffff"), LIGHTER) : colour.clone().multiplyScalar(DARKER);
}

/**
 * A body as it is, in one colour: painted like looks are, so that graphics need one program for all.
 * @param {Skin} drawn
 * @param {string} hex
 * @returns {Skin}
 */
export function tinted({ faces, edges }, hex) {
  const colour = new Color(hex);
  return { faces: filled(faces, colour), edges: filled(edges, edgeOf(colour)) };
}

/** @param {BufferGeometry} geometry @param {Color} colour */
function filled(geometry, colour) {
  const made = geometry.clone();
  const { count } = made.getAttribute("position");
  made.setAttribute("color", attribute(Array.from({ length: count }, () => colour.toArray()).flat()));
  return made;
}

/** @param {number[]} values */
function attribute(values) {
  return new BufferAttribute(new Float32Array(values), 3);
}

/**
 * A look, drawn.
 * @param {Piece[]} look
 * @param {Finish[]} finishes
 * @returns {Skin}
 */
export function drawLook(look, finishes) {
  const pen = new Pen();
  for (const piece of look)
    for (const spot of piece.spots ?? HOME) {
      pen.begin(finishes[piece.finish], spot);
      if ("rings" in piece) drawLayer(pen, piece, spot);
      else if ("faces" in piece) drawTriangles(pen, piece);
      else drawTurning(pen, piece);
    }
  return pen.drawn();
}

/** @param {number[]} flat @returns {Point[]} */
function points(flat) {
  return Array.from({ length: flat.length / 2 }, (_, i) => /** @type {Point} */ ([flat[2 * i] / FINE, flat[2 * i + 1] / FINE]));
}

/** @param {Pen} pen @param {Layer} layer @param {Spot} spot */
function drawLayer(pen, { finish, levels, rings }, spot) {
  const [z0, z1] = [levels[0] / FINE, levels[1] / FINE];
  const bounds = rings.map(points);
  for (const [i, ring] of bounds.entries()) {
    drawWall(pen, ring, z0, z1);
    for (const z of [z0, z1]) pen.loop(`${finish} ${z} ${rings[i]} ${spot}`, ring.map(([x, y]) => [x, y, z]));
  }
  const [outer, ...holes] = bounds;
  for (const three of triangles([outer, ...holes.map((hole) => [...hole].reverse())])) {
    for (const [x, y] of three) pen.corner([x, y, z1], [0, 0, 1]);
    for (const [x, y] of [three[0], three[2], three[1]]) pen.corner([x, y, z0], [0, 0, -1]);
  }
}

/** The wall of a ring, its solid to the left of it. @param {Pen} pen @param {Point[]} ring @param {number} z0 @param {number} z1 */
function drawWall(pen, ring, z0, z1) {
  const count = ring.length;
  const outward = ring.map(([x, y], i) => {
    const [nx, ny] = ring[(i + 1) % count];
    const length = Math.hypot(nx - x, ny - y) || 1;
    return [(ny - y) / length, (x - nx) / length];
  });
  const bends = outward.map(([x, y], i) => {
    const [px, py] = outward[(i + count - 1) % count];
    return Math.acos(Math.min(1, Math.max(-1, x * px + y * py))) > SMOOTH;
  });
  const normalAt = (/** @type {number} */ corner, /** @type {number} */ wall) => {
    if (bends[corner]) return [...outward[wall], 0];
    const [[ax, ay], [bx, by]] = [outward[(corner + count - 1) % count], outward[corner]];
    const length = Math.hypot(ax + bx, ay + by) || 1;
    return [(ax + bx) / length, (ay + by) / length, 0];
  };
  ring.forEach(([x, y], i) => {
    const j = (i + 1) % count;
    const [nx, ny] = ring[j];
    const [here, there] = [normalAt(i, i), normalAt(j, i)];
    quad(pen, [x, y, z0], [nx, ny, z0], [nx, ny, z1], [x, y, z1], here, there, there, here);
    if (bends[i]) pen.line([x, y, z0], [x, y, z1]);
  });
}

/**
 * @param {Pen} pen @param {number[]} a @param {number[]} b @param {number[]} c @param {number[]} d
 * @param {number[]} na @param {number[]} nb @param {number[]} nc @param {number[]} nd
 */
function quad(pen, a, b, c, d, na, nb, nc, nd) {
  pen.corner(a, na);
  pen.corner(b, nb);
  pen.corner(c, nc);
  pen.corner(a, na);
  pen.corner(c, nc);
  pen.corner(d, nd);
}

/** @param {Pen} pen @param {Turning} turning */
function drawTurning(pen, { profile }) {
  const corners = points(profile);
  const count = chords(Math.max(...corners.map(([r]) => r)), 360, FACET);
  const turns = Array.from({ length: count }, (_, i) => [Math.cos((i * 2 * Math.PI) / count), Math.sin((i * 2 * Math.PI) / count)]);
  const at = (/** @type {Point} */ [r, z], /** @type {number} */ i) => [r * turns[i][0], r * turns[i][1], z];
  corners.forEach((here, n) => {
    const there = corners[(n + 1) % corners.length];
    const before = corners[(n + corners.length - 1) % corners.length];
    const stands = (here[0] - before[0]) * (there[1] - here[1]) > (here[1] - before[1]) * (there[0] - here[0]); // out, not in
    if (here[0] <= 0 && there[0] <= 0) return;
    const length = Math.hypot(there[0] - here[0], there[1] - here[1]) || 1;
    const [out, up] = [(there[1] - here[1]) / length, (here[0] - there[0]) / length];
    for (let i = 0; i < count; i++) {
      const j = (i + 1) % count;
      const [ni, nj] = [[out * turns[i][0], out * turns[i][1], up], [out * turns[j][0], out * turns[j][1], up]];
      quad(pen, at(here, i), at(here, j), at(there, j), at(there, i), ni, nj, nj, ni);
      if (here[0] > 0 && stands) pen.line(at(here, i), at(here, j));
    }
  });
}

/** A true solid: round where its triangles hardly bend, with an edge where they do. @param {Pen} pen @param {Triangles} solid */
function drawTriangles(pen, { points, faces }) {
  const corners = Array.from({ length: points.length / 3 }, (_, i) => points.slice(3 * i, 3 * i + 3).map((value) => value / FINE));
  const all = Array.from({ length: faces.length / 3 }, (_, i) => faces.slice(3 * i, 3 * i + 3));
  const areas = all.map(([a, b, c]) => cross(minus(corners[b], corners[a]), minus(corners[c], corners[a])));
  const drawn = all.map((three, i) => ({ three, area: areas[i], way: unit(areas[i]) })).filter(({ area }) => area.some((part) => part !== 0));
  /** @type {typeof drawn[]} */
  const about = corners.map(() => []);
  for (const one of drawn) for (const corner of one.three) about[corner].push(one);
  const goesOn = (/** @type {number[]} */ a, /** @type {number[]} */ b) => dot(a, b) > Math.cos(SMOOTH);
  /** @type {Map<string, number[]>} */
  const sides = new Map(); // each with the way of the triangle on one side of it
  for (const { three, way } of drawn)
    three.forEach((corner, i) => {
      const round = about[corner].filter((other) => goesOn(way, other.way)).reduce((sum, { area }) => plus(sum, area), [0, 0, 0]);
      pen.corner(corners[corner], unit(round));
      const next = three[(i + 1) % 3];
      const key = corner < next ? `${corner} ${next}` : `${next} ${corner}`;
      const other = sides.get(key);
      if (other && !goesOn(way, other)) pen.line(corners[corner], corners[next]);
      sides.set(key, way);
    });
}

/** @param {number[]} a @param {number[]} b */
function minus(a, b) {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** @param {number[]} a @param {number[]} b */
function plus(a, b) {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

/** @param {number[]} a @param {number[]} b */
function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/** @param {number[]} a @param {number[]} b */
function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** @param {number[]} a */
function unit(a) {
  const length = Math.sqrt(dot(a, a)) || 1;
  return a.map((part) => part / length);
}
