/**
 * The drawing of the craft: flat quiet hues, edges in ink, carbon hatched, swept and kept-clear space as
 * thin outlines only. Draws when told; holds no state of the page.
 */
import type { SolidView } from '$lib/api/types/SolidView';
import {
  AmbientLight,
  BackSide,
  Color,
  DirectionalLight,
  EdgesGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  OrthographicCamera,
  Raycaster,
  Scene,
  Vector2,
  WebGLRenderer,
  type BufferGeometry,
} from 'three';
import type { Ink } from './ink';
import { axes, type Point, type Sight } from './sight';
import { geometryOf, matrixOf } from './solid';

/** What stands out of the drawing. */
export interface Emphasis {
  place: string | null;
  /** Numbers of the two solids a finding is about. */
  pair: readonly [number, number] | null;
  /** Places drawn shifted while they are dragged. */
  shifted: ReadonlySet<string>;
  shift: Point;
}

interface Drawn {
  solid: SolidView;
  /** What a round thing shows of its outline: its own inside, a line's width larger. */
  contour: Mesh<BufferGeometry, MeshBasicMaterial> | null;
  body: Mesh<BufferGeometry, MeshLambertMaterial> | null;
  edges: LineSegments<BufferGeometry, LineBasicMaterial>;
}

const EDGE_ANGLE = 25;
const FAR = 4000;

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

/** Grows a shape along its normals by about a pixel, whatever the scale of the drawing. */
function contour(millimetres: { value: number }): MeshBasicMaterial {
  const material = new MeshBasicMaterial({ side: BackSide });
  material.onBeforeCompile = (shader) => {
    shader.uniforms.lineWidth = millimetres;
    shader.vertexShader = shader.vertexShader
      .replace('void main() {', 'uniform float lineWidth;\nvoid main() {')
      .replace('#include <begin_vertex>', 'vec3 transformed = position + normal * lineWidth;');
  };
  material.customProgramCacheKey = () => 'contour';
  return material;
}

export class Picture {
  /** The width of a line, in mm at the present scale: shared by all contours. */
  readonly #lineWidth = { value: 0.1 };
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new OrthographicCamera(-1, 1, 1, -1, 0.1, 2 * FAR);
  readonly #light = new DirectionalLight('#ffffff', 1.5);
  readonly #group = new Group();
  readonly #geometries = new Map<string, { body: BufferGeometry; edges: BufferGeometry }>();
  #drawn: Drawn[] = [];
  #stale: Drawn[] = [];
  #size = { width: 1, height: 1 };

