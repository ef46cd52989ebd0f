// The core in three dimensions: one surface, coloured by deviation on the graphics card.
import {
  BufferAttribute, BufferGeometry, DataTexture, Mesh, NearestFilter, Raycaster, RGBAFormat, ShaderMaterial, Vector2, Vector3,
} from 'three';
import { LineMaterial } from 'three/examples/jsm/lines/LineMaterial.js';
import { LineSegments2 } from 'three/examples/jsm/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/examples/jsm/lines/LineSegmentsGeometry.js';
import { TABLE_SIZE } from './deviation_colours';
import type { FindingPlace } from './finding_place';
import type { Prepared } from './prepare';
import type { Surface } from './surface_blob';
import { fragmentShader, vertexShader } from './surface_shaders';
import { TurnedScene } from './turned_scene';

export class CoreScene extends TurnedScene {
  private readonly mesh: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly outline = [outlineLine(0x101010, 7, 1), outlineLine(0xffffff, 3, 2)];
  private readonly finding: Uint16Array;

  // Throws when the device cannot draw: no WebGL.
  constructor(canvas: HTMLCanvasElement, { surface, scale, table }: Prepared, drawn: () => void) {
    super(canvas, surface.positions, drawn);
    this.finding = surface.finding;
    this.mesh = new Mesh(geometryOf(surface), materialOf(table, scale.range_mm));
    this.mesh.frustumCulled = false;
    this.show(this.mesh, ...this.outline);
  }

  override resize(width: number, height: number, pixelRatio: number): void {
    this.mesh.material.uniforms.stripe!.value = 7 * Math.min(pixelRatio, 2);
    this.outline.forEach((line) => line.material.resolution.set(width, height));
    super.resize(width, height, pixelRatio);
  }
  // In front of a finding, near enough to see it and its surroundings.
  showPlace(place: FindingPlace, gently: boolean): void {
    const target = new Vector3(...place.middle_mm);
    const facing = place.facing ? new Vector3(...place.facing) : this.camera.position.clone().sub(target).normalize();
    // Straight from above or below there is no telling left from right: stay a little aside.
    if (Math.abs(facing.z) > 0.97) facing.add(new Vector3(0.2, -0.35, 0)).normalize();
    const distance = Math.max(5 * place.reach_mm, 0.9 * this.extent.radius);
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
  override dispose(): void {
    this.mesh.geometry.dispose();
    (this.mesh.material.uniforms.colours!.value as DataTexture).dispose();
    this.mesh.material.dispose();
    this.outline.forEach((line) => (line.geometry.dispose(), line.material.dispose()));
    super.dispose();
  }
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
