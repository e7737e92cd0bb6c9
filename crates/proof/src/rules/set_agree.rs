//! Do the settings that must agree agree?

use crate::names::{called, same_words};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Missing;
use craft::schema::{PartKind, air, craft as craft_schema, place};
use quantity::Measure;

rule! {
    /// Do the settings that must agree agree?
    ///
    /// ## Why
    /// Air and ground on two channels or widths give no picture, in two regions they know other channels, with two images they do not
    /// understand each other; overlay text laid out for another grid falls off its edge. After an image is loaded such settings are gone as a rule.
    ///
    /// ## Sound when
    /// The channel read back from the air unit, from the ground unit, and the one that is planned are the same; so are its width, the region
    /// and the image of both units, and the grid of the overlay text on flight controller and air unit. Where one is read and the
    /// other is not, nobody can say. No channel, planned or set, lies outside the band that its unit is made for. Two images that differ are tight: some pairs of versions belong together, as their notes say.
    ///
    /// ## Rests on
    /// Settings as read back from each unit. Common practice.
    ///
    /// ## Mend
    /// Set one like the other, save, and read it back.
    SETTINGS_AGREE = "set.agree", run
}

fn run(proof: &Proof) -> Answer {
    let mut findings = Vec::new();
    let of = |kind| proof.places_of(kind).next();
    let (air, ground) = (of(PartKind::VideoTransmitter), of(PartKind::GroundReceiver));
    let board = of(PartKind::FlightController).or_else(|| of(PartKind::IntegratedBoard));
    if let (Some(air), Some(ground)) = (air, ground) {
        let set = |at: Placed| at.place.item().read(&place::CHANNEL_SET).map(|reading| reading.value.raw());
        let show = |mhz: &f64| format!("{} MHz", rounded(*mhz, 0));
        findings.extend(pair(proof, "channel", (air, set(air)), (ground, set(ground)), show, |a, b| {
            (a - b).abs() < 0.5
        }));
        let width = |at: Placed| at.place.item().read(&place::WIDTH_SET).map(|reading| reading.value.raw());
        findings.extend(pair(
            proof,
            "channel width",
            (air, width(air)),
            (ground, width(ground)),
            show,
            |a, b| (a - b).abs() < 0.5,
        ));
        for (what, field, worst) in
            [("region", &place::REGION_SET, Verdict::Broken), ("image", &place::IMAGE_SET, Verdict::Tight)]
        {
            let words = |at: Placed| at.place.item().text(field).map(|text| text.trim().to_owned());
            let same = |a: &String, b: &String| same_words(a, b);
            let found = pair(proof, what, (air, words(air)), (ground, words(ground)), Clone::clone, same);
            findings.extend(found.map(|found| match found.verdict {
                Verdict::Broken if worst == Verdict::Tight => {
                    let mut found = found;
                    found.verdict = Verdict::Tight;
                    found.mends.clear();
                    found.mend(
                        "Look into the notes of both versions: if they are no pair, load one like the other.",
                    )
                }
                _ => found,
            }));
        }
        let planned = proof.craft.item().read(&craft_schema::CHANNEL).map(|reading| reading.value.raw());
        let planned = planned.ok();
        for unit in [air, ground] {
            findings.extend(out_of_band(proof, unit, planned, set(unit).ok()));
        }
        let reached = planned.filter(|planned| outside(air, *planned).is_none());
        if let (Some(planned), Ok(set)) = (reached, set(air))
            && (planned - set).abs() >= 0.5
        {
            let message = format!("{} is on {}, the plan says {}", air.part.name, show(&set), show(&planned));
            let or = outside(air, set).map_or(format!(", or plan for {}", show(&set)), |_| String::new());
            findings.push(
                Finding::new(SETTINGS_AGREE.id, Verdict::Broken, "channel as planned", message)
                    .at([air.place.id.clone()])
                    .mend(format!("Set {} to {}{or}.", air.part.name, show(&planned))),
            );
        }
    }
    if let (Some(air), Some(board)) = (air, board) {
        let set = |at: Placed| at.place.item().text(&place::GRID_SET).map(grid);
        findings.extend(pair(
            proof,
            "overlay grid",
            (board, set(board)),
            (air, set(air)),
            Clone::clone,
            |a: &String, b| same_words(a, b),
        ));
    }
    Answer { findings, figures: Vec::new() }
}

/// The band of a unit in MHz, where it is known and a channel lies outside it.
fn outside(unit: Placed, channel: f64) -> Option<[f64; 2]> {
    let item = unit.part.item();
    let low = item.read(&air::BAND_LOW).ok()?.value.raw();
    let high = item.read(&air::BAND_HIGH).ok()?.value.raw();
    (!(low..=high).contains(&channel)).then_some([low, high])
}

/// A channel that a unit cannot be on, planned or read back.
fn out_of_band(proof: &Proof, unit: Placed, planned: Option<f64>, set: Option<f64>) -> Option<Finding> {
    let (says, channel, [low, high]) = [("The plan says", planned), ("It is said to be on", set)]
        .into_iter()
        .find_map(|(says, channel)| Some((says, channel?, outside(unit, channel?)?)))?;
    let shown = |mhz: f64| rounded(mhz, 0);
    let subject = format!("channel of {}", called(proof, unit));
    let message = format!(
        "{says} {} MHz, but {} is made for {} to {} MHz: it cannot be there",
        shown(channel),
        unit.part.name,
        shown(low),
        shown(high)
    );
    let mend = format!("Choose a channel from {} to {} MHz that both units have.", shown(low), shown(high));
    let finding = Finding::new(SETTINGS_AGREE.id, Verdict::Broken, subject, message);
    Some(
        finding
            .at([unit.place.id.clone()])
            .mend(mend)
            .mend("If the channel is right, correct the unit's band."),
    )
}

