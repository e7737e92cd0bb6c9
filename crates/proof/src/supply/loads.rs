//! Rails of boards and what hangs on them, read from the sheets: converters, the transmitter, boards themselves, receivers, cameras.

use super::custom::{BOARD_DRAW, SWING};
use super::feeds::feed_of;
use super::net::{Kind, LoadFacts, RailFacts, Takes};
use super::pack::supply_wires;
use super::slots::Slots;
use super::wired::unfed_words;
use crate::link::Lack;
use crate::subject::by_custom;
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, board, camera, craft as craft_schema, place, shape};
use craft::{Item, Missing};
use power::PACK;
use quantity::{Milliwatts, Watts};

pub(super) fn rails_of(proof: &Proof, board: Placed, slots: &mut Slots) -> Result<Vec<RailFacts>, Lack> {
    let fed = feed_of(proof, board)?.unwrap_or_else(|| PACK.to_owned());
    let mut rails = Vec::new();
    for row in board.part.rows(&shape::rail::TABLE) {
        use shape::rail as field;
        let name = row.name().ok_or_else(|| Lack::missing(row.missing(&shape::NAME.def)))?;
        let out = row.read(&field::OUT).map_err(Lack::missing)?;
        let current = row.read(&field::CURRENT).map_err(Lack::missing)?;
        let input_max = row.read(&field::INPUT_MAX).ok();
        let conversion = match row.text(&field::CONVERSION) {
            Ok("step-up") => Kind::StepUp,
            Ok("linear") => Kind::Linear,
            Ok(_) => Kind::StepDown,
            Err(_) if input_max.as_ref().is_some_and(|most| most.value < out.value) => Kind::StepUp,
            Err(_) => Kind::StepDown,
        };
        let inner = row.text(&field::FROM).ok();
        let from = inner.map_or_else(|| fed.clone(), |inner| format!("{}/{inner}", board.place.id));
        // The speed controller's own wires carry the motors too, and count with the pack.
        let carries_motors = board.part.kind != PartKind::FlightController;
        let wires = if inner.is_none() && !carries_motors { supply_wires(proof, board, slots) } else { None };
        let derates = match (row.read(&field::DERATES_FROM), row.read(&field::DERATES_TO)) {
            (Ok(from), Ok(to)) => Some([slots.fact(&from), slots.fact(&to)]),
            _ => None,
        };
        rails.push(RailFacts {
            name: format!("{}/{name}", board.place.id),
            called: format!("{name} of {}", board.part.name),
            place: board.place.id.clone(),
            from,
            wires,
            conversion,
            out: slots.fact(&out),
            current: slots.fact(&current),
            input_min: row.read(&field::INPUT_MIN).ok().map(|least| slots.fact(&least)),
            input_max: input_max.map(|most| slots.fact(&most)),
            headroom: row.read(&field::HEADROOM).ok().map(|above| slots.fact(&above)),
            efficiency: row.read(&field::EFFICIENCY).ok().map(|share| slots.fact(&share)),
            own: row.read(&field::OWN).ok().map(|own| slots.fact(&own)),
            derates,
        });
    }
    Ok(rails)
}

pub(super) fn video_load(proof: &Proof, video: Placed, slots: &mut Slots) -> Result<LoadFacts, Lack> {
    let mut lack = Lack::default();
    if let Some(words) = dead_feed(proof, video) {
        return Err(Lack::wrong(words));
    }
    let on = match feed_of(proof, video) {
        Ok(Some(on)) => Some(on),
        Ok(None) => {
            lack.add(&no_feed(proof, video));
            None
        }
        Err(other) => {
            lack.add(&other);
            None
        }
    };
    let item = video.part.item();
    let least = item.read(&air::SUPPLY_MIN).map_err(|missing| lack.add(&Lack::missing(missing))).ok();
    let draw = level_draw(proof, video).map_err(|other| lack.add(&other)).ok();
    let (Some(on), Some(least), Some(draw)) = (on, least, draw) else { return Err(lack) };
    let swing = item
        .read(&air::SWING)
        .unwrap_or_else(|missing| by_custom(missing.path.0, "swing of the video's draw", &SWING));
    Ok(LoadFacts {
        place: video.place.id.clone(),
        called: video.part.name.clone(),
        on,
        wires: supply_wires(proof, video, slots),
        coil_ohm: video
            .place
            .item()
            .read(&place::COIL)
            .ok()
            .and_then(|_| video.place.item().read(&place::COIL_RESISTANCE).ok())
            .map(|ohm| slots.fact(&ohm)),
        takes: Takes::Video {
            draw: slots.fact(&draw),
            standby: item.read(&air::STANDBY_DRAW).ok().map(|draw| slots.fact(&draw)),
            swing: slots.fact(&swing),
        },
        least: Some(slots.fact(&least)),
        most: item.read(&air::SUPPLY_MAX).ok().map(|most| slots.fact(&most)),
        start: item.read(&air::START_PEAK).ok().map(|peak| slots.fact(&peak)),
    })
}