  /** Throws where the browser has no WebGL; the page then says so. */
  constructor(canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true });
    this.#renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    this.#camera.up.set(0, 0, 1);
    this.#scene.add(this.#group, this.#light, new AmbientLight('#ffffff', 1.9));
  }

  resize(width: number, height: number): void {
    this.#size = { width: Math.max(1, width), height: Math.max(1, height) };
    this.#renderer.setSize(this.#size.width, this.#size.height, false);
  }

  setSolids(solids: readonly SolidView[], ink: Ink): void {
    // The old inks go only after the new ones are in use: the shaders they share are then kept.
    const old = this.#drawn;
    this.#drawn = [];
    this.#group.clear();
    for (const solid of solids) this.#add(solid, ink);
    this.#scene.background = new Color(ink.paper);
    this.#stale.push(...old);
  }

  #shapes(solid: SolidView): { body: BufferGeometry; edges: BufferGeometry } {
    const key = JSON.stringify(solid.shape);
    const known = this.#geometries.get(key);
    if (known) return known;
    const body = geometryOf(solid.shape);
    const made = { body, edges: new EdgesGeometry(body, EDGE_ANGLE) };
    this.#geometries.set(key, made);
    return made;
  }

  #add(solid: SolidView, ink: Ink): void {
    const shapes = this.#shapes(solid);
    const holder = new Group();
    holder.matrixAutoUpdate = false;
    holder.matrix.copy(matrixOf(solid));
    holder.name = solid.place;
    let body: Drawn['body'] = null;
    if (!solid.ghost) {
      const material = new MeshLambertMaterial({
        color: ink.fill[solid.material],
        flatShading: true,
        polygonOffset: true,
        polygonOffsetFactor: 1,
        polygonOffsetUnits: 1,
      });
      if (solid.material === 'carbon') hatch(material, new Color(ink.line));
      body = new Mesh(shapes.body, material);
      body.userData = { index: solid.index };
      holder.add(body);
    }
    let outline: Drawn['contour'] = null;
    if (body && 'cylinder' in solid.shape) {
      outline = new Mesh(shapes.body, contour(this.#lineWidth));
      holder.add(outline);
    }
    const edges = new LineSegments(shapes.edges, new LineBasicMaterial());
    holder.add(edges);
    this.#group.add(holder);
    this.#drawn.push({ solid, body, edges, contour: outline });
  }

  /** Tints what is picked, fades what is not of the pair, shifts what is dragged. */
  emphasise(emphasis: Emphasis, ink: Ink): void {
    const line = new Color(ink.line);
    const accent = new Color(ink.accent);
    const second = new Color(ink.second);
    for (const { solid, body, edges, contour: outline } of this.#drawn) {
      const pair = emphasis.pair;
      const inPair = pair !== null && pair.includes(solid.index);
      const picked = pair === null && solid.place === emphasis.place;
      const strong = inPair || picked;
      const tint = inPair && solid.index === pair[1] ? second : accent;
      const faded = pair !== null && !inPair;
      edges.material.color.copy(strong ? tint : solid.ghost ? new Color(ink.fill[solid.material]) : line);
      const seeThrough = faded || solid.ghost;
      // Whether a material lets light through is built into its shader.
      if (edges.material.transparent !== seeThrough) edges.material.needsUpdate = true;
      edges.material.transparent = seeThrough;
      edges.material.opacity = faded ? 0.16 : solid.ghost && !strong ? 0.35 : 1;
      if (outline) {
        outline.visible = !faded;
        outline.material.color.copy(edges.material.color);
      }
      if (body) {
        body.material.color.set(ink.fill[solid.material]);
        if (strong) body.material.color.lerp(tint, 0.4);
        if (body.material.transparent !== faded) body.material.needsUpdate = true;
        body.material.transparent = faded;
        body.material.opacity = faded ? 0.1 : 1;
        body.material.depthWrite = !faded;
      }
      const holder = edges.parent;
      if (holder) {
        holder.matrix.copy(matrixOf(solid));
        if (emphasis.shifted.has(solid.place)) {
          const [x, y, z] = emphasis.shift;
          const elements = holder.matrix.elements;
          elements[12] += x;
          elements[13] += y;
          elements[14] += z;
        }
        holder.matrixWorldNeedsUpdate = true;
      }
    }
  }

  draw(sight: Sight): void {
    const { width, height } = this.#size;
    const { up, eye } = axes(sight);
    const [x, y, z] = sight.target;
    const camera = this.#camera;
    this.#lineWidth.value = sight.mmPerPixel;
    camera.left = (-width / 2) * sight.mmPerPixel;
    camera.right = -camera.left;
    camera.top = (height / 2) * sight.mmPerPixel;
    camera.bottom = -camera.top;
    camera.position.set(x + eye[0] * FAR, y + eye[1] * FAR, z + eye[2] * FAR);
    camera.up.set(...up);
    camera.lookAt(x, y, z);
    camera.updateProjectionMatrix();
    // Light from over the left shoulder, so that the three faces of a box differ.
    this.#light.position.set(
      eye[0] + up[0] - eye[1] * 0.5,
      eye[1] + up[1] + eye[0] * 0.5,
      eye[2] + up[2] + 0.6,
    );
    this.#renderer.render(this.#scene, camera);
    this.#throwAway(this.#stale);
    this.#stale = [];
  }

  /** The solid under a point of the page, given in pixels from the upper left. */
  solidAt(x: number, y: number): SolidView | null {
    const { width, height } = this.#size;
    const caster = new Raycaster();
    caster.setFromCamera(new Vector2((2 * x) / width - 1, 1 - (2 * y) / height), this.#camera);
    const bodies = this.#drawn.flatMap((one) => (one.body ? [one.body] : []));
    const hit = caster.intersectObjects(bodies, false)[0];
    const index: unknown = hit?.object.userData.index;
    return this.#drawn.find((one) => one.solid.index === index)?.solid ?? null;
  }

  #throwAway(drawn: readonly Drawn[]): void {
    for (const { body, edges, contour: outline } of drawn) {
      outline?.material.dispose();
      body?.material.dispose();
      edges.material.dispose();
    }
  }

  dispose(): void {
    this.#throwAway([...this.#drawn, ...this.#stale]);
    for (const { body, edges } of this.#geometries.values()) {
      body.dispose();
      edges.dispose();
    }
    this.#renderer.dispose();
  }
}
