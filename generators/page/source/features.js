/** Distances between two picked features: level faces, flat walls, axes of round faces. */

import { Vector3 } from "three";

/** @import {Hit} from "./scene.js" */

/** @typedef {{what: string, kind: "plane" | "axis", point: Vector3, way: Vector3}} Picked `way`: normal or direction */
/** @typedef {{mm: number, from: Vector3, to: Vector3, says: string}} Distance */

const PARALLEL = 1e-4; // sine of the angle up to which two directions are one

/** What was picked, where it is now. @param {Hit} hit @param {string} name @returns {Picked} */
export function picked({ feature, matrix, point }, name) {
  const way = new Vector3();
  if (feature.kind === "axis") {
    const on = new Vector3(feature.x, feature.y, 0).applyMatrix4(matrix);
    way.set(0, 0, 1).transformDirection(matrix);
    const along = on.addScaledVector(way, point.clone().sub(on).dot(way));
    return { what: `axis of ${name}`, kind: "axis", point: along, way };
  }
  if (feature.kind === "level") way.set(0, 0, feature.up ? 1 : -1);
  else way.set(Math.cos(feature.angle), Math.sin(feature.angle), 0);
  return { what: `face of ${name}`, kind: "plane", point: point.clone(), way: way.transformDirection(matrix) };
}

/**
 * The distance between two features: square to them where they are parallel, else between the picked points.
 * @param {Picked} a
 * @param {Picked} b
 * @returns {Distance}
 */
export function distance(a, b) {
  const aligned = new Vector3().crossVectors(a.way, b.way).length() < PARALLEL;
  const square = Math.abs(a.way.dot(b.way)) < PARALLEL;
  if (a.kind === "plane" && b.kind === "plane" && aligned) return toPlane(a, b, "square to both faces");
  if (a.kind === "axis" && b.kind === "axis" && aligned) return acrossAxes(a, b);
  if (a.kind !== b.kind && square) {
    const [axis, plane] = a.kind === "axis" ? [a, b] : [b, a];
    return toPlane(axis, plane, "from the axis square to the face");
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
function acrossAxes(a, b) {
  const between = b.point.clone().sub(a.point);
  between.addScaledVector(a.way, -between.dot(a.way));
  return { mm: between.length(), from: a.point, to: a.point.clone().add(between), says: "from axis to axis" };
}
