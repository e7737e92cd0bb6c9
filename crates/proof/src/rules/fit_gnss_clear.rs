//! Does the satellite receiver keep out from above the video transmitter?

use crate::inputs::CraftSolid;
use crate::limits::GNSS_BESIDE;
use crate::names::called;
use crate::numbers::mm;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::make_room;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::Missing;
use craft::schema::PartKind;
use fit::{PlanGap, Role, SolidIndex, plan_gap};
use quantity::{FigureId, Unit};

rule! {
    /// Does the satellite receiver keep out from above the video transmitter?
    ///
    /// ## Why
    /// The transmitter's warm air rises, and its noise is strongest over its large face: a satellite receiver above it
    /// drifts with the heat and loses satellites. What is beside it hears less.
    ///
    /// ## Sound when
    /// Seen from above, no part of a receiver that sits higher than the transmitter lies over it; broken where it
    /// does. One that sits lower is not over it. The 40 mm between them are asked with all other distances.
    ///
    /// ## Rests on
    /// The outlines of both and where they sit, each with its doubt. Common practice.
    ///
    /// ## Mend
    /// Move the receiver to the side, to the end of the craft that is far from the transmitter and its antenna.
    GNSS_CLEAR = "fit.gnss_clear", run
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    for receiver in proof.places_of(PartKind::Gnss) {
        for transmitter in proof.places_of(PartKind::VideoTransmitter) {
            judge(proof, receiver, transmitter, &mut answer);
        }
    }
    answer
}

type Numbered<'p> = (SolidIndex, &'p CraftSolid);

fn judge(proof: &Proof, receiver: Placed, transmitter: Placed, answer: &mut Answer) {
    let names = [receiver, transmitter].map(|placed| called(proof, placed));
    let subject = format!("{} and {}", names[0], names[1]);
    let places = [receiver, transmitter].map(|placed| placed.place.id.clone());
    let bodies = [(receiver, Role::GnssModule), (transmitter, Role::Transmitter)]
        .map(|(placed, role)| bodies(proof, placed, role));
    let [Ok(modules), Ok(units)] = &bodies else {
        let missing: Vec<Missing> = bodies.into_iter().filter_map(Result::err).flatten().collect();
        // Where a fact is wrong and none is missing, that is told of its seat.
        if !missing.is_empty() {
            answer.findings.push(Finding::unknown(GNSS_CLEAR.id, subject, missing).at(places));
        }
        return;
    };
    let pairs = modules.iter().flat_map(|module| units.iter().map(move |unit| (module, unit)));
    let (above, below): (Vec<_>, Vec<_>) = pairs.partition(|(module, unit)| is_above(proof, module, unit));
    let least = |pairs: Vec<(&Numbered, &Numbered)>| -> Option<(usize, usize, PlanGap)> {
        let gaps = pairs.into_iter().map(|(module, unit)| {
            (module.0.0 as usize, unit.0.0 as usize, plan_gap(&unit.1.solid, &module.1.solid))
        });
        gaps.min_by(|a, b| a.2.linear.value.total_cmp(&b.2.linear.value))
    };
    let Some((module, unit, gap)) = least(above) else {
        if !below.is_empty() {
            let message = format!("{} sits no higher than {}", names[0], names[1]);
            let finding = Finding::new(GNSS_CLEAR.id, Verdict::Sound, subject, message);
            answer.findings.push(finding.at(places));
        }
        return;
    };
    let judged = standing(proof, &gap.linear, &GNSS_BESIDE);
    let (verdict, beside) = (judged.verdict, gap.linear.value);
    let message = if beside < 0.0 {
        format!(
            "{} lies above {}, {} over its edge: heat and noise rise into it",
            names[0],
            names[1],
            mm(-beside)
        )
    } else {
        format!("{} lies {} beside {}, seen from above", names[0], mm(beside), names[1])
    };
    let id = format!("fit.gnss_clear[{}|{}]", receiver.place.id, transmitter.place.id);
    answer.figures.push(Lines::of(proof).facts(&gap.linear).figure(
        id.clone(),
        "how far a satellite receiver lies beside the transmitter, seen from above",
        (&gap.linear, Unit::Millimetres),
        "max over level directions e of (min e·p over the receiver - max e·q over the transmitter)",
        GNSS_BESIDE.source,
    ));
    let mut finding = judged.finding(GNSS_CLEAR.id, subject, message);
    if verdict != Verdict::Sound {
        if let Some(advice) = &finding.measure_next {
            let measure = format!("Measure the {} first: it decides.", advice.label);
            finding = finding.mend(measure);
        }
        let solids = [unit, module].map(|number| &proof.inputs().solids[number]);
        finding = finding.mend(make_room(proof, solids, gap.direction, -beside));
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at(places));
}

