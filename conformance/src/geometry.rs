//! Answers the checks of `conformance/geometry/`: distances, depths, volumes, inertia, threads, hole patterns, pulls, tilts.
//!
//! Solids stand in the rows as the scripts beside them write them (`vectors.py` says how): a shape with its
//! sizes in mm, `at` and `turn` (yaw, pitch, roll in degrees). Kinds and their answers:
//! - `pair_distance`, `pair_overlap`: solids `a` and `b`; distance, direction, whether they overlap;
//! - `plan_gap`: solids `a` and `b`, seen from above;
//! - `volume`, `inertia`: a `solid`; for inertia its `mass_g` and perhaps the place it is taken `about`;
//! - `thread`, `clearance_hole`, `screw`: by the name of the thread;
//! - `pattern_match`: lists of holes x, y, diameter; `head_gap`: two squares;
//! - `pull`: a `plug`, its `way` and the `obstacles`;
//! - `free_tilts`: the solids `turning` about an axis and those `standing`; how many free ranges, and the ends of each.
//!   With `air_mm` each solid has a `role`, and every pair must need just that much; without, they stop where they touch.
//! - `route`: `obstacles` that ask for no air, the two ends `from` and `to`, half the lead's thickness, its least bend, and the ways it
//!   `from_leaves` and `to_leaves` its plugs, if any;
//! - `slack`: a bought `length_mm` of a `lead` on a way of `route_mm`; `order`: the stock length for such a way.
//! - `hidden_round`: what `solids` hide from the origin in the plane of y and of x tilted up by `tilt_deg`.

use fit::{Air, BodyPoint, BodyVector, HolePattern, MassProperties, MountHole, OwnerIndex, PlanePoint, Pose};
use fit::{Hole, Outline, Role, Scene, ScrewJoint, Shape, Solid, SolidIndex, Thread, ThreadMaterial};
use fit::{LeadEnd, LeadKind, RouteQuestion, length_to_order, shortest_route, slack_of, stock_choice};
use fit::{TiltQuestion, free_tilts};
use quantity::{Degrees, Grams, Linear, Millimetres};
use toml_edit::Table;

use crate::given::{Answer, Given, all_told, named, rows, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "pair_distance" | "pair_overlap" => pair(&given),
        "plan_gap" => plan_gap(&given),
        "volume" => Ok(named([("volume_mm3", given.within("solid")?.solid(0)?.shape.volume_mm3())])),
        "inertia" => inertia(&given),
        "thread" => thread(&given),
        "clearance_hole" => clearance_hole(&given),
        "screw" => screw(&given),
        "pattern_match" => pattern_match(&given),
        "head_gap" => head_gap(&given),
        "pull" => pull(&given),
        "free_tilts" => tilts(&given),
        "route" => route(&given),
        "slack" => slack(&given),
        "order" => order(&given),
        "hidden_round" => hidden_round(&given),
        _ => Err(format!("unknown kind `{kind}`")),
    }
}

fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

