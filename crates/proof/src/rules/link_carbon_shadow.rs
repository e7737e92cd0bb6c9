//! Does carbon or the pack stand between the antenna and home?

use super::link_antenna_clear::least_kept;
use crate::inputs::CraftSolid;
use crate::limits::CARBON_SHADOW;
use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Aerial, CruiseNose, aerials, by_unit};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use fit::{BodyPoint, BodyVector, Drift, Hidden, Role, Solid, hidden_round};
use quantity::{Degrees, FigureId, Linear, Unit};
use std::f64::consts::PI;

rule! {
    /// Does carbon or the pack stand between the antenna and home?
    ///
    /// ## Why
    /// Carbon plate and pack let next to nothing through: what stands between takes 10 to 25 dB of a link. It is worst on
    /// the way home, when the nose is down, the antenna sits behind the pack and nobody thinks of it.
    ///
    /// ## Sound when
    /// Of all headings, home being level with the craft and the nose as far down as in cruise, at most 10 % are
    /// shadowed; more is tight, over 25 % broken. A heading is shadowed where the straight way from the middle of the
    /// part that radiates toward home meets a carbon plate or a pack: at the edge of such a shadow half the field
    /// is gone, 6 dB. Of several antennas on one unit the best placed counts, for the picture goes out by all of them.
    ///
    /// ## Rests on
    /// How the antenna is seated and leant, the outlines of plates and pack, each with its doubt, and how far the nose is
    /// down in cruise. The share is exact: no ray is sampled. Holes count as carbon, for they are small against the
    /// wave of 52 mm; motors, boards and standoffs are left out, being hidden between the plates or slim. Common practice.
    /// The margins of the link count shadows otherwise: in decibels, soft at their edges, boards and motors too. Here it is asked
    /// whether the straight way is free, which is sharp and exact, and which a builder can see with one eye shut.
    ///
    /// ## Mend
    /// Raise the antenna, or move it to the end of the craft that looks home. What is named was tried.
    CARBON_OUT_OF_THE_WAY = "link.carbon_shadow", run
}

/// What lets nothing through.
const OPAQUE: &[Role] = &[Role::CarbonPlate, Role::Pack];
/// A move that does not bring the share down to the limit is still told if it takes so many percent off.
const WORTH: f64 = 5.0;

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    let all = aerials(proof, false);
    for group in by_unit(proof, &all) {
        judge(proof, &group, &mut answer);
    }
    answer
}

/// One antenna, with what is hidden from it.
struct Seen<'g, 'a> {
    aerial: &'g Aerial<'a>,
    hidden: Hidden,
    /// In percent.
    share: Linear,
}

fn judge<'a>(proof: &Proof<'a>, group: &[&Aerial<'a>], answer: &mut Answer) {
    let names: Vec<&str> = group.iter().map(|aerial| aerial.called.as_str()).collect();
    let places = || group.iter().map(|aerial| aerial.placed.place.id.clone());
    let tilt = crate::subject::cruise_nose(proof);
    let lacking = group.iter().filter_map(|aerial| aerial.element.as_ref().err()).flatten().cloned();
    let missing: Vec<Missing> = lacking.chain(tilt.as_ref().err().cloned()).collect();
    let (Ok(tilt), []) = (tilt, missing.as_slice()) else {
        let finding = Finding::unknown(CARBON_OUT_OF_THE_WAY.id, listed(&names), missing);
        answer.findings.push(finding.at(places()));
        return;
    };
    let seen = group.iter().filter_map(|aerial| {
        let element = aerial.solid(proof)?;
        let hidden = hidden(proof, aerial, element, &element.solid.drifts, tilt.down);
        let share = in_percent(&hidden, &tilt);
        Some(Seen { aerial, hidden, share })
    });
    let Some(best) = seen.min_by(|a, b| a.share.value.total_cmp(&b.share.value)) else { return };
    let (name, share) = (&best.aerial.called, best.share.value);
    let judged = standing(proof, &best.share, &CARBON_SHADOW);
    let verdict = judged.verdict;
    let worst = worst_solid(proof, &best, tilt.down);
    let down = format!("{}° nose down", rounded(tilt.down.get(), 1));
    let message = match (&worst, verdict) {
        (None, _) => format!("No carbon and no pack stands between {name} and home, {down}"),
        (Some(worst), Verdict::Sound) => format!(
            "{name} sees home on {} % of all headings, {down}; {} hides the rest {}",
            rounded(100.0 - share, 0),
            worst.called,
            worst.when
        ),
        (Some(worst), _) => format!(
            "{} {} stands between {name} and home: {} % of all headings are shadowed, {down}",
            worst.when_first,
            worst.called,
            rounded(share, 0)
        ),
    };
    let id = format!("link.shadowed[{name}]");
    let mut lines =
        Lines::of(proof).given("nose down in cruise", tilt.down.get(), Unit::Degrees, tilt.because());
    for arc in &best.hidden.arcs {
        let label = format!("shadow from {}° on", rounded(arc.from.to_degrees(), 1));
        lines = lines.given(
            &label,
            (arc.to - arc.from).to_degrees(),
            Unit::Degrees,
            "heading of home, left positive",
        );
    }
    answer.figures.push(lines.facts(&best.share).figure(
        id.clone(),
        "share of headings on which carbon or pack hides an antenna from home",
        (&best.share, Unit::Percent),
        "Σ widths of the shadows / 360°; a ray leaves the middle of the part that radiates",
        CARBON_SHADOW.source,
    ));
    let mut finding = judged.finding(CARBON_OUT_OF_THE_WAY.id, listed(&names), message);
    if verdict != Verdict::Sound {
        finding = finding.measured_first();
        finding.mends.extend(mend(proof, &best, tilt.down));
    }
    finding.figure = Some(FigureId(id.into()));
    answer.findings.push(finding.at(places()));
}

