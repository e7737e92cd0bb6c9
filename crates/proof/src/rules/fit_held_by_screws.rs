//! Is every part that has holes for screws held by some?

use crate::inputs::pattern_holes;
use crate::names::called;
use crate::numbers::listed;
use crate::rule::rule;
use crate::subject::{Layers, screw_axes};
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{Field, PartKind, camera, drive, fixing, frame, place as place_schema, shape};
use craft::{Anchor, Item};
use fit::{BodyPoint, BodyVector, PartPoint, PartVector, Thread};
use quantity::Millimetres;

rule! {
    /// Is every part that has holes for screws held by some?
    ///
    /// ## Why
    /// A parts list without screws gives a craft without screws: they are missing on the evening of the build, or the board lies
    /// loose on its posts and nobody sees it until the first crash.
    ///
    /// ## Sound when
    /// A screw goes through each hole of a pattern of each board, adapter and print that is seated by holes, three or more stand on each
    /// motor mount with a motor, two on each camera mount with a camera, and one in each standoff on which a top plate lies. With none
    /// at all it is unknown what holds the part. With one alone it is broken, since the part turns about it; with fewer than there
    /// should be, tight. What is seated on no holes, such as a receiver on tape, is not asked about, nor the lower end of a
    /// standoff, which may be pressed in; how long screws are `fit.screw_length` asks.
    ///
    /// ## Rests on
    /// Where screws are placed, which way they look and how long they are. A screw holds what it passes to its far face and what it is threaded
    /// into, if its axis lies within 1.5 mm of the hole and it reaches something else besides: a screw in the topmost of three boards
    /// does not hold those below.
    ///
    /// ## Mend
    /// Place the screws that hold the part: on the pattern, motor mount or camera mount, with how many there are. A part that
    /// is taped or tied down is seated on no hole pattern.
    HELD_BY_SCREWS = "fit.held_by_screws", run
}

/// How far a hole may lie beside a screw's axis, in mm.
const BESIDE: f64 = 1.5;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let axes = axes(proof);
    let (mut held, mut places) = (Vec::new(), Vec::new());
    for placed in proof.placed() {
        let Some(asked) = asked(proof, placed) else { continue };
        let Counted { held: there, there: on_holes, wanted } = asked.screws(proof, placed, &axes);
        match there {
            there if there >= wanted => {
                held.push(called(proof, placed));
                places.push(placed.place.id.clone());
            }
            _ if on_holes > there => {
                let finding = too_short(called(proof, placed), (there, on_holes, wanted));
                answer.findings.push(finding.at([placed.place.id.clone()]));
            }
            0 => answer.findings.push(asked.unheld(proof, placed).at([placed.place.id.clone()])),
            there => {
                let finding = few(called(proof, placed), there, wanted);
                answer.findings.push(finding.at([placed.place.id.clone()]));
            }
        }
    }
    for frame in proof.places_of(PartKind::Frame) {
        answer.findings.extend(top(proof, frame).map(|finding| finding.at([frame.place.id.clone()])));
    }
    if !held.is_empty() {
        let count = held.len();
        held.truncate(3);
        let mut names: Vec<&str> = held.iter().map(String::as_str).collect();
        let more = format!("{} more", count - names.len());
        if count > names.len() {
            names.push(&more);
        }
        let message = match count {
            1 => format!("Screws hold {}", listed(&names)),
            _ => format!("Screws hold each of {count} parts that have holes for them: {}", listed(&names)),
        };
        let finding = Finding::new(HELD_BY_SCREWS.id, Verdict::Sound, "parts with holes for screws", message);
        answer.findings.insert(0, finding.at(places));
    }
    answer
}

/// Screws stand on the holes of a part and do not hold it: they end before its far face, or before anything that it could be held to.
fn too_short(name: String, (there, on_holes, wanted): (usize, usize, usize)) -> Finding {
    let verdict = if there < 2 { Verdict::Broken } else { Verdict::Tight };
    let short = on_holes - there;
    let (those, end) = if short == 1 { ("screw", "ends") } else { ("screws", "end") };
    let message = match there {
        0 => format!(
            "Nothing holds {name}: the {short} {those} over its holes {end} before they reach through it into what carries it"
        ),
        _ => format!(
            "{there} screws of {wanted} hold {name}: {short} {those} over its holes {end} before that"
        ),
    };
    let message =
        if short == 1 { message.replace("before they reach", "before it reaches") } else { message };
    Finding::new(HELD_BY_SCREWS.id, verdict, name, message)
        .mend("Take screws that go through all of it into a thread or a nut, as long as `fit.screw_length` wants, or put screws of its own.")
}

