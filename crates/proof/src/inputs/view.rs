//! What each lens sees of the craft: camera, lens, sensor and seat turned into the inputs of `optics`.
//!
//! The eye is the middle of the lens's front; the picture stands as the camera's body does, and a camera mounted upside
//! down is taken to have its picture turned over by its own setting, as is the custom. All solids of the craft but
//! camera and lens may stand in the picture, discs of blades among them; room for plugs may not. A solid that holds the
//! eye is left out: it is a holder or canopy whose opening nobody drew. Only a plate or board that does is a fault.
//!
//! Without an image circle the whole picture counts as lit: corners that are dark in truth then count as if they showed
//! what is there.

use super::glass::{Glass, Sensor, Trouble, glass, sensor, within};
use super::{CraftSolid, Inputs, SeenAs};
use crate::engine::{Placed, Proof};
use crate::names::called;
use crate::{Finding, Verdict};
use craft::schema::{PartKind, camera};
use craft::{Missing, PlaceId};
use fit::{BodyPoint, BodyVector, InPart, PartPoint, PartVector, Placement, Pose, Role};
use optics::{Direction, Lens, Movement, Occluder, OpticsFault, Outline, Point, Scene, SensorArea, View};
use quantity::{Degrees, FactIndex, Millimetres, Percent};

/// The most lenses that are looked through.
const LENSES_MAX: usize = 12;
/// Pixels across on which a view is laid out; a picture may be drawn with any number.
const ACROSS: u32 = 1280;

/// What one lens sees of the craft.
#[derive(Clone, Debug)]
pub struct LensView {
    /// What a person calls it: the lens on the camera.
    pub subject: String,
    /// Number of the lens's place in the craft.
    pub lens: usize,
    /// Number of the camera's place in the craft.
    pub camera: usize,
    /// The places of lens and camera.
    pub places: [PlaceId; 2],
    /// How far the lens looks up, in level flight's frame.
    pub tilt: Degrees,
    /// The view: lens, area in use, pixels.
    pub view: View,
    /// What may stand in the picture, in the camera frame.
    pub scene: Scene,
    /// The number in [`Inputs::solids`] of each solid of the scene.
    pub solids: Vec<usize>,
    /// As what each solid of the scene counts.
    pub seen_as: Vec<SeenAs>,
    /// Whether each solid of the scene is a disc of blades.
    pub is_blades: Vec<bool>,
    /// Whether the image circle is known.
    pub circle_known: bool,
    /// The name of the picture mode that is judged, where the camera has one.
    pub mode: Option<String>,
    /// Pixels of the picture across and down: of that mode, or else of the sensor.
    pub pixels: Option<(u32, u32)>,
    /// From the camera frame, its origin in the eye, to the craft's.
    frame: Pose,
    /// Where the camera's side screws are on the craft: it is tilted about them.
    pivot: BodyPoint,
    glass: Glass,
    sensor: Sensor,
}

/// Why nobody can say what a lens sees.
#[derive(Clone, Debug, PartialEq)]
pub struct Unseen {
    /// What a person calls it.
    pub subject: String,
    /// The places of lens and camera.
    pub places: [PlaceId; 2],
    /// Facts that are missing.
    pub missing: Vec<Missing>,
    /// What is wrong, if the facts are there and cannot be.
    pub wrong: Option<String>,
}

impl Unseen {
    /// What a rule says that would need the view.
    pub(crate) fn finding(&self, rule: &'static str) -> Finding {
        let finding = match &self.wrong {
            Some(wrong) => Finding::new(
                rule,
                Verdict::Unknown,
                self.subject.clone(),
                format!("Nobody can say yet what the lens sees: {wrong}"),
            ),
            None => Finding::unknown(rule, self.subject.clone(), self.missing.clone()),
        };
        finding.at(self.places.clone())
    }

    /// Why nobody can say what the lens sees, in a sentence.
    pub fn words(&self) -> String {
        self.finding("").message
    }
}

/// A fact the view follows, and the view after it has grown.
pub(crate) struct Grown {
    pub fact: FactIndex,
    pub by: f64,
    pub view: View,
}

