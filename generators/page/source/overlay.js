/** What is drawn over the picture: a mark of the verdict at every place, and the measure of a gap. */

import { Vector3 } from "three";

/** @import {Camera} from "three" */
/** @import {Data} from "./data.js" */

const SVG = "http://www.w3.org/2000/svg";
const HEAD = 7; // px, length of an arrow head
const TAIL = 26; // px that arrows reach outside a gap too narrow for them
const NARROW = 36; // px
const [FULL, LEAST] = [900, 0.55]; // px of width at which marks have their full size, and the least share of it

/** The sign of each verdict: its shape says it without its colour. */
export const SIGNS = { fits: "✓", tight: "!", fails: "✕" };

export class Overlay {
  /**
   * @param {SVGSVGElement} svg
   * @param {Data} data
   * @param {(place: number) => void} choose
   */
  constructor(svg, data, choose) {
    this.svg = svg;
    this.choose = choose;
    /** @type {SVGUseElement[]} */ this.marks = [];
    this.data = data;
    this.renew(data);
    this.measure = svg.appendChild(document.createElementNS(SVG, "g"));
    this.measure.setAttribute("class", "measure");
    /** @type {{from: Vector3, to: Vector3, text: string, line: boolean} | null} */
    this.shown = null;
    this.marked = true;
    this.alone = false; // whether the measure is drawn without the marks
  }

  /** Mark the places of other data. @param {Data} data */
  renew(data) {
    this.data = data;
    for (const mark of this.marks) mark.remove();
    this.marks = data.places.map((place, number) => {
      const mark = document.createElementNS(SVG, "use");
      mark.setAttribute("href", `#sign-${place.verdict}`);
      mark.setAttribute("class", `mark ${place.verdict}`);
      mark.addEventListener("click", () => this.choose(number));
      return mark;
    });
    this.svg.prepend(...this.marks);
  }

  /** Show a measure between two points; without `line` only its figure. @param {Vector3} from @param {Vector3} to @param {string} text @param {boolean} line */
  show(from, to, text, line) {
    this.alone = false;
    this.shown = { from, to, text, line };
  }

  clear() {
    this.alone = false;
    this.shown = null;
  }

  /**
   * Draw for where the camera is now.
   * @param {Camera} camera
   * @param {number} width
   * @param {number} height
   * @param {boolean} fromBehind
   * @param {(point: Vector3) => boolean} isKept whether a point is not cut away
   */
  draw(camera, width, height, fromBehind, isKept) {
    this.svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    const onPicture = (/** @type {Vector3} */ point) => {
      const seen = point.clone().project(camera);
      return { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height };
    };
    this.data.places.forEach((place, number) => {
      const z = fromBehind ? -this.data.panel[2] - 1 : 1;
      const spot = new Vector3(place.at[0] + 11, place.at[1] + 13, z);
      const { x, y } = onPicture(spot);
      this.marks[number].setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)}) scale(${Math.min(1, Math.max(LEAST, width / FULL)).toFixed(2)})`);
      this.marks[number].style.display = this.marked && !this.alone && isKept(spot) ? "" : "none";
    });
    this.measure.replaceChildren();
    if (this.shown) this.#measure(onPicture(this.shown.from), onPicture(this.shown.to), this.shown);
  }

  /** @param {{x: number, y: number}} a @param {{x: number, y: number}} b @param {{text: string, line: boolean}} shown */
  #measure(a, b, { text, line }) {
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const [ux, uy] = length > 0.5 ? [(b.x - a.x) / length, (b.y - a.y) / length] : [1, 0];
    if (line) {
      const outside = length < NARROW;
      for (const [at, way] of [[a, outside ? -1 : 1], [b, outside ? 1 : -1]]) this.#arrow(/** @type {{x: number, y: number}} */ (at), ux * /** @type {number} */ (way), uy * /** @type {number} */ (way), outside ? TAIL : length / 2);
      for (const at of [a, b]) this.#line(at.x - uy * 8, at.y + ux * 8, at.x + uy * 8, at.y - ux * 8);
    }
    const [x, y] = [(a.x + b.x) / 2, Math.min(a.y, b.y) - 22];
    this.#line((a.x + b.x) / 2, (a.y + b.y) / 2, x, y + 8);
    const label = this.measure.appendChild(document.createElementNS(SVG, "text"));
    label.setAttribute("x", x.toFixed(1));
    label.setAttribute("y", y.toFixed(1));
    label.textContent = text;
  }

  /** An arrow that points at `at`, its shaft in a direction away from it. @param {{x: number, y: number}} at @param {number} ux @param {number} uy @param {number} shaft */
  #arrow(at, ux, uy, shaft) {
    this.#line(at.x, at.y, at.x + ux * shaft, at.y + uy * shaft);
    const head = this.measure.appendChild(document.createElementNS(SVG, "path"));
    const [bx, by] = [at.x + ux * HEAD, at.y + uy * HEAD];
    head.setAttribute("d", `M${at.x} ${at.y}L${bx - uy * 3} ${by + ux * 3}L${bx + uy * 3} ${by - ux * 3}Z`);
  }

  /** @param {number} x1 @param {number} y1 @param {number} x2 @param {number} y2 */
  #line(x1, y1, x2, y2) {
    const line = this.measure.appendChild(document.createElementNS(SVG, "path"));
    line.setAttribute("d", `M${x1} ${y1}L${x2} ${y2}`);
  }
}