/// Fewer screws than there should be.
fn few(name: String, there: usize, wanted: usize) -> Finding {
    let verdict = if there == 1 { Verdict::Broken } else { Verdict::Tight };
    let message = match there {
        1 => format!("One screw alone holds {name}, of {wanted}: it turns about it"),
        _ => format!("{there} screws of {wanted} hold {name}"),
    };
    let more = wanted - there;
    let them = if more == 1 { "screw that is" } else { "screws that are" };
    Finding::new(HELD_BY_SCREWS.id, verdict, name, message)
        .mend(format!("Place the {more} {them} wanting, or say how many there are."))
}

/// The top plate, where no screw, or not in each standoff under it, holds it.
fn top(proof: &Proof, frame: Placed) -> Option<Finding> {
    let length = |row: &Item, field: &Field<Millimetres>| row.read(field).ok().map(|at| at.value.get());
    let tops: Vec<f64> = frame
        .part
        .rows(&frame::plate::TABLE)
        .filter(|row| row.text(&frame::plate::ROLE) == Ok("top"))
        .filter_map(|row| length(&row, &shape::Z))
        .collect();
    let under = |row: &Item| {
        let top = length(row, &shape::Z)? + length(row, &shape::HEIGHT)?;
        tops.iter().any(|z| (z - top).abs() <= AT_END).then_some(())
    };
    let posts = frame.part.rows(&frame::standoff::TABLE).filter(|row| under(row).is_some());
    let names: Vec<&str> = posts.filter_map(|row| row.name()).collect();
    let from_above = |name: &&str| {
        let seat = Anchor::Feature(frame.place.id.clone(), (*name).to_owned());
        proof.seated_on(&seat).any(|placed| {
            let flipped = placed.place.item().flag(&place_schema::FLIPPED).unwrap_or(false);
            placed.part.kind == PartKind::Screw && !flipped
        })
    };
    let there = names.iter().filter(|name| from_above(name)).count();
    if there == names.len() {
        return None;
    }
    let name = format!("top plate of {}", frame.part.name);
    if there > 0 {
        return Some(few(name, there, names.len()));
    }
    let message = format!("Nobody says what holds {name}: no screw stands in the standoffs under it");
    let mend = format!("Place a screw in each of the {} standoffs, from above.", names.len());
    Some(Finding::new(HELD_BY_SCREWS.id, Verdict::Unknown, name, message).mend(mend))
}

/// How near a plate must lie to the end of a standoff to lie on it, in mm.
const AT_END: f64 = 0.6;

/// The axis of a screw: where its head lies, which way it looks, and the places it holds together.
struct Axis {
    head: BodyPoint,
    way: BodyVector,
    holds: Vec<usize>,
}

/// A length that reaches through anything, in mm: of a screw whose length nobody knows, `fit.screw_length` asks for it.
const ANY: f64 = 200.0;

fn axes(proof: &Proof) -> Vec<Axis> {
    let layers = Layers::of(proof);
    let of = |screw: Placed| {
        let item = screw.part.item();
        let thread = item.text(&fixing::THREAD).ok().and_then(Thread::named);
        let diameter = thread.map_or(0.0, |thread| thread.diameter.get());
        let length = item.read(&fixing::SCREW_LENGTH).map_or(ANY, |length| length.value.get());
        let washer = screw.place.item().read(&place_schema::WASHER).map_or(0.0, |washer| washer.value.get());
        let is_sunk = item.text(&fixing::HEAD) == Ok("countersunk");
        let axes = proof.number_of(&screw.place.id).map(|number| screw_axes(proof, number));
        let axis = |(head, way)| {
            let holds = layers.holds((head, way), (diameter, length, washer), is_sunk);
            Axis { head, way, holds }
        };
        axes.unwrap_or_default().into_iter().map(axis).collect::<Vec<_>>()
    };
    proof.places_of(PartKind::Screw).flat_map(of).collect()
}

