// The cavity in three dimensions, cut open: its wall, the face of the cut, and places on the wall.
import {
  BufferAttribute, BufferGeometry, Data3DTexture, DataTexture, GLSL3, LinearFilter, Mesh, NearestFilter, Points, RGBAFormat,
  ShaderMaterial, Vector2, Vector3, type IUniform,
} from 'three';
import { TurnedScene } from '../reading/turned_scene';
import { cutShader, pointShader, pointVertexShader, surfaceShader, vertexShader } from './air_shaders';
import type { Cavity } from './cavity_blob';
import { ageTable, fillTable, NEUTRAL, shareOfAge, TABLE, type LateScale } from './late_colours';
import { isHidden } from './sight';

export type CavityMap = 'age' | 'fill' | 'places';
export type Axis = 'x' | 'y' | 'z';

export interface Cut {
  axis: Axis;
  depth: number; // 0 whole, 1 all cut away
}

export interface Spot {
  where_mm: readonly number[];
  weight: number; // 0 to 1
}

// The side that faces whoever looks from the front and above is taken away.
const WAY: Record<Axis, Vector3> = { x: new Vector3(1, 0, 0), y: new Vector3(0, -1, 0), z: new Vector3(0, 0, 1) };
const MAPS: Record<CavityMap, number> = { age: 0, fill: 1, places: 2 };

export class AirScene extends TurnedScene {
  private readonly common: Record<string, IUniform>;
  private readonly wall: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly face: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly spots: Points<BufferGeometry, ShaderMaterial>;
  private readonly low = new Vector3();
  private readonly high = new Vector3();
  private cut: Cut = { axis: 'z', depth: 0 };
  private cavity: Cavity;

  // Throws when the device cannot draw: no WebGL.
  constructor(canvas: HTMLCanvasElement, cavity: Cavity, scale: LateScale, spots: readonly Spot[], drawn: () => void) {
    super(canvas, cavity.positions, drawn);
    this.cavity = cavity;
    this.common = {
      cells: { value: null }, ages: { value: rowTexture(ageTable(scale)) }, fills: { value: rowTexture(fillTable()) },
      low: { value: new Vector3() }, size: { value: new Vector3() }, cell: { value: 1 }, ageShare: { value: new Vector2() },
      map: { value: 0 }, neutral: { value: new Vector3(...NEUTRAL) }, stripe: { value: 14 },
      cutWay: { value: new Vector3() }, cutAt: { value: 0 }, px: { value: 12 },
    };
    const drawnBy = (vertex: string, fragment: string) =>
      new ShaderMaterial({ glslVersion: GLSL3, vertexShader: vertex, fragmentShader: fragment, uniforms: this.common, side: 2 });
    const wall = new BufferGeometry()
      .setAttribute('position', new BufferAttribute(cavity.positions, 3))
      .setIndex(new BufferAttribute(cavity.triangles, 1));
    this.wall = new Mesh(wall, drawnBy(vertexShader, surfaceShader));
    this.wall.material.polygonOffset = true;
    this.wall.material.polygonOffsetFactor = this.wall.material.polygonOffsetUnits = 2;
    const square = new BufferGeometry()
      .setAttribute('position', new BufferAttribute(new Float32Array(12), 3))
      .setIndex([0, 1, 2, 2, 1, 3]);
    this.face = new Mesh(square, drawnBy(vertexShader, cutShader));
    const places = new BufferGeometry()
      .setAttribute('position', new BufferAttribute(new Float32Array(spots.flatMap((one) => [...one.where_mm])), 3))
      .setAttribute('weight', new BufferAttribute(new Float32Array(spots.map((one) => one.weight)), 1));
    this.spots = new Points(places, drawnBy(pointVertexShader, pointShader));
    this.spots.visible = false;
    for (const thing of [this.wall, this.face, this.spots]) thing.frustumCulled = false;
    wall.computeBoundingBox();
    this.low.copy(wall.boundingBox!.min);
    this.high.copy(wall.boundingBox!.max);
    this.show(this.wall, this.face, this.spots);
    this.showCavity(cavity, scale);
    this.showCut(this.cut);
  }

  override resize(width: number, height: number, pixelRatio: number): void {
    const fine = Math.min(pixelRatio, 2);
    this.common.stripe!.value = 12 * fine;
    this.common.px!.value = 15 * fine;
    super.resize(width, height, pixelRatio);
  }
  // Another state of the same box, on the same scale.
  showCavity(cavity: Cavity, scale: LateScale): void {
    this.cavity = cavity;
    (this.common.cells!.value as Data3DTexture | null)?.dispose();
    const block = new Data3DTexture(cavity.codes as Uint8Array<ArrayBuffer>, ...cavity.cells);
    block.format = RGBAFormat;
    block.minFilter = block.magFilter = LinearFilter;
    block.needsUpdate = true;
    this.common.cells!.value = block;
    (this.common.low!.value as Vector3).set(...cavity.low_mm);
    (this.common.size!.value as Vector3).set(...cavity.cells).multiplyScalar(cavity.cell_mm);
    this.common.cell!.value = cavity.cell_mm;
    const first = shareOfAge(cavity.age.low_s, scale);
    (this.common.ageShare!.value as Vector2).set(first, shareOfAge(cavity.age.high_s, scale) - first);
    this.common.ages!.value.dispose();
    this.common.ages!.value = rowTexture(ageTable(scale));
    this.draw();
  }
  showMap(map: CavityMap): void {
    this.common.map!.value = MAPS[map];
    this.spots.visible = map === 'places';
    this.draw();
  }
  showCut(cut: Cut): void {
    this.cut = cut;
    const way = WAY[cut.axis];
    const [from, to] = [this.low.dot(way), this.high.dot(way)];
    const [first, last] = [Math.min(from, to), Math.max(from, to)];
    const at = cut.depth <= 0 ? last + 1 : last - cut.depth * (last - first);
    (this.common.cutWay!.value as Vector3).copy(way);
    this.common.cutAt!.value = at;
    this.face.visible = cut.depth > 0;
    const corners = this.face.geometry.getAttribute('position') as BufferAttribute;
    const across = (['x', 'y', 'z'] as const).filter((axis) => axis !== cut.axis) as [Axis, Axis];
    for (let corner = 0; corner < 4; corner++) {
      const point = new Vector3();
      point[cut.axis] = at * way[cut.axis];
      point[across[0]] = (corner & 1 ? this.high : this.low)[across[0]];
      point[across[1]] = (corner & 2 ? this.high : this.low)[across[1]];
      corners.setXYZ(corner, point.x, point.y, point.z);
    }
    corners.needsUpdate = true;
    this.draw();
  }
  isCutAway(point_mm: readonly number[]): boolean {
    return new Vector3(...(point_mm as [number, number, number])).dot(WAY[this.cut.axis]) > (this.common.cutAt!.value as number) + 1e-3;
  }
  isBehind(point_mm: readonly number[]): boolean {
    return isHidden(this.cavity, point_mm, this.camera.position.toArray(), (place) => this.isCutAway(place));
  }
  override dispose(): void {
    for (const name of ['cells', 'ages', 'fills']) (this.common[name]!.value as DataTexture).dispose();
    for (const thing of [this.wall, this.face, this.spots]) {
      thing.geometry.dispose();
      thing.material.dispose();
    }
    super.dispose();
  }
}

function rowTexture(table: Uint8Array): DataTexture {
  const row = new DataTexture(table as Uint8Array<ArrayBuffer>, TABLE, 1, RGBAFormat);
  row.minFilter = row.magFilter = NearestFilter;
  row.needsUpdate = true;
  return row;
}
