/** The page at work: what is chosen and set, and what then is seen and told. */

import { Box3, Vector2, Vector3, WebGLRenderer } from "three";
import { Eye, corners } from "./camera.js";
import { element, field, readData } from "./data.js";
import { distance, picked } from "./features.js";
import { Live, found } from "./live.js";
import { Overlay, SIGNS } from "./overlay.js";
import { Model } from "./scene.js";

/** @import {Axis} from "./cut.js" */
/** @import {Data, Finding} from "./data.js" */
/** @import {Picked} from "./features.js" */
/** @import {Hit} from "./scene.js" */

const CLOSE = 9; // mm about a gap that are shown with it
const EDGE = 6; // px beside an edge that still pick it
const NEAR = [2.5, 3]; // a close-up shows so many times the gap about it, and at least so many mm
const STILL = 5; // px a pointer may move and still click
const KEYS = /** @type {Record<string, [number, number]>} */ ({
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1],
});
/** Where a cut across an axis is looked at from. @type {Record<Axis, [number, number, number]>} */
const CUT_FROM = { x: [0.9, 0.3, 0.5], y: [0.2, 0.9, 0.5], z: [0.2, 0.2, 0.9] };
/** Where a close-up is looked at from: all but square to the cut. @type {Record<"x" | "y", [number, number, number]>} */
const SQUARE = { x: [1, 0.1, 0.16], y: [0.02, 1, 0.16] };
const VIEW_KEYS = ["front", "rear", "corner", "rear corner", "above", "side"];