/// The two directions that say where home is as headings turn: straight ahead when coming home, and to the left.
fn level(tilt: Degrees) -> [BodyVector; 2] {
    let (sine, cosine) = tilt.get().to_radians().sin_cos();
    [BodyVector::new(cosine, 0.0, sine), BodyVector::Y]
}

fn opaque<'p>(proof: &'p Proof, but: usize) -> Vec<(usize, &'p Solid)> {
    let solids = proof.inputs().solids.iter().enumerate();
    let stands = |solid: &&CraftSolid| OPAQUE.contains(&solid.solid.role) && solid.place != but;
    solids.filter(|(_, solid)| stands(solid)).map(|(number, solid)| (number, &solid.solid)).collect()
}

fn hidden(proof: &Proof, aerial: &Aerial, element: &CraftSolid, drifts: &[Drift], tilt: Degrees) -> Hidden {
    let eye: BodyPoint = element.solid.pose.origin();
    let solids: Vec<&Solid> = opaque(proof, aerial.number).into_iter().map(|(_, solid)| solid).collect();
    hidden_round(eye, drifts, level(tilt), &solids)
}

/// The share in percent, with the tilt among its facts where that has a doubt.
fn in_percent(hidden: &Hidden, tilt: &CruiseNose) -> Linear {
    let share = &hidden.share * 100.0;
    // Nose further down turns the way home up, against the right-hand rule about the left.
    let by_tilt = Linear { value: 0.0, ..&tilt.leans * (-hidden.by_turn * 100.0 * PI / 180.0) };
    share + by_tilt
}

/// What hides most, and on which headings.
struct Worst {
    called: String,
    when: &'static str,
    when_first: &'static str,
}

fn worst_solid(proof: &Proof, seen: &Seen, tilt: Degrees) -> Option<Worst> {
    let eye = seen.aerial.solid(proof)?.solid.pose.origin();
    let each = opaque(proof, seen.aerial.number)
        .into_iter()
        .map(|(number, solid)| (number, hidden_round(eye, &[], level(tilt), &[solid])));
    let (number, hidden) = each.max_by(|a, b| a.1.share.value.total_cmp(&b.1.share.value))?;
    let widest = hidden.arcs.iter().max_by(|a, b| (a.to - a.from).total_cmp(&(b.to - b.from)))?;
    let middle = ((widest.from + widest.to) / 2.0 + PI).rem_euclid(2.0 * PI) - PI;
    let (when, when_first) = match middle.to_degrees() {
        at if at.abs() <= 45.0 => ("coming home", "Coming home,"),
        at if at.abs() >= 135.0 => ("flying away", "Flying away,"),
        at if at > 0.0 => ("with home on the left", "With home on the left,"),
        _ => ("with home on the right", "With home on the right,"),
    };
    Some(Worst { called: proof.inputs().solids[number].solid.name.clone(), when, when_first })
}

/// Where the antenna would see home, tried: the smallest move that brings the share to the limit, or else the one that
/// helps most.
fn mend(proof: &Proof, seen: &Seen, tilt: Degrees) -> Option<String> {
    if proof.is_trial() {
        return None;
    }
    let mut best: Option<(f64, String)> = None;
    for instead in seen.aerial.elsewhere(proof) {
        let share = 100.0 * hidden(proof, seen.aerial, &instead.element, &[], tilt).share.value;
        let helps = share < best.as_ref().map_or(seen.share.value - WORTH, |(least, _)| *least);
        if !helps || least_kept(proof, &instead.element).is_none() {
            continue;
        }
        let words = format!("{}: then {} % of all headings are shadowed.", instead.words, rounded(share, 0));
        if share <= CARBON_SHADOW.tight {
            return Some(words);
        }
        best = Some((share, words));
    }
    let none = || {
        format!(
            "Take {} to the other end of the craft, or the pack to the other side of the frame.",
            seen.aerial.called
        )
    };
    Some(best.map_or_else(none, |(_, words)| words))
}

#[cfg(test)]
mod tests {
    use super::CARBON_OUT_OF_THE_WAY;
    use crate::testing::set;
    use crate::testing_link::{link_is_sound, link_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&link_told(&CARBON_OUT_OF_THE_WAY, spoil));
    }

    #[test]
    fn an_antenna_that_sees_home_is_sound() {
        link_is_sound(&CARBON_OUT_OF_THE_WAY);
    }

    #[test]
    fn one_behind_a_tall_pack_is_told_where_it_would_see() {
        check(
            |craft| {
                set(craft, "place stub.z", "-25 mm");
                set(craft, "place stub.x", "-31 mm");
            },
            expect![[r#"
                broken · stub antenna · -19.561 % · 0 %
                  Coming home, 650 pack stands between stub antenna and home: 45 % of all headings are shadowed, 15° nose down
                  > Move stub antenna by 45 mm back: then 9 % of all headings are shadowed.
            "#]],
        );
    }

    #[test]
    fn where_no_tilt_is_stated_the_nose_is_where_level_flight_has_it() {
        let told = link_told(&CARBON_OUT_OF_THE_WAY, |craft| set(craft, "craft.cruise_tilt", ""));
        assert!(told.contains("° nose down") && !told.starts_with("unknown"), "{told}");
        let neither = link_told(&CARBON_OUT_OF_THE_WAY, |craft| {
            set(craft, "craft.cruise_tilt", "");
            set(craft, "craft.cruise", "");
        });
        assert!(neither.contains("nose down in cruise of"), "{neither}");
    }
}
