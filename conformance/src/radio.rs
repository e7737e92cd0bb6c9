//! Answers the checks of `conformance/radio/`: waves, antennas, feeds and paths.
//!
//! Frequencies are `mhz`, distances and heights metres, ratios and losses decibels; an antenna's polarisation stands as
//! `hand` (right, left or linear), `axial_ratio_db` and `tilt_deg`. Kinds and their answers:
//! - `free_space`, `field`, `gas`, `rain`, `plain_link`: what distance and weather cost, and what arrives;
//! - `material`, `half_space`, `slab`, `two_ray`, `lobe`: what ground and walls do, level (across) and upright (within);
//! - `fresnel`, `edge`, `edges`, `wall`, `first_zone`, `woodland`: what stands in the way;
//! - `coupling`, `discrimination`, `dipole`, `crossed_currents`, `helix`, `beam`: antennas;
//! - `mismatch`, `coax`: feeds.
//!
//! The receiver's side is in `receiver.rs`.

use quantity::{Db, Dbi, Dbm, Degrees, Measure, Megahertz, Metres, Millimetres, Ratio};
use radio::{
    Antenna, Beam, Carrier, Coax, Direction, Edge, Filling, Ground, Hand, Helix, Match, Material, Path,
    Place, Polarisation, Slab, Surface, Turn, Wall, loss_of,
};
use toml_edit::{Table, Value};

use crate::given::{Answer, Given, named, told};
use crate::receiver;

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "free_space" => free_space(&given),
        "field" => field(&given),
        "gas" => gas(&given),
        "rain" => rain(&given),
        "plain_link" => plain_link(&given),
        "material" => material(&given),
        "half_space" => half_space(&given),
        "slab" => slab(&given),
        "two_ray" => two_ray(&given),
        "lobe" => lobe(&given),
        "fresnel" => {
            let (c, s) = radio::fresnel_integrals(given.number("x")?);
            Ok(named([("c", c), ("s", s)]))
        }
        "edge" => {
            let nu = given.number("nu")?;
            Ok(named([
                ("exact_db", radio::edge_loss(nu).get()),
                ("quick_db", radio::quick_edge_loss(nu).get()),
            ]))
        }
        "edges" => edges(&given),
        "wall" => wall(&given),
        "first_zone" => {
            let [d1, d2] = [given.metres("d1_m")?, given.metres("d2_m")?];
            Ok(named([("radius_m", radio::first_zone(d1, d2, given.carrier()?).map_err(told)?.get())]))
        }
        "woodland" => woodland(&given),
        "coupling" => coupling(&given),
        "discrimination" => {
            let loss = radio::discrimination(given.polarisation("")?);
            Ok(named([("other_hand_db", loss.get())]))
        }
        "dipole" => dipole(&given),
        "crossed_currents" => crossed_currents(&given),
        "helix" => helix(&given),
        "beam" => beam(&given),
        "mismatch" => mismatch(&given),
        "coax" => coax(&given),
        other => receiver::answer(other, &given),
    }
}

impl Given<'_> {
    pub(crate) fn db(&self, key: &str) -> Result<Db, String> {
        self.number(key).map(Db::new)
    }
    pub(crate) fn metres(&self, key: &str) -> Result<Metres, String> {
        self.number(key).map(Metres::new)
    }
    pub(crate) fn carrier(&self) -> Result<Carrier, String> {
        Carrier::new(Megahertz::new(self.number("mhz")?)).map_err(told)
    }
    fn material(&self) -> Result<Material, String> {
        named_material(self.word("material")?)
    }
    fn polarisation(&self, which: &str) -> Result<Polarisation, String> {
        let key = |name: &str| format!("{name}{which}");
        let tilt = Degrees::new(self.number(&key("tilt_deg")).unwrap_or(0.0));
        let hand = match self.word(&key("hand"))? {
            "right" => Hand::Right,
            "left" => Hand::Left,
            "linear" => return Ok(Polarisation::linear(tilt)),
            other => return Err(format!("unknown hand `{other}`")),
        };
        Polarisation::elliptical(hand, self.db(&key("axial_ratio_db"))?, tilt).map_err(told)
    }
}

fn named_material(word: &str) -> Result<Material, String> {
    Material::of_word(word).ok_or(format!("unknown material `{word}`"))
}

fn decibels(amplitude: radio::Complex) -> f64 {
    loss_of(amplitude.power()).get()
}

