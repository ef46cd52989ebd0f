// The core in three dimensions: one surface, coloured by deviation on the graphics card, drawn only when something moved.
import {
  BufferAttribute, BufferGeometry, DataTexture, Mesh, NearestFilter, PerspectiveCamera, Raycaster, RGBAFormat, Scene,
  ShaderMaterial, Sphere, Vector2, Vector3, WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import { LineMaterial } from 'three/examples/jsm/lines/LineMaterial.js';
import { LineSegments2 } from 'three/examples/jsm/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/examples/jsm/lines/LineSegmentsGeometry.js';
import { TABLE_SIZE } from './deviation_colours';
import type { FindingPlace } from './finding_place';
import type { Prepared } from './prepare';
import type { Surface } from './surface_blob';
import { fragmentShader, vertexShader } from './surface_shaders';

export interface OnScreen {
  x: number; // px from the left of the view
  y: number; // px from its top
  ahead: boolean; // in front of the eye at all
}

export class CoreScene {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(35, 1, 1, 10000);
  private readonly controls: OrbitControls;
  private readonly mesh: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly sphere: Sphere;
  private readonly outline = [outlineLine(0x101010, 7, 1), outlineLine(0xffffff, 3, 2)];
  private readonly finding: Uint16Array;
  private asked = 0;
  private glide: { from: Eye; to: Eye; began: number } | null = null;

  // Throws when the device cannot draw: no WebGL.
  constructor(canvas: HTMLCanvasElement, { surface, scale, table }: Prepared, private readonly drawn: () => void) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.finding = surface.finding;
    this.mesh = new Mesh(geometryOf(surface), materialOf(table, scale.range_mm));
    this.mesh.frustumCulled = false;
    this.mesh.geometry.computeBoundingBox();
    this.mesh.geometry.computeBoundingSphere();
    this.sphere = this.mesh.geometry.boundingSphere ?? new Sphere(new Vector3(), 1);
    this.scene.add(this.mesh, ...this.outline);
    this.camera.up.set(0, 0, 1); // the parting normal is commonly z: the upper half is up
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener('change', () => this.draw());
    this.controls.addEventListener('start', () => (this.glide = null));
    this.place(this.wholeEye());
  }

  resize(width: number, height: number, pixelRatio: number): void {
    this.renderer.setPixelRatio(Math.min(pixelRatio, 2));
    this.renderer.setSize(width, height, false);
    this.camera.aspect = width / Math.max(1, height);
    this.camera.updateProjectionMatrix();
    this.mesh.material.uniforms.stripe!.value = 7 * Math.min(pixelRatio, 2);
    this.outline.forEach((line) => line.material.resolution.set(width, height));
    this.draw();
  }
  // Angles in rad: about the upright, and over the top.
  turn(about: number, over: number): void {
    const { position, target } = this.eye();
    const arm = position.sub(target).applyAxisAngle(this.camera.up, about);
    const side = new Vector3().crossVectors(this.camera.up, arm).normalize();
    const polar = arm.angleTo(this.camera.up);
    arm.applyAxisAngle(side, Math.min(Math.PI - 0.02, Math.max(0.02, polar + over)) - polar);
    this.place({ position: arm.add(target), target });
  }
  // Shares of the distance to what is looked at.
  move(right: number, up: number): void {
    const { position, target } = this.eye();
    const reach = position.distanceTo(target);
    const shift = new Vector3().setFromMatrixColumn(this.camera.matrix, 0).multiplyScalar(right * reach)
      .addScaledVector(new Vector3().setFromMatrixColumn(this.camera.matrix, 1), up * reach);
    this.place({ position: position.add(shift), target: target.add(shift) });
  }
  zoom(factor: number): void {
    const { position, target } = this.eye();
    const arm = position.sub(target);
    arm.setLength(Math.min(20 * this.sphere.radius, Math.max(0.02 * this.sphere.radius, arm.length() * factor)));
    this.place({ position: arm.add(target), target });
  }
  showWhole(gently: boolean): void {
    this.goTo(this.wholeEye(), gently);
  }
  // In front of a finding, near enough to see it and its surroundings.
  showPlace(place: FindingPlace, gently: boolean): void {
    const target = new Vector3(...place.middle_mm);
    const facing = place.facing ? new Vector3(...place.facing) : this.camera.position.clone().sub(target).normalize();
    // Straight from above or below there is no telling left from right: stay a little aside.
    if (Math.abs(facing.z) > 0.97) facing.add(new Vector3(0.2, -0.35, 0)).normalize();
    const distance = Math.max(5 * place.reach_mm, 0.9 * this.sphere.radius);
    this.goTo({ target, position: target.clone().addScaledVector(facing, distance) }, gently);
  }
  showOutline(place: FindingPlace | null): void {
    for (const line of this.outline) {
      line.visible = place !== null && place.outline_mm.length > 0;
      if (line.visible) {
        line.geometry.dispose();
        line.geometry = new LineSegmentsGeometry().setPositions(place!.outline_mm);
      }
    }
    this.draw();
  }
  project(point_mm: readonly number[], width: number, height: number): OnScreen {
    const at = new Vector3(point_mm[0], point_mm[1], point_mm[2]).project(this.camera);
    return { x: ((at.x + 1) / 2) * width, y: ((1 - at.y) / 2) * height, ahead: at.z < 1 };
  }
  facesAway(place: FindingPlace): boolean {
    if (!place.facing) return false;
    return this.camera.position.clone().sub(new Vector3(...place.middle_mm)).dot(new Vector3(...place.facing)) < 0;
  }
  // The finding under a spot of the view (-1..1 each way), 0 for none.
  findingAt(x: number, y: number): number {
    const ray = new Raycaster();
    ray.setFromCamera(new Vector2(x, y), this.camera);
    const face = ray.intersectObject(this.mesh)[0]?.face;
    return face ? Math.max(this.finding[face.a]!, this.finding[face.b]!, this.finding[face.c]!) : 0;
  }
  dispose(): void {
    cancelAnimationFrame(this.asked);
    this.controls.dispose();
    this.mesh.geometry.dispose();
    (this.mesh.material.uniforms.colours!.value as DataTexture).dispose();
    this.mesh.material.dispose();
    this.outline.forEach((line) => (line.geometry.dispose(), line.material.dispose()));
    this.renderer.dispose();
  }

  private draw(): void {
    if (this.asked) return;
    this.asked = requestAnimationFrame((now) => {
      this.asked = 0;
      if (this.glide) this.stepGlide(now);
      this.fitDepth();
      this.renderer.render(this.scene, this.camera);
      this.drawn();
    });
  }
  private eye(): Eye {
    return { position: this.camera.position.clone(), target: this.controls.target.clone() };
  }
  private place(eye: Eye): void {
    this.glide = null;
    this.put(eye);
  }
  private put({ position, target }: Eye): void {
    this.camera.position.copy(position);
    this.controls.target.copy(target);
    this.controls.update();
    this.draw();
  }
  // The nearer the planes of depth lie to the core, the cleaner its edges.
  private fitDepth(): void {
    const distance = this.camera.position.distanceTo(this.sphere.center);
    this.camera.near = Math.max(0.01 * this.sphere.radius, distance - 2 * this.sphere.radius);
    this.camera.far = distance + 4 * this.sphere.radius;
    this.camera.updateProjectionMatrix();
  }
  // From the front and above, so near that the core just fits the view.
  private wholeEye(): Eye {
    const target = this.mesh.geometry.boundingBox?.getCenter(new Vector3()) ?? this.sphere.center.clone();
    const back = new Vector3(0.35, -1, 0.85).normalize();
    const right = new Vector3().crossVectors(this.camera.up, back).normalize();
    const up = new Vector3().crossVectors(back, right);
    const slope = Math.tan((this.camera.fov * Math.PI) / 360);
    const positions = this.mesh.geometry.getAttribute('position');
    const stride = Math.max(1, Math.floor(positions.count / 5000)); // enough of the vertices to know the outline by
    let distance = 0;
    for (let v = 0; v < positions.count; v += stride) {
      const arm = new Vector3().fromBufferAttribute(positions, v).sub(target);
      const needed = Math.max(Math.abs(arm.dot(up)), Math.abs(arm.dot(right)) / this.camera.aspect) / slope;
      distance = Math.max(distance, arm.dot(back) + 1.06 * needed);
    }
    return { target, position: target.clone().addScaledVector(back, Math.max(distance, 1e-3)) };
  }
  private goTo(eye: Eye, gently: boolean): void {
    if (!gently) return this.place(eye);
    this.glide = { from: this.eye(), to: eye, began: performance.now() };
    this.draw();
  }
  // Around the core rather than through it: direction and distance go separately.
  private stepGlide(now: number): void {
    const { from, to, began } = this.glide!;
    const share = Math.min(1, Math.max(0, (now - began) / 450));
    const eased = share * share * (3 - 2 * share);
    const target = from.target.clone().lerp(to.target, eased);
    const [armFrom, armTo] = [from.position.clone().sub(from.target), to.position.clone().sub(to.target)];
    const length = armFrom.length() + eased * (armTo.length() - armFrom.length());
    const arm = armFrom.normalize().lerp(armTo.normalize(), eased).setLength(length);
    if (share === 1) this.glide = null;
    this.put({ target, position: arm.add(target) });
  }
}