/// What every lens on a camera sees, in the order of the sheet.
pub(crate) fn lens_views(proof: &Proof) -> Vec<Result<LensView, Unseen>> {
    let on_cameras = proof
        .places_of(PartKind::Lens)
        .filter_map(|lens| Some((lens, proof.part_under(lens.place, PartKind::Camera)?)));
    let look = |(number, (lens, camera)): (usize, (Placed, Placed))| {
        let seen = if number < LENSES_MAX {
            lens_view(proof, lens, camera)
        } else {
            Err(Trouble::Wrong(format!("only the first {LENSES_MAX} lenses of a craft are looked through")))
        };
        seen.map_err(|trouble| {
            let (missing, wrong) = match trouble {
                Trouble::Missing(missing) => (missing, None),
                Trouble::Wrong(wrong) => (Vec::new(), Some(wrong)),
            };
            let places = [lens.place.id.clone(), camera.place.id.clone()];
            Unseen { subject: subject(proof, lens, camera), places, missing, wrong }
        })
    };
    // Of those too many the first speaks for the rest.
    on_cameras.enumerate().take(LENSES_MAX + 1).map(look).collect()
}

fn subject(proof: &Proof, lens: Placed, camera: Placed) -> String {
    format!("{} on {}", called(proof, lens), called(proof, camera))
}

fn lens_view(proof: &Proof, lens: Placed, camera: Placed) -> Result<LensView, Trouble> {
    let (glass, sensor) = match (glass(lens), sensor(proof, camera)) {
        (Ok(glass), Ok(sensor)) => (glass, sensor),
        (Err(Trouble::Missing(mut first)), Err(Trouble::Missing(second))) => {
            first.extend(second);
            return Err(Trouble::Missing(first));
        }
        (glass, sensor) => {
            return Err(glass.err().or(sensor.err()).unwrap_or(Trouble::Missing(Vec::new())));
        }
    };
    let (sensor, mode) = sensor;
    let inputs = proof.inputs();
    let numbers = (proof.number_of(&lens.place.id), proof.number_of(&camera.place.id));
    let (Some(lens_number), Some(camera_number)) = numbers else { return Err(Trouble::Missing(Vec::new())) };
    unbuilt_among(proof, inputs, &[lens_number, camera_number])?;
    let (Some(lens_seat), Some(camera_seat)) = (inputs.seat(lens_number), inputs.seat(camera_number)) else {
        return Err(Trouble::Missing(Vec::new()));
    };
    let proud = lens.part.item().read(&camera::PROUD)?;
    let eye = lens_seat.pose.point(PartPoint::new(proud.value.get(), 0.0, 0.0));
    let frame = upright(camera_seat.pose.shifted(eye - camera_seat.pose.origin()));
    let kept: Vec<(usize, Occluder)> = inputs
        .solids
        .iter()
        .enumerate()
        .filter(|(_, solid)| solid.place != lens_number && solid.place != camera_number && shows(solid))
        .map(|(number, solid)| Ok((number, occluder(solid, &frame)?)))
        .collect::<Result<_, OpticsFault>>()?;
    let is_blades = |number: usize| inputs.solids[number].solid.role == Role::BladeSweep;
    let all = Scene::new(kept.iter().map(|(_, occluder)| occluder.clone()).collect());
    let (inside, open): (Vec<usize>, Vec<usize>) =
        (0..kept.len()).partition(|n| !is_blades(kept[*n].0) && all.holds_eye(*n));
    not_within_a_plate(inside.iter().map(|n| &inputs.solids[kept[*n].0]))?;
    let solids: Vec<usize> = open.iter().map(|n| kept[*n].0).collect();
    Ok(LensView {
        subject: subject(proof, lens, camera),
        lens: lens_number,
        camera: camera_number,
        places: [lens.place.id.clone(), camera.place.id.clone()],
        tilt: tilt_of(&frame),
        view: view(glass.lens.clone(), sensor.area)?,
        scene: Scene::new(open.iter().map(|n| kept[*n].1.clone()).collect()),
        seen_as: solids.iter().map(|n| SeenAs::of(proof, &inputs.solids[*n])).collect(),
        is_blades: solids.iter().map(|n| is_blades(*n)).collect(),
        solids,
        circle_known: glass.circle.is_some(),
        mode,
        pixels: sensor.pixels,
        frame,
        pivot: camera_seat.pose.origin(),
        glass,
        sensor,
    })
}

/// How far the lens looks up.
fn tilt_of(frame: &Pose) -> Degrees {
    Degrees::new(frame.vector(PartVector::X).z().clamp(-1.0, 1.0).asin().to_degrees())
}

/// A holder or a canopy has an opening that nobody drew; a plate or a board has none.
fn not_within_a_plate<'a>(mut holding: impl Iterator<Item = &'a CraftSolid>) -> Result<(), Trouble> {
    let shut = [Role::CarbonPlate, Role::InsulatingPlate, Role::Board];
    match holding.find(|solid| shut.contains(&solid.solid.role)) {
        Some(solid) => Err(Trouble::Wrong(format!(
            "the front of the lens lies inside {}; move or tilt the camera, or cut that outline open there",
            solid.solid.name
        ))),
        None => Ok(()),
    }
}

