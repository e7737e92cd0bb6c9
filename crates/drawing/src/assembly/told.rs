//! What a step of the assembly says: how many of what, on which seats, which screws, how tight.

use super::custom::{Mover, Pieces, Stage};
use super::order::{Hung, Step};
use crate::print::BASE;
use craft::schema::{PartKind, fixing, frame, place as place_schema, shape, wiring};
use craft::{Anchor, Part};
use proof::{Nuts, Proof};
use quantity::{Degrees, Measure};

/// A step in words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Told {
    /// How many of what.
    pub title: String,
    /// Where, how turned, how fixed.
    pub details: Vec<String>,
}

/// Pads named before the rest is counted.
const PADS_NAMED_MAX: usize = 6;

/// The pads of a board that are to be soldered before the next board of its stack covers them.
fn to_solder(proof: &Proof, mover: &Mover, part: &Part) -> Option<String> {
    let id = &proof.craft.places.get(mover.place)?.id;
    let cover = proof.placed().find(|other| {
        other.place.on.as_ref().and_then(Anchor::place) == Some(id) && BOARDS.contains(&other.part.kind)
    })?;
    if !BOARDS.contains(&part.kind) {
        return None;
    }
    let mut pads: Vec<&str> = Vec::new();
    for wire in proof.craft.rows(&wiring::wire::TABLE) {
        for end in [&wiring::wire::FROM, &wiring::wire::TO] {
            let Some((place, pad)) = wire.text(end).ok().and_then(|text| text.split_once('/')) else {
                continue;
            };
            let in_a_plug = part.row_named(&shape::plug::TABLE, pad).is_some()
                || part
                    .row_named(&shape::pin::TABLE, pad)
                    .is_some_and(|pin| pin.text(&shape::pin::PLUG).is_ok());
            if place == id.as_str() && !in_a_plug && !pads.contains(&pad) {
                pads.push(pad);
            }
        }
    }
    let more = pads.len().saturating_sub(PADS_NAMED_MAX);
    pads.truncate(PADS_NAMED_MAX);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let drives = matches!(part.kind, PartKind::SpeedController | PartKind::IntegratedBoard);
    let motors = drives && proof.places_of(PartKind::Motor).next().is_some();
    let of_motors = if motors { "the motors' wires" } else { "" };
    let of_pads = if pads.is_empty() { String::new() } else { format!("{}{more}", pads.join(", ")) };
    let all: Vec<&str> =
        [of_motors, of_pads.as_str()].into_iter().filter(|words| !words.is_empty()).collect();
    (!all.is_empty()).then(|| format!("solder before {} covers it: {}", cover.part.name, all.join("; ")))
}

/// Boards of a stack.
const BOARDS: [PartKind; 4] = [
    PartKind::FlightController,
    PartKind::SpeedController,
    PartKind::IntegratedBoard,
    PartKind::VideoTransmitter,
];

/// How a part stays where it is that no screw holds. Common practice.
fn held_without_screws(proof: &Proof, mover: &Mover, part: &Part) -> Option<String> {
    let place = proof.craft.places.get(mover.place)?;
    let words = match (mover.pieces, part.kind) {
        (Pieces::Duct, _) => "on its posts: pressed or glued, as it is made",
        (Pieces::All, PartKind::Capacitor) => {
            "tie it down, with a drop of glue: its legs alone do not hold it"
        }
        (Pieces::All, PartKind::ControlReceiver) => "on double-sided tape, with a tie or shrink tube over it",
        (Pieces::All, PartKind::PrintedPart) => {
            let is_free = matches!(place.on, Some(Anchor::Place(_)));
            let has_holes = part.rows(&shape::pattern::TABLE).next().is_some()
                || part.rows(&frame::hole::TABLE).next().is_some();
            if !is_free || has_holes {
                return None;
            }
            "no screw holds it: glue it, tape it or tie it down"
        }
        _ => return None,
    };
    Some(words.to_owned())
}

/// How many seats are named before the rest is counted.
const SEATS_NAMED_MAX: usize = 8;