impl Given<'_> {
    fn thread(&self) -> Result<Thread, String> {
        let name = self.word("thread")?;
        Thread::named(name).ok_or(format!("thread {name} is not in the table"))
    }

    fn solid(&self, owner: u32) -> Result<Solid, String> {
        let [x, y, z] = self.fixed("at")?;
        let turn: [f64; 3] = self.fixed("turn")?;
        let [yaw, pitch, roll] = turn.map(Degrees::new);
        Ok(Solid {
            name: format!("solid {owner}"),
            owner: OwnerIndex(owner),
            role: self.role()?,
            shape: self.shape()?,
            pose: Pose::turned(BodyPoint::new(x, y, z), yaw, pitch, roll),
            drifts: Vec::new(),
        })
    }

    fn role(&self) -> Result<Role, String> {
        let Ok(word) = self.word("role") else { return Ok(Role::Other) };
        let found = Role::ALL.iter().find(|role| role.words() == word);
        found.copied().ok_or(format!("no role is called {word:?}"))
    }

    fn solids(&self, key: &str, first: u32) -> Result<Vec<Solid>, String> {
        let tables = self.array(key)?.iter().zip(first..).map(|(table, owner)| {
            let table = table.as_inline_table().ok_or(format!("`{key}` must be solids"))?;
            Given(table).solid(owner)
        });
        tables.collect()
    }

    fn shape(&self) -> Result<Shape, String> {
        let made = match self.word("shape")? {
            "cuboid" => {
                let [x, y, z] = self.fixed("size")?;
                Shape::cuboid(mm(x), mm(y), mm(z))
            }
            "cylinder" => Shape::cylinder(mm(self.number("radius")?), mm(self.number("length")?)),
            "plate" => {
                let points = |list: &[[f64; 2]]| list.iter().map(|[x, y]| PlanePoint::new(*x, *y)).collect();
                let mut holes = Vec::new();
                for [x, y, d] in self.rows("holes")? {
                    holes.push(Hole::Round { centre: PlanePoint::new(x, y), diameter: mm(d) });
                }
                for [x0, y0, x1, y1, width] in self.rows("slots")? {
                    let (from, to) = (PlanePoint::new(x0, y0), PlanePoint::new(x1, y1));
                    holes.push(Hole::Slot { from, to, width: mm(width) });
                }
                for window in self.array("windows")?.iter() {
                    let corners =
                        window.as_array().and_then(rows).ok_or("a window must be a list of corners")?;
                    holes.push(Hole::Polygon(points(&corners)));
                }
                let outline = Outline::new(points(&self.rows("outer")?), holes).map_err(all_told)?;
                Shape::prism(outline, mm(self.number("thickness")?))
            }
            other => return Err(format!("unknown shape `{other}`")),
        };
        made.map_err(told)
    }

    fn holes(&self, key: &str) -> Result<HolePattern, String> {
        let hole =
            |[x, y, d]: [f64; 3]| MountHole { at: PlanePoint::new(x, y), slot_to: None, diameter: mm(d) };
        Ok(HolePattern { holes: self.rows(key)?.into_iter().map(hole).collect() })
    }
}

fn pair(given: &Given) -> Result<Answer, String> {
    let (a, b) = (given.within("a")?.solid(0)?, given.within("b")?.solid(1)?);
    let gap = fit::distance_between(&a, &b).map_err(all_told)?;
    Ok(named([
        ("distance_mm", gap.distance.get()),
        ("overlap", f64::from(u8::from(gap.distance.get() < 0.0))),
        ("direction_x", gap.direction.x()),
        ("direction_y", gap.direction.y()),
        ("direction_z", gap.direction.z()),
    ]))
}

fn plan_gap(given: &Given) -> Result<Answer, String> {
    let gap = fit::plan_gap(&given.within("a")?.solid(0)?, &given.within("b")?.solid(1)?);
    let way = gap.direction;
    Ok(named([("distance_mm", gap.linear.value), ("direction_x", way.x()), ("direction_y", way.y())]))
}

fn inertia(given: &Given) -> Result<Answer, String> {
    let solid = given.within("solid")?.solid(0)?;
    let whole = MassProperties::filled(&solid.shape, solid.pose, Grams::new(given.number("mass_g")?));
    let tensor = match given.fixed::<3>("about") {
        Ok([x, y, z]) => whole.inertia_about(BodyPoint::new(x, y, z)),
        Err(_) => whole.inertia(),
    };
    let principal = whole.principal().map(|(moment, _)| moment.get());
    Ok(named([
        ("centre_x", whole.centre.x()),
        ("centre_y", whole.centre.y()),
        ("centre_z", whole.centre.z()),
        ("i_xx", tensor[0][0].get()),
        ("i_yy", tensor[1][1].get()),
        ("i_zz", tensor[2][2].get()),
        ("i_xy", tensor[0][1].get()),
        ("i_xz", tensor[0][2].get()),
        ("i_yz", tensor[1][2].get()),
        ("principal_1", principal[0]),
        ("principal_2", principal[1]),
        ("principal_3", principal[2]),
    ]))
}

fn thread(given: &Given) -> Result<Answer, String> {
    let thread = given.thread()?;
    Ok(named([
        ("pitch_mm", thread.pitch.get()),
        ("pitch_diameter_mm", thread.pitch_diameter().get()),
        ("minor_diameter_mm", thread.minor_diameter().get()),
        ("stress_area_mm2", thread.stress_area_mm2()),
        ("tap_drill_mm", thread.tap_drill().get()),
    ]))
}