/// Facts for want of which blades, lens or camera have no body or no seat.
fn unbuilt_among(proof: &Proof, inputs: &Inputs, places: &[usize]) -> Result<(), Trouble> {
    let of_blades = |number: usize| {
        proof.craft.places.get(number).and_then(|place| proof.craft.part_at(place)).map(|part| part.kind)
            == Some(PartKind::Blades)
    };
    let concerned: Vec<_> =
        inputs.unbuilt.iter().filter(|u| places.contains(&u.place) || of_blades(u.place)).collect();
    let mut missing: Vec<Missing> = Vec::new();
    for fact in concerned.iter().flat_map(|unbuilt| &unbuilt.missing) {
        if !missing.contains(fact) {
            missing.push(fact.clone());
        }
    }
    match concerned.first() {
        Some(first) if missing.is_empty() => {
            let why = first.wrong.as_deref().unwrap_or("nobody said where it stands");
            Err(Trouble::Wrong(format!("{} cannot be placed: {why}", first.what)))
        }
        Some(_) => Err(Trouble::Missing(missing)),
        None => Ok(()),
    }
}

/// The camera's frame with its top up: a camera upside down has its picture turned over by its setting.
fn upright(frame: Pose) -> Pose {
    if frame.vector(PartVector::Z).z() >= 0.0 {
        return frame;
    }
    let none = Degrees::new(0.0);
    frame * InPart::turned(PartPoint::ORIGIN, none, none, Degrees::new(180.0))
}

fn shows(solid: &CraftSolid) -> bool {
    !solid.ghost || solid.solid.role == Role::BladeSweep
}

fn occluder(solid: &CraftSolid, frame: &Pose) -> Result<Occluder, OpticsFault> {
    let seen: Placement<fit::Part, fit::Part> = frame.inverse() * solid.solid.pose;
    let [x, y, z] = seen.origin().coordinates();
    let axis = |v: PartVector| {
        let [x, y, z] = seen.vector(v).coordinates();
        Direction::new(x, y, z)
    };
    let axes = [axis(PartVector::X)?, axis(PartVector::Y)?, axis(PartVector::Z)?];
    let placement = optics::Placement::turned(Point::new(x, y, z), axes)?;
    let shape = match &solid.solid.shape {
        fit::Shape::Cuboid(cuboid) => {
            let [x, y, z] = cuboid.size();
            optics::Shape::cuboid(x, y, z)?
        }
        fit::Shape::Cylinder(cylinder) => optics::Shape::cylinder(cylinder.radius(), cylinder.length())?,
        fit::Shape::Prism(prism) => {
            let outline = prism.outline();
            let ring = |points: &[fit::PlanePoint]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
            let mut rings = vec![ring(outline.outer())];
            rings.extend(outline.holes().iter().map(|hole| ring(&hole.corners())));
            optics::Shape::prism(Outline::new(&rings)?, prism.thickness())?
        }
    };
    Ok(Occluder { shape, placement })
}

fn view(lens: Lens, area: SensorArea) -> Result<View, OpticsFault> {
    let down = (f64::from(ACROSS) * (area.height() / area.width())).round().clamp(1.0, 10_000.0);
    View::new(lens, area, ACROSS, down as u32)
}

impl LensView {
    /// How much of the lit picture each solid of the scene fills.
    pub fn shares(&self) -> optics::Shares {
        optics::shares(&self.view, &self.scene)
    }

    /// The same, kept from one proof to the next.
    pub(crate) fn shares_kept(&self, proof: &Proof) -> optics::Shares {
        proof.kept().shares(&self.view, &self.scene, None)
    }

    /// How much of the lit picture blades fill, seen by some view of some scene of the same solids.
    pub(crate) fn blades_in(&self, proof: &Proof, view: &View, scene: &Scene) -> Percent {
        proof.kept().shares(view, scene, Some(&self.is_blades)).of_all(|n| self.is_blades[n])
    }

    /// A direction of the craft as the camera sees it.
    pub(crate) fn toward(&self, v: BodyVector) -> Option<Direction> {
        let [x, y, z] = self.frame.inverse().vector(v).coordinates();
        Direction::new(x, y, z).ok()
    }

    /// A place of the craft as the camera sees it.
    pub(crate) fn at(&self, p: BodyPoint) -> Point {
        let [x, y, z] = self.frame.inverse().point(p).coordinates();
        Point::new(x, y, z)
    }

    /// Where the eye is on the craft.
    pub(crate) fn eye(&self) -> BodyPoint {
        self.frame.origin()
    }

