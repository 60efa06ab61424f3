import { type DataTexture, DoubleSide, GLSL3, ShaderMaterial, type Side, Vector4 } from 'three'

/** Numbers that all materials share; changed in place. */
export interface Shared {
  readonly looks: { value: DataTexture | null }
  /** Normal and place of the cut: what lies beyond is not drawn. */
  readonly cut: { value: Vector4 }
  readonly pencil: { value: Vector4 }
  readonly line: { value: Vector4 }
  /** Points of the picture to a CSS pixel: patterns stay as wide as they are. */
  readonly ratio: { value: number }
}

export function sharedUniforms(): Shared {
  return {
    looks: { value: null },
    cut: { value: new Vector4(0, 0, 0, 1) },
    pencil: { value: new Vector4(0.3, 0.3, 0.3, 0.2) },
    line: { value: new Vector4(0.2, 0.18, 0.14, 0.6) },
    ratio: { value: 1 },
  }
}

/** Texels a row of the texture of looks; two texels a solid. */
export const ROW = 512

/** How a solid is drawn. */
export const SHOWN = { hidden: 0, card: 1, pencil: 2 } as const

/** Card under a lamp from the upper left. What a cut opens up shows the inside of the card, hatched. */
export function faceMaterial(shared: Shared, side: Side): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { ...shared },
    side,
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
    vertexShader: `
      ${LOOK}
      out vec3 place;
      out vec3 facing;
      flat out vec4 paint;
      void main() {
        vec4 move = look(1);
        paint = look(0);
        place = position + move.xyz;
        facing = normal;
        gl_Position = move.w == 1.0 ? projectionMatrix * viewMatrix * vec4(place, 1.0) : NOWHERE;
      }`,
    fragmentShader: `
      uniform vec4 cut;
      uniform float ratio;
      in vec3 place;
      in vec3 facing;
      flat in vec4 paint;
      out vec4 colour;
      float stripe(float along, float step, float share) {
        return step * share > mod(along, step) ? 1.0 : 0.0;
      }
      void main() {
        if (dot(cut.xyz, place) > cut.w) discard;
        vec2 at = gl_FragCoord.xy / ratio;
        if (!gl_FrontFacing && dot(cut.xyz, cut.xyz) > 0.0) {
          colour = vec4(paint.rgb * mix(0.66, 0.4, stripe(at.x + at.y, 6.0, 0.34)), 1.0);
          return;
        }
        vec3 normal = normalize(gl_FrontFacing ? facing : -facing);
        vec3 seen = normalize((viewMatrix * vec4(normal, 0.0)).xyz);
        float lamp = max(0.0, dot(seen, vec3(-0.37, 0.56, 0.74)));
        float light = 0.74 + 0.26 * lamp + 0.08 * normal.z;
        float ink = 0.0;
        if (paint.a == 1.0) ink = stripe(at.x + at.y, 9.0, 0.34);
        if (paint.a == 2.0) ink = step(length(mod(at, 8.0) - 4.0), 1.9);
        if (paint.a == 3.0) ink = max(stripe(at.x + at.y, 9.0, 0.25), stripe(at.x - at.y, 9.0, 0.25));
        colour = vec4(paint.rgb * light * (1.0 - 0.38 * ink), 1.0);
      }`,
  })
}

/** Edges of the card; of what is left out, a pencil line. */
export function edgeMaterial(shared: Shared): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { ...shared },
    transparent: true,
    depthWrite: false,
    vertexShader: `
      ${LOOK}
      uniform vec4 pencil;
      uniform vec4 line;
      out vec3 place;
      flat out vec4 stroke;
      void main() {
        vec4 move = look(1);
        place = position + move.xyz;
        stroke = move.w == 2.0 ? pencil : line;
        gl_Position = move.w > 0.0 ? projectionMatrix * viewMatrix * vec4(place, 1.0) : NOWHERE;
      }`,
    fragmentShader: EDGE_FRAGMENT,
  })
}

/** Edges of the chosen piece, seen through everything. */
export function chosenMaterial(shared: Shared, stroke: { value: Vector4 }): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { ...shared, stroke },
    transparent: true,
    depthTest: false,
    depthWrite: false,
    vertexShader: `
      ${LOOK}
      uniform vec4 stroke;
      out vec3 place;
      flat out vec4 ink;
      void main() {
        place = position + look(1).xyz;
        ink = stroke;
        gl_Position = projectionMatrix * viewMatrix * vec4(place, 1.0);
      }`,
    fragmentShader: `
      flat in vec4 ink;
      out vec4 colour;
      void main() { colour = ink; }`,
  })
}

/** The ruled mat: a line every 10 mm, a stronger one every 50, fading away from the model. */
export function matMaterial(ruling: { value: Vector4 }): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { ruling },
    transparent: true,
    depthWrite: false,
    side: DoubleSide,
    vertexShader: `
      out vec2 spot;
      out vec2 away;
      void main() {
        vec4 world = modelMatrix * vec4(position, 1.0);
        spot = world.xy;
        away = position.xy;
        gl_Position = projectionMatrix * viewMatrix * world;
      }`,
    fragmentShader: `
      uniform vec4 ruling;
      in vec2 spot;
      in vec2 away;
      out vec4 colour;
      float ruled(float step) {
        vec2 cell = spot / step;
        vec2 width = fwidth(cell);
        vec2 off = abs(fract(cell - 0.5) - 0.5) / width;
        float crowd = max(width.x, width.y);
        return (1.0 - min(1.0, min(off.x, off.y))) * (1.0 - smoothstep(0.15, 0.5, crowd));
      }
      void main() {
        float strength = max(0.45 * ruled(10.0), ruled(50.0));
        float fade = 1.0 - smoothstep(0.35, 1.0, length(away));
        colour = vec4(ruling.rgb, ruling.a * strength * fade);
      }`,
  })
}

const LOOK = `
  uniform sampler2D looks;
  in float owner;
  const vec4 NOWHERE = vec4(0.0, 0.0, -2.0, 1.0);
  vec4 look(int which) {
    int i = 2 * int(owner) + which;
    return texelFetch(looks, ivec2(i % ${ROW}, i / ${ROW}), 0);
  }`

const EDGE_FRAGMENT = `
  uniform vec4 cut;
  in vec3 place;
  flat in vec4 stroke;
  out vec4 colour;
  void main() {
    if (dot(cut.xyz, place) > cut.w) discard;
    colour = stroke;
  }`
