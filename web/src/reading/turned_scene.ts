// Something in three dimensions that a person turns, moves and zooms, drawn only when something moved.
import { Object3D, PerspectiveCamera, Scene, Vector3, WebGLRenderer } from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';

export const TURN = Math.PI / 18;

export interface OnScreen {
  x: number; // px from the left of the view
  y: number; // px from its top
  ahead: boolean; // in front of the eye at all
}

export interface Eye {
  position: Vector3;
  target: Vector3;
}

// Where a thing is: the sphere around it, and enough of its corners to know its outline by.
class Extent {
  readonly middle: Vector3;
  readonly radius: number;
  private readonly stride: number;

  constructor(private readonly positions: Float32Array) {
    const low = new Vector3(Infinity, Infinity, Infinity);
    const high = low.clone().negate();
    const at = new Vector3();
    for (let v = 0; v < positions.length; v += 3) {
      at.fromArray(positions, v);
      low.min(at);
      high.max(at);
    }
    if (positions.length === 0) [low, high].forEach((corner) => corner.set(0, 0, 0));
    this.middle = low.clone().add(high).multiplyScalar(0.5);
    let reach = 0;
    for (let v = 0; v < positions.length; v += 3) reach = Math.max(reach, at.fromArray(positions, v).distanceTo(this.middle));
    this.radius = Math.max(reach, 1e-3);
    this.stride = 3 * Math.max(1, Math.floor(positions.length / 15000));
  }
  each(visit: (corner: Vector3) => void): void {
    const at = new Vector3();
    for (let v = 0; v < this.positions.length; v += this.stride) visit(at.fromArray(this.positions, v));
  }
}

export class TurnedScene {
  protected readonly renderer: WebGLRenderer;
  protected readonly scene = new Scene();
  protected readonly camera = new PerspectiveCamera(35, 1, 1, 10000);
  protected readonly extent: Extent;
  private readonly controls: OrbitControls;
  private asked = 0;
  private glide: { from: Eye; to: Eye; began: number } | null = null;

  // Throws when the device cannot draw: no WebGL. `positions` are the corners of what is looked at.
  constructor(canvas: HTMLCanvasElement, positions: Float32Array, private readonly drawn: () => void) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.extent = new Extent(positions);
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
    arm.setLength(Math.min(20 * this.extent.radius, Math.max(0.02 * this.extent.radius, arm.length() * factor)));
    this.place({ position: arm.add(target), target });
  }
  showWhole(gently: boolean): void {
    this.goTo(this.wholeEye(), gently);
  }
  project(point_mm: readonly number[], width: number, height: number): OnScreen {
    const at = new Vector3(point_mm[0], point_mm[1], point_mm[2]).project(this.camera);
    return { x: ((at.x + 1) / 2) * width, y: ((1 - at.y) / 2) * height, ahead: at.z < 1 };
  }
  dispose(): void {
    cancelAnimationFrame(this.asked);
    this.controls.dispose();
    this.renderer.dispose();
  }

  protected show(...things: Object3D[]): void {
    this.scene.add(...things);
  }
  protected draw(): void {
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
    const distance = this.camera.position.distanceTo(this.extent.middle);
    this.camera.near = Math.max(0.01 * this.extent.radius, distance - 2 * this.extent.radius);
    this.camera.far = distance + 4 * this.extent.radius;
    this.camera.updateProjectionMatrix();
  }
  // From the front and above, so near that the core just fits the view.
  private wholeEye(): Eye {
    const target = this.extent.middle.clone();
    const back = new Vector3(0.35, -1, 0.85).normalize();
    const right = new Vector3().crossVectors(this.camera.up, back).normalize();
    const up = new Vector3().crossVectors(back, right);
    const slope = Math.tan((this.camera.fov * Math.PI) / 360);
    let distance = 0;
    this.extent.each((corner) => {
      const arm = corner.clone().sub(target);
      const needed = Math.max(Math.abs(arm.dot(up)), Math.abs(arm.dot(right)) / this.camera.aspect) / slope;
      distance = Math.max(distance, arm.dot(back) + 1.06 * needed);
    });
    return { target, position: target.clone().addScaledVector(back, Math.max(distance, 1e-3)) };
  }
  protected goTo(eye: Eye, gently: boolean): void {
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


// Arrows turn, Shift and arrows move, plus and minus zoom, Home shows the whole. Whether the key was one of these.
export function turnedByKey(scene: TurnedScene, event: KeyboardEvent, gently: boolean): boolean {
  if (event.ctrlKey || event.altKey || event.metaKey) return false;
  const turns: Record<string, [number, number]> = {
    ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
  };
  const turn = turns[event.key];
  if (turn && event.shiftKey) scene.move(-0.06 * turn[0], -0.06 * turn[1]);
  else if (turn) scene.turn(TURN * turn[0], TURN * turn[1]);
  else if (event.key === '+' || event.key === '=') scene.zoom(0.8);
  else if (event.key === '-' || event.key === '_') scene.zoom(1.25);
  else if (event.key === 'Home' || event.key === '0') scene.showWhole(gently);
  else return false;
  return true;
}