interface Eye {
  position: Vector3;
  target: Vector3;
}

function geometryOf(surface: Surface): BufferGeometry {
  return new BufferGeometry()
    .setAttribute('position', new BufferAttribute(surface.positions, 3))
    .setAttribute('deviation', new BufferAttribute(surface.deviation, 1))
    .setAttribute('seen', new BufferAttribute(surface.seen, 1, true))
    .setIndex(new BufferAttribute(surface.triangles, 1));
}

function materialOf(table: Uint8Array, range_mm: number): ShaderMaterial {
  const colours = new DataTexture(table, TABLE_SIZE, 1, RGBAFormat);
  colours.minFilter = colours.magFilter = NearestFilter;
  colours.needsUpdate = true;
  return new ShaderMaterial({
    vertexShader,
    fragmentShader,
    uniforms: { colours: { value: colours }, range: { value: range_mm }, stripe: { value: 7 } },
    polygonOffset: true,
    // Pushed back by as much as an outline is wide: its broad lines stand level and would sink into a slope.
    polygonOffsetFactor: 4,
    polygonOffsetUnits: 4,
    side: 2,
  });
}

function outlineLine(color: number, linewidth: number, order: number): LineSegments2 {
  const line = new LineSegments2(new LineSegmentsGeometry(), new LineMaterial({ color, linewidth, depthWrite: false }));
  line.renderOrder = order;
  line.visible = false;
  line.frustumCulled = false;
  return line;
}
