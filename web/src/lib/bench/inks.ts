/** The materials of the drawing: one for each way a body, its edges or its contour can look, mixed once. */
import type { Material } from '$lib/api/types/Material';
import {
  BackSide,
  Color,
  LineBasicMaterial,
  MeshBasicMaterial,
  MeshLambertMaterial,
  type Material as Paint,
} from 'three';
import type { Ink } from './ink';

/** How a solid stands out: not at all, as the first or second of a pair, or by being pushed back. */
/** What is proposed is seen through all that stands before it: a wedge lies under its camera. */
export type Stress = 'plain' | 'first' | 'second' | 'faded' | 'proposed';

/** Thin lines across the page, as carbon is drawn in section. */
function hatch(material: MeshLambertMaterial, ink: Color): void {
  material.onBeforeCompile = (shader) => {
    shader.uniforms.hatchInk = { value: ink };
    shader.fragmentShader = shader.fragmentShader
      .replace('void main() {', 'uniform vec3 hatchInk;\nvoid main() {')
      .replace(
        '#include <dithering_fragment>',
        `#include <dithering_fragment>
        float stripe = mod(gl_FragCoord.x - gl_FragCoord.y, 9.0);
        gl_FragColor.rgb = mix(gl_FragColor.rgb, hatchInk, stripe < 1.2 ? 0.22 : 0.0);`,
      );
  };
  material.customProgramCacheKey = () => 'hatched';
}

/** Grows a shape along its normals by about a pixel, whatever the scale of the drawing and its own stretch. */
function grow(material: MeshBasicMaterial, millimetres: { value: number }): void {
  material.onBeforeCompile = (shader) => {
    shader.uniforms.lineWidth = millimetres;
    shader.vertexShader = shader.vertexShader
      .replace('void main() {', 'uniform float lineWidth;\nvoid main() {')
      .replace(
        '#include <begin_vertex>',
        `vec3 stretch = vec3(
          length(instanceMatrix[0].xyz), length(instanceMatrix[1].xyz), length(instanceMatrix[2].xyz));
        vec3 transformed = position + normal * lineWidth / stretch;`,
      );
  };
  material.customProgramCacheKey = () => 'contour';
}

export class Inks {
  readonly #ink: Ink;
  readonly #lineWidth: { value: number };
  readonly #made = new Map<string, Paint>();

  /** `lineWidth` is the width of a line in mm at the present scale, read whenever something is drawn. */
  constructor(ink: Ink, lineWidth: { value: number }) {
    this.#ink = ink;
    this.#lineWidth = lineWidth;
  }

  #once<T extends Paint>(key: string, make: () => T): T {
    const known = this.#made.get(key) ?? make();
    this.#made.set(key, known);
    // A key is asked for by one function only, which makes materials of one kind.
    return known as T;
  }

  #tint(stress: Stress): string | null {
    if (stress === 'second') return this.#ink.second;
    return stress === 'first' || stress === 'proposed' ? this.#ink.accent : null;
  }

  body(of: Material, stress: Stress): MeshLambertMaterial {
    return this.#once(`body ${of} ${stress}`, () => {
      const faded = stress === 'faded';
      const tint = this.#tint(stress);
      const color = new Color(this.#ink.fill[of]);
      const material = new MeshLambertMaterial({
        color: tint ? color.lerp(new Color(tint), 0.4) : color,
        flatShading: true,
        polygonOffset: true,
        polygonOffsetFactor: 1,
        polygonOffsetUnits: 1,
        transparent: faded,
        opacity: faded ? 0.1 : 1,
        depthWrite: !faded,
      });
      if (of === 'carbon') hatch(material, new Color(this.#ink.line));
      return material;
    });
  }

  /** Swept and kept-clear space has edges only, in its own hue. */
  edges(ghost: Material | null, stress: Stress): LineBasicMaterial {
    return this.#once(`edges ${ghost} ${stress}`, () => {
      const tint = this.#tint(stress);
      const faded = stress === 'faded';
      return new LineBasicMaterial({
        color: tint ?? (ghost ? this.#ink.fill[ghost] : this.#ink.line),
        transparent: faded || ghost !== null,
        opacity: faded ? 0.16 : ghost && !tint ? 0.35 : 1,
        depthTest: stress !== 'proposed',
      });
    });
  }

  /** What a round thing shows of its outline: its own inside, a line's width larger. */
  contour(stress: Stress): MeshBasicMaterial {
    return this.#once(`contour ${stress}`, () => {
      const material = new MeshBasicMaterial({
        side: BackSide,
        color: this.#tint(stress) ?? this.#ink.line,
      });
      grow(material, this.#lineWidth);
      return material;
    });
  }

  dispose(): void {
    for (const material of this.#made.values()) material.dispose();
  }
}
