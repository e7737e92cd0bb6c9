//! Is what stands in the way of the link told, with what mends it?

use super::SEEN_BEHIND_WALLS;
use crate::testing::set;
use crate::testing_link::{link_is_sound, link_told};
use craft::Craft;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&link_told(&SEEN_BEHIND_WALLS, spoil));
}

#[test]
fn a_shed_aside_is_sound() {
    link_is_sound(&SEEN_BEHIND_WALLS);
}

#[test]
fn of_a_line_through_a_shed_nobody_can_say() {
    check(
        |craft| {
            set(craft, "field.obstacle[0].aside", "0 m");
            set(craft, "craft.fly_height", "3 m");
        },
        expect![[r#"
            unknown · obstacles
              Nobody can say yet: the flying line runs through shed, where no craft is
              > Enter a line that passes it, over, aside or short of it: `link.line_clear` says by how much.
        "#]],
    );
}

#[test]
fn behind_a_shed_that_is_flown_over_it_is_broken_and_a_clear_place_is_told() {
    check(
        |craft| {
            set(craft, "field.obstacle[0].aside", "0 m");
            set(craft, "craft.fly_height", "6.2 m");
            set(craft, "field.obstacle[0].material", "metal");
            set(craft, "field.obstacle[0].thickness", "1 mm");
            set(craft, "field.obstacle[0].width", "20 m");
        },
        expect![[r#"
            broken · obstacles · -4.821 dB · 33 %
              Behind shed the picture is lost for 3.3 m in all between 115 m and 120 m, 1 m of it from 115 m to 116 m, and it breaks, holding less than 99 % of the time, for 19 m in all: 4.8 dB too little 119.91 m out, turning away to the left, banked 30°, where it holds under 0.1 % of the time, for it takes 30.9 dB and the craft's antenna, leaning as it does, and its body 1 dB; flown straight, nose home, 2.5 dB are still lacking there, and it holds 2 % of the time
              > Stand 40 m to the left: seen from there the worst place has 28.8 dB more, enough.
              > Or fly 12 m high there: then it holds 99 % of the time.
              > Or take better antennas, a patch of 11 dBi along the flying line in place of the patch, beside the circular omni, which looks to all other sides: 3 dB more at that place; turning away to the left, banked 30°, the picture then is lost for 0.6 m instead of 3.3 m and breaks for 8.1 m instead of 19 m; nose away it then holds to 114 m, where it now holds to 102 m.
              > See every term of it: `creance draw CRAFT budget --distance 119.91 --height 6.2 --heading 270 --bank=-30 --out budget.svg`.
              ? No single measurement would change this verdict, nor would two: it is 67 % certain now, and would be 67 % certain with every fact measured.
        "#]],
    );
}
