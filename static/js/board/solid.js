// The whole in space: the engine's own triangles and lines, paper and ink, turned here without asking the server.

import * as THREE from "../../vendor/three.module.js";
import { length } from "./show.js";

const SEEN_PX = 18; // a press this near a corner means the corner
const SHADOW_PX = 2048;
const FIRST_ZOOM = 1.35;
const LEAST_ZOOM = 0.4;
const MOST_ZOOM = 12;

const token = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
const places = (numbers) => new THREE.BufferAttribute(new Float32Array(numbers), 3);

export class Solid {
  // Throws when the browser draws nothing in space.
  constructor(canvas, model, say) {
    Object.assign(this, { canvas, model, say, marked: [] });
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.renderer.shadowMap.enabled = true;
    this.renderer.shadowMap.type = THREE.PCFShadowMap;
    this.scene = new THREE.Scene();
    this.camera = new THREE.OrthographicCamera();
    this.build();
    this.light();
    new ResizeObserver(() => this.draw()).observe(canvas);
  }

  build() {
    const faces = new THREE.MeshLambertMaterial({ color: token("paper"), side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    const glass = new THREE.MeshLambertMaterial({ color: token("paper"), side: THREE.DoubleSide, transparent: true, opacity: 0.25, depthWrite: false });
    const ink = new THREE.LineBasicMaterial({ color: token("ink") });
    const soft = new THREE.LineBasicMaterial({ color: token("line-soft") });
    this.meshes = this.model.parts.map((part) => {
      const shape = new THREE.BufferGeometry().setAttribute("position", places(part.triangles));
      shape.computeVertexNormals();
      const mesh = new THREE.Mesh(shape, part.kind === "edge" ? glass : faces);
      mesh.castShadow = true;
      mesh.receiveShadow = part.kind !== "edge";
      mesh.name = part.name;
      const lines = new THREE.BufferGeometry().setAttribute("position", places(part.lines));
      this.scene.add(mesh, new THREE.LineSegments(lines, part.kind === "deck" || part.kind === "bed" ? soft : ink));
      return mesh;
    });
    const box = new THREE.Box3().setFromObject(this.scene);
    this.middle = box.getCenter(new THREE.Vector3());
    this.reach = box.getSize(new THREE.Vector3()).length() / 2;
    this.zoom = FIRST_ZOOM;
  }

  light() {
    this.sky = new THREE.HemisphereLight(0xffffff, 0xffffff, 2);
    this.sun = new THREE.DirectionalLight(0xffffff, 0);
    this.sun.castShadow = true;
    this.sun.shadow.mapSize.set(SHADOW_PX, SHADOW_PX);
    Object.assign(this.sun.shadow.camera, { left: -this.reach, right: this.reach, top: this.reach, bottom: -this.reach, near: 1, far: this.reach * 4 });
    this.sun.shadow.normalBias = 12;
    this.sun.shadow.bias = -0.0005;
    this.sun.target.position.copy(this.middle);
    this.scene.add(this.sky, this.sun, this.sun.target);
    this.shine(this.model.sun);
  }

  // `toward` is the way to the sun, or null while it is down.
  shine(toward) {
    this.sky.intensity = toward ? 1.9 : 2.6;
    this.sun.intensity = toward ? 1.5 : 0;
    if (toward) {
      this.sun.position.copy(this.middle).addScaledVector(new THREE.Vector3(...toward), this.reach * 2);
    }
    this.draw();
  }

  // The same eye as the drawing's: the plan turned anticlockwise, then seen from below the sheet.
  look(turnDeg, tiltDeg) {
    this.eye = [turnDeg, tiltDeg];
    this.draw();
  }

  near(factor) {
    this.zoom = Math.min(MOST_ZOOM, Math.max(LEAST_ZOOM, this.zoom * factor));
    this.draw();
  }

  draw() {
    if (this.waiting || !this.eye) {
      return;
    }
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.frame();
    });
  }

  frame() {
    const [wide, high] = [this.canvas.clientWidth, this.canvas.clientHeight];
    if (!wide || !high) {
      return;
    }
    const [turn, tilt] = this.eye.map((deg) => (deg * Math.PI) / 180);
    const away = new THREE.Vector3(Math.sin(turn), Math.cos(turn), 0);
    const up = away.clone().multiplyScalar(Math.sin(tilt)).add(new THREE.Vector3(0, 0, Math.cos(tilt)));
    const ahead = away.clone().multiplyScalar(Math.cos(tilt)).add(new THREE.Vector3(0, 0, -Math.sin(tilt)));
    const half = (this.reach / this.zoom) * Math.max(1, high / wide); // one scale across and up: it can be measured
    Object.assign(this.camera, { left: (-half * wide) / high, right: (half * wide) / high, top: half, bottom: -half, near: 0, far: this.reach * 4 });
    this.camera.up.copy(up);
    this.camera.position.copy(this.middle).addScaledVector(ahead, -this.reach * 2);
    this.camera.lookAt(this.middle);
    this.camera.updateProjectionMatrix();
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.renderer.setSize(wide, high, false);
    this.renderer.render(this.scene, this.camera);
    this.canvas.dataset.frames = String(Number(this.canvas.dataset.frames ?? 0) + 1);
  }

  onScreen(place) {
    const [x, y] = place.clone().project(this.camera).toArray();
    return [((x + 1) / 2) * this.canvas.clientWidth, ((1 - y) / 2) * this.canvas.clientHeight];
  }

  // The corner near a press, else the spot of the face beneath it; null beside everything.
  spot(x, y) {
    const ray = new THREE.Raycaster();
    ray.setFromCamera(new THREE.Vector2((x / this.canvas.clientWidth) * 2 - 1, 1 - (y / this.canvas.clientHeight) * 2), this.camera);
    const [hit] = ray.intersectObjects(this.meshes);
    let best = [SEEN_PX, null];
    for (const mesh of this.meshes) {
      const corners = mesh.geometry.getAttribute("position");
      for (let at = 0; at < corners.count; at += 1) {
        const corner = new THREE.Vector3().fromBufferAttribute(corners, at);
        const [cx, cy] = this.onScreen(corner);
        const off = Math.hypot(cx - x, cy - y);
        const isHidden = hit && corner.clone().sub(this.camera.position).dot(ray.ray.direction) > hit.distance + 150;
        if (off < best[0] && !isHidden) {
          best = [off, corner];
        }
      }
    }
    return best[1] ?? hit?.point ?? null;
  }

  // Two presses measure the straight line between them, and how far across, along and up.
  press(x, y) {
    const spot = this.spot(x, y);
    if (!spot) {
      this.say("There is nothing here to measure from.");
      return;
    }
    this.marked = [...this.marked.slice(-1), spot];
    if (this.marked.length < 2 || this.isDone) {
      this.marked = [spot];
      this.isDone = false;
      this.say("From here: press the other end.");
      return;
    }
    this.isDone = true;
    const way = this.marked[1].clone().sub(this.marked[0]);
    const [across, along, up] = way.toArray().map((value) => length(Math.abs(value), this.model.units));
    this.say(`${length(way.length(), this.model.units)} straight: ${across} across, ${along} along, ${up} up.`);
  }
}