/// How many of the holes of a part screws hold, how many screws stand on its holes at all, and how many should hold it.
#[derive(Clone, Copy)]
struct Counted {
    held: usize,
    there: usize,
    wanted: usize,
}

/// What is asked of a part.
enum Asked {
    /// A screw through each hole of one of these patterns of its own.
    Holes { patterns: Vec<Vec<BodyPoint>>, up: BodyVector, thread: Option<String> },
    /// Screws on the mount it stands on: as many as are usual, and the least that hold it.
    Mount { thread: Option<String>, how_many: u32, least: usize },
}

fn asked(proof: &Proof, placed: Placed) -> Option<Asked> {
    let on = placed.place.on.as_ref()?;
    let part = placed.part;
    let holder = proof.placed_at(on.place()?);
    let feature = match on {
        Anchor::Feature(_, feature) => holder.map(|holder| (holder.part, feature.as_str())),
        _ => None,
    };
    let text = |item: Item, field: &Field<str>| item.text(field).ok().map(str::to_owned);
    match part.kind {
        PartKind::Motor => {
            let (holder, mount) = feature?;
            holder.row_named(&frame::motor_mount::TABLE, mount)?;
            Some(Asked::Mount { thread: text(part.item(), &drive::SCREW), how_many: 4, least: 3 })
        }
        PartKind::Camera => {
            let (holder, mount) = feature?;
            holder.row_named(&frame::camera_mount::TABLE, mount)?;
            let thread = text(part.item(), &camera::SIDE_SCREW)?;
            Some(Asked::Mount { thread: Some(thread), how_many: 2, least: 2 })
        }
        PartKind::FlightController
        | PartKind::SpeedController
        | PartKind::IntegratedBoard
        | PartKind::VideoTransmitter
        | PartKind::Adapter => {
            let under = match feature {
                Some((holder, name)) => holder.row_named(&shape::pattern::TABLE, name)?,
                None => on_fixing(proof, on)?,
            };
            let asked = holes(proof, placed, text(under, &shape::pattern::SCREW), |_| true)?;
            // What holds a board to an adapter does not hold the adapter.
            match part.kind {
                PartKind::Adapter => Some(asked.over(&seat_holes(proof, on)?)),
                _ => Some(asked),
            }
        }
        // A print says where it is screwed to what it stands on by a pattern that is drilled in none of its plates.
        PartKind::PrintedPart => holes(proof, placed, None, |row| row.text(&shape::pattern::PLATE).is_err()),
        _ => None,
    }
}

/// The pattern under the spacers or soft mounts a board is seated on.
fn on_fixing<'a>(proof: &Proof<'a>, on: &Anchor) -> Option<Item<'a>> {
    let under = proof.placed_at(on.place()?)?;
    if !matches!(under.part.kind, PartKind::Spacer | PartKind::SoftMount) {
        return None;
    }
    let Anchor::Feature(holder, name) = under.place.on.as_ref()? else { return None };
    proof.placed_at(holder)?.part.row_named(&shape::pattern::TABLE, name)
}

/// The holes of the pattern a place is seated on.
fn seat_holes(proof: &Proof, on: &Anchor) -> Option<Vec<BodyPoint>> {
    let Anchor::Feature(under, name) = on else { return None };
    let row = proof.placed_at(under)?.part.row_named(&shape::pattern::TABLE, name)?;
    let seat = proof.inputs().seat(proof.number_of(under)?)?;
    let at = |field: &Field<Millimetres>| row.read(field).map_or(0.0, |at| at.value.get());
    let (x, y) = (at(&shape::X), at(&shape::Y));
    let holes = pattern_holes(&row)?;
    Some(holes.into_iter().map(|[u, v]| seat.pose.point(PartPoint::new(x + u, y + v, 0.0))).collect())
}