fn free_space(given: &Given) -> Result<Answer, String> {
    let loss = radio::free_space_loss(given.metres("distance_m")?, given.carrier()?).map_err(told)?;
    Ok(named([("loss_db", loss.get())]))
}

fn field(given: &Given) -> Result<Answer, String> {
    let eirp = Dbm::new(given.number("eirp_dbm")?);
    let field = radio::field_at(eirp, given.metres("distance_m")?).map_err(told)?;
    Ok(named([("microvolts_a_metre", field * 1e6), ("dbuv_a_metre", 20.0 * (field * 1e6).log10())]))
}

fn gas(given: &Given) -> Result<Answer, String> {
    let loss = radio::gas_loss(Metres::new(1000.0), given.carrier()?).map_err(told)?;
    Ok(named([("db_a_km", loss.get())]))
}

fn rain(given: &Given) -> Result<Answer, String> {
    let (carrier, tilt) = (given.carrier()?, Degrees::new(given.number("tilt_deg")?));
    let (k, alpha) = radio::rain_coefficients(tilt, carrier).map_err(told)?;
    let mut answer = named([("k", k), ("alpha", alpha)]);
    if given.has("rain_mm_h") {
        let loss =
            radio::rain_loss(Metres::new(1000.0), given.number("rain_mm_h")?, tilt, carrier).map_err(told)?;
        answer.insert("db_a_km".to_owned(), loss.get());
    }
    Ok(answer)
}

/// Level, two gains and two feeds in free space, without anything else.
fn plain_link(given: &Given) -> Result<Answer, String> {
    let eirp = radio::radiated(
        Dbm::new(given.number("level_dbm")?),
        given.db("sender_feed_db")?,
        Dbi::new(given.number("sender_gain_dbi")?),
    );
    let spreading = radio::free_space_loss(given.metres("distance_m")?, given.carrier()?).map_err(told)?;
    let received = eirp - spreading + Dbi::new(given.number("receiver_gain_dbi")?);
    Ok(named([("eirp_dbm", eirp.get()), ("received_dbm", received.get())]))
}

fn material(given: &Given) -> Result<Answer, String> {
    let (material, carrier) = (given.material()?, given.carrier()?);
    let permittivity = material.permittivity(carrier).map_err(told)?;
    let loss = material.loss_per_metre(carrier).map_err(told)?;
    Ok(named([
        ("permittivity", permittivity.re),
        ("conductivity", material.conductivity(carrier)),
        ("db_a_metre", loss.get()),
    ]))
}

fn sizes(surface: Surface) -> Answer {
    let kept = (surface.across + surface.within) * 0.5;
    let reversed = (surface.across - surface.within) * 0.5;
    named([
        ("across", surface.across.size()),
        ("within", surface.within.size()),
        ("kept", kept.size()),
        ("reversed", reversed.size()),
        ("across_db", decibels(surface.across)),
        ("within_db", decibels(surface.within)),
    ])
}

/// `angle_deg` is counted from the normal.
fn half_space(given: &Given) -> Result<Answer, String> {
    let permittivity = given.material()?.permittivity(given.carrier()?).map_err(told)?;
    let cosine = given.number("angle_deg")?.to_radians().cos();
    let mut answer = sizes(radio::half_space(permittivity, cosine));
    let brewster = permittivity.re.sqrt().atan();
    let there = radio::half_space(radio::Complex::real(permittivity.re), brewster.cos());
    answer.insert("brewster_deg".to_owned(), brewster.to_degrees());
    answer.insert("within_at_brewster".to_owned(), there.within.size());
    Ok(answer)
}

/// `layers`: pairs of a material, or `air`, and a thickness in millimetres.
fn made_slab(given: &Given) -> Result<Slab, String> {
    let layer = |value: &Value| -> Result<(Filling, Millimetres), String> {
        let pair = value.as_array().ok_or("a layer must be a material and a thickness")?;
        let word = pair.get(0).and_then(Value::as_str).ok_or("a layer needs a material")?;
        let thickness = pair.get(1).and_then(|v| v.as_float().or(v.as_integer().map(|n| n as f64)));
        let filling = if word == "air" { Filling::Air } else { Filling::Of(named_material(word)?) };
        Ok((filling, Millimetres::new(thickness.ok_or("a layer needs a thickness")?)))
    };
    let layers: Vec<_> = given.array("layers")?.iter().map(layer).collect::<Result<_, String>>()?;
    Slab::new(&layers).map_err(told)
}

