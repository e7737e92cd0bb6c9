//! Law: how sure it is that all screws pass, by lines and by laying both patterns on each other again and again.
#![allow(clippy::unwrap_used)]

use super::{Known, Seen, float_left, known};
use crate::Proof;
use crate::testing::set;
use crate::testing_stack::sound_bay;
use craft::Craft;
use craft::schema::shape::pattern;
use fit::{HolePattern, MountHole, PlanePoint, float_left_as_met, meet};
use proptest::prelude::RngExt;
use proptest::test_runner::{RngAlgorithm, TestRng};
use quantity::{Doubt, FactIndex, Linear, Millimetres, USUAL_SEED, USUAL_TRIALS, chance_all_at_least};

const SCREW: Millimetres = Millimetres::new(2.0);

/// Holds the lines to trials of the transmitter's pattern on the one under it, spoiled in one way.
fn check(spoil: impl FnOnce(&mut Craft)) {
    let mut craft = sound_bay();
    spoil(&mut craft);
    let proof = Proof::new(&craft);
    let row = |id: &str| {
        let part = craft.parts.iter().find(|part| part.id.as_str() == id).unwrap();
        part.rows(&pattern::TABLE).next().unwrap()
    };
    let board = known(&proof, &row("vtx"), Seen::FromOrigin).unwrap();
    let under = known(&proof, &row("frame"), Seen::FromSeat).unwrap();
    let meetings = meet(&board.holes, &under.holes, SCREW).unwrap();
    let meeting = meetings.iter().find(|m| !m.flipped && m.turn.get().abs() < 1.0).unwrap();
    let lines = float_left(meeting, &board, &under);
    assert!((lines[0].value - meeting.float_left.get()).abs() < 1e-9);
    let told = chance_all_at_least(&lines, &proof.ledger(), 0.0, USUAL_TRIALS, USUAL_SEED).get();

    let doubts: Vec<Doubt> = proof.ledger().entries().iter().map(|entry| entry.doubt).collect();
    let mut draw = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let trials = 1_500;
    let held = (0..trials).filter(|_| {
        let off: Vec<f64> = doubts.iter().map(|d| draw.random_range(-1.0..1.0) * d.plus).collect();
        let drawn = |of: &Known| as_drawn(of, &off);
        float_left_as_met(&drawn(&board), &drawn(&under), SCREW, meeting).get() >= 0.0
    });
    let held = held.count() as f64 / f64::from(trials);
    assert!((held - told).abs() < 0.04, "by trials {held}, by lines {told}");
}

/// A pattern with every fact off by so much.
fn as_drawn(of: &Known, off: &[f64]) -> HolePattern {
    let value = |of: &Linear| {
        of.value + of.slopes.iter().map(|(FactIndex(fact), slope)| slope * off[*fact as usize]).sum::<f64>()
    };
    let diameter = Millimetres::new(value(&of.diameter));
    let hole =
        |[x, y]: &[Linear; 2]| MountHole { at: PlanePoint::new(value(x), value(y)), slot_to: None, diameter };
    HolePattern { holes: of.at.iter().map(hole).collect() }
}

const BOTH: [&str; 2] = ["vtx.pattern[0]", "frame.pattern[0]"];

#[test]
fn squares_pass_as_often_as_when_laid_on_each_other() {
    check(|craft| BOTH.iter().for_each(|row| set(craft, &format!("{row}.pitch"), "20 ± 0.5 mm, measured")));
    check(|craft| set(craft, "vtx.pattern[0].pitch", "20.4 ± 0.3 mm, measured"));
}

#[test]
fn oblongs_pass_as_often_as_when_laid_on_each_other() {
    check(|craft| {
        for row in BOTH {
            set(craft, &format!("{row}.pitch"), "20 ± 0.3 mm, measured");
            set(craft, &format!("{row}.pitch_across"), "26 ± 0.5 mm, measured");
        }
    });
}

#[test]
fn listed_holes_pass_as_often_as_when_laid_on_each_other() {
    check(|craft| set(craft, "vtx.pattern[0].holes", "10,10; -10,10; -10,-10; 10,-10"));
    check(|craft| {
        BOTH.iter().for_each(|row| set(craft, &format!("{row}.holes"), "10,10; -10,10; -12,-10; 10,-13"))
    });
    // Two pairs of holes, and three.
    check(|craft| BOTH.iter().for_each(|row| set(craft, &format!("{row}.holes"), "10,10; -10,-10")));
    check(|craft| BOTH.iter().for_each(|row| set(craft, &format!("{row}.holes"), "0,12; -10,-6; 10,-6")));
}
