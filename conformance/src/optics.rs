//! Answers the checks of `conformance/optics/`: projections, sensors, views, pixels, shares of the picture.
//!
//! A lens stands in the rows as `projection` and `focal_length_mm`, or as a measured `map` of angle and radius,
//! perhaps with `image_circle_mm`; a sensor as `width_mm` and `height_mm`. Solids stand in the camera frame (x
//! forward, y left, z up) as the scripts beside them write them. Kinds and their answers:
//! - `image_radius`: `angle_deg`; the radius, and the angle that comes back for it;
//! - `sensor`: `pitch_um` or `diagonal_mm`, `across`, `down`; its sides and diagonal;
//! - `view_angles`: across, down and over the diagonal;
//! - `seen_at`: a `point` and the `pixels`; where in the picture it falls, and the ray that comes back;
//! - `detail`: `angle_deg` and `pixels` across; pixels a degree along and across the radius;
//! - `focal_length`: `angle_deg` over `over_mm`; the focal length that sees it;
//! - `seen_from`: `size_mm`, `pixels` and `pixels_a_degree`; from how far it is seen;
//! - `over_course`: where a `point` of a course falls, in metres along, left and up, seen from an `eye` so turned;
//! - `bent_line`: how far the farthest of some `pixels` lies from the line `from` one place of a course `to` another;
//! - `share`: how much of the picture the `solids` fill, and how much is lit;
//! - those of light and sharpness, and of flying, in files of their own.

use optics::course::{Attitude, Course, CoursePoint, EyeStand, GroundLine, sight};
use optics::{
    Aspect, Direction, Lens, MeasuredMap, Occluder, Outline, PicturePoint, Placement, Point, Projection,
    Scene, SensorArea, Shape, View, shares,
};
use quantity::{Degrees, Metres, Micrometres, Millimetres};
use toml_edit::{Table, Value};

use crate::given::{Answer, Given, named, rows, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "image_radius" => image_radius(&given),
        "sensor" => sensor(&given),
        "view_angles" => view_angles(&given),
        "seen_at" => seen_at(&given),
        "detail" => detail(&given),
        "focal_length" => focal_length(&given),
        "seen_from" => seen_from(&given),
        "over_course" => over_course(&given),
        "bent_line" => bent_line(&given),
        "share" => share(&given),
        _ => {
            let other = crate::light::answer(kind, &given).or_else(|| crate::flying::answer(kind, &given));
            other.unwrap_or_else(|| Err(format!("unknown kind `{kind}`")))
        }
    }
}

fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

impl Given<'_> {
    fn length(&self, key: &str) -> Result<Millimetres, String> {
        self.number(key).map(mm)
    }

    fn lens(&self) -> Result<Lens, String> {
        let lens = if self.has("map") {
            let points: Vec<_> = self
                .rows::<2>("map")?
                .into_iter()
                .map(|[angle, radius]| (Degrees::new(angle), mm(radius)))
                .collect();
            Lens::measured(MeasuredMap::new(&points).map_err(told)?)
        } else {
            let word = self.word("projection")?;
            let projection = Projection::of_word(word).ok_or(format!("unknown projection `{word}`"))?;
            Lens::new(projection, self.length("focal_length_mm")?).map_err(told)?
        };
        if self.has("image_circle_mm") {
            return lens.with_image_circle(self.length("image_circle_mm")?).map_err(told);
        }
        Ok(lens)
    }

    fn area(&self) -> Result<SensorArea, String> {
        SensorArea::of_sides(self.length("width_mm")?, self.length("height_mm")?).map_err(told)
    }

    fn occluder(&self) -> Result<Occluder, String> {
        let [x, y, z] = self.fixed("at")?;
        let placement = Placement::turned(Point::new(x, y, z), axes(self.fixed("turn")?)?).map_err(told)?;
        let shape = match self.word("shape")? {
            "cuboid" => {
                let [x, y, z] = self.fixed("size")?.map(mm);
                Shape::cuboid(x, y, z)
            }
            "cylinder" => Shape::cylinder(self.length("radius")?, self.length("length")?),
            "plate" => {
                let ring = |value: &Value| rows::<2>(value.as_array()?);
                let rings: Option<Vec<_>> = self.array("rings")?.iter().map(ring).collect();
                let outline =
                    Outline::new(&rings.ok_or("`rings` must be lists of corners")?).map_err(told)?;
                Shape::prism(outline, self.length("thickness")?)
            }
            other => return Err(format!("unknown shape `{other}`")),
        };
        Ok(Occluder { shape: shape.map_err(told)?, placement })
    }
}

/// Own axes after yaw (nose left), pitch (nose up) and roll (left side up).
fn axes(turn: [f64; 3]) -> Result<[Direction; 3], String> {
    let [(sy, cy), (sp, cp), (sr, cr)] = turn.map(|degrees| degrees.to_radians().sin_cos());
    let forward = [cy * cp, sy * cp, sp];
    let left = [-sy * cr - cy * sp * sr, cy * cr - sy * sp * sr, cp * sr];
    let up = [sy * sr - cy * sp * cr, -cy * sr - sy * sp * cr, cp * cr];
    let direction = |[x, y, z]: [f64; 3]| Direction::new(x, y, z).map_err(told);
    Ok([direction(forward)?, direction(left)?, direction(up)?])
}

fn image_radius(given: &Given) -> Result<Answer, String> {
    let lens = given.lens()?;
    let radius = lens.radius(Degrees::new(given.number("angle_deg")?)).map_err(told)?;
    let back = lens.angle(radius).map_err(told)?;
    Ok(named([("radius_mm", radius.get()), ("back_deg", back.get())]))
}

