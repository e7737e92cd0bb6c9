//! Is there room for the seconds that a restart of the video takes?

use crate::limits::RESTART_ROOM;
use crate::names::called;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, air, craft as plan};
use quantity::{Linear, Unit};

rule! {
    /// Is there room for the seconds that a restart of the video takes?
    ///
    /// ## Why
    /// A video transmitter whose supply dips starts again from nothing: 8 to 25 s without a picture, while the craft flies on.
    /// Whoever lets go of the throttle is on the ground long before it is back.
    ///
    /// ## Sound when
    /// What is flown in that time at cruise speed is at most half of the way that is free of trees, walls and people where
    /// it flies; more than all of it is broken.
    ///
    /// ## Rests on
    /// The transmitter's time to restart, from its sheet or from a watch; cruise speed and free way of the plan. Told beside it:
    /// how soon it falls from the height flown at, without drag. Common practice.
    ///
    /// ## Mend
    /// See to the supply first, so that nothing restarts. Fly slower, or where more is free. A spotter who sees the craft can
    /// talk it down; keep it where one can see it, as your local rules ask.
    RESTART_HAS_ROOM = "link.restart_blind", run
}

fn run(proof: &Proof) -> Answer {
    let Some(unit) = proof.places_of(PartKind::VideoTransmitter).next() else { return Answer::default() };
    // Without motors it does not fly on.
    if proof.places_of(PartKind::Motor).next().is_none() {
        return Answer::default();
    }
    let mut answer = judge(proof, unit);
    for finding in &mut answer.findings {
        finding.places.push(unit.place.id.clone());
    }
    answer
}

fn judge(proof: &Proof, unit: Placed) -> Answer {
    let (id, subject) = (RESTART_HAS_ROOM.id, called(proof, unit));
    let craft = proof.craft.item();
    let restart = unit.part.item().read(&air::RESTART);
    let (cruise, free) = (craft.read(&plan::CRUISE), craft.read(&plan::FREE_SPACE));
    let (restart, cruise, free) = match (restart, cruise, free) {
        (Ok(restart), Ok(cruise), Ok(free)) => (restart, cruise, free),
        (restart, cruise, free) => {
            let missing = restart.err().into_iter().chain(cruise.err()).chain(free.err()).collect();
            return Answer::of(Finding::unknown(id, subject, missing));
        }
    };
    let (time, speed, room) = (restart.value.get(), cruise.value.get(), free.value.get());
    let flown = time * speed;
    if flown <= 0.0 {
        let message =
            format!("A restart takes {} s; the plan has it hover, so it stays where it is", rounded(time, 1));
        return Answer::of(Finding::new(id, Verdict::Sound, subject, message));
    }
    let ratio = {
        let [time, speed, room] = [proof.lean(&restart), proof.lean(&cruise), proof.lean(&free)];
        let value = room.value / flown;
        Linear::chained(
            value,
            &[(value / room.value, &room), (-value / time.value, &time), (-value / speed.value, &speed)],
        )
    };
    let judged = standing(proof, &ratio, &RESTART_ROOM);
    let verdict = judged.verdict;
    let height = craft.read(&plan::FLY_HEIGHT).ok().map(|height| height.value.get());
    let falls = height.map(|height| (height, (2.0 * height / quantity::STANDARD_GRAVITY).sqrt()));
    let mut message = format!(
        "A restart takes {} s, in which {} m are flown blind; {} m are free",
        rounded(time, 1),
        rounded(flown, 0),
        rounded(room, 0)
    );
    if let Some((height, seconds)) = falls {
        message += &format!(". Let go of, it falls {} m in {} s", rounded(height, 1), rounded(seconds, 1));
    }
    let mut finding = judged.finding(id, subject.clone(), message);
    if verdict != Verdict::Sound {
        let slow = 0.5 * room / time;
        finding = finding
            .mend("See to its supply first, so that it does not restart: leads, plugs, converter and capacitor.")
            .mend(format!(
                "Fly {} m/s at most there, or where {} m are free; have a spotter who sees it and can talk it down.",
                rounded((slow * 10.0).floor() / 10.0, 1),
                rounded((2.0 * flown).ceil(), 0)
            ));
    }
    let mut lines = Lines::of(proof).facts(&ratio).given("flown blind", flown, Unit::Metres, "time · speed");
    if let Some((height, seconds)) = falls {
        lines = lines.given("height flown at", height, Unit::Metres, "planned").given(
            "falls from there in",
            seconds,
            Unit::Seconds,
            "√(2h/g), without drag",
        );
    }
    let figure = lines.figure(
        format!("link.restart_room[{}]", unit.place.id),
        format!("free way over what is flown while {subject} restarts"),
        (&ratio, Unit::Ratio),
        "free way / (time to restart · cruise speed)",
        RESTART_ROOM.source,
    );
    finding.figure = Some(figure.id.clone());
    Answer { findings: vec![finding], figures: vec![figure] }
}

#[cfg(test)]
mod tests {
    use super::RESTART_HAS_ROOM;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_names_missing, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&RESTART_HAS_ROOM, spoil));
    }

    #[test]
    fn an_open_field_at_six_metres_a_second_is_sound() {
        link_is_sound(&RESTART_HAS_ROOM);
        check(
            |_| {},
            expect![[r#"
            sound · Lanner small air unit · 1.778 · 100 %
              A restart takes 9 s, in which 54 m are flown blind; 150 m are free. Let go of, it falls 15 m in 1.7 s
        "#]],
        );
    }

    #[test]
    fn a_yard_is_too_small_and_the_speed_that_would_do_is_told() {
        check(
            |craft| set(craft, "craft.free_space", "80 m"),
            expect![[r#"
            tight · Lanner small air unit · 0.481 · 100 %
              A restart takes 9 s, in which 54 m are flown blind; 80 m are free. Let go of, it falls 15 m in 1.7 s
              > See to its supply first, so that it does not restart: leads, plugs, converter and capacitor.
              > Fly 4.4 m/s at most there, or where 108 m are free; have a spotter who sees it and can talk it down.
        "#]],
        );
        check(
            |craft| set(craft, "craft.free_space", "40 m"),
            expect![[r#"
            broken · Lanner small air unit · -0.259 · 0 %
              A restart takes 9 s, in which 54 m are flown blind; 40 m are free. Let go of, it falls 15 m in 1.7 s
              > See to its supply first, so that it does not restart: leads, plugs, converter and capacitor.
              > Fly 2.2 m/s at most there, or where 108 m are free; have a spotter who sees it and can talk it down.
        "#]],
        );
    }

    #[test]
    fn what_hovers_stays_where_it_is() {
        check(
            |craft| set(craft, "craft.cruise", "0 m/s"),
            expect![[r#"
            sound · Lanner small air unit
              A restart takes 9 s; the plan has it hover, so it stays where it is
        "#]],
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        link_names_missing(&RESTART_HAS_ROOM, "vtx.restart", "time to restart of \"Lanner small air unit\"");
        link_names_missing(&RESTART_HAS_ROOM, "craft.free_space", "free way of \"Wheatear\"");
    }
}
