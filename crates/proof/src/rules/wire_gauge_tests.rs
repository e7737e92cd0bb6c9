//! Wires too thin, their ways back, and those nobody knows.

use super::*;
use crate::testing_wiring::{check, gauge, is_sound, set};
use expect_test::expect;

#[test]
fn wires_thick_enough_are_sound() {
    is_sound(&WIRE_STAYS_COOL);
}

#[test]
fn a_hair_thin_wire_for_the_video_is_broken() {
    for (thin, expected) in [
        (
            "38",
            expect![[r#"
                broken · wire from fc/9V to vtx/VCC · -45.839 % · 0 %
                  It carries 1.56 A of the 1.1 A that gauge 38 carries for good: it heats and drops voltage
                  > Use gauge 32 for 1.56 A.
            "#]],
        ),
        (
            "34",
            expect![[r#"
                tight · wire from fc/9V to vtx/VCC · 13.218 % · 100 %
                  It carries 1.56 A of the 1.8 A that gauge 34 carries for good: it heats and drops voltage
                  > Use gauge 32 for 1.56 A.
            "#]],
        ),
    ] {
        check(
            &WIRE_STAYS_COOL,
            |craft| {
                set(craft, "vtx.level[0].draw", "14 W, data sheet");
                gauge(craft, "vtx/VCC", Some(thin));
            },
            expected,
        );
    }
}

#[test]
fn a_way_back_of_less_copper_is_judged_by_what_it_brings_back() {
    check(
        &WIRE_STAYS_COOL,
        |craft| {
            set(craft, "vtx.level[0].draw", "14 W, data sheet");
            gauge(craft, "vtx/G", Some("38"));
        },
        expect![[r#"
            broken · ground from fc/G2 to vtx/G · -45.839 % · 0 %
              It carries 1.56 A of the 1.1 A that gauge 38 carries for good: it heats, and what is nought at its two ends drifts apart; less copper comes back than goes there
              > Use gauge 32 for 1.56 A.
        "#]],
    );
}

#[test]
fn a_wire_of_no_known_gauge_is_unknown() {
    check(
        &WIRE_STAYS_COOL,
        |craft| gauge(craft, "vtx/VCC", None),
        expect![[r#"
        unknown · wire from fc/9V to vtx/VCC
          Nobody can say yet: the gauge of the wire from fc/9V to vtx/VCC is not known
          > Measure or look up the gauge of the wire from fc/9V to vtx/VCC.
    "#]],
    );
}

#[test]
fn thinner_wires_carry_less() {
    let most: Vec<f64> = (10..=36).filter_map(|g| steady_current(g, still(HOT_AIR)?)).collect();
    assert!(most.len() == 27 && most.is_sorted_by(|a, b| a > b), "{most:?}");
}
