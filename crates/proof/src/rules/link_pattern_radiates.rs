//! Does each pattern radiate what an antenna can?

use crate::limits::PATTERN_RADIATES;
use crate::link::{LinkAntenna, LinkModel};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::{standing, standing_of};
use crate::subject::{db, lacking};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{air, station};
use quantity::{Db, FigureId, Linear, Source, Unit};

rule! {
    /// Does each pattern radiate what an antenna can?
    ///
    /// ## Why
    /// Gains over an isotropic antenna say how much of the power goes anywhere at all: their mean over all directions is that share. A table told over
    /// its own greatest, or with a loss in it that nobody took out, looks like any other, and takes metres from every range.
    ///
    /// ## Sound when
    /// The mean gain over the sphere is 30 % or more, and no more than all: a sound antenna of this size radiates half of its power and more. Less is tight, and so is more than there is. Under 5 % the
    /// table is not taken at all, nor where it radiates more than it gets by more than its own doubt and its sampling explain; nobody can say
    /// then, of the link either.
    ///
    /// ## Rests on
    /// Of a patch, helix or circular antenna its gain and the width of its beam or belt: they are told only where they come to too little, for more
    /// than a beam so wide can have is refused already. Of a measured pattern every row, straight in decibels between, with the doubt of the row
    /// that has most: what is off in such a table is mostly its range, and so all of it alike. What sampling leaves open is how far the mean lies apart if it runs straight in power instead. An antenna
    /// with rows that nothing reads is named here too. Rows are read where the element is `measured`; `measured_about` says then whether their angles
    /// are counted off its mast or off the way it looks (`mast` or `aim`).
    ///
    /// ## Mend
    /// Add the gain of the peak, in dBi, to every row, if they were told over it; or measure again beside an antenna whose gain is known.
    PATTERN_RADIATES_ENOUGH = "link.pattern_radiates", run
}

/// More than there is by so small a share is not worth a word: about a tenth of a decibel.
const TELLS: f64 = 0.025;

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.link() else { return Answer::default() };
    let mut answer = Answer::default();
    for antenna in model.senders.iter().chain(&model.grounds) {
        judge(proof, antenna, &mut answer);
    }
    answer.findings.extend(read_by_nothing(proof, model));
    answer
}

fn judge(proof: &Proof, antenna: &LinkAntenna, answer: &mut Answer) {
    let measured = is_measured(proof, antenna);
    let subject = format!("{}pattern of {}", if measured { "measured " } else { "" }, antenna.called);
    let mounted = match &antenna.built {
        // What its gain and beam come to is said where it is too little.
        Ok(mounted) if measured || 100.0 * mounted.antenna.efficiency() < PATTERN_RADIATES.tight => mounted,
        Err(lack) if measured => {
            let lacks = lacking(PATTERN_RADIATES_ENOUGH.id, subject, lack);
            answer.findings.push(lacks.at([antenna.place.clone()]));
            return;
        }
        _ => return,
    };
    let radiated: Linear = mounted.with_doubt(|antenna, _| 100.0 * antenna.efficiency());
    // More than there is, by less than would be refused: its doubt may explain that, and every range is told too far.
    let too_much = radiated.value > 100.0 * (1.0 + TELLS);
    let mut judged = if too_much {
        standing_of(proof, &(&-&radiated + 100.0), 0.0, Unit::Percent)
    } else {
        standing(proof, &radiated, &PATTERN_RADIATES)
    };
    if too_much {
        judged.verdict = Verdict::Tight;
    }
    let verdict = judged.verdict;
    let (share, most) = (rounded(radiated.value, 0), mounted.antenna.greatest_gain());
    let mean = Db::new(10.0 * (radiated.value / 100.0).log10());
    let message = match verdict {
        _ if too_much => format!(
            "Its gains come to {share} % of the power, {} more than there is: no more than the table's doubt and its sampling leave open, but every range is told too far",
            db(mean.get())
        ),
        Verdict::Sound => {
            format!("It radiates {share} % of its power, {} at most in one direction", gain(most.get()))
        }
        _ if !measured => format!(
            "Its gain of {} and the width it has come to {share} % of the power only, {} under what goes in; a sound antenna radiates half of it or more",
            gain(most.get()),
            db(-mean.get())
        ),
        _ => format!(
            "Its gains come to {share} % of the power only, {} under what goes in; a sound antenna radiates half of it or more",
            db(-mean.get())
        ),
    };
    let id = format!("link.radiates[{}]", antenna.called);
    let figure = Lines::of(proof)
        .given("greatest gain", most.get(), Unit::Dbi, "of all rows")
        .given("mean gain over the sphere", mean.get(), Unit::Db, "straight in decibels between rows")
        .facts(&radiated)
        .figure(
            id.clone(),
            format!(
                "share of its power that {} radiates, by its {}pattern",
                antenna.called,
                if measured { "measured " } else { "" }
            ),
            (&radiated, Unit::Percent),
            "mean of the gain over all directions, each weighed by the sine of its angle off the axis",
            MEAN_SOURCE,
        );
    let mut finding =
        judged.finding(PATTERN_RADIATES_ENOUGH.id, subject, message).at([antenna.place.clone()]);
    if too_much {
        finding = finding
            .mend(format!(
                "Take {} off every row, if it was measured beside an antenna of known gain.",
                db(mean.get())
            ))
            .mend("Else measure again, in finer steps where it is strongest.");
    } else if verdict != Verdict::Sound && !measured {
        finding = finding.mend("Check its gain, sign and unit (dBi), and how wide its beam is: one of them is wrong, or much is lost in it.");
    } else if verdict != Verdict::Sound {
        finding = finding
            .mend("If its rows were told over their own greatest, add the gain of the peak, in dBi, to every row.")
            .mend("Else measure again beside an antenna whose gain is known.");
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding);
    answer.figures.push(figure);
}

