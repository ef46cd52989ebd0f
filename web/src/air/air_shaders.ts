// What the graphics card does for the core's surface and for the face where it is cut open. Both look into the same
// block of cells: red the age of gas, green the part inside, blue when it fills, alpha shut-in air.
export const vertexShader = /* glsl */ `
out vec3 vAt;
out vec3 vEye;
void main() {
  vec4 eye = modelViewMatrix * vec4(position, 1.0);
  vAt = position;
  vEye = eye.xyz;
  gl_Position = projectionMatrix * eye;
}`;

const looking = /* glsl */ `
precision highp sampler3D;
in vec3 vAt;
in vec3 vEye;
out vec4 colour;
uniform sampler3D cells;
uniform sampler2D ages;
uniform sampler2D fills;
uniform vec3 low;
uniform vec3 size;
uniform vec2 ageShare; // this block's codes on the common scale: first, and how far they reach
uniform int map; // 0 age, 1 filling, 2 neither
uniform vec3 neutral;
uniform float stripe;

vec3 mapped(vec4 cell) {
  if (map == 0) return texture(ages, vec2(clamp(ageShare.x + ageShare.y * cell.r, 0.001, 0.999), 0.5)).rgb;
  if (map == 2) return neutral;
  vec3 filled = texture(fills, vec2(clamp(cell.b, 0.001, 0.999), 0.5)).rgb;
  float band = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / stripe));
  return cell.a > 0.5 ? mix(vec3(0.93, 0.55, 0.20), vec3(0.32, 0.16, 0.02), band) : filled;
}`;

// Cells hold values a step beyond the wall too; still, a surface looks a little into its own cavity.
export const surfaceShader = looking + /* glsl */ `
uniform vec3 cutWay;
uniform float cutAt;
uniform float cell;
void main() {
  if (dot(vAt, cutWay) > cutAt) discard;
  vec3 slope = cross(dFdx(vEye), dFdy(vEye));
  vec3 facing = normalize(cross(dFdx(vAt), dFdy(vAt)));
  vec3 inward = gl_FrontFacing ? -facing : facing;
  vec3 normal = length(slope) > 0.0 ? normalize(slope) : vec3(0.0, 0.0, 1.0);
  float light = 0.66 + 0.26 * max(0.0, dot(normal, normalize(vec3(-0.35, 0.55, 0.75)))) + 0.10 * max(0.0, normal.z);
  colour = vec4(mapped(texture(cells, (vAt + 0.6 * cell * inward - low) / size)) * min(light, 1.0), 1.0);
}`;

export const cutShader = looking + /* glsl */ `
void main() {
  vec4 here = texture(cells, (vAt - low) / size);
  if (here.g < 0.5) discard;
  colour = vec4(mapped(here), 1.0);
}`;

export const pointVertexShader = /* glsl */ `
in float weight;
uniform float px;
uniform vec3 cutWay;
uniform float cutAt;
out float vWeight;
void main() {
  vWeight = weight;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
  gl_PointSize = dot(position, cutWay) > cutAt ? 0.0 : px * (0.55 + 0.45 * weight);
}`;

export const pointShader = /* glsl */ `
in float vWeight;
out vec4 colour;
uniform sampler2D fills;
void main() {
  float off = length(gl_PointCoord - 0.5);
  if (off > 0.5) discard;
  vec3 own = texture(fills, vec2(clamp(vWeight, 0.001, 0.999), 0.5)).rgb;
  colour = vec4(off > 0.38 ? vec3(0.1) : own, 1.0);
}`;
