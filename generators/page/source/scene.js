/** The assembly in 3D: every body where it stands, shown, faint or hidden, moved on its way in or out, and cut. */

import {
  AmbientLight, Box3, DirectionalLight, DoubleSide, LineBasicMaterial, LineSegments, Matrix4, Mesh,
  MeshBasicMaterial, MeshPhongMaterial, Plane, Raycaster, Scene, Vector2, Vector3,
} from "three";
import { section } from "./cut.js";
import { drawLook, tinted } from "./looks.js";
import { drawBody, drawLegends } from "./shapes.js";

/** @import {Camera, WebGLRenderer} from "three" */
/** @import {Axis} from "./cut.js" */
/** @import {Data, Instance} from "./data.js" */
/** @import {Drawn, Feature} from "./shapes.js" */

/** @typedef {{axis: Axis, position: number, other: boolean}} Cut */
/** @typedef {{instance: number, point: Vector3, feature: Feature, matrix: Matrix4}} Hit */

const DRAWN_OUT = 18; // mm a plug is drawn out beyond first touch
const LIFT = 0.03; // mm legends lie above the face, so that both are seen
const SLIVER = 0.2; // mm kept beyond the cut, where the cut faces lie: of bodies that overlap, the later one in front
const FAINT = 0.09;
const PICKED = "#ff8a00";

export class Model {
  /**
   * @param {WebGLRenderer} renderer
   * @param {Data} data
   */
  constructor(renderer, data) {
    this.data = data;
    this.renderer = renderer;
    this.scene = new Scene();
    /** @type {Set<string>} */ this.hidden = new Set();
    /** @type {Set<number>} */ this.chosen = new Set();
    this.plugsOut = 0;
    this.apart = 0;
    /** @type {Cut | null} */ this.cut = null;
    this.dark = false;
    this.bounds = new Box3(); // about all that is shown
    /** @type {Map<string, MeshPhongMaterial>} */ this.paints = new Map();
    this.drawn = data.bodies.map((body) => drawBody(body, data.outlines));
    this.skins = data.looks.map((look) => drawLook(look, data.finishes));
    this.unseen = new MeshBasicMaterial({ visible: false });
    this.ranks = [...new Set(data.instances.map((one) => one.rank))].filter((rank) => rank > 0).sort((a, b) => a - b);
    this.#lights();
    this.edgePaint = new LineBasicMaterial({ vertexColors: true });
    this.faintEdge = new LineBasicMaterial({ transparent: true, opacity: 0.12, depthWrite: false });
    this.pickedEdge = new LineBasicMaterial({ color: PICKED });
    this.meshes = data.instances.map((one, number) => this.#mesh(one, this.drawn[one.body], number));
    this.legends = new Mesh(drawLegends(data, LIFT), new MeshBasicMaterial({ color: data.ink, transparent: true }));
    this.cutFace = new Mesh(undefined, new MeshBasicMaterial({ vertexColors: true, side: DoubleSide }));
    this.scene.add(this.legends, this.cutFace);
    this.update();
  }

  /** Take over what was set on another. @param {Model} other */
  setLike({ hidden, plugsOut, apart, cut, dark }) {
    Object.assign(this, { hidden, plugsOut, apart, cut, dark });
    this.update();
  }

  /** Let go of what the graphics keep of it. */
  dispose() {
    this.scene.traverse((one) => {
      if (!(one instanceof Mesh || one instanceof LineSegments)) return;
      one.geometry.dispose();
      for (const paint of [one.material].flat()) paint.dispose();
    });
  }

  #lights() {
    this.lamp = new DirectionalLight("#ffffff", 2.3);
    this.fill = new DirectionalLight("#dfe9ff", 0.7);
    this.scene.add(this.lamp, this.lamp.target, this.fill, this.fill.target, new AmbientLight("#ffffff", 1.25));
  }

