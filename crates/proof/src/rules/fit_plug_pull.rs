//! Can every plug be pulled without taking anything else out?

use crate::rule::rule;
use crate::subject::pull::{self, PullCase};
use crate::{Answer, Proof};

rule! {
    /// Can every plug be pulled without taking anything else out?
    ///
    /// ## Why
    /// If a standoff stands in the way of one plug, the stack must come apart for a new antenna lead, in the field, in
    /// the wind.
    ///
    /// ## Sound when
    /// The plug's own body, moved straight along its pull direction by its pull space, meets nothing, with 95 % certainty.
    /// Tight when less than 2 mm of travel are left beyond it, broken when something stands in the way. The pack comes
    /// off first, leads and straps are pushed aside, and an antenna on the plug goes with it: these are not in the way.
    ///
    /// ## Rests on
    /// The plug's place and size, its pull direction, and every solid near its way. Where the part does not state the
    /// pull space, custom: 6 mm for miniature coax, 5 for a camera harness, 10 for motor plugs, 8 otherwise.
    ///
    /// ## Mend
    /// Turn the board a quarter or flip it, move it, or take a plug that leaves another way.
    PLUG_PULL = "fit.plug_pull", run
}

fn run(proof: &Proof) -> Answer {
    pull::answer(
        proof,
        &PullCase {
            rule: PLUG_PULL.id,
            uses: &["power", "camera", "coax", "serial", "motor", "balance", "stack", "other"],
            does: "can be pulled",
            does_not: "cannot be pulled",
            by_hand: false,
        },
    )
}

#[cfg(test)]
mod tests {
    use super::PLUG_PULL;
    use crate::testing::{place, row, set};
    use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&PLUG_PULL, spoil));
    }

    #[test]
    fn plugs_with_a_free_way_are_sound() {
        bay_is_sound(&PLUG_PULL);
    }

    #[test]
    fn a_plate_over_a_plug_stops_it() {
        // The coax plug ends 12.5 mm up. A shelf whose underside is 16.5 mm up leaves 4 of its 6 mm.
        let shelf = |z: &str, craft: &mut Craft| {
            let facts = [
                ("name", "shelf"),
                ("material", "carbon"),
                ("thickness", "1 mm, measured"),
                ("z", z),
                ("outline", "-30,-10; -15,-10; -15,10; -30,10"),
            ];
            row(craft, "frame", "plate", &facts);
        };
        check(
            |craft| shelf("16.5 mm, measured", craft),
            expect![[r#"
                broken · plug coax of video transmitter · -2 mm · 0 %
                  plug coax of video transmitter comes only 4 mm of 6 mm: plate shelf of bay frame is in the way
                  > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
            "#]],
        );
        // At 18.4 mm it may just go, at 19.5 mm only 1 mm is left beyond.
        check(
            |craft| shelf("18.6 mm, data sheet", craft),
            expect![[r#"
                tight · plug coax of video transmitter · 0.1 mm · 66 %
                  plug coax of video transmitter can be pulled, but plate shelf of bay frame stands only 0.1 mm beside its way (66 % likely to hold)
                  > Measure the z of plate "shelf" of "bay frame" first: it decides.
                  > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
                  ? z of plate "shelf" of "bay frame"
            "#]],
        );
        check(
            |craft| shelf("19.5 mm, measured", craft),
            expect![[r#"
                tight · plug coax of video transmitter · 1 mm · 100 %
                  plug coax of video transmitter can be pulled, but plate shelf of bay frame stands 1 mm beyond its way
                  > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
            "#]],
        );
    }

    #[test]
    fn a_plug_that_looks_at_a_standoff_cannot_be_pulled() {
        // Looking back from x = -23.5 mm at the standoff whose nearest side stands at x = -33.5 mm, both at y = 16 mm.
        check(
            |craft| {
                set(craft, "vtx.plug[0].y", "16 mm, measured");
                set(craft, "vtx.plug[0].pull", "back");
                set(craft, "vtx.plug[0].pull_space", "12 mm");
            },
            expect![[r#"
                broken · plug coax of video transmitter · -2 mm · 0 %
                  plug coax of video transmitter comes only 10 mm of 12 mm: standoff rear left of bay frame is in the way
                  > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
            "#]],
        );
    }

    #[test]
    fn what_is_plugged_in_and_a_pack_do_not_stop_a_plug() {
        // An antenna that radiates over its whole length stands on the plug, the pack right over it.
        let stands = |craft: &mut Craft, from: &str| {
            set(craft, "antenna.active", "");
            place(craft, "antenna-2", "antenna", "vtx", &[("x", "-12 mm"), ("z", "8.5 mm")]);
            set(craft, "place antenna-2.from", from);
            place(craft, "pack-2", "pack", "frame", &[("z", "14 mm")]);
        };
        check(|craft| stands(craft, "vtx/coax"), expect![[""]]);
        // Not named as standing on the plug, the antenna is in the way.
        check(
            |craft| stands(craft, ""),
            expect![[r#"
                broken · plug coax of video transmitter · -3 mm · 0 %
                  plug coax of video transmitter cannot be pulled: element of antenna (antenna-2) is in the way
                  > Seat video transmitter on another hole pattern or flip it over, so that it opens to a free side.
                  > Or move antenna at antenna-2 out of its way.
            "#]],
        );
    }

    #[test]
    fn a_camera_plug_before_a_board_is_told_of_the_harness() {
        // The plug ends at x = 39 mm and must come back to 34; the board, moved 3 mm forward, ends at 36 mm.
        check(
            |craft| {
                set(craft, "place fc.z", "6 mm, measured");
                set(craft, "place fc.x", "3 mm, measured");
            },
            expect![[r#"
                broken · plug harness of nano camera · -0.6 mm · under 1 %
                  plug harness of nano camera comes only 3 mm of 5 mm: components on flight controller is in the way
                  > Take a harness whose plug leaves nano camera another way.
                  > Or move flight controller out of its way.
            "#]],
        );
    }

    #[test]
    fn a_plug_without_size_or_direction_is_unknown() {
        check(
            |craft| {
                set(craft, "vtx.plug[0].pull", "");
                set(craft, "cam.plug[0].length", "");
            },
            expect![[r#"
                unknown · plugs of video transmitter
                  Nobody can say yet: the pull direction of plug "coax" of "video transmitter" is not known
                  > Measure or look up the pull direction of plug "coax" of "video transmitter".
                unknown · plugs of nano camera
                  Nobody can say yet: the length of plug "harness" of "nano camera" is not known
                  > Measure or look up the length of plug "harness" of "nano camera".
            "#]],
        );
    }

    #[test]
    fn the_travel_of_custom_goes_by_the_use() {
        let told = |used: &str| bay_told_of(&PLUG_PULL, "coax", |craft| set(craft, "vtx.plug[0].use", used));
        for (used, travel) in [("coax", "6 mm"), ("camera", "5 mm"), ("serial", "8 mm")] {
            assert!(told(used).contains(&format!("straight, {travel} and more are free")), "{}", told(used));
        }
    }
}
