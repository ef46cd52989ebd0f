// What the graphics card does for each corner and each pixel of the core.
export const vertexShader = /* glsl */ `
attribute float deviation;
attribute float seen;
centroid varying float vDeviation;
centroid varying float vSeen;
varying vec3 vEye;
void main() {
  vec4 eye = modelViewMatrix * vec4(position, 1.0);
  vDeviation = deviation;
  vSeen = seen;
  vEye = eye.xyz;
  gl_Position = projectionMatrix * eye;
}`;

// The slope of the pixel itself gives the light, so that edges of the core stay edges. Light darkens the colours by a
// third at most: the scale must still be readable. Between a seen and an unseen corner the deviation is that of the
// seen part alone (unseen corners carry 0), which is why it is divided by how much was seen. Both are taken where the
// pixel and the triangle truly meet ('centroid'): beyond a triangle's edge they would be guessed, and show as specks.
export const fragmentShader = /* glsl */ `
uniform sampler2D colours;
uniform float range;
uniform float stripe;
centroid varying float vDeviation;
centroid varying float vSeen;
varying vec3 vEye;
void main() {
  vec3 slope = cross(dFdx(vEye), dFdy(vEye));
  float size = length(slope);
  vec3 normal = size > 0.0 ? slope / size : vec3(0.0, 0.0, 1.0);
  float light = 0.66 + 0.26 * max(0.0, dot(normal, normalize(vec3(-0.35, 0.55, 0.75)))) + 0.10 * max(0.0, normal.z);
  vec3 colour;
  if (vSeen < 0.5) {
    float band = step(0.72, fract((gl_FragCoord.x + gl_FragCoord.y) / stripe));
    colour = mix(vec3(0.965, 0.955, 0.90), vec3(0.47, 0.45, 0.40), band);
  } else {
    float share = 0.5 + 0.5 * (vDeviation / vSeen) / range;
    colour = texture2D(colours, vec2(clamp(share, 0.0005, 0.9995), 0.5)).rgb;
  }
  gl_FragColor = vec4(colour * min(light, 1.0), 1.0);
}`;