/** The three-dimensional part of the page. */
class Stage {
  /** @param {Data} data @param {WebGL2RenderingContext} context @param {(place: number) => void} choosePlace */
  constructor(data, context, choosePlace) {
    this.data = data;
    this.box = element("stage");
    this.canvas = /** @type {HTMLCanvasElement} */ (element("picture"));
    this.choosePlace = choosePlace;
    this.renderer = new WebGLRenderer({ canvas: this.canvas, context, antialias: true, alpha: true });
    this.model = new Model(this.renderer, data);
    this.overlay = new Overlay(/** @type {SVGSVGElement} */ (/** @type {unknown} */ (element("overlay"))), data, choosePlace);
    this.eye = new Eye(this.box, this.canvas, () => this.draw());
    this.waiting = 0;
    this.place = -1;
    /** @type {Picked[]} */ this.picks = [];
    new ResizeObserver(() => this.#resize()).observe(this.box);
    this.#resize();
    this.#layers();
    this.eye.lookFrom("corner", this.#corners(), true);
    this.#listen();
  }

  /** Show other data as these were shown: the same settings, seen from the same spot. @param {Data} data */
  renew(data) {
    const before = this.model;
    const isSame = looks(data) === looks(this.data);
    this.data = data;
    this.place = -1;
    this.overlay.renew(data);
    if (isSame) return this.clear();
    this.model = new Model(this.renderer, data);
    this.model.setLike(before);
    this.clear();
    this.#drawNow();
    before.dispose(); // not before: what both need is not made twice
  }

  #listen() {
    const dark = matchMedia("(prefers-color-scheme: dark)");
    addEventListener("beforeprint", () => this.#drawNow());
    const follow = () => { this.model.dark = dark.matches; this.update(); };
    dark.addEventListener("change", follow);
    follow();
    this.box.addEventListener("keydown", (event) => this.#key(event));
    let down = { x: 0, y: 0 };
    this.canvas.addEventListener("pointerdown", ({ clientX: x, clientY: y }) => { down = { x, y }; });
    this.canvas.addEventListener("click", ({ clientX: x, clientY: y }) => {
      if (Math.hypot(x - down.x, y - down.y) <= STILL) this.#clickAt(x, y);
    });
    for (const button of document.querySelectorAll("button[data-view]"))
      button.addEventListener("click", () => this.look(/** @type {HTMLElement} */ (button).dataset.view ?? "front"));
    element("cut-open").addEventListener("click", () => this.cutThrough(this.placeToCut));
    for (const box of document.querySelectorAll("input[data-layer]"))
      box.addEventListener("change", () => this.#layer(/** @type {HTMLInputElement} */ (box)));
    this.#slide("plugs", (share) => { this.model.plugsOut = share; this.#bringPlugs(); });
    this.#slide("apart", (share) => { this.model.apart = share; });
    for (const id of ["cut-axis", "cut-at", "cut-other"]) element(id).addEventListener("input", () => this.#cut(id));
    element("measuring").addEventListener("change", () => this.#measuring());
  }

  /** Hide the layers that are not asked for. */
  #layers() {
    for (const box of document.querySelectorAll("input[data-layer]:not(:checked)"))
      this.model.hidden.add(/** @type {HTMLElement} */ (box).dataset.layer ?? "");
    this.model.update();
  }

  /** Show the plugs, where they are not, as they are drawn out. */
  #bringPlugs() {
    this.model.hidden.delete("plug");
    const box = /** @type {HTMLInputElement} */ (document.querySelector("input[data-layer=plug]"));
    box.checked = true;
  }

  /** @param {string} id @param {(share: number) => void} set */
  #slide(id, set) {
    const slider = field(id);
    slider.addEventListener("input", () => {
      set(Number(slider.value) / Number(slider.max));
      this.update();
    });
    slider.addEventListener("change", () => this.#lookAgain());
  }

  #resize() {
    const { clientWidth: width, clientHeight: height } = this.box;
    if (!width || !height) return;
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(width, height, false);
    this.eye.camera.aspect = width / height;
    this.draw();
  }

  /** Take over what was set, and draw. */
  update() {
    this.model.update();
    this.draw();
  }

  draw() {
    if (!this.waiting) this.waiting = requestAnimationFrame(() => this.#drawNow());
  }

  #drawNow() {
    this.waiting = 0;
    const { clientWidth: width, clientHeight: height } = this.box;
    const box = this.model.bounds;
    this.eye.fit(box.getSize(new Vector3()).length() + box.getCenter(new Vector3()).distanceTo(this.eye.controls.target));
    this.eye.camera.updateMatrixWorld();
    this.model.render(this.eye.camera);
    this.overlay.draw(this.eye.camera, width, height, this.eye.camera.position.z < this.eye.controls.target.z, (point) => this.model.isKept(point));
    this.box.dataset.drawn = String(Number(this.box.dataset.drawn ?? 0) + 1);
  }

  /** Look from a named side at all there is. @param {string} name */
  look(name) {
    this.eye.lookFrom(name, this.#corners());
    say(`Seen ${document.querySelector(`button[data-view="${name}"]`)?.textContent?.toLowerCase()}.`);
  }

  /** Fit a named view to all there is now; a view of one's own is left alone. */
  #lookAgain() {
    const name = this.box.dataset.view;
    if (name) this.eye.lookFrom(name, this.#corners());
  }

  /** @param {HTMLInputElement} box */
  #layer(box) {
    const name = box.dataset.layer ?? "";
    if (name === "marks") this.overlay.marked = box.checked;
    else if (box.checked) this.model.hidden.delete(name);
    else this.model.hidden.add(name);
    this.update();
  }

  /** @param {string} changed id of the field */
  #cut(changed) {
    const axis = /** @type {Axis | ""} */ (field("cut-axis").value);
    const slider = field("cut-at");
    if (changed === "cut-axis" && axis) {
      const box = this.model.box();
      const number = "xyz".indexOf(axis);
      [slider.min, slider.max] = [box.min.getComponent(number).toFixed(1), box.max.getComponent(number).toFixed(1)];
      slider.value = axis === "z" ? "-1" : String(this.data.places[this.placeToCut]?.at[number] ?? 0);
      this.eye.frame(vector(CUT_FROM[axis]).normalize(), this.#corners());
    }
    this.cutAt(axis, Number(slider.value));
  }

  /** The place that was chosen, else the one nearest to the middle of the panel. */
  get placeToCut() {
    if (this.place >= 0) return this.place;
    const away = this.data.places.map(({ at: [x, y] }) => Math.hypot(x, y));
    return away.indexOf(Math.min(...away));
  }

  /** Cut across an axis, or not at all. @param {Axis | ""} axis @param {number} position */
  cutAt(axis, position) {
    const slider = field("cut-at");
    slider.disabled = !axis;
    slider.setAttribute("aria-valuetext", `${position.toFixed(1)} mm`);
    element("cut-says").textContent = axis ? `${axis} = ${position.toFixed(1)} mm` : "";
    this.model.cut = axis ? { axis, position, other: field("cut-other").checked } : null;
    this.update();
  }

  /** Cut open through a place and look at the cut. @param {number} place */
  cutThrough(place) {
    this.place = place;
    field("cut-axis").value = "x";
    this.#cut("cut-axis");
    this.eye.frame(vector(CUT_FROM.x).normalize(), this.#corners(this.#bodiesOf(place)));
  }

  /** The corners of some bodies, or of all that are shown, each in its own box. @param {Iterable<number>} [numbers] */
  #corners(numbers = this.data.instances.keys()) {
    const all = [...numbers].flatMap((number) => corners(this.model.box([number])));
    return all.length ? all : [new Vector3()];
  }

  /** @param {number} place */
  #bodiesOf(place) {
    return [...this.data.instances.keys()].filter((number) => this.data.instances[number].place === place);
  }

  /** Fly to a place. @param {number} place */
  flyTo(place) {
    const box = this.model.box(this.#bodiesOf(place)).expandByScalar(CLOSE);
    this.eye.frame(new Vector3(0.35, 0.3, 1).normalize(), corners(box));
  }

  /** Show a finding: its bodies through the rest, the gap with its figure. Tells what is shown. @param {Finding} finding @param {boolean} fly @returns {string} */
  show(finding, fly) {
    const { gap } = finding;
    const named = new Set([...finding.bodies, ...(gap?.bodies ?? [])]);
    const part = (/** @type {number} */ n) => this.data.instances[n].role === "part";
    if (!named.size) this.#bodiesOf(finding.place).filter(part).forEach((n) => named.add(n));
    this.model.chosen = new Set([...named].filter((n) => this.data.instances[n].role !== "panel"));
    this.model.update();
    const box = gap ? new Box3().setFromPoints([vector(gap.from), vector(gap.to)]).expandByScalar(CLOSE) : this.model.box(this.model.chosen);
    if (box.isEmpty()) box.union(this.model.box());
    const middle = box.getCenter(new Vector3());
    const [from, to] = gap ? [vector(gap.from), vector(gap.to)] : [middle, middle];
    if (finding.measured === null) this.overlay.clear();
    else this.overlay.show(from, to, figure(finding, gap?.across ?? false), gap !== null);
    const side = finding.view === "rear" ? -1 : 1;
    if (fly) this.eye.frame(new Vector3(0.45 * side, 0.4, side).normalize(), corners(box));
    else this.draw();
    return finding.measured === null ? "" : gap ? (gap.across ? "Half of it is drawn, on one side." : "The gap is drawn where it is.") : "Its figure is not a gap between two bodies.";
  }

  /** Cut open through the gap of a finding, everything solid, and look at it from near by, square to the cut. @param {Finding} finding */
  closeUp(finding) {
    const { gap } = finding;
    if (!gap) return;
    const [from, to] = [vector(gap.from), vector(gap.to)];
    const [dx, dy] = [Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
    const axis = dx <= dy ? "x" : "y"; // the gap lies in the plane of the cut
    field("cut-axis").value = axis;
    this.#cut("cut-axis");
    field("cut-at").value = from[axis].toFixed(1);
    this.model.chosen.clear();
    this.overlay.alone = true;
    this.cutAt(axis, from[axis]);
    const room = Math.max(NEAR[1], NEAR[0] * from.distanceTo(to));
    this.eye.frame(vector(SQUARE[axis]).normalize(), corners(new Box3().setFromPoints([from, to]).expandByScalar(room)));
  }

  /** Show everything again. */
  clear() {
    this.model.chosen.clear();
    this.overlay.clear();
    this.picks = [];
    this.update();
  }

  /** @param {number} x @param {number} y */
  #clickAt(x, y) {
    const { left, top, width, height } = this.canvas.getBoundingClientRect();
    this.#pickAt(new Vector2(((x - left) / width) * 2 - 1, 1 - ((y - top) / height) * 2));
  }

  /** @param {Vector2} spot */
  #pickAt(spot) {
    const hit = this.model.hit(this.eye.camera, spot);
    if (!hit) return say("There is nothing at that spot.");
    const one = this.data.instances[hit.instance];
    if (field("measuring").checked) this.#pick(this.#picked(hit));
    else if (one.place >= 0) this.choosePlace(one.place);
    else say("The panel. Choose a part for what is known of its place.");
  }

  #measuring() {
    this.clear();
    say(field("measuring").checked ? "Pick a first face, edge or round wall: click it, or turn it under the cross and press Enter." : "Clicks choose places again.");
  }

  /** @param {Hit} hit */
  #picked(hit) {
    const { body, name } = this.data.instances[hit.instance];
    const lines = this.model.drawn[body].edges.getAttribute("position").array;
    return picked(hit, name, lines, EDGE * this.eye.pixelAt(hit.point, this.box.clientHeight));
  }