/// A step in words.
pub(crate) fn told(proof: &Proof, nuts: &[Nuts], step: &Step) -> Told {
    let first = &step.movers[0];
    let Some(part) = proof.part_of(first.place) else {
        return Told { title: String::new(), details: Vec::new() };
    };
    let count: u32 = step.movers.iter().map(|mover| pieces_of(proof, part, mover)).sum();
    let times = if count > 1 { format!("{count} × ") } else { String::new() };
    let title = match first.pieces {
        Pieces::All => format!("{times}{}", part.name),
        Pieces::Base => match part
            .rows(&frame::plate::TABLE)
            .any(|row| matches!(row.text(&frame::plate::ROLE), Ok("top" | "cage")))
        {
            true => format!("{}: plates, arms and posts below the top", part.name),
            false => part.name.clone(),
        },
        Pieces::CagePlate => format!("{times}cage plate of {}", part.name),
        Pieces::Duct => format!("{times}duct of {}", part.name),
        Pieces::TopPlates => format!("Top plate of {}", part.name),
    };
    let mut details = Vec::new();
    if first.pieces == Pieces::All {
        match part.kind {
            PartKind::Pigtail => details.extend(far_end(proof, step)),
            _ => details.extend(seats(proof, step)),
        }
        details.extend(turned(proof, step));
        details
            .extend(step.movers.iter().take(SEATS_NAMED_MAX).filter_map(|mover| leads(proof, mover, part)));
        if part.kind == PartKind::Screw {
            details.push(screw(proof, step, part));
            details.extend(with_nuts(proof, nuts, step));
        }
    }
    details.extend(step.movers.iter().filter_map(|mover| to_solder(proof, mover, part)));
    details.extend(held_without_screws(proof, first, part));
    details.extend(made_up(proof, step, part));
    details.extend(stage_words(step.stage, part.kind));
    Told { title, details }
}

fn pieces_of(proof: &Proof, part: &Part, mover: &Mover) -> u32 {
    match part.kind {
        PartKind::Screw => proof.craft.places[mover.place].item().count(&place_schema::COUNT).unwrap_or(1),
        PartKind::Spacer | PartKind::SoftMount => part.item().count(&fixing::COUNT).unwrap_or(1),
        _ => 1,
    }
}

