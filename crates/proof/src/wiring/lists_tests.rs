//! What the lists of a wired craft say, word for word: what to solder, what to set, and the first power-up in its order.

use super::super::beside_the_wires;
use super::*;
use crate::testing_wiring::{rewire, sound_wiring};
use expect_test::expect;

#[test]
fn nothing_is_powered_while_a_supply_stands_on_ground() {
    let first = |craft: &craft::Craft| power_up_steps(&Proof::new(craft)).swap_remove(0).does;
    let mut craft = sound_wiring();
    assert!(first(&craft).starts_with("Take all blades off"));
    crate::testing_wiring::join(&mut craft, "vtx/G", "vtx/VCC");
    assert!(first(&craft).starts_with("Connect nothing yet"));
}

#[test]
fn the_lists_of_the_sound_craft() {
    let craft = sound_wiring();
    let proof = Proof::new(&craft);
    let model = proof.wiring().cloned();
    let rows = model.map_or_else(Vec::new, |model| model.solder_list());
    let csv = solder_csv(&rows, &beside_the_wires(&proof));
    expect![[r#"
        from,to,gauge (AWG),colour,length (mm),length is,pins
        fc/5V,rx/5V,28,red,35,worked out,
        fc/G1,rx/G,28,black,35,worked out,
        fc/T1,rx/RX,30,yellow,35,worked out,
        fc/R1,rx/TX,30,white,35,worked out,
        fc/9V,vtx/VCC,26,red,60,worked out,
        fc/G2,vtx/G,26,black,60,worked out,
        fc/T2,vtx/RX,30,green,60,worked out,
        fc/R2,vtx/TX,30,blue,60,worked out,
        "m-fl, m-fr, m-rl and m-rr","esc (three wires each, in any order; two of them swapped turn it the other way. None may touch another, or carbon)",,,,not a wire of the craft,12
        cam/harness,"vtx/camera by camera harness flat (pushed in at both ends before any power, its faces as the plugs want them)",,,,not a wire of the craft,
        vtx/coax 1,"pigtail tail (plugged in, and held, before any power)",,,,not a wire of the craft,
        tail/second end,"antenna stub (plugged in, and held, before any power)",,,,not a wire of the craft,
    "#]]
    .assert_eq(&csv.replace("\r\n", "\n"));
    assert_eq!(csv.matches("\r\n").count(), csv.lines().count(), "RFC 4180 ends each line so");
    expect![[r#"
        serial 2 of flight controller: video at 115200 Bd, for Lanner small air unit (read back: video at 115200 Bd).
        serial 1 of flight controller: control receiver at 420000 Bd, for control receiver (read back: control receiver at 420000 Bd).
        Air and ground units: channel 5800 MHz.
        flight controller: overlay grid 53×20, board turn 90° and failsafe drop.
        Motor directions: m-fl clockwise, m-fr anticlockwise, m-rl anticlockwise and m-rr clockwise."#]].assert_eq(&settings_list(&proof).join("\n"));
    let steps: Vec<String> = power_up_steps(&proof).into_iter().map(|step| step.does).collect();
    expect![[r#"
        Take all blades off. Look, and say so aloud.
        Look over every joint with a glass: bridges, whiskers, plus on minus, strands on carbon; where a capacitor has a stripe, that leg on minus.
        Meter from plus to minus of the pack lead, nothing connected.
        Put the antenna on every socket, and turn a fan on the air unit.
        Set a current-limited supply to 14.8 V and 0.5 A, video unplugged, and connect it.
        Measure the 5 V rail of flight controller.
        Measure the 9 V rail of flight controller.
        Measure at the lead that goes to vtx/VCC, 6 to 26 V, plus on the right pin.
        Off. Raise the limit to 0.9 A, for the start takes up to 0.64 A; plug the video in; it waits at standby level. On again.
        Read the settings back, port by port.
        Raise the limit to 2.3 A. Blades off: turn each motor by itself, slowly; the right one turns, the right way.
        Raise the limit to 4.7 A. Arm with the blades off, throttle at idle: the level must rise, all motors turn slowly.
        Switch the control transmitter off: the motors must stop within a second or two.
        Only then the pack, through a limiter the first time; blades on outdoors, last of all."#]]
    .assert_eq(&steps.join("\n"));
    let first = |word: &str| steps.iter().position(|step| step.contains(word));
    assert!(
        first("blades off") < first("Meter")
            && first("Meter") < first("antenna")
            && first("antenna") < first("current-limited")
    );
}

#[test]
fn a_crossed_pair_concerns_its_two_wires() {
    let mut craft = sound_wiring();
    rewire(&mut craft, "fc/T2", "vtx/TX");
    rewire(&mut craft, "fc/R2", "vtx/RX");
    let proved = crate::prove(&craft);
    let finding = proved.findings.iter().find(|finding| finding.rule == "wire.crossing");
    let found =
        finding.zip(proved.wiring.as_deref()).map(|(f, m)| wires_concerned(m, &f.subject, &f.message));
    assert_eq!(found, Some(vec![6, 7]));
}

/// Motors that idle with more than a small supply gives are armed from a pack behind a limiter, which then comes off last.
#[test]
fn large_motors_are_armed_from_a_pack_behind_a_limiter() {
    let mut craft = sound_wiring();
    let facts = [("throttle", "10 %"), ("thrust", "120 gf, measured"), ("current", "1.6 A, measured")];
    crate::testing::row(&mut craft, "motor", "thrust", &facts);
    let proof = Proof::new(&craft);
    let steps: Vec<String> = power_up_steps(&proof).into_iter().map(|step| step.does).collect();
    let last = &steps[steps.len() - 5..];
    expect![[r#"
        Read the settings back, port by port.
        Raise the limit to 3.9 A. Blades off: turn each motor by itself, slowly; the right one turns, the right way.
        From a pack, through a limiter that trips at 8.7 A or a fuse of the next size up, eyes and hands away: smoke means off at once. Arm with the blades off, throttle at idle: the level must rise, all motors turn slowly.
        Switch the control transmitter off: the motors must stop within a second or two.
        Only then the pack without its limiter; blades on outdoors, last of all."#]].assert_eq(&last.join("\n"));
}
