/** What the page is given: see contents.py, which writes it. All lengths are mm, all angles degrees. */

/** @typedef {[x: number, y: number, radius: number, start: number, stop: number]} Corner */
/** @typedef {Corner[]} Outline a convex outline, anticlockwise; one corner alone is a circle */
/** @typedef {number | [low: number, high: number, x: number, y: number]} Profile number of an outline, or a cone */
/** @typedef {[z0: number, z1: number, profile: Profile, holes: Profile[]]} Slice */
/** @typedef {{name: string, slices: Slice[]}} Body */
/** @typedef {[colour: string, metal: boolean]} Finish */
/** @typedef {[x: number, y: number, turn: number]} Spot */
/** @typedef {{finish: number, levels: [number, number], rings: number[][], spots?: Spot[]}} Layer rings of an area, the outer one first */
/** @typedef {{finish: number, profile: number[], spots?: Spot[]}} Turning radius and z, corner by corner */
/** @typedef {{finish: number, points: number[], faces: number[], spots?: Spot[]}} Skin triangles of a true solid: x, y and z of its corners, their numbers */
/** @typedef {Layer | Turning | Skin} Piece of a look; its figures are hundredths of a mm */
/** @typedef {[x: number, y: number, z: number]} Point3 */
/** @typedef {{from: Point3, to: Point3, across: boolean, bodies: number[]}} Gap `across`: what was measured is the play, twice it */
/** @typedef {"panel" | "part" | "screw" | "washer" | "nut" | "plug"} Role */
/** @typedef {"fits" | "tight" | "fails"} Verdict */

/**
 * @typedef {object} Instance
 * @property {string} name
 * @property {number} body
 * @property {[x: number, y: number, z: number, turn: number]} at
 * @property {boolean} flip
 * @property {Role} role
 * @property {number} place -1 for the panel
 * @property {number} look -1: it looks as its body is
 * @property {string} colour
 * @property {boolean} metal
 * @property {number} side 1: comes off to the front, -1: to the rear
 * @property {number} rank in the order of assembly
 * @property {number} apart how far it comes off
 * @property {number} travel of a plug, from first touch to home
 */

/**
 * @typedef {object} Place
 * @property {string} name
 * @property {string} part
 * @property {"front" | "rear"} mount
 * @property {[x: number, y: number]} at
 * @property {Verdict} verdict
 * @property {string[]} hardware
 * @property {string} plug
 */

/**
 * @typedef {object} Finding
 * @property {string} check
 * @property {number} place -1 for the panel as a whole
 * @property {number[]} beside
 * @property {number[]} bodies
 * @property {Verdict} verdict
 * @property {string} says
 * @property {string} remedy
 * @property {number | null} measured
 * @property {number | null} limit
 * @property {"front" | "rear"} view
 * @property {Gap | null} gap where it was measured, if between two bodies
 */

/**
 * @typedef {object} Data
 * @property {string} title
 * @property {[width: number, height: number, thickness: number]} panel
 * @property {Outline[]} outlines
 * @property {Body[]} bodies
 * @property {string} ink colour of the legends
 * @property {Piece[][]} looks
 * @property {Finish[]} finishes
 * @property {Instance[]} instances
 * @property {Place[]} places
 * @property {Finding[]} findings
 * @property {Record<string, [advance: number, loops: number[][]]>} glyphs
 * @property {[place: number, text: string, x: number, y: number, height: number][]} legends
 */

/** @param {string} text @returns {Data} */
export function readData(text) {
  return JSON.parse(text);
}

/**
 * The element of an id, which the page has.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function element(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
}

/**
 * The form field of an id.
 * @param {string} id
 * @returns {HTMLInputElement}
 */
export function field(id) {
  return /** @type {HTMLInputElement} */ (element(id));
}