/// `53 x 20` and `53×20` are one grid.
fn grid(text: &str) -> String {
    let sides: Vec<&str> = text.split(['x', 'X', '×', '*']).map(str::trim).collect();
    sides.join(" × ")
}

fn pair<T>(
    proof: &Proof,
    what: &str,
    (one, first): (Placed, Result<T, Missing>),
    (other, second): (Placed, Result<T, Missing>),
    show: impl Fn(&T) -> String,
    same: impl Fn(&T, &T) -> bool,
) -> Option<Finding> {
    let subject = format!("{what} of {} and {}", called(proof, one), called(proof, other));
    let found = |verdict, message: String| Finding::new(SETTINGS_AGREE.id, verdict, subject.clone(), message);
    let finding = match (&first, &second) {
        (Ok(a), Ok(b)) if same(a, b) => found(Verdict::Sound, format!("Both are on {}", show(a))),
        (Ok(a), Ok(b)) => found(
            Verdict::Broken,
            format!("{} is on {}, {} on {}", one.part.name, show(a), other.part.name, show(b)),
        )
        .mend(format!("Set {} to {}, save, and read it back.", other.part.name, show(a))),
        (Ok(_), Err(missing)) | (Err(missing), Ok(_)) => {
            Finding::unknown(SETTINGS_AGREE.id, subject.clone(), vec![missing.clone()])
        }
        (Err(_), Err(_)) => return None,
    };
    Some(finding.at([one.place.id.clone(), other.place.id.clone()]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn one_channel_and_one_grid_are_sound() {
        is_sound(&SETTINGS_AGREE);
    }

    #[test]
    fn two_channels_and_two_grids_are_broken() {
        check(
            &SETTINGS_AGREE,
            |craft| set(craft, "place ground.channel_set", "5880 MHz"),
            expect![[r#"
            broken · channel of Lanner small air unit and Lanner ground unit
              Lanner small air unit is on 5800 MHz, Lanner ground unit on 5880 MHz
              > Set Lanner ground unit to 5800 MHz, save, and read it back.
        "#]],
        );
        check(
            &SETTINGS_AGREE,
            |craft| set(craft, "place fc.grid_set", "30 x 16"),
            expect![[r#"
            broken · overlay grid of flight controller and Lanner small air unit
              flight controller is on 30 × 16, Lanner small air unit on 53 × 20
              > Set Lanner small air unit to 30 × 16, save, and read it back.
        "#]],
        );
    }

    #[test]
    fn a_channel_that_a_unit_cannot_be_on_is_told_and_not_advised() {
        check(
            &SETTINGS_AGREE,
            |craft| set(craft, "craft.channel", "2400 MHz"),
            expect![[r#"
            broken · channel of Lanner small air unit
              The plan says 2400 MHz, but Lanner small air unit is made for 5650 to 5950 MHz: it cannot be there
              > Choose a channel from 5650 to 5950 MHz that both units have.
              > If the channel is right, correct the unit's band.
        "#]],
        );
        check(
            &SETTINGS_AGREE,
            |craft| {
                set(craft, "place vtx.channel_set", "7000 MHz");
                set(craft, "place ground.channel_set", "7000 MHz");
            },
            expect![[r#"
                broken · channel of Lanner small air unit
                  It is said to be on 7000 MHz, but Lanner small air unit is made for 5650 to 5950 MHz: it cannot be there
                  > Choose a channel from 5650 to 5950 MHz that both units have.
                  > If the channel is right, correct the unit's band.
                broken · channel as planned
                  Lanner small air unit is on 7000 MHz, the plan says 5800 MHz
                  > Set Lanner small air unit to 5800 MHz.
            "#]],
        );
    }

    #[test]
    fn what_is_read_on_one_side_only_is_unknown() {
        check(
            &SETTINGS_AGREE,
            |craft| set(craft, "place ground.channel_set", ""),
            expect![[r#"
            unknown · channel of Lanner small air unit and Lanner ground unit
              Nobody can say yet: the channel as set of place "ground" is not known
              > Measure or look up the channel as set of place "ground".
        "#]],
        );
    }

    #[test]
    fn width_and_region_of_both_ends_are_one_and_two_images_are_told() {
        let both = |craft: &mut craft::Craft, key: &str, air: &str, ground: &str| {
            set(craft, &format!("place vtx.{key}"), air);
            set(craft, &format!("place ground.{key}"), ground);
        };
        check(
            &SETTINGS_AGREE,
            |craft| {
                both(craft, "width_set", "20 MHz", "20 MHz");
                both(craft, "region_set", "indoor", "Indoor");
                both(craft, "image_set", "1.4.2", "1.4.2");
            },
            expect![[r#""#]],
        );
        check(
            &SETTINGS_AGREE,
            |craft| {
                both(craft, "width_set", "20 MHz", "40 MHz");
                both(craft, "region_set", "indoor", "");
                both(craft, "image_set", "1.4.2", "1.3.0");
            },
            expect![[r#"
                broken · channel width of Lanner small air unit and Lanner ground unit
                  Lanner small air unit is on 20 MHz, Lanner ground unit on 40 MHz
                  > Set Lanner ground unit to 20 MHz, save, and read it back.
                tight · image of Lanner small air unit and Lanner ground unit
                  Lanner small air unit is on 1.4.2, Lanner ground unit on 1.3.0
                  > Look into the notes of both versions: if they are no pair, load one like the other.
                unknown · region of Lanner small air unit and Lanner ground unit
                  Nobody can say yet: the region as set of place "ground" is not known
                  > Measure or look up the region as set of place "ground".
            "#]],
        );
    }
}
