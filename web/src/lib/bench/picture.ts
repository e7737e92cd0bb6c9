/**
 * The drawing of the craft: flat quiet hues, edges in ink, carbon hatched, swept and kept-clear space as
 * thin outlines only. Draws when told; holds no state of the page.
 *
 * Solids of one form, one material and one stress are drawn at one stroke, as instances: a craft of ten
 * thousand solids is then a few dozen strokes, and not thirty thousand.
 */
import type { SolidView } from '$lib/api/types/SolidView';
import {
  AmbientLight,
  Color,
  DirectionalLight,
  EdgesGeometry,
  Group,
  InstancedBufferAttribute,
  InstancedMesh,
  LineSegments,
  Matrix4,
  OrthographicCamera,
  Raycaster,
  Scene,
  Vector2,
  WebGLRenderer,
  type BufferGeometry,
  type LineBasicMaterial,
  type Object3D,
  type Object3DEventMap,
} from 'three';
import type { Ink } from './ink';
import { Inks, type Stress } from './inks';
import { axes, type Point, type Sight } from './sight';
import { formOf, geometryOf, matrixOf } from './solid';

/** What stands out of the drawing. */
export interface Emphasis {
  place: string | null;
  /** A place that is proposed only: drawn as outlines, and always to be seen. */
  proposed: string | null;
  /** Numbers of the two solids a finding is about. */
  pair: readonly [number, number] | null;
  /** Places drawn shifted while they are dragged. */
  shifted: ReadonlySet<string>;
  shift: Point;
}

interface Form {
  body: BufferGeometry;
  edges: BufferGeometry;
}
/** A solid as it was last handed over, with what never changes while it stands there. */
interface Laid {
  solid: SolidView;
  form: string;
  matrix: Matrix4;
}
/** What is drawn at one stroke. */
interface Stroke {
  first: SolidView;
  form: Form;
  stress: Stress;
  laid: Laid[];
}

const EDGE_ANGLE = 25;
const FAR = 4000;
/** How what is round is drawn: with fewer corners where so many solids are drawn that each is small. */
const ROUNDS: readonly { upTo: number; sides: number; contours: boolean }[] = [
  { upTo: 1500, sides: 32, contours: true },
  { upTo: 5000, sides: 16, contours: true },
  // With so few corners the sides have edges of their own, and need no contour.
  { upTo: Infinity, sides: 8, contours: false },
];

interface Disposed extends Object3DEventMap {
  dispose: object;
}

/** Lines drawn as instances: the renderer asks for these three, of whatever it draws. */
class InstancedLines extends LineSegments<BufferGeometry, LineBasicMaterial, Disposed> {
  readonly isInstancedMesh = true;
  readonly instanceMatrix: InstancedBufferAttribute;
  override readonly count: number;
  readonly instanceColor = null;
  readonly morphTexture = null;

  constructor(geometry: BufferGeometry, material: LineBasicMaterial, matrices: InstancedBufferAttribute) {
    super(geometry, material);
    this.instanceMatrix = matrices;
    this.count = matrices.count;
  }

  override dispose(): void {
    this.dispatchEvent({ type: 'dispose' });
  }
}

export class Picture {
  /** The width of a line, in mm at the present scale: shared by all contours. */
  readonly #lineWidth = { value: 0.1 };
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new OrthographicCamera(-1, 1, 1, -1, 0.1, 2 * FAR);
  readonly #light = new DirectionalLight('#ffffff', 1.5);
  readonly #group = new Group();
  readonly #forms = new Map<string, Form>();
  #ink: Ink | null = null;
  #inks: Inks | null = null;
  /** Inks no longer in use: they go once the new ones were drawn with, so that the shaders both share are kept. */
  #stale: Inks[] = [];
  #laid: Laid[] = [];
  #contours = true;
  #emphasis: Emphasis = { place: null, proposed: null, pair: null, shifted: new Set(), shift: [0, 0, 0] };
  /** The bodies on the sheet, with the solid of each instance. */
  readonly #bodies = new Map<Object3D, SolidView[]>();
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