fn slab(given: &Given) -> Result<Answer, String> {
    let cosine = given.number("angle_deg")?.to_radians().cos();
    let waves = made_slab(given)?.waves(cosine, given.carrier()?).map_err(told)?;
    Ok(named([
        ("through_across_db", decibels(waves.through.across)),
        ("through_within_db", decibels(waves.through.within)),
        ("back_across_db", decibels(waves.back.across)),
        ("back_within_db", decibels(waves.back.within)),
    ]))
}

fn two_ray(given: &Given) -> Result<Answer, String> {
    let roughness = if given.has("roughness_m") { given.metres("roughness_m")? } else { Metres::new(0.0) };
    let ground = Ground::new(given.material()?, roughness).map_err(told)?;
    let heights = given.fixed::<2>("heights_m")?.map(Metres::new);
    let (distance, carrier) = (given.metres("distance_m")?, given.carrier()?);
    let factor = ground.two_ray(heights, distance, carrier).map_err(told)?;
    let ends = radio::break_distance(heights, carrier).map_err(told)?;
    Ok(named([
        ("level_db", -decibels(factor.across)),
        ("upright_db", -decibels(factor.within)),
        ("break_m", ends.get()),
    ]))
}

/// The far field of an antenna some `wavelengths` above the ground, over that without ground.
fn lobe(given: &Given) -> Result<Answer, String> {
    let ground = Ground::new(given.material()?, Metres::new(0.0)).map_err(told)?;
    let grazing = given.number("grazing_deg")?;
    let surface = ground.reflection(Degrees::new(grazing), given.carrier()?).map_err(told)?;
    let late = 2.0 * std::f64::consts::TAU * given.number("wavelengths")? * grazing.to_radians().sin();
    let factor = |coefficient: radio::Complex| {
        -decibels(radio::Complex::ONE + coefficient * radio::Complex::phase(-late))
    };
    Ok(named([("level_db", factor(surface.across)), ("upright_db", factor(surface.within))]))
}

/// `edges`: pairs of distance from the sender and height.
fn edges(given: &Given) -> Result<Answer, String> {
    let path = Path::new(
        given.metres("sender_m")?,
        given.metres("receiver_m")?,
        given.metres("length_m")?,
        given.carrier()?,
    )
    .map_err(told)?;
    let stand = |[along, height]: [f64; 2]| Edge { along: Metres::new(along), height: Metres::new(height) };
    let edges: Vec<Edge> = given.rows::<2>("edges")?.into_iter().map(stand).collect();
    let first = edges.first().ok_or("give one edge at least")?;
    let over = path.over(&edges).map_err(told)?;
    Ok(named([
        ("nu_first", path.parameter(*first).map_err(told)?),
        ("loss_db", decibels(over)),
        ("re", over.re),
        ("im", over.im),
        ("terrain_db", path.terrain_loss(&edges).map_err(told)?.get()),
    ]))
}

/// A wall square across the x axis at `wall_m` from the first end, between `sides_m` (y) and up to `top_m`.
fn wall(given: &Given) -> Result<Answer, String> {
    let [x0, y0, z0, x1, y1, z1] = given.fixed::<6>("ends_m")?.map(Metres::new);
    let (one, two) = (Place::new(x0, y0, z0).map_err(told)?, Place::new(x1, y1, z1).map_err(told)?);
    let (at, [left, right]) = (given.metres("wall_m")?, given.fixed::<2>("sides_m")?.map(Metres::new));
    let foot = |y| Place::new(at, y, Metres::new(0.0)).map_err(told);
    let wall =
        Wall::new(foot(left)?, foot(right)?, given.metres("top_m")?, made_slab(given)?).map_err(told)?;
    let arrives = wall.after(Polarisation::UPRIGHT.jones(), one, two, given.carrier()?).map_err(told)?;
    Ok(named([("loss_db", loss_of(arrives.power()).get())]))
}