/// On which seats, as the sheet names them.
fn seats(proof: &Proof, step: &Step) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for mover in &step.movers {
        let name = match &proof.craft.places[mover.place].on {
            Some(Anchor::Body) => continue,
            Some(anchor) => anchor.to_string(),
            None => "no seat yet".to_owned(),
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let rest = names.len().saturating_sub(SEATS_NAMED_MAX);
    names.truncate(SEATS_NAMED_MAX);
    let more = if rest > 0 { format!(" and {rest} more") } else { String::new() };
    (!names.is_empty()).then(|| format!("on {}{more}", names.join(", ")))
}

/// Where the end of a pigtail goes that is not plugged in: what carries it may stand later.
fn far_end(proof: &Proof, step: &Step) -> Option<String> {
    let on = proof.craft.places[step.movers[0].place].on.as_ref();
    match on {
        Some(seat @ Anchor::Feature(..)) => Some(format!("its far end goes to {seat} once that stands")),
        _ => None,
    }
}

/// What is put together in the hand because its seat, or what stands on it, would close the way to it; and what it is set on when
/// that is done.
fn made_up(proof: &Proof, step: &Step, part: &Part) -> Vec<String> {
    let mut words = Vec::new();
    if step.is_made_up {
        words.push(
            "in the hand first: some of what follows could not be reached once it is on. Put on it what is seated on it, up to \"set it all on\""
                .to_owned(),
        );
    }
    let is_base = |part: &Part, name: &str| {
        let row = part.row_named(&shape::pattern::TABLE, name);
        part.kind == PartKind::PrintedPart && row.is_some_and(|row| row.text(&shape::pattern::PLATE).is_err())
    };
    if is_base(part, BASE) {
        words.push("drill its holes in the plate below first, by the template".to_owned());
    }
    if step.is_hung {
        words.push("hung in now: what comes next covers their heads".to_owned());
    }
    for set in &step.sets_on {
        let seat = match &proof.craft.places[set.place].on {
            Some(seat @ (Anchor::Place(_) | Anchor::Feature(..))) => seat.to_string(),
            _ => "the frame below".to_owned(),
        };
        let nuts = match set.hung {
            Hung::InAGap => {
                "; nuts on the screws that hang through it, from below: hold each head with a thin tip through the gap while its nut is drawn tight"
            }
            Hung::ShutIn => {
                "; nuts on the screws that hang through it, from below. No tip gets at their heads: let a drop of glue set round each head before the board covers it, or hold the end of its thread while its nut is drawn tight"
            }
            Hung::None => "",
        };
        words.push(format!("then set it all on {seat}{nuts}"));
    }
    if !step.past.is_empty() {
        words.push(format!(
            "no straight way onto its seat in any order: {} is in the way; try it in at a slant or a little aside, else move one of them",
            named(proof, &step.past)
        ));
    }
    words
}

/// Solids by name, each once.
fn named(proof: &Proof, solids: &[usize]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for name in solids.iter().filter_map(|solid| proof.inputs().solids.get(*solid)) {
        let name = name.solid.name.as_str();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// How the place is turned, where all of the step are turned alike. The lay of a screw shows in the picture.
fn turned(proof: &Proof, step: &Step) -> Option<String> {
    let lay = |mover: &Mover| {
        let item = proof.craft.places[mover.place].item();
        let angle = |field| item.read::<Degrees>(field).map_or(0.0, |angle| angle.value.raw());
        let flipped = item.flag(&place_schema::FLIPPED).unwrap_or(false);
        (angle(&place_schema::YAW), angle(&place_schema::PITCH), flipped)
    };
    let first = &step.movers[0];
    let kind = proof.part_of(first.place)?.kind;
    if kind == PartKind::Screw || step.movers.iter().any(|mover| lay(mover) != lay(first)) {
        return None;
    }
    let (yaw, pitch, flipped) = lay(first);
    let mut words = Vec::new();
    if yaw != 0.0 {
        words.push(format!("turned {yaw}° to the {}", if yaw > 0.0 { "left" } else { "right" }));
    }
    if pitch != 0.0 {
        words.push(format!("nose {} by {}°", if pitch > 0.0 { "up" } else { "down" }, pitch.abs()));
    }
    if flipped {
        words.push("upside down".to_owned());
    }
    (!words.is_empty()).then(|| words.join(", "))
}

/// From which plug to which a lead runs, or where an antenna plugs in.
fn leads(proof: &Proof, mover: &Mover, part: &Part) -> Option<String> {
    if !matches!(part.kind, PartKind::CameraHarness | PartKind::Pigtail | PartKind::Antenna) {
        return None;
    }
    let item = proof.craft.places[mover.place].item();
    match (item.text(&place_schema::FROM), item.text(&place_schema::TO)) {
        (Ok(from), Ok(to)) => Some(format!("from {from} to {to}; hold it behind each plug")),
        (Ok(from), Err(_)) => Some(format!("from {from}; hold it behind the plug")),
        _ => None,
    }
}

/// Thread, length, how tight, and whether with thread lock.
fn screw(proof: &Proof, step: &Step, part: &Part) -> String {
    let item = part.item();
    let thread = item.text(&fixing::THREAD).ok();
    let size = match (thread, item.read(&fixing::SCREW_LENGTH)) {
        (Some(thread), Ok(length)) => format!("{thread} × {} mm", length.value.get()),
        (Some(thread), Err(_)) => format!("{thread}, length not said"),
        _ => "thread not said".to_owned(),
    };
    let tight = match thread.and_then(fit::torque) {
        Some(torque) => format!("{} to {} N·m (custom)", torque.least_n_m, torque.most_n_m),
        None => {
            "drawn tight by hand with a short key: custom names no torque for so small a thread".to_owned()
        }
    };
    format!("{size}; {tight}; {}", lock(proof, step, item.text(&fixing::SCREW_MATERIAL).ok()))
}

/// The nuts on the screws of a step: no part of the sheet, so they are told with their number and size.
fn with_nuts(proof: &Proof, nuts: &[Nuts], step: &Step) -> Option<String> {
    let at = |mover: &Mover| &proof.craft.places[mover.place].id;
    let of_step: Vec<&Nuts> =
        nuts.iter().filter(|nuts| step.movers.iter().any(|mover| at(mover) == &nuts.place)).collect();
    let thread = &of_step.first()?.thread;
    let count: u32 = of_step.iter().map(|nuts| nuts.count).sum();
    Some(format!("{count} × {thread} nut{} on the far side", if count == 1 { "" } else { "s" }))
}

/// Thread lock, by what the screws of a step go into; where that differs, the rule instead.
fn lock(proof: &Proof, step: &Step, material: Option<&str>) -> &'static str {
    if material == Some("plastic") {
        return "no thread lock: the screw is plastic";
    }
    let mut says = step.movers.iter().map(|mover| lock_at(proof, mover));
    let first = says.next().unwrap_or(UNSURE);
    if says.all(|other| other == first) { first } else { UNSURE }
}

fn lock_at(proof: &Proof, mover: &Mover) -> &'static str {
    let seat = proof.craft.places[mover.place].on.as_ref();
    let Some(Anchor::Feature(place, feature)) = seat else { return UNSURE };
    let Some(holder) = proof.placed_at(place).map(|placed| placed.part) else { return UNSURE };
    if holder.row_named(&frame::motor_mount::TABLE, feature).is_some() {
        return "thread lock: metal in metal; then see that the motor turns freely";
    }
    if holder.row_named(&frame::camera_mount::TABLE, feature).is_some() {
        return "no thread lock near the lens";
    }
    match holder.row_named(&frame::standoff::TABLE, feature).map(|row| row.text(&frame::standoff::MATERIAL)) {
        Some(Ok("plastic")) => "no thread lock: the post is plastic",
        Some(Ok(_)) => "thread lock: metal in metal",
        _ => UNSURE,
    }
}

const UNSURE: &str = "thread lock only where metal meets metal, none in plastic";

fn stage_words(stage: Stage, kind: PartKind) -> Option<String> {
    match (stage, kind) {
        (Stage::Blades, _) => Some("only when all else is tried: mind the hand of each".to_owned()),
        (Stage::Pack, PartKind::Pack) => Some("last, and off again before any work".to_owned()),
        _ => None,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::order::steps;
    use super::*;

    #[test]
    fn what_is_made_up_in_the_hand_is_told_and_set_on() {
        let words = |sheet: &str| {
            let craft = craft::read_sheet(sheet).craft;
            let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
            let steps = steps(&proof, &proved);
            steps.iter().map(|step| told(&proof, &proof::nuts(&proof), step)).collect::<Vec<_>>()
        };
        let says = |told: &[Told], title: &str, start: &str| {
            told.iter().any(|t| t.title.contains(title) && t.details.iter().any(|d| d.starts_with(start)))
        };
        let whinchat = words(include_str!("../../../../demo/whinchat.toml"));
        assert!(says(&whinchat, "adapter plate", "in the hand first: "), "{whinchat:?}");
        assert!(says(&whinchat, "4 × M3×14", "hung in now: "), "{whinchat:?}");
        assert!(says(&whinchat, "4 × M3×14", "4 × M3 nuts on the far side"), "{whinchat:?}");
        assert!(says(&whinchat, "4 × M2×8", "then set it all on frame/rear 30.5; nuts "), "{whinchat:?}");
        let brambling = words(include_str!("../../../../demo/brambling.toml"));
        // Its ducts stand on posts and come when the camera's screws are in.
        assert!(!says(&brambling, "cage plate", "in the hand first: "), "{brambling:?}");
        let at = |title: &str| brambling.iter().position(|told| told.title.contains(title));
        assert!(
            at("2 × M2×4").is_some() && at("2 × M2×4") < at("4 × duct of Brambling frame"),
            "{brambling:?}"
        );
    }

    #[test]
    fn screws_into_metal_and_plastic_alike_are_not_told_to_take_thread_lock() {
        let craft = craft::read_sheet(include_str!("../../tests/pages/pipit.toml")).craft;
        let (proof, proved) = (Proof::new(&craft), proof::prove(&craft));
        let steps = steps(&proof, &proved);
        let all: Vec<Told> = steps.iter().map(|step| told(&proof, &proof::nuts(&proof), step)).collect();
        let top = all.iter().find(|step| step.title == "2 × M3×6").unwrap();
        let words =
            "M3 × 6 mm; 0.3 to 0.6 N·m (custom); thread lock only where metal meets metal, none in plastic";
        assert!(top.details.iter().any(|detail| detail == words), "{:?}", top.details);
    }
}