fn holes(
    proof: &Proof,
    placed: Placed,
    under: Option<String>,
    counts: impl Fn(&Item) -> bool,
) -> Option<Asked> {
    let seat = proof.inputs().seat(proof.number_of(&placed.place.id)?)?;
    let coordinate =
        |row: &Item, field: &Field<Millimetres>| row.read(field).map_or(0.0, |at| at.value.get());
    let rows = || placed.part.rows(&shape::pattern::TABLE).filter(|row| counts(row));
    let patterns: Vec<Vec<BodyPoint>> = rows()
        .map(|row| {
            let (x, y) = (coordinate(&row, &shape::X), coordinate(&row, &shape::Y));
            let holes = pattern_holes(&row).unwrap_or_default();
            holes.into_iter().map(|[u, v]| seat.pose.point(PartPoint::new(x + u, y + v, 0.0))).collect()
        })
        .filter(|holes: &Vec<BodyPoint>| !holes.is_empty())
        .collect();
    let own = rows().find_map(|row| row.text(&shape::pattern::SCREW).ok().map(str::to_owned));
    let thread = own.or(under);
    (!patterns.is_empty()).then(|| Asked::Holes { patterns, up: seat.pose.vector(PartVector::Z), thread })
}

impl Asked {
    /// Of several patterns those that lie over these holes; all where none does.
    fn over(self, below: &[BodyPoint]) -> Self {
        let Asked::Holes { patterns, up, thread } = self else { return self };
        let meets = |holes: &&Vec<BodyPoint>| {
            let over = |hole: &&BodyPoint| {
                below.iter().any(|under| {
                    let to = **hole - *under;
                    (to - up * to.dot(up)).length().get() <= BESIDE
                })
            };
            2 * holes.iter().filter(over).count() > holes.len()
        };
        let those: Vec<Vec<BodyPoint>> = patterns.iter().filter(meets).cloned().collect();
        Asked::Holes { patterns: if those.is_empty() { patterns } else { those }, up, thread }
    }

    /// How many screws hold the part, and how many should.
    fn screws(&self, proof: &Proof, placed: Placed, axes: &[Axis]) -> Counted {
        match self {
            Asked::Holes { patterns, up, .. } => {
                let number = proof.number_of(&placed.place.id);
                let on_hole = |hole: &BodyPoint, axis: &&Axis| {
                    let to = *hole - axis.head;
                    up.dot(axis.way).abs() > 0.99
                        && (to - axis.way * to.dot(axis.way)).length().get() <= BESIDE
                };
                let holds = |axis: &&Axis| number.is_some_and(|number| axis.holds.contains(&number));
                let of = |holes: &Vec<BodyPoint>| {
                    let there = |hole: &&BodyPoint| axes.iter().any(|axis| on_hole(hole, &axis));
                    let held = |hole: &&BodyPoint| {
                        axes.iter().filter(|axis| on_hole(hole, axis)).any(|axis| holds(&axis))
                    };
                    let (held, there) =
                        (holes.iter().filter(held).count(), holes.iter().filter(there).count());
                    Counted { held, there, wanted: holes.len() }
                };
                // Of several patterns that one counts by which it is held best.
                let share = |counted: &Counted| {
                    (counted.held as f64 + counted.there as f64 / 100.0) / counted.wanted as f64
                };
                let all = patterns.iter().map(of);
                let none = Counted { held: 0, there: 0, wanted: 0 };
                all.max_by(|a, b| share(a).total_cmp(&share(b))).unwrap_or(none)
            }
            Asked::Mount { least, .. } => {
                let on = placed.place.on.iter().flat_map(|on| proof.seated_on(on));
                let screws = on.filter(|other| other.part.kind == PartKind::Screw);
                let count =
                    |screw: Placed| screw.place.item().count(&place_schema::COUNT).unwrap_or(1) as usize;
                let there = screws.map(count).sum();
                Counted { held: there, there, wanted: *least }
            }
        }
    }

    fn unheld(&self, proof: &Proof, placed: Placed) -> Finding {
        let name = called(proof, placed);
        let message = match self {
            Asked::Holes { .. } => format!("Nobody says what holds {name}: no screw goes through its holes"),
            Asked::Mount { .. } => format!("Nobody says what holds {name}: no screw stands on its mount"),
        };
        let (thread, how_many) = match self {
            Asked::Holes { patterns, thread, .. } => (thread, patterns[0].len().min(4) as u32),
            Asked::Mount { thread, how_many, .. } => (thread, *how_many),
        };
        let seat = placed.place.on.as_ref().map_or(String::new(), |on| format!(" on {on}"));
        let thread = thread.as_ref().map_or(String::new(), |thread| format!("{thread} "));
        let mut finding = Finding::new(HELD_BY_SCREWS.id, Verdict::Unknown, name.clone(), message).mend(
            format!("Place the {how_many} {thread}screws that hold it{seat}; then their length is judged, and they count in parts and mass."),
        );
        if matches!(self, Asked::Holes { .. }) && placed.part.kind != PartKind::Adapter {
            finding = finding.mend(
                "If it is taped or tied down instead, seat it on the part below and on no hole pattern.",
            );
        }
        finding
    }
}