fn sensor(given: &Given) -> Result<Answer, String> {
    let (across, down) = (given.count("across")?, given.count("down")?);
    let area = if given.has("diagonal_mm") {
        let aspect = Aspect::of_pixels(across, down).map_err(told)?;
        SensorArea::of_diagonal(given.length("diagonal_mm")?, aspect)
    } else {
        SensorArea::of_pixels(Micrometres::new(given.number("pitch_um")?), across, down)
    };
    let area = area.map_err(told)?;
    Ok(named([
        ("width_mm", area.width().get()),
        ("height_mm", area.height().get()),
        ("diagonal_mm", area.diagonal().get()),
    ]))
}

fn view_angles(given: &Given) -> Result<Answer, String> {
    let angles = optics::view_angles(&given.lens()?, given.area()?);
    Ok(named([
        ("horizontal_deg", angles.horizontal.map_err(told)?.get()),
        ("vertical_deg", angles.vertical.map_err(told)?.get()),
        ("diagonal_deg", angles.diagonal.map_err(told)?.get()),
    ]))
}

fn seen_at(given: &Given) -> Result<Answer, String> {
    let [x, y, z] = given.fixed("point")?;
    let (across, down) = (given.count("across")?, given.count("down")?);
    let view = View::new(given.lens()?, given.area()?, across, down).map_err(told)?;
    let toward = Direction::new(x, y, z).map_err(told)?;
    let place = view.place_of(toward).map_err(told)?;
    let back = view.ray(place).ok_or("the place looks nowhere")?.coordinates();
    let cosine: f64 = back.iter().zip(toward.coordinates()).map(|(a, b)| a * b).sum();
    let off = cosine.min(1.0).acos().to_degrees();
    Ok(named([("across_px", place.across), ("down_px", place.down), ("back_off_deg", off)]))
}

fn on_course([along, left, up]: [f64; 3]) -> CoursePoint {
    CoursePoint::new(Metres::new(along), Metres::new(left), Metres::new(up))
}

fn stand(given: &Given) -> Result<EyeStand, String> {
    let [left, nose_up, left_side_up] = given.fixed("turn")?.map(Degrees::new);
    Ok(EyeStand::turned(on_course(given.fixed("eye")?), Attitude { left, nose_up, left_side_up }))
}

fn over_course(given: &Given) -> Result<Answer, String> {
    let view = View::new(given.lens()?, given.area()?, given.count("across")?, given.count("down")?)
        .map_err(told)?;
    let toward = stand(given)?.toward(on_course(given.fixed("point")?)).map_err(told)?;
    let place = view.place_of(toward).map_err(told)?;
    Ok(named([("across_px", place.across), ("down_px", place.down)]))
}

fn bent_line(given: &Given) -> Result<Answer, String> {
    let view = View::new(given.lens()?, given.area()?, given.count("across")?, given.count("down")?)
        .map_err(told)?;
    let line = GroundLine::between(on_course(given.fixed("from")?), on_course(given.fixed("to")?));
    let course = Course { lines: vec![line], ..Course::default() };
    let lines = sight(&view, &course, &stand(given)?).lines;
    let off = |[x, y]: [f64; 2]| {
        let pieces = lines.iter().flat_map(|line| line.windows(2));
        let off_piece = |ends: &[PicturePoint]| {
            let (dx, dy) = (ends[1].across - ends[0].across, ends[1].down - ends[0].down);
            let (x, y) = (x - ends[0].across, y - ends[0].down);
            let square = dx * dx + dy * dy;
            let t = if square > 0.0 { ((x * dx + y * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
            (x - t * dx).hypot(y - t * dy)
        };
        pieces.map(off_piece).fold(f64::INFINITY, f64::min)
    };
    let farthest = given.rows::<2>("pixels")?.into_iter().map(off).fold(0.0, f64::max);
    Ok(named([("off_px", farthest)]))
}

fn detail(given: &Given) -> Result<Answer, String> {
    let view = View::new(given.lens()?, given.area()?, given.count("across")?, given.count("down")?)
        .map_err(told)?;
    let detail = optics::detail_at(&view, Degrees::new(given.number("angle_deg")?)).map_err(told)?;
    Ok(named([("along_px", detail.along), ("across_px", detail.across)]))
}

fn focal_length(given: &Given) -> Result<Answer, String> {
    let word = given.word("projection")?;
    let projection = Projection::of_word(word).ok_or(format!("unknown projection `{word}`"))?;
    let angle = Degrees::new(given.number("angle_deg")?);
    let found = optics::focal_length_for(projection, given.length("over_mm")?, angle).map_err(told)?;
    Ok(named([("focal_length_mm", found.get())]))
}

fn seen_from(given: &Given) -> Result<Answer, String> {
    let pixels = (given.number("pixels")?, given.number("pixels_a_degree")?);
    Ok(named([("distance_mm", optics::seen_from(given.length("size_mm")?, pixels.0, pixels.1).get())]))
}

fn share(given: &Given) -> Result<Answer, String> {
    let solid = |value: &Value| Given(value.as_inline_table().ok_or("a solid must be a table")?).occluder();
    let solids: Vec<Occluder> = given.array("solids")?.iter().map(solid).collect::<Result<_, String>>()?;
    let view = View::new(given.lens()?, given.area()?, 1280, 720).map_err(told)?;
    let shares = shares(&view, &Scene::new(solids));
    let all = shares.of_all(|_| true).get();
    Ok(named([("share_percent", all), ("lit_percent", shares.lit().get())]))
}
