//! Lens and sensor of a camera, turned into the inputs of `optics`, with the facts they follow.
//!
//! The sensor is pixel pitch times pixels, cut to the camera's first picture mode; or the stated diagonal, which is
//! that of the area in use, in the shape of the mode or else of the sensor.

use crate::engine::{Placed, Proof};
use craft::schema::camera;
use craft::{Item, Missing, Reading};
use optics::{Aspect, Lens, MeasuredMap, OpticsFault, Projection, SensorArea};
use quantity::{FactIndex, FactPath, Measure, Millimetres, Ratio};

/// What bends the rays, with the facts that say so.
#[derive(Clone, Debug)]
pub(super) struct Glass {
    /// Projection and focal length; a measured map has none.
    pub formula: Option<(Projection, Reading<Millimetres>)>,
    pub lens: Lens,
    pub circle: Option<Reading<Millimetres>>,
}

/// What is read of the sensor, with the fact its size follows: pixel pitch or diagonal.
#[derive(Clone, Debug)]
pub(super) struct Sensor {
    pub area: SensorArea,
    pub fact: FactIndex,
    pub value: f64,
    /// Pixels of the picture across and down: of the mode, or else of the sensor.
    pub pixels: Option<(u32, u32)>,
}

/// Why lens and sensor cannot be had.
pub(super) enum Trouble {
    Missing(Vec<Missing>),
    Wrong(String),
}

impl From<OpticsFault> for Trouble {
    fn from(fault: OpticsFault) -> Self {
        Trouble::Wrong(fault.to_string())
    }
}

impl From<Missing> for Trouble {
    fn from(missing: Missing) -> Self {
        Trouble::Missing(vec![missing])
    }
}

/// The lens.
pub(super) fn glass(lens: Placed) -> Result<Glass, Trouble> {
    let item = lens.part.item();
    let circle = item.read(&camera::IMAGE_CIRCLE).ok();
    let (formula, made) = match item.text(&camera::PROJECTION)? {
        "measured" => (None, Lens::measured(measured_map(lens, &item)?)),
        word => {
            let focal_length = item.read(&camera::FOCAL_LENGTH)?;
            let projection =
                Projection::of_word(word).ok_or_else(|| item.missing(&camera::PROJECTION.def))?;
            (Some((projection, focal_length.clone())), Lens::new(projection, focal_length.value)?)
        }
    };
    let lens = within(made, &circle)?;
    Ok(Glass { formula, lens, circle })
}

/// The lens within its image circle, where that is known.
pub(super) fn within(lens: Lens, circle: &Option<Reading<Millimetres>>) -> Result<Lens, OpticsFault> {
    match circle {
        Some(circle) => lens.with_image_circle(circle.value),
        None => Ok(lens),
    }
}

fn measured_map(lens: Placed, item: &Item<'_>) -> Result<MeasuredMap, Trouble> {
    let mut points = Vec::new();
    for row in lens.part.rows(&camera::map::TABLE) {
        points.push((row.read(&camera::map::ANGLE)?.value, row.read(&camera::map::RADIUS)?.value));
    }
    if points.is_empty() {
        let path = FactPath(format!("{}.{}", item.path, camera::map::TABLE.key));
        return Err(Missing { path, label: format!("measured map of {}", item.called) }.into());
    }
    points.sort_by(|a, b| a.0.get().total_cmp(&b.0.get()));
    Ok(MeasuredMap::new(&points)?)
}

/// The area in use, and the name of the mode that reads it.
pub(super) fn sensor(proof: &Proof, camera: Placed) -> Result<(Sensor, Option<String>), Trouble> {
    let item = camera.part.item();
    let mut mode = None;
    let (mut name, mut pixels) = (None, None);
    if let Some(row) = camera.part.rows(&camera::mode::TABLE).next()
        && let (Ok(across), Ok(down)) = (row.count(&camera::mode::ACROSS), row.count(&camera::mode::DOWN))
    {
        let crop = row.read(&camera::mode::CROP).map_or(Ratio::new(1.0), |crop| crop.value);
        mode = Some((Aspect::of_pixels(across, down)?, crop));
        pixels = Some((across, down));
        name = row.name().map(str::to_owned);
    }
    let (across, down) = (item.count(&camera::PIXELS_ACROSS), item.count(&camera::PIXELS_DOWN));
    if let (None, Ok(across), Ok(down)) = (pixels, &across, &down) {
        pixels = Some((*across, *down));
    }
    let pitch = item.read(&camera::PIXEL_PITCH);
    if let (Ok(pitch), Ok(across), Ok(down)) = (&pitch, &across, &down) {
        let whole = SensorArea::of_pixels(pitch.value, *across, *down)?;
        let area = mode.map_or(Ok(whole), |(aspect, crop)| whole.in_mode(crop, aspect))?;
        return Ok((Sensor { area, fact: proof.enter(pitch), value: pitch.value.raw(), pixels }, name));
    }
    let shape = match (mode, &across, &down) {
        (Some((aspect, _)), ..) => Some(aspect),
        (None, Ok(across), Ok(down)) => Some(Aspect::of_pixels(*across, *down)?),
        _ => None,
    };
    if let (Ok(diagonal), Some(shape)) = (item.read(&camera::SENSOR_DIAGONAL), shape) {
        let area = SensorArea::of_diagonal(diagonal.value, shape)?;
        return Ok((
            Sensor { area, fact: proof.enter(&diagonal), value: diagonal.value.raw(), pixels },
            name,
        ));
    }
    let pitch = if item.has(&camera::SENSOR_DIAGONAL.def) { None } else { pitch.err() };
    Err(Trouble::Missing([pitch, across.err(), down.err()].into_iter().flatten().collect()))
}