  /** @param {Picked} pick */
  #pick(pick) {
    this.picks = this.picks.length === 1 ? [this.picks[0], pick] : [pick];
    const [a, b] = this.picks;
    if (!b) {
      this.overlay.show(a.point, a.point, "first", false);
      say(`First: ${a.what}. Pick the second.`);
    } else {
      const found = distance(a, b);
      this.overlay.show(found.from, found.to, `${number(found.mm)} mm`, true);
      say(`${number(found.mm)} mm, ${found.says}: ${a.what} to ${b.what}.`);
    }
    this.draw();
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = KEYS[event.key];
    if (way) this.eye[event.shiftKey ? "shift" : "turn"](...way);
    else if (event.key === "+" || event.key === "=") this.eye.nearer(1);
    else if (event.key === "-") this.eye.nearer(-1);
    else if (event.key === "Enter") this.#pickAt(new Vector2(0, 0));
    else if (VIEW_KEYS[Number(event.key) - 1]) this.look(VIEW_KEYS[Number(event.key) - 1]);
    else return;
    event.preventDefault();
  }
}

/** @param {[number, number, number]} point */
function vector(point) {
  return new Vector3(...point);
}

/** All that a picture is drawn from. @param {Data} data */
function looks({ findings, places, ...drawn }) {
  return JSON.stringify(drawn);
}