/// What the transmitter draws at the level set.
pub(super) fn level_draw(proof: &Proof, video: Placed) -> Result<craft::Reading<Watts>, Lack> {
    let level = proof.craft.item().read(&craft_schema::LEVEL).map_err(Lack::missing)?;
    let rows = || video.part.rows(&air::level::TABLE);
    let same =
        |row: &Item| row.read(&air::level::OUT).is_ok_and(|out| (out.value - level.value).get().abs() < 1e-6);
    match rows().find(same) {
        Some(row) => row.read(&air::level::DRAW).map_err(Lack::missing),
        None => Err(no_such_level(video, level.value)),
    }
}

/// A level that the sheet of the transmitter has no row for; where it has none at all, what it takes is not known.
pub(super) fn no_such_level(video: Placed, level: Milliwatts) -> Lack {
    let outs = video.part.rows(&air::level::TABLE).filter_map(|row| row.read(&air::level::OUT).ok());
    let offered: Vec<String> = outs.map(|out| out.value.to_string()).collect();
    let (part, id) = (&video.part.name, &video.part.id);
    match offered.is_empty() {
        true => Lack::missing(Missing {
            path: quantity::FactPath(format!("{id}.level")),
            label: format!("supply power of {part:?} at {level}"),
        }),
        false => Lack::wrong(format!(
            "{part} offers no level of {level}; under [craft] write as level one of {}, or a row [[part.{id}.level]] for it",
            offered.join(", ")
        )),
    }
}

/// What feeds a part is not known: its wires say why, or nobody has said it.
fn no_feed(proof: &Proof, placed: Placed) -> Lack {
    match unfed_words(proof, placed) {
        Some(words) => Lack::wrong(words),
        None => Lack::missing(fed_from_missing(placed)),
    }
}

/// Why nothing behind a part on the way from the pack lives, in words with the mend behind a semicolon.
fn dead_feed(proof: &Proof, placed: Placed) -> Option<String> {
    let model = proof.wiring()?;
    let unit = model.unit_at(&placed.place.id)?;
    // What is wrong at its own pads is told where its feed is asked for.
    let through = model.miswired_feed(unit).filter(|through| *through != unit)?;
    let called = &model.units[through].called;
    Some(format!(
        "the supply of {called}, through which it is fed, meets ground, a signal or another supply; put those wires right first"
    ))
}

fn fed_from_missing(placed: Placed) -> Missing {
    Missing {
        label: format!("feed of {:?}: pack, or a rail as place/rail", placed.part.name),
        ..placed.place.item().missing(&place::FED_FROM.def)
    }
}

pub(super) fn board_load(proof: &Proof, board: Placed, slots: &mut Slots) -> Result<LoadFacts, Lack> {
    // A speed controller alone takes next to nothing.
    if board.part.kind == PartKind::SpeedController && !board.part.item().has(&board::OWN_DRAW.def) {
        return Err(Lack::default());
    }
    let draw = board.part.item().read(&board::OWN_DRAW);
    let draw = draw.unwrap_or_else(|missing| {
        by_custom(missing.path.0, &format!("own power of {}", board.part.name), &BOARD_DRAW)
    });
    Ok(LoadFacts {
        place: board.place.id.clone(),
        called: board.part.name.clone(),
        on: feed_of(proof, board)?.unwrap_or_else(|| PACK.to_owned()),
        wires: None,
        coil_ohm: None,
        takes: Takes::Power(slots.fact(&draw)),
        least: None,
        most: None,
        start: None,
    })
}

/// A receiver, a satellite module, or a camera with a supply of its own.
pub(super) fn small_load(
    proof: &Proof,
    placed: Placed,
    slots: &mut Slots,
) -> Result<Option<LoadFacts>, Lack> {
    let on = feed_of(proof, placed)?;
    let item = placed.part.item();
    let is_camera = placed.part.kind == PartKind::Camera;
    let on = match on {
        Some(on) => on,
        None if is_camera => return Ok(None),
        None => return Err(no_feed(proof, placed)),
    };
    let takes = if is_camera {
        Takes::Power(slots.fact(&item.read(&camera::DRAW).map_err(Lack::missing)?))
    } else {
        Takes::Current(slots.fact(&item.read(&air::CURRENT).map_err(Lack::missing)?))
    };
    Ok(Some(LoadFacts {
        place: placed.place.id.clone(),
        called: placed.part.name.clone(),
        on,
        wires: supply_wires(proof, placed, slots),
        coil_ohm: None,
        takes,
        least: None,
        most: None,
        start: None,
    }))
}