    /// From the camera frame, its origin in the eye, to the craft's.
    pub fn eye_frame(&self) -> Pose {
        self.frame
    }

    /// The view after each fact it follows has grown by a share of itself: focal length, size of the sensor.
    pub(crate) fn grown(&self, proof: &Proof, share: f64) -> Vec<Grown> {
        let mut all = Vec::new();
        if let Some((projection, focal)) = &self.glass.formula {
            let by = share * focal.value.get();
            let lens = Lens::new(*projection, Millimetres::new(focal.value.get() + by));
            let lens = lens.and_then(|lens| within(lens, &self.glass.circle));
            if let Ok(view) = lens.and_then(|lens| view(lens, self.sensor.area)) {
                all.push(Grown { fact: proof.enter(focal), by, view });
            }
        }
        let Sensor { area, fact, value, .. } = &self.sensor;
        let area = SensorArea::of_sides(area.width() * (1.0 + share), area.height() * (1.0 + share));
        if let Ok(view) = area.and_then(|area| view(self.glass.lens.clone(), area)) {
            all.push(Grown { fact: *fact, by: share * value, view });
        }
        all
    }

    /// The view through another lens in the place of this one; `None` where its facts do not serve.
    pub(crate) fn through(&self, proof: &Proof, lens: &craft::Part) -> Option<View> {
        let lens = Placed { place: proof.craft.places.get(self.lens)?, part: lens };
        view(glass(lens).ok()?.lens, self.sensor.area).ok()
    }

    /// Pixels of the whole sensor and what is read of its width and height, as shares; `None` where they are not known.
    pub(crate) fn read_of_sensor(&self, proof: &Proof) -> Option<[f64; 2]> {
        let item = proof.placed_number(self.camera)?.part.item();
        let (across, down) =
            (item.count(&camera::PIXELS_ACROSS).ok()?, item.count(&camera::PIXELS_DOWN).ok()?);
        let pitch = item.read(&camera::PIXEL_PITCH).ok()?.value.get() / 1000.0;
        let [width, height] = self.sensor_mm();
        Some([width / (pitch * f64::from(across)), height / (pitch * f64::from(down))])
    }

    /// The facts of lens and sensor that the view rests on.
    pub(crate) fn facts(&self, proof: &Proof) -> Vec<FactIndex> {
        let focal = self.glass.formula.as_ref().map(|(_, focal)| proof.enter(focal));
        let circle = self.glass.circle.as_ref().map(|circle| proof.enter(circle));
        focal.into_iter().chain([self.sensor.fact]).chain(circle).collect()
    }

    /// The axis about which the camera is tilted: through its side screws, nose up by the right-hand rule.
    pub(crate) fn tilt_axis(&self) -> (Point, Direction) {
        (self.at(self.pivot), Direction::LEFT.opposite())
    }

    /// What the same lens sees when the camera is tilted so much further up about its side screws; where its front comes to
    /// lie inside something, the number of that solid in [`Inputs::solids`].
    pub fn tilted(&self, by: Degrees) -> Result<LensView, usize> {
        let (about, axis) = self.tilt_axis();
        let right = -self.frame.vector(PartVector::Y);
        let frame = self.frame.turned_further(self.pivot, right, by);
        let scene = self.scene.after(Movement::Turn { about, axis, by });
        match (0..scene.len()).find(|n| !self.is_blades[*n] && scene.holds_eye(*n)) {
            Some(within) => Err(self.solids[within]),
            None => Ok(LensView { tilt: tilt_of(&frame), frame, scene, ..self.clone() }),
        }
    }

    /// The horizon of flat ground far away, for a craft whose nose is up by so much: places in the picture, from left to
    /// right, as shares of its width and height from the top left.
    pub fn horizon(&self, nose_up: Degrees) -> Vec<[f64; 2]> {
        let (across, down) = self.view.pixels();
        let (sin, cos) = nose_up.get().to_radians().sin_cos();
        let ahead = self.frame.vector(PartVector::X);
        let seen = |step: i32| {
            // Level directions from left to right; a nose that is up sees them lower.
            let bearing = ahead.y().atan2(ahead.x()) - f64::from(step).to_radians();
            let level = BodyVector::new(bearing.cos() * cos, bearing.sin(), -bearing.cos() * sin);
            let place = self.view.place_of(self.toward(level)?).ok()?;
            let place = [place.across / f64::from(across), place.down / f64::from(down)];
            place.iter().all(|share| (-0.5..=1.5).contains(share)).then_some(place)
        };
        (-100..=100).filter_map(seen).collect()
    }
}