#[cfg(test)]
mod tests {
    use super::HELD_BY_SCREWS;
    use crate::testing::{remove_place, set};
    use crate::testing_stack::{bay_is_sound, bay_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&HELD_BY_SCREWS, spoil));
    }

    #[test]
    fn a_craft_with_all_its_screws_is_sound() {
        bay_is_sound(&HELD_BY_SCREWS);
    }

    #[test]
    fn a_board_without_screws_is_told() {
        check(
            |craft| remove_place(craft, "vtx-screws"),
            expect![[r#"
            unknown · video transmitter
              Nobody says what holds video transmitter: no screw goes through its holes
              > Place the 4 M2 screws that hold it on frame/rear stack; then their length is judged, and they count in parts and mass.
              > If it is taped or tied down instead, seat it on the part below and on no hole pattern.
        "#]],
        );
    }

    #[test]
    fn too_few_screws_are_told() {
        check(
            |craft| {
                set(craft, "place vtx-screws.count", "1");
                set(craft, "place fc-screws.count", "3");
                remove_place(craft, "c-l");
                set(craft, "place s-rl.count", "2");
                remove_place(craft, "t-rl");
            },
            expect![[r#"
                broken · video transmitter
                  One screw alone holds video transmitter, of 4: it turns about it
                  > Place the 3 screws that are wanting, or say how many there are.
                broken · nano camera
                  One screw alone holds nano camera, of 2: it turns about it
                  > Place the 1 screw that is wanting, or say how many there are.
                tight · flight controller
                  3 screws of 4 hold flight controller
                  > Place the 1 screw that is wanting, or say how many there are.
                tight · motor at m-rl
                  2 screws of 3 hold motor at m-rl
                  > Place the 1 screw that is wanting, or say how many there are.
                tight · top plate of bay frame
                  3 screws of 4 hold top plate of bay frame
                  > Place the 1 screw that is wanting, or say how many there are.
            "#]],
        );
    }

    #[test]
    fn screws_that_end_in_the_topmost_thing_hold_nothing_below_it() {
        // M2×4 in the board's 1.6 mm ends in the soft mount of 4 mm; in the bottom plate of 2 mm, before the case.
        check(
            |craft| set(craft, "m2x10.length", "4 mm"),
            expect![[r#"
            broken · video transmitter
              Nothing holds video transmitter: the 4 screws over its holes end before they reach through it into what carries it
              > Take screws that go through all of it into a thread or a nut, as long as `fit.screw_length` wants, or put screws of its own.
            broken · flight controller
              Nothing holds flight controller: the 4 screws over its holes end before they reach through it into what carries it
              > Take screws that go through all of it into a thread or a nut, as long as `fit.screw_length` wants, or put screws of its own.
        "#]],
        );
    }

    #[test]
    fn a_top_plate_without_screws_is_told() {
        check(
            |craft| ["t-rl", "t-rr", "t-fl", "t-fr"].into_iter().for_each(|screw| remove_place(craft, screw)),
            expect![[r#"
                unknown · top plate of bay frame
                  Nobody says what holds top plate of bay frame: no screw stands in the standoffs under it
                  > Place a screw in each of the 4 standoffs, from above.
            "#]],
        );
    }

    #[test]
    fn a_camera_and_a_motor_without_screws_are_told() {
        check(
            |craft| {
                remove_place(craft, "c-l");
                remove_place(craft, "c-r");
                remove_place(craft, "s-rl");
            },
            expect![[r#"
                unknown · nano camera
                  Nobody says what holds nano camera: no screw stands on its mount
                  > Place the 2 M2 screws that hold it on frame/nose; then their length is judged, and they count in parts and mass.
                unknown · motor at m-rl
                  Nobody says what holds motor at m-rl: no screw stands on its mount
                  > Place the 4 M2 screws that hold it on frame/motor rear left; then their length is judged, and they count in parts and mass.
            "#]],
        );
    }
}