  /** Lays out other solids, or the same in other inks. */
  setSolids(solids: readonly SolidView[], emphasis: Emphasis, ink: Ink): void {
    if (ink !== this.#ink) {
      if (this.#inks) this.#stale.push(this.#inks);
      this.#inks = new Inks(ink, this.#lineWidth);
      this.#ink = ink;
    }
    this.#scene.background = new Color(ink.paper);
    const { sides, contours } = ROUNDS.find((one) => solids.length <= one.upTo) ?? {
      sides: 8,
      contours: false,
    };
    this.#contours = contours;
    this.#laid = solids.map((solid) => {
      const form = 'cylinder' in solid.shape ? `cylinder ${sides}` : formOf(solid.shape);
      if (!this.#forms.has(form)) {
        const body = geometryOf(solid.shape, sides);
        this.#forms.set(form, { body, edges: new EdgesGeometry(body, EDGE_ANGLE) });
      }
      return { solid, form, matrix: matrixOf(solid) };
    });
    this.emphasise(emphasis);
  }

  /** Tints what is picked, fades what is not of the pair, shifts what is dragged. */
  emphasise(emphasis: Emphasis): void {
    this.#emphasis = emphasis;
    this.#layOut();
  }

  #stressOf(solid: SolidView): Stress {
    const { pair, place, proposed } = this.#emphasis;
    if (solid.place === proposed) return 'proposed';
    if (pair === null) return solid.place === place ? 'first' : 'plain';
    if (!pair.includes(solid.index)) return 'faded';
    return solid.index === pair[1] ? 'second' : 'first';
  }

  #layOut(): void {
    this.#takeOff();
    const strokes = new Map<string, Stroke>();
    for (const laid of this.#laid) {
      const { solid } = laid;
      const form = this.#forms.get(laid.form);
      if (!form) continue;
      const stress = this.#stressOf(solid);
      const key = `${stress} ${solid.ghost} ${solid.material} ${laid.form}`;
      const stroke = strokes.get(key);
      if (stroke) stroke.laid.push(laid);
      else strokes.set(key, { first: solid, form, stress, laid: [laid] });
    }
    for (const stroke of strokes.values()) this.#add(stroke);
  }

  #takeOff(): void {
    for (const drawn of this.#group.children)
      if (drawn instanceof InstancedMesh || drawn instanceof InstancedLines) drawn.dispose();
    this.#group.clear();
    this.#bodies.clear();
  }

  #add({ first, form, stress, laid }: Stroke): void {
    const inks = this.#inks;
    if (!inks) return;
    const numbers = new Float32Array(16 * laid.length);
    const shift = new Matrix4().makeTranslation(...this.#emphasis.shift);
    const shifted = new Matrix4();
    laid.forEach(({ solid, matrix }, at) => {
      const moved = this.#emphasis.shifted.has(solid.place);
      (moved ? shifted.multiplyMatrices(shift, matrix) : matrix).toArray(numbers, 16 * at);
    });
    const matrices = new InstancedBufferAttribute(numbers, 16);
    const bodied = (material: ReturnType<Inks['body']> | ReturnType<Inks['contour']>) => {
      const mesh = new InstancedMesh(form.body, material, 0);
      mesh.instanceMatrix = matrices;
      mesh.count = laid.length;
      return mesh;
    };
    const drawn: Object3D[] = [
      new InstancedLines(form.edges, inks.edges(first.ghost ? first.material : null, stress), matrices),
    ];
    if (!first.ghost) {
      const body = bodied(inks.body(first.material, stress));
      this.#bodies.set(
        body,
        laid.map(({ solid }) => solid),
      );
      drawn.push(body);
      if (this.#contours && 'cylinder' in first.shape && stress !== 'faded')
        drawn.push(bodied(inks.contour(stress)));
    }
    // Where instances lie is known to nobody but the shader, so nothing is left out by its box.
    for (const one of drawn) one.frustumCulled = false;
    if (stress === 'proposed') for (const one of drawn) one.renderOrder = 1;
    this.#group.add(...drawn);
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
    for (const inks of this.#stale.splice(0)) inks.dispose();
  }

  /** The solid under a point of the page, given in pixels from the upper left. */
  solidAt(x: number, y: number): SolidView | null {
    const { width, height } = this.#size;
    const caster = new Raycaster();
    caster.setFromCamera(new Vector2((2 * x) / width - 1, 1 - (2 * y) / height), this.#camera);
    const hit = caster.intersectObjects([...this.#bodies.keys()], false)[0];
    if (hit?.instanceId === undefined) return null;
    return this.#bodies.get(hit.object)?.[hit.instanceId] ?? null;
  }

  dispose(): void {
    this.#takeOff();
    for (const inks of [...this.#stale, ...(this.#inks ? [this.#inks] : [])]) inks.dispose();
    for (const { body, edges } of this.#forms.values()) {
      body.dispose();
      edges.dispose();
    }
    this.#renderer.dispose();
  }
}
