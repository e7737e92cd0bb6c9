//! Is every part that has holes for screws held by some?

use crate::inputs::{CraftSolid, Piece, pattern_holes};
use crate::names::called;
use crate::numbers::listed;
use crate::rule::rule;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{Field, PartKind, camera, drive, frame, shape};
use craft::{Anchor, Item};
use fit::{BodyPoint, BodyVector, PartPoint, PartVector, Role};
use quantity::Millimetres;

rule! {
    /// Is every part that has holes for screws held by some?
    ///
    /// ## Why
    /// A parts list without screws gives a craft without screws: they are missing on the evening of the build, or the board lies
    /// loose on its posts and nobody sees it until the first crash.
    ///
    /// ## Sound when
    /// A screw goes through a hole of each board, adapter and print that is seated by holes, one stands on each motor mount with a
    /// motor and one on each camera mount with a camera. With none at all it is unknown what holds the part. What is seated on no
    /// holes, such as a receiver on tape, is not asked about; how many screws there are, and how long, other rules ask.
    ///
    /// ## Rests on
    /// Where screws are placed and which way they look; a screw goes through a hole if its axis lies within 1.5 mm of it.
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
        match asked.is_held(proof, placed, &axes) {
            true => {
                held.push(called(proof, placed));
                places.push(placed.place.id.clone());
            }
            false => answer.findings.push(asked.unheld(proof, placed).at([placed.place.id.clone()])),
        }
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

/// The axis of a screw: where its head lies, and which way it looks.
type Axis = (BodyPoint, BodyVector);

fn axes(proof: &Proof) -> Vec<Axis> {
    let heads = |number: usize| {
        let seat = proof.inputs().seat(number)?;
        let way = -seat.pose.vector(PartVector::Z);
        let is_head = |solid: &CraftSolid| {
            solid.solid.role == Role::ScrewHead && matches!(solid.piece, Piece::OneOf(_))
        };
        let solids = proof.inputs().solids_of(number);
        let heads: Vec<Axis> = solids
            .filter(|(_, solid)| is_head(solid))
            .map(|(_, solid)| (solid.solid.pose.origin(), way))
            .collect();
        Some(heads)
    };
    let screws = (0..proof.craft.places.len())
        .filter(|number| proof.part_of(*number).is_some_and(|part| part.kind == PartKind::Screw));
    screws.filter_map(heads).flatten().collect()
}

/// What is asked of a part.
enum Asked {
    /// A screw through one of these holes of its own.
    Holes { at: Vec<BodyPoint>, up: BodyVector, thread: Option<String> },
    /// A screw on the mount it stands on.
    Mount { thread: Option<String>, how_many: u32 },
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
            Some(Asked::Mount { thread: text(part.item(), &drive::SCREW), how_many: 4 })
        }
        PartKind::Camera => {
            let (holder, mount) = feature?;
            holder.row_named(&frame::camera_mount::TABLE, mount)?;
            let thread = text(part.item(), &camera::SIDE_SCREW)?;
            Some(Asked::Mount { thread: Some(thread), how_many: 2 })
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
            let under = text(under, &shape::pattern::SCREW);
            holes(proof, placed, under, |_| true)
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
    let at: Vec<BodyPoint> = rows()
        .flat_map(|row| {
            let (x, y) = (coordinate(&row, &shape::X), coordinate(&row, &shape::Y));
            let holes = pattern_holes(&row).unwrap_or_default();
            holes.into_iter().map(move |[u, v]| PartPoint::new(x + u, y + v, 0.0))
        })
        .map(|point| seat.pose.point(point))
        .collect();
    let own = rows().find_map(|row| row.text(&shape::pattern::SCREW).ok().map(str::to_owned));
    let thread = own.or(under);
    (!at.is_empty()).then(|| Asked::Holes { at, up: seat.pose.vector(PartVector::Z), thread })
}

impl Asked {
    fn is_held(&self, proof: &Proof, placed: Placed, axes: &[Axis]) -> bool {
        match self {
            Asked::Holes { at, up, .. } => axes.iter().any(|(head, way)| {
                let beside = |hole: &BodyPoint| {
                    let to = *hole - *head;
                    (to - *way * to.dot(*way)).length().get() <= BESIDE
                };
                up.dot(*way).abs() > 0.99 && at.iter().any(beside)
            }),
            Asked::Mount { .. } => placed
                .place
                .on
                .as_ref()
                .is_some_and(|on| proof.seated_on(on).any(|other| other.part.kind == PartKind::Screw)),
        }
    }

    fn unheld(&self, proof: &Proof, placed: Placed) -> Finding {
        let name = called(proof, placed);
        let message = match self {
            Asked::Holes { .. } => format!("Nobody says what holds {name}: no screw goes through its holes"),
            Asked::Mount { .. } => format!("Nobody says what holds {name}: no screw stands on its mount"),
        };
        let (thread, how_many) = match self {
            Asked::Holes { at, thread, .. } => (thread, at.len().min(4) as u32),
            Asked::Mount { thread, how_many } => (thread, *how_many),
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
    use crate::testing::remove_place;
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