/** A length as it is told. @param {number} mm */
function number(mm) {
  const text = (Math.round(Math.abs(mm) * 100) / 100).toFixed(2);
  return mm < 0 && Number(text) ? `−${text}` : text;
}

/** What was measured, and what is wanted where that is not zero. @param {Finding} finding @param {boolean} across */
function figure({ measured, limit }, across) {
  const wanted = limit ? ` (wanted: ${number(limit)} mm)` : "";
  return `${number(measured ?? 0)} mm${across ? " across" : ""}${wanted}`;
}

/** Tell what is shown, in words. @param {string} text */
function say(text) {
  element("said").textContent = text;
}

/** The whole page. */
class Page {
  /** @param {Data} data */
  constructor(data) {
    this.data = data;
    this.place = -1;
    this.finding = -1;
    const canvas = /** @type {HTMLCanvasElement} */ (element("picture"));
    const context = canvas.getContext("webgl2", { alpha: true, antialias: true, depth: true });
    this.stage = context ? new Stage(this.data, context, (place) => this.choosePlace(place, false)) : null;
    this.#listen();
    document.documentElement.dataset.shows = context ? "solid" : "flat";
    say(context ? "Drag to turn, or use the arrow keys." : "This browser draws nothing in 3D; everything else is on this page.");
  }