/// The solids of a place that count here, or what is wanting to make them.
fn bodies<'p>(proof: &'p Proof, placed: Placed, role: Role) -> Result<Vec<Numbered<'p>>, Vec<Missing>> {
    let Some(number) = proof.number_of(&placed.place.id) else { return Err(Vec::new()) };
    let made: Vec<Numbered> =
        proof.inputs().solids_of(number).filter(|(_, solid)| solid.solid.role == role).collect();
    if made.is_empty() {
        let unbuilt = proof.inputs().unbuilt.iter().filter(|unbuilt| unbuilt.place == number);
        return Err(unbuilt.flat_map(|unbuilt| unbuilt.missing.clone()).collect());
    }
    Ok(made)
}

/// Whether the middle of the first lies higher than the middle of the second.
fn is_above(proof: &Proof, module: &Numbered, unit: &Numbered) -> bool {
    let middle = |index| {
        let extent = proof.inputs().scene.extent(index)?;
        Some((extent.low.z() + extent.high.z()) / 2.0)
    };
    middle(module.0) > middle(unit.0)
}

#[cfg(test)]
mod tests {
    use super::GNSS_CLEAR;
    use crate::testing::{part, place, set};
    use crate::testing_stack::bay_told_of;
    use craft::Craft;
    use craft::schema::PartKind;
    use expect_test::{Expect, expect};

    /// The bay with a satellite receiver of 18 mm over the top plate, its middle at x = 40 mm, spoilt. The transmitter
    /// reaches from x = -24.5 to 4.5 mm and y = ±14.5 mm.
    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        let told = bay_told_of(&GNSS_CLEAR, "", |craft| {
            let facts =
                [("length", "18 mm, measured"), ("width", "18 mm, measured"), ("height", "6 mm, measured")];
            part(craft, PartKind::Gnss, "gnss", "satellite receiver", &facts);
            let at = [("x", "40 mm, measured"), ("z", "28 mm, measured")];
            place(craft, "gnss", "gnss", "frame", &at);
            spoil(craft);
        });
        expected.assert_eq(&told);
    }

    #[test]
    fn a_receiver_at_the_other_end_is_sound() {
        check(
            |_| {},
            expect![[r#"
            sound · satellite receiver and video transmitter · 26.5 mm · 100 %
              satellite receiver lies 26.5 mm beside video transmitter, seen from above
        "#]],
        );
    }

    #[test]
    fn a_receiver_over_the_transmitter_is_broken() {
        check(
            |craft| set(craft, "place gnss.x", "10 mm, measured"),
            expect![[r#"
            broken · satellite receiver and video transmitter · -3.5 mm · 0 %
              satellite receiver lies above video transmitter, 3.5 mm over its edge: heat and noise rise into it
              > Move satellite receiver 3.5 mm forward.
        "#]],
        );
        // However high it stands.
        check(
            |craft| {
                set(craft, "place gnss.x", "-10 mm, measured");
                set(craft, "place gnss.y", "20 mm, measured");
                set(craft, "place gnss.z", "90 mm, measured");
            },
            expect![[r#"
                broken · satellite receiver and video transmitter · -3.5 mm · 0 %
                  satellite receiver lies above video transmitter, 3.5 mm over its edge: heat and noise rise into it
                  > Move satellite receiver 3.5 mm left.
            "#]],
        );
    }

    #[test]
    fn a_receiver_at_its_edge_is_tight() {
        check(
            |craft| set(craft, "place gnss.x", "13.6 mm, typical"),
            expect![[r#"
            tight · satellite receiver and video transmitter · 0.1 mm · 55 %
              satellite receiver lies 0.1 mm beside video transmitter, seen from above
              > Measure the x of place "gnss" first: it decides.
              > Move satellite receiver 0.3 mm forward.
              ? x of place "gnss"
        "#]],
        );
    }

    #[test]
    fn below_the_transmitter_it_is_not_over_it() {
        check(
            |craft| {
                set(craft, "place gnss.x", "-10 mm, measured");
                set(craft, "place gnss.z", "-10 mm, measured");
            },
            expect![[r#"
                sound · satellite receiver and video transmitter
                  satellite receiver sits no higher than video transmitter
            "#]],
        );
    }

    #[test]
    fn a_missing_size_is_named() {
        check(
            |craft| set(craft, "gnss.width", ""),
            expect![[r#"
            unknown · satellite receiver and video transmitter
              Nobody can say yet: the width of "satellite receiver" is not known
              > Measure or look up the width of "satellite receiver".
        "#]],
        );
        check(
            |craft| set(craft, "vtx.length", ""),
            expect![[r#"
            unknown · satellite receiver and video transmitter
              Nobody can say yet: the length of "video transmitter" is not known
              > Measure or look up the length of "video transmitter".
        "#]],
        );
    }
}