  /** A body, which is picked and measured but not seen, with its skin, which is. @param {Instance} one @param {Drawn} drawn @param {number} number */
  #mesh(one, drawn, number) {
    const mesh = new Mesh(drawn.faces, this.unseen);
    mesh.matrixAutoUpdate = false;
    mesh.userData.number = number;
    const { faces, edges } = one.look < 0 ? tinted(drawn, one.colour) : this.skins[one.look];
    mesh.add(new Mesh(faces), new LineSegments(edges, this.edgePaint));
    this.scene.add(mesh);
    return mesh;
  }

  /** What a body is painted with: one paint, or one for what is plain of its look and one for what is metal. @param {Instance} one @param {boolean} faint */
  #paints({ look, metal }, faint) {
    return look < 0 ? this.#paint(metal, faint) : [this.#paint(false, faint), this.#paint(true, faint)];
  }

  /** @param {boolean} metal @param {boolean} faint */
  #paint(metal, faint) {
    const key = `${metal} ${faint}`;
    let paint = this.paints.get(key);
    if (!paint) {
      const shine = metal ? { specular: "#5a5a5a", shininess: 45 } : { specular: "#242424", shininess: 22 };
      const look = { vertexColors: true, ...shine, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 };
      paint = new MeshPhongMaterial(faint ? { ...look, transparent: true, opacity: FAINT, depthWrite: false } : look);
      this.paints.set(key, paint);
    }
    return paint;
  }

  /** Put everything where and how it is to be seen now. */
  update() {
    this.faintEdge.color.set(this.dark ? "#ffffff" : "#000000");
    this.data.instances.forEach((one, number) => this.#show(one, number));
    this.legends.visible = !this.hidden.has("legends") && !this.hidden.has("panel");
    /** @type {MeshBasicMaterial} */ (this.legends.material).opacity = this.#isFaint(this.#panel) ? 0.25 : 1;
    this.#cutOpen();
    this.bounds = this.box();
  }

  get #panel() {
    return this.data.instances.findIndex((one) => one.role === "panel");
  }

  /** @param {number} number */
  #isFaint(number) {
    return this.chosen.size > 0 && !this.chosen.has(number);
  }

  /** @param {Instance} one @param {number} number */
  #show(one, number) {
    const mesh = this.meshes[number];
    const faint = this.#isFaint(number);
    mesh.visible = this.isShown(number);
    const [faces, edges] = /** @type {[Mesh, LineSegments]} */ (mesh.children);
    faces.material = this.#paints(one, faint);
    faces.renderOrder = faint ? 1 : 0;
    edges.material = faint ? this.faintEdge : this.chosen.has(number) ? this.pickedEdge : this.edgePaint;
    mesh.matrix.copy(this.matrixOf(number));
    mesh.matrixWorldNeedsUpdate = true;
  }

  /** Whether a body is drawn at all. @param {number} number */
  isShown(number) {
    return this.chosen.has(number) || !this.hidden.has(this.data.instances[number].role);
  }

  /** Where a body is now. @param {number} number @returns {Matrix4} */
  matrixOf(number) {
    const one = this.data.instances[number];
    const [x, y, z, turn] = one.at;
    const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
    const f = one.flip ? -1 : 1;
    return new Matrix4().set(cos * f, -sin, 0, x, sin * f, cos, 0, y, 0, 0, f, z + this.moved(number), 0, 0, 0, 1);
  }

  /** How far a body is now from its place, along z. @param {number} number */
  moved(number) {
    const one = this.data.instances[number];
    const count = this.ranks.length;
    const turnOf = count - 1 - this.ranks.indexOf(one.rank);
    const share = one.rank ? Math.min(1, Math.max(0, this.apart * count - turnOf)) : 0;
    const out = one.role === "plug" ? this.plugsOut * (one.travel + DRAWN_OUT) : 0;
    return one.side * Math.max(share * one.apart, out);
  }

  #cutOpen() {
    this.cutFace.visible = this.cut !== null;
    this.renderer.clippingPlanes = [];
    if (!this.cut) return;
    const { axis, position, other } = this.cut;
    const sign = other ? 1 : -1;
    this.renderer.clippingPlanes = [new Plane(new Vector3().setComponent("xyz".indexOf(axis), sign), -sign * position + SLIVER)];
    const solids = this.meshes
      .map((mesh, number) => ({ mesh, number, one: this.data.instances[number] }))
      .filter(({ mesh, number }) => mesh.visible && !this.#isFaint(number))
      .map(({ mesh, one }) => ({ slices: this.data.bodies[one.body].slices, matrix: mesh.matrix, colour: one.colour, rank: one.rank }));
    this.cutFace.geometry.dispose();
    this.cutFace.geometry = section(solids, axis, position, other ? -1 : 1, this.data.outlines);
  }

  /** Whether a point is on the side of the cut that is kept. @param {Vector3} point */
  isKept(point) {
    return this.renderer.clippingPlanes.every((plane) => plane.distanceToPoint(point) >= 0);
  }

  /** The box about some bodies, or all that is shown, where they are now. @param {Iterable<number>} [numbers] */
  box(numbers) {
    const box = new Box3();
    for (const number of numbers ?? this.meshes.keys()) {
      if (!this.isShown(number)) continue;
      const faces = this.meshes[number].geometry;
      faces.computeBoundingBox();
      if (faces.boundingBox) box.union(faces.boundingBox.clone().applyMatrix4(this.matrixOf(number)));
    }
    return box;
  }

  /** Draw. @param {Camera} camera */
  render(camera) {
    const from = camera.position;
    this.lamp?.position.copy(from).add(new Vector3(0.35, 0.55, 0).multiplyScalar(from.length()));
    this.fill?.position.copy(from).add(new Vector3(-0.8, -0.2, 0).multiplyScalar(from.length()));
    this.renderer.render(this.scene, camera);
  }

  /** What is seen at a spot of the picture (-1 to 1 each way), nearest first. @param {Camera} camera @param {Vector2} spot @returns {Hit | null} */
  hit(camera, spot) {
    const ray = new Raycaster();
    ray.setFromCamera(spot, camera);
    const shown = this.meshes.filter((mesh) => mesh.visible);
    for (const found of ray.intersectObjects(shown, false)) {
      const number = found.object.userData.number;
      if (this.#isFaint(number) || !this.isKept(found.point)) continue;
      const { features, starts } = this.drawn[this.data.instances[number].body];
      const feature = features[starts.findLastIndex((start) => start <= (found.faceIndex ?? 0))];
      return { instance: number, point: found.point, feature, matrix: this.meshes[number].matrix.clone() };
    }
    return null;
  }
}