/// Whether the sheet says so of one that cannot be built.
fn is_measured(proof: &Proof, antenna: &LinkAntenna) -> bool {
    let placed = proof.placed().find(|placed| placed.place.id == antenna.place);
    placed.is_some_and(|placed| {
        let row = antenna.row.and_then(|n| placed.part.rows(&station::antenna::TABLE).nth(n));
        row.unwrap_or_else(|| placed.part.item()).text(&air::ELEMENT) == Ok("measured")
    })
}

/// Where the mean comes from.
const MEAN_SOURCE: Source = Source {
    title: "IEEE Std 145, Definitions of terms for antennas",
    place: "radiation efficiency, gain and directivity",
    grade: quantity::Grade::Memory,
};

fn gain(value: f64) -> String {
    format!("{} dBi", rounded(value, 1))
}

/// Antennas that the transmitter's coax does not lead to, with rows that nothing reads.
fn read_by_nothing(proof: &Proof, model: &LinkModel) -> Vec<Finding> {
    let apart = |placed: &crate::Placed| model.senders.iter().all(|sender| sender.place != placed.place.id);
    let antennas = proof.places_of(craft::schema::PartKind::Antenna).filter(apart);
    let told = |placed: crate::Placed| {
        let rows = placed.part.rows(&air::cut::TABLE).count();
        let name = crate::names::called(proof, placed);
        (rows > 0).then(|| {
            let message = format!("Its rows are not read: no coax leads from the video transmitter to {name}");
            Finding::new(PATTERN_RADIATES_ENOUGH.id, Verdict::Tight, format!("measured pattern of {name}"), message)
                .at([placed.place.id.clone()])
                .mend("Enter at its place which plug or pigtail it is on; if it serves something else, take its rows out.")
        })
    };
    antennas.filter_map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::PATTERN_RADIATES_ENOUGH;
    use crate::testing::{row, set};
    use crate::testing_link::{link_told, sound_link};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&PATTERN_RADIATES_ENOUGH, spoil));
    }

    /// The craft's antenna measured: the same gain all round, with the gain as text.
    fn even(craft: &mut Craft, gain: &str) {
        set(craft, "stub.element", "measured");
        set(craft, "stub.measured_about", "mast");
        for off in ["0°", "45°", "90°", "135°", "180°"] {
            row(craft, "stub", "cut", &[("off", off), ("gain", gain)]);
        }
    }

    #[test]
    fn no_measured_pattern_is_nothing_to_say() {
        let craft = sound_link();
        assert_eq!(crate::testing::told_of(&PATTERN_RADIATES_ENOUGH, &craft, |_| true), "");
    }

    #[test]
    fn half_of_the_power_is_sound_and_a_fifth_is_tight() {
        check(
            |craft| even(craft, "-2 dBi, measured"),
            expect![[r#"
            sound · measured pattern of stub antenna · 58.096 % · 100 %
              It radiates 63 % of its power, -2 dBi at most in one direction
        "#]],
        );
        check(
            |craft| even(craft, "-7 dBi, measured"),
            expect![[r#"
            tight · measured pattern of stub antenna · 14.953 % · 100 %
              Its gains come to 20 % of the power only, 7 dB under what goes in; a sound antenna radiates half of it or more
              > If its rows were told over their own greatest, add the gain of the peak, in dBi, to every row.
              > Else measure again beside an antenna whose gain is known.
        "#]],
        );
    }

    #[test]
    fn a_gain_that_its_beam_belies_is_tight_or_broken() {
        check(
            |craft| set(craft, "field.antenna[1].gain", "1 dBi, measured"),
            expect![[r#"
                tight · pattern of patch · 20.252 % · 100 %
                  Its gain of 1 dBi and the width it has come to 25 % of the power only, 6 dB under what goes in; a sound antenna radiates half of it or more
                  > Check its gain, sign and unit (dBi), and how wide its beam is: one of them is wrong, or much is lost in it.
            "#]],
        );
        check(
            |craft| set(craft, "field.antenna[1].gain", "-15 dBi, measured"),
            expect![[r#"
                broken · pattern of patch · -4.366 % · 0 %
                  Its gain of -15 dBi and the width it has come to 1 % of the power only, 22 dB under what goes in; a sound antenna radiates half of it or more
                  > Check its gain, sign and unit (dBi), and how wide its beam is: one of them is wrong, or much is lost in it.
            "#]],
        );
    }

    #[test]
    fn more_than_it_gets_is_believed_within_its_stated_doubt_alone() {
        check(
            |craft| even(craft, "0.4 dBi, measured"),
            expect![[r#"
                tight · measured pattern of stub antenna · -9.648 % · 12 %
                  Its gains come to 110 % of the power, 0.4 dB more than there is: no more than the table's doubt and its sampling leave open, but every range is told too far
                  > Take 0.4 dB off every row, if it was measured beside an antenna of known gain.
                  > Else measure again, in finer steps where it is strongest.
                  ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 88 % certain.
            "#]],
        );
        check(
            |craft| even(craft, "0.8 dBi, measured"),
            expect![[r#"
            unknown · measured pattern of stub antenna
              Nobody can say yet: "stub antenna": the pattern radiates 0.8 dB more than the antenna gets, and its doubt and its sampling explain 0.5 dB: its gains are too high
              > Check whether they are over an isotropic antenna, or state the doubt they have.
        "#]],
        );
        check(
            |craft| even(craft, "0.8 dBi ± 1, measured"),
            expect![[r#"
                tight · measured pattern of stub antenna · -20.226 % · 13 %
                  Its gains come to 120 % of the power, 0.8 dB more than there is: no more than the table's doubt and its sampling leave open, but every range is told too far
                  > Take 0.8 dB off every row, if it was measured beside an antenna of known gain.
                  > Else measure again, in finer steps where it is strongest.
                  ? No single measurement would change this verdict, nor would two: it is 87 % certain now, and would be 87 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn rows_that_nothing_reads_are_never_silent() {
        // On the antenna that carries the link its element says another pattern: the link is not worked out.
        let mut craft = sound_link();
        even(&mut craft, "-2 dBi, measured");
        set(&mut craft, "stub.element", "circular omni");
        let proof = crate::Proof::new(&craft);
        let wrong = proof.link().and_then(|model| model.link().err()).map(|lack| lack.wrong.join(" / "));
        assert_eq!(
            wrong.as_deref(),
            Some(
                "the 5 rows of the pattern of \"stub antenna\" are not read, for its element is circular omni; set it to measured, or take \
                 the rows out"
            )
        );
        // One that hangs on nothing.
        check(
            |craft| {
                even(craft, "-2 dBi, measured");
                crate::testing::place(craft, "spare", "stub", "body", &[]);
            },
            expect![[r#"
                tight · measured pattern of stub antenna at spare
                  Its rows are not read: no coax leads from the video transmitter to stub antenna at spare
                  > Enter at its place which plug or pigtail it is on; if it serves something else, take its rows out.
                sound · measured pattern of stub antenna at stub · 58.096 % · 100 %
                  It radiates 63 % of its power, -2 dBi at most in one direction
            "#]],
        );
    }
}