fn clearance_hole(given: &Given) -> Result<Answer, String> {
    let hole = fit::clearance_hole(&given.thread()?).ok_or("no clearance hole for this thread")?;
    Ok(named([
        ("fine_mm", hole.fine.get()),
        ("medium_mm", hole.medium.get()),
        ("coarse_mm", hole.coarse.get()),
    ]))
}

fn screw(given: &Given) -> Result<Answer, String> {
    let exact = |value| Linear { value, slopes: Vec::new() };
    let material = match given.word("material")? {
        "steel" => ThreadMaterial::Steel,
        "aluminium" => ThreadMaterial::Aluminium,
        "plastic" => ThreadMaterial::Plastic,
        other => return Err(format!("unknown material `{other}`")),
    };
    let thread = given.thread()?;
    let fit = fit::screw_fit(&ScrewJoint {
        thread,
        length: exact(given.number("length_mm")?),
        clamped: given.numbers("clamped_mm")?.into_iter().map(exact).collect(),
        thread_depth: None,
        room: given.number("room_mm").ok().map(exact),
    });
    let needs = material.engagement();
    let mut answer = named([
        ("engagement_mm", fit.engagement.value),
        ("diameters", fit.diameters),
        ("turns", fit.turns),
        ("wanted_mm", needs.wanted_diameters * thread.diameter.get()),
        ("least_mm", needs.least_diameters * thread.diameter.get()),
    ]);
    answer.extend(fit.tip_gap.map(|gap| ("tip_gap_mm".to_owned(), gap.value)));
    Ok(answer)
}

fn pattern_match(given: &Given) -> Result<Answer, String> {
    let (board, frame) = (given.holes("board")?, given.holes("frame")?);
    let met = fit::meet(&board, &frame, mm(given.number("screw_mm")?)).map_err(told)?;
    // The rows pair hole with hole of the same number, on the face.
    let straight = |m: &&fit::Meeting| !m.flipped && m.matched.iter().all(|(b, f)| b == f);
    let best = met.iter().find(straight).ok_or("the holes do not meet")?;
    Ok(named([
        ("float_left_mm", best.float_left.get()),
        ("misfit_mm", best.misfit.get()),
        ("used", best.float_used()),
        ("matched", best.matched.len() as f64),
    ]))
}

fn head_gap(given: &Given) -> Result<Answer, String> {
    let square = |pitch| HolePattern::square(PlanePoint::default(), mm(pitch), mm(2.2), Degrees::new(0.0));
    let (inner, outer) = (square(given.number("inner_pitch_mm")?), square(given.number("outer_pitch_mm")?));
    let (head, turn) = (mm(given.number("head_mm")?), Degrees::new(given.number("turn_deg")?));
    let found = fit::head_gap(&inner, &outer, head, head, turn).ok_or("no heads")?;
    Ok(named([("gap_mm", found.gap.get())]))
}

fn pull(given: &Given) -> Result<Answer, String> {
    let mut solids = vec![given.within("plug")?.solid(0)?];
    solids.extend(given.solids("obstacles", 1)?);
    let [x, y, z] = given.fixed("way")?;
    let scene = Scene::new(solids).map_err(all_told)?;
    let travel = mm(given.number("travel_mm")?);
    let pull = fit::straight_sweep_free(&scene, SolidIndex(0), BodyVector::new(x, y, z), travel, &[]);
    let pull = pull.ok_or("no direction")?;
    Ok(named([("free_mm", pull.free.get()), ("stopped", f64::from(u8::from(pull.stopped_by.is_some())))]))
}

