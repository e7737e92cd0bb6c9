//! Supplies of which one thing cannot be: what needs it is unknown and names the line to write, and everything else is judged as before.

#![allow(clippy::unwrap_used)]

use crate::testing::{row, set};
use crate::testing_supply::sound_supply;
use crate::testing_wiring::join;
use crate::{Proof, Rule, Verdict};
use craft::Craft;
use expect_test::{Expect, expect};

/// The findings of supply, heat and wires that are not sound, in short; before them how many are judged.
fn told(spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_supply();
    spoil(&mut craft);
    let proof = Proof::new(&craft);
    let of_supply = |rule: &&Rule| {
        ["feed.", "heat.", "wire.gauge", "craft.landing"].iter().any(|word| rule.id.starts_with(word))
    };
    let (mut sound, mut words) = (0, String::new());
    for rule in crate::rules::RULES.iter().filter(of_supply) {
        for finding in (rule.run)(&proof).findings {
            if finding.verdict == Verdict::Sound {
                sound += 1;
                continue;
            }
            words += &format!(
                "{:?} {} · {}\n    {}\n",
                finding.verdict, rule.id, finding.subject, finding.message
            );
            finding.mends.iter().for_each(|mend| words += &format!("  > {mend}\n"));
        }
    }
    let words = format!("{sound} sound\n{words}");
    assert!(!words.contains("NaN") && !words.contains("inf"), "{words}");
    words
}

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&told(spoil));
}