fn woodland(given: &Given) -> Result<Answer, String> {
    let (depth, carrier) = (given.metres("depth_m")?, given.carrier()?);
    let range = radio::woodland_loss(depth, carrier).map_err(told)?;
    let mut answer = named([
        ("weissberger_db", radio::woodland_weissberger(depth, carrier)),
        ("early_db", radio::woodland_early(depth, carrier)),
        ("usual_db", range.usual.get()),
    ]);
    if given.has("a_metre_db") {
        let limited =
            radio::woodland_exponential(depth, given.number("a_metre_db")?, given.number("most_db")?);
        answer.insert("exponential_db".to_owned(), limited);
    }
    Ok(answer)
}

fn coupling(given: &Given) -> Result<Answer, String> {
    let (one, two) = (given.polarisation("_1")?, given.polarisation("_2")?);
    let (least, most) = radio::coupling_by_tilt(one, two);
    Ok(named([
        ("loss_db", loss_of(radio::coupling(one, two)).get()),
        ("worst_db", loss_of(least).get()),
        ("best_db", loss_of(most).get()),
    ]))
}

/// `theta_deg` from the axis.
fn dipole(given: &Given) -> Result<Answer, String> {
    let up = Degrees::new(90.0 - given.number("theta_deg")?);
    let toward = Direction::of_angles(Degrees::new(0.0), up).map_err(told)?;
    Ok(named([("gain_dbi", Antenna::half_wave_dipole().gain(toward).get())]))
}

/// A circular antenna of crossed currents about forward: its axial ratio `off_deg` off the axis, to the left.
fn crossed_currents(given: &Given) -> Result<Answer, String> {
    let beam = Beam::new(Dbi::new(3.0), Degrees::new(100.0), None).map_err(told)?;
    let antenna = Antenna::aimed(beam, Polarisation::circular(Hand::Right));
    let toward =
        Direction::of_angles(Degrees::new(given.number("off_deg")?), Degrees::new(0.0)).map_err(told)?;
    let wave = antenna.wave(Turn::NONE, toward).polarisation().ok_or("no wave")?;
    let right = f64::from(u8::from(wave.hand() == Some(Hand::Right)));
    Ok(named([("axial_ratio_db", wave.axial_ratio().map_or(f64::INFINITY, Db::get)), ("right", right)]))
}

fn helix(given: &Given) -> Result<Answer, String> {
    let carrier = given.carrier()?;
    let around = given.number("circumference")? * carrier.wavelength().get() * 1e3;
    let diameter = Millimetres::new(around / std::f64::consts::PI);
    let turns = quantity::Count::of(given.number("turns")?);
    let helix =
        Helix::new(turns, diameter, Degrees::new(given.number("pitch_deg")?), carrier).map_err(told)?;
    Ok(named([
        ("gain_dbi", helix.gain().get()),
        ("width_deg", helix.width().get()),
        ("older_gain_dbi", helix.older_gain().get()),
        ("older_width_deg", helix.older_width().get()),
        ("axial_ratio", 10f64.powf(helix.axial_ratio().get() / 20.0)),
    ]))
}

/// The greatest gain that a beam of a width can have, from what a gain far beyond it is refused with.
fn beam(given: &Given) -> Result<Answer, String> {
    let width = Degrees::new(given.number("width_deg")?);
    match Beam::new(Dbi::new(34.0), width, None) {
        Err(radio::RadioFault::GainBeyondShape { most, .. }) => Ok(named([("most_dbi", most.get())])),
        other => Err(format!("not refused: {other:?}")),
    }
}

fn mismatch(given: &Given) -> Result<Answer, String> {
    let end = |key: &str| Match::of_standing_wave_ratio(Ratio::of(given.number(key)?)).map_err(told);
    let one = end("ratio_1")?;
    let mut answer = named([
        ("reflection", one.reflection()),
        ("return_loss_db", one.return_loss().get()),
        ("loss_db", one.loss().get()),
    ]);
    if given.has("ratio_2") {
        let range = radio::mismatch_loss(one, end("ratio_2")?, given.db("lead_db")?);
        answer.insert("least_db".to_owned(), range.least.get());
        answer.insert("most_db".to_owned(), range.most.get());
    }
    Ok(answer)
}

fn coax(given: &Given) -> Result<Answer, String> {
    let (word, carrier) = (given.word("coax")?, given.carrier()?);
    let coax = Coax::of_word(word).ok_or(format!("unknown coax `{word}`"))?;
    Ok(named([
        ("floor_db_m", coax.floor_per_metre(carrier).get()),
        ("planning_db_m", coax.loss_per_metre(carrier).get()),
    ]))
}