fn tilts(given: &Given) -> Result<Answer, String> {
    let mut solids = given.solids("turning", 0)?;
    // One body: what turns together never stops itself.
    solids.iter_mut().for_each(|solid| solid.owner = OwnerIndex(0));
    let turning: Vec<SolidIndex> = (0..solids.len() as u32).map(SolidIndex).collect();
    solids.extend(given.solids("standing", 1)?);
    let air = if given.has("air_mm") { Air::ByRole } else { Air::Contact };
    let asked = given.number("air_mm").unwrap_or(0.0);
    let (turn, stand) = solids.split_at(turning.len());
    for (a, b) in turn.iter().flat_map(|a| stand.iter().map(move |b| (a, b))) {
        let needs = air.between(a.role, b.role).map_or(0.0, |needs| needs.distance.get());
        if needs != asked {
            return Err(format!("{} and {} need {needs} mm, not {asked}", a.role.words(), b.role.words()));
        }
    }
    let scene = Scene::new(solids).map_err(all_told)?;
    let ([x, y, z], [along_x, along_y, along_z]) = (given.fixed("about")?, given.fixed("axis")?);
    let free = free_tilts(
        &scene,
        &TiltQuestion {
            turning: &turning,
            about: BodyPoint::new(x, y, z),
            axis: BodyVector::new(along_x, along_y, along_z),
            axis_drifts: &[],
            stands_at: &Linear { value: given.number("stands_at_deg")?, slopes: Vec::new() },
            from: Degrees::new(given.number("from_deg")?),
            to: Degrees::new(given.number("to_deg")?),
            meant: &[],
            air,
        },
    );
    let free = free.map_err(told)?;
    let mut answer = named([("ranges", free.len() as f64)]);
    for (n, range) in free.iter().enumerate() {
        answer.insert(format!("low_{}", n + 1), range.low.angle.value);
        answer.insert(format!("high_{}", n + 1), range.high.angle.value);
    }
    Ok(answer)
}

fn hidden_round(given: &Given) -> Result<Answer, String> {
    let solids = given.solids("solids", 0)?;
    let (sine, cosine) = given.number("tilt_deg")?.to_radians().sin_cos();
    let plane = [BodyVector::new(cosine, 0.0, sine), BodyVector::Y];
    let all: Vec<&Solid> = solids.iter().collect();
    let hidden = fit::hidden_round(BodyPoint::ORIGIN, &[], plane, &all);
    Ok(named([("share", hidden.share.value)]))
}

fn route(given: &Given) -> Result<Answer, String> {
    let scene = Scene::new(given.solids("obstacles", 0)?).map_err(all_told)?;
    let end = |at: &str, leaves: &str| -> Result<LeadEnd, String> {
        let [x, y, z] = given.fixed(at)?;
        let leaving = if given.has(leaves) { Some(given.fixed(leaves)?) } else { None };
        let leaving = leaving.map(|[x, y, z]: [f64; 3]| BodyVector::new(x, y, z));
        Ok(LeadEnd { at: BodyPoint::new(x, y, z), leaving, drifts: Vec::new() })
    };
    let (from, to) = (end("from", "from_leaves")?, end("to", "to_leaves")?);
    let half_thickness = Linear { value: given.number("half_mm")?, slopes: Vec::new() };
    let question = RouteQuestion {
        from: &from,
        to: &to,
        role: Role::Harness,
        half_thickness: &half_thickness,
        bend_radius: mm(given.number("bend_mm")?),
        air: Air::Contact,
        passing: &[],
        behind: &[],
    };
    let found = shortest_route(&scene, &question).map_err(told)?;
    let mut answer = named([("length_mm", found.length.value)]);
    answer.extend(found.sharpest.map(|bend| ("sharpest_mm".to_owned(), bend.radius.get())));
    Ok(answer)
}

fn lead_kind(given: &Given) -> Result<LeadKind, String> {
    match given.word("lead")? {
        "harness" => Ok(LeadKind::CameraHarness),
        "coax" => Ok(LeadKind::Coax),
        other => Err(format!("unknown lead `{other}`")),
    }
}

fn slack(given: &Given) -> Result<Answer, String> {
    let exact = |key| Ok::<_, String>(Linear { value: given.number(key)?, slopes: Vec::new() });
    let fit = slack_of(&exact("length_mm")?, &exact("route_mm")?, lead_kind(given)?);
    Ok(named([("slack_mm", fit.slack.value)]))
}

fn order(given: &Given) -> Result<Answer, String> {
    let route = Linear { value: given.number("route_mm")?, slopes: Vec::new() };
    let fits = stock_choice(&route, lead_kind(given)?);
    let order = length_to_order(&fits).ok_or("no stock length reaches")?;
    Ok(named([("order_mm", order.length.get()), ("slack_mm", order.slack.value)]))
}