#[test]
fn nothing_wrong_is_the_measure() {
    check(
        |_| {},
        expect![[r#"
            28 sound
        "#]],
    );
}

#[test]
fn a_load_test_that_contradicts_itself() {
    check(
        |craft| {
            row(craft, "pack", "load_test", &[("current", "2 A"), ("voltage", "15.1 V")]);
            row(craft, "pack", "load_test", &[("current", "20 A"), ("voltage", "15.9 V")]);
        },
        expect![[r#"
            17 sound
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown feed.dropout · rails at a punch
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: 650 pack: load test: 3.775 V at 2 A and 3.975 V at 20 A contradict each other
              > In the rows [[part.pack.load_test]] write current and voltage as read, at the greater current the lesser voltage: the greater current must give the lesser voltage.
        "#]],
    );
}

#[test]
fn a_load_test_with_too_small_a_step() {
    check(
        |craft| {
            row(
                craft,
                "pack",
                "load_test",
                &[("current", "2 A, measured"), ("voltage", "15.92 V, measured")],
            );
            row(craft, "pack", "load_test", &[("current", "3 A, measured"), ("voltage", "15.9 V, measured")]);
        },
        expect![[r#"
            17 sound
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown feed.dropout · rails at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: the rows of the load test of 650 pack lie 0.02 V apart, known to ± 0.016 V only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at 5 A or more, or both to the millivolt and write it: voltage = "15.92 V ± 0.002, measured".
        "#]],
    );
}

#[test]
fn a_load_test_read_to_the_millivolt_carries_its_resistance() {
    check(
        |craft| {
            let volts = |volts: &'static str| [("current", "2 A, measured"), ("voltage", volts)];
            row(craft, "pack", "load_test", &volts("15.920 V ± 0.002, measured"));
            row(
                craft,
                "pack",
                "load_test",
                &[("current", "3 A, measured"), ("voltage", "15.890 V ± 0.002, measured")],
            );
        },
        expect![[r#"
            28 sound
        "#]],
    );
}

#[test]
fn a_load_test_of_two_like_currents() {
    check(
        |craft| {
            row(
                craft,
                "pack",
                "load_test",
                &[("current", "20 A, measured"), ("voltage", "15.9 V, measured")],
            );
            row(
                craft,
                "pack",
                "load_test",
                &[("current", "20.5 A, measured"), ("voltage", "15.8 V, measured")],
            );
        },
        expect![[r#"
            17 sound
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown feed.dropout · rails at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: the rows of the load test of 650 pack lie 0.5 A apart, known to ± 0.66 A only: too little to tell a resistance
              > In the rows [[part.pack.load_test]] read the second row at a current that is greater by far.
        "#]],
    );
}

#[test]
fn a_load_test_of_one_cell_is_not_that_of_the_pack() {
    check(
        |craft| {
            row(craft, "pack", "load_test", &[("current", "2 A"), ("voltage", "3.85 V")]);
            row(craft, "pack", "load_test", &[("current", "20 A"), ("voltage", "3.7 V")]);
        },
        expect![[r#"
            17 sound
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown feed.dropout · rails at a punch
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: the load test of 650 pack shows 3.85 V at 2 A: 0.96 V a cell, where one holds 2 V to 4.3 V
              > In the rows [[part.pack.load_test]] write voltage as read across the whole pack.
        "#]],
    );
}

#[test]
fn a_pack_below_freezing_beyond_what_cells_stand() {
    check(
        |craft| set(craft, "craft.pack_temperature", "-30 °C"),
        expect![[r#"
            18 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.dropout · rails at a punch
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: the pack at take-off, -30 °C, must lie between -20 °C and 60 °C, where cells are known
              > Keep it warm, and under [craft] write how warm it is: pack_temperature = "20 °C".
        "#]],
    );
}

#[test]
fn a_level_that_is_not_offered() {
    check(
        |craft| set(craft, "craft.level", "400 mW"),
        expect![[r#"
            8 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.wire_drop · supply wires of the video
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.inrush · start of the video
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown heat.bench_minutes · transmitter on the bench
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown heat.in_flight · transmitter in flight
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown heat.start_queue · wait on the line
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown heat.fold_back · level when hot
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown heat.touch · case in the hand
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: Lanner small air unit offers no level of 400 mW
              > Under [craft] write as level one of 25 mW, 200 mW, or a row [[part.vtx.level]] for it.
        "#]],
    );
}

#[test]
fn a_rail_that_is_fed_from_itself() {
    check(
        |craft| set(craft, "fc.rail[1].from", "9 V"),
        expect![[r#"
            12 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown wire.gauge · wire from fc/9V to vtx/VCC
                Nobody can say yet: rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.rail_load · loads off the pack
                Nobody can say yet: rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.wire_drop · supply wires of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.inrush · start of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/9 V from fc/9 V
              > In the row "9 V" of [[part.fc.rail]] take from = "9 V" out, and it hangs on what feeds the board.
        "#]],
    );
}

#[test]
fn a_converter_that_cannot_be() {
    check(
        |craft| set(craft, "fc.rail[1].input_max", "8 V"),
        expect![[r#"
            12 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown wire.gauge · wire from fc/9V to vtx/VCC
                Nobody can say yet: 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.rail_load · loads off the pack
                Nobody can say yet: 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.wire_drop · supply wires of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.inrush · start of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: least input of the converter 10 V must lie between 0 V and 8 V
              > Correct the row "9 V" of [[part.fc.rail]]: it lies below the greatest.
        "#]],
    );
    check(
        |craft| {
            set(craft, "fc.rail[1].derates_from", "90 °C");
            set(craft, "fc.rail[1].derates_to", "60 °C");
        },
        expect![[r#"
            12 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown wire.gauge · wire from fc/9V to vtx/VCC
                Nobody can say yet: 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.rail_load · loads off the pack
                Nobody can say yet: 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.wire_drop · supply wires of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.inrush · start of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": 9 V of flight controller: temperature at which the limit is gone 60 °C must lie between 90 °C and 250 °C
              > Correct the row "9 V" of [[part.fc.rail]]: it lies above the first.
        "#]],
    );
}

#[test]
fn a_board_that_hands_the_pack_on_to_itself() {
    let mut craft = sound_supply();
    let pin = |name: &'static str, number: &'static str, role: &'static str| {
        [("name", name), ("number", number), ("role", role)]
    };
    row(&mut craft, "fc", "pin", &pin("VIN", "7", "supply in"));
    let handed = pin("BV", "8", "supply out");
    row(&mut craft, "fc", "pin", &[&handed[..], &[("rail", "pack")]].concat());
    join(&mut craft, "fc/BV", "fc/VIN");
    let proof = Proof::new(&craft);
    let video = (crate::rules::rule_of("feed.video_at_punch").unwrap().run)(&proof).findings;
    assert_eq!(video[0].verdict, Verdict::Unknown);
    assert_eq!(
        video[0].message,
        "Nobody can say yet: Lanner small air unit hangs on \"fc/9 V\": flight controller feeds itself: fc/VIN from fc/BV"
    );
    assert_eq!(video[0].mends, ["Take the wire of fc/VIN from fc/BV to a pad that the pack feeds."]);
}

#[test]
fn a_board_that_its_own_rail_feeds_by_wire() {
    check(
        |craft| {
            row(craft, "fc", "pin", &[("name", "VIN"), ("number", "7"), ("role", "supply in")]);
            join(craft, "fc/5V", "fc/VIN");
        },
        expect![[r#"
            9 sound
            Unknown wire.gauge · lead of 650 pack
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown wire.gauge · wire from fc/5V to rx/5V
                Nobody can say yet: rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown wire.gauge · wire from fc/9V to vtx/VCC
                Nobody can say yet: rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown wire.gauge · wire from fc/5V to fc/VIN
                Nobody can say yet: rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.video_at_punch · video at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.fail_charge · charge at which a punch takes the picture
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.rail_load · loads off the pack
                Nobody can say yet: rails feed themselves: fc/5 V from fc/5 V; flight controller hangs on "fc/5 V": rails feed themselves: fc/5 V from fc/5 V; control receiver hangs on "fc/5 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.cell_least · weakest cell at a punch
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.wire_drop · supply wires of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.ripple_video · ripple at the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.inrush · start of the video
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown feed.flight_reserve · planned flight
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
            Unknown craft.landing_reserve · time left at landing
                Nobody can say yet: Lanner small air unit hangs on "fc/9 V": rails feed themselves: fc/5 V from fc/5 V
              > Take the wire of fc/VIN from fc/5V to a pad that the pack feeds.
        "#]],
    );
}