  #listen() {
    document.addEventListener("click", ({ target }) => {
      const one = target instanceof Element ? target.closest("button[data-finding], button[data-place], #flat [data-place]") : null;
      const [finding, place] = [one?.getAttribute("data-finding"), one?.getAttribute("data-place")];
      if (finding) this.chooseFinding(Number(finding), true);
      else if (place) this.choosePlace(Number(place), true);
    });
    element("everything").addEventListener("click", () => this.clear());
    document.addEventListener("keydown", (event) => { if (event.key === "Escape") this.clear(); });
  }

  /** Show other data, what was chosen still chosen where it is there. @param {Data} data */
  renew(data) {
    const finding = found(this.data, this.finding, data);
    const name = this.data.places[this.place]?.name;
    const [had, told] = [this.finding, element("said").textContent ?? ""];
    this.data = data;
    this.stage?.renew(data);
    const place = data.places.findIndex((one) => one.name === name);
    if (finding >= 0) this.chooseFinding(finding, false);
    else if (place >= 0) this.#showPlace(place);
    else if (had >= 0 || name) this.clear();
    if (had >= 0 && finding < 0) say(`What was chosen is no longer told. It was: ${told}`);
  }

  /** @param {number} n @param {boolean} fly */
  chooseFinding(n, fly) {
    if (fly) this.#bringIn();
    const finding = this.data.findings[n];
    const shown = this.stage?.show(finding, fly) ?? "";
    this.#markFinding(n);
    this.#tellPlace(finding.place);
    say(`${SIGNS[finding.verdict]} ${finding.verdict}: ${finding.says} ${shown}`);
  }

  /** @param {number} n @param {boolean} fly */
  choosePlace(n, fly) {
    if (fly) this.#bringIn();
    this.#showPlace(n);
    if (fly) this.stage?.flyTo(n);
    const place = this.data.places[n];
    say(`${place.name}: ${place.part}, ${place.verdict}.`);
  }

  /** @param {number} n */
  #showPlace(n) {
    this.stage?.clear();
    this.#markFinding(-1);
    this.#tellPlace(n);
  }

  /** Scroll the picture into sight, where it is out of it. */
  #bringIn() {
    if (this.stage) element("stage").scrollIntoView({ block: "nearest" });
  }

  clear() {
    this.stage?.clear();
    this.#markFinding(-1);
    this.place = -1;
    this.#mark("place", -1);
    element("about").replaceChildren(paragraph("Choose a place or a finding: what is known of it is told here."));
    say("Everything is shown.");
  }

  /** Mark what is chosen wherever it is listed. @param {string} name @param {number} n */
  #mark(name, n) {
    for (const one of document.querySelectorAll(`[data-${name}]`)) {
      const chosen = one.getAttribute(`data-${name}`) === String(n);
      one.classList.toggle("chosen", chosen);
      if (one instanceof HTMLButtonElement) one.setAttribute("aria-current", String(chosen));
    }
  }

  /** @param {number} n */
  #markFinding(n) {
    this.finding = n;
    this.#mark("finding", n);
  }

  /** @param {number} n */
  #tellPlace(n) {
    this.place = n;
    this.#mark("place", n);
    const place = this.data.places[n];
    if (!place) return element("about").replaceChildren(paragraph("This is about the panel as a whole."));
    if (this.stage) this.stage.place = n;
    const findings = this.data.findings.map((finding, number) => ({ finding, number })).filter(({ finding }) => finding.place === n || finding.beside.includes(n));
    const list = make("ol", "told");
    for (const { finding, number } of findings) list.append(this.#line(finding, number));
    element("about").replaceChildren(
      make("h3", "", place.name),
      paragraph(`${place.part}, from the ${place.mount}; ${place.verdict}.`),
      ...place.hardware.map(paragraph),
      ...(place.plug ? [paragraph(`Tried with: ${place.plug}.`)] : []),
      ...this.#acts(n),
      list,
    );
  }

  /** What can be done with a place, and with a finding of it whose gap is found. @param {number} place */
  *#acts(place) {
    const stage = this.stage;
    if (!stage) return;
    yield act("Cut it open here", () => stage.cutThrough(place));
    const finding = this.data.findings[this.finding];
    if (finding?.gap) yield act("Close-up of the gap, cut open", () => stage.closeUp(finding));
  }

  /** @param {Finding} finding @param {number} n */
  #line(finding, n) {
    const button = make("button", finding.verdict);
    button.append(make("b", "", `${SIGNS[finding.verdict]} ${finding.verdict}`), ` ${finding.says}`);
    button.addEventListener("click", () => this.chooseFinding(n, true));
    const line = make("li");
    line.append(button);
    return line;
  }
}

/** @param {string} tag @param {string} [name] @param {string} [text] */
function make(tag, name = "", text = "") {
  const made = document.createElement(tag);
  if (name) made.className = name;
  made.textContent = text;
  return made;
}

/** @param {string} text @param {() => void} does */
function act(text, does) {
  const button = make("button", "act", text);
  button.addEventListener("click", does);
  return button;
}

/** @param {string} text */
function paragraph(text) {
  return make("p", "", text);
}

/** @type {Page | undefined} */
let page;
if (document.getElementById("data")) page = new Page(readData(element("data").textContent ?? ""));
if ("live" in document.documentElement.dataset) new Live((data) => page?.renew(data));
