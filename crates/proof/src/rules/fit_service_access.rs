//! Can card, USB socket and buttons be reached on the finished craft?

use crate::rule::rule;
use crate::subject::pull::{self, PullCase};
use crate::{Answer, Proof};

rule! {
    /// Can card slots, USB sockets and buttons be reached on the finished craft?
    ///
    /// ## Why
    /// A card slot that faces a standoff means taking the craft apart for every firmware load.
    ///
    /// ## Sound when
    /// A straight way of 15 mm out of a card slot or USB socket is free, with 95 % certainty, and has 2 mm of air on some
    /// two opposite sides for fingers; a stick 2 mm thick comes straight down on a button from 8 mm off. Tight when
    /// less than 2 mm are left beyond the way, or when it takes a tool for want of room beside it. Broken when something
    /// stands in the way. A pack comes off first.
    ///
    /// ## Rests on
    /// Where the socket or button is, which way it opens, and every solid near that way. The travel is common practice
    /// where the part does not state it.
    ///
    /// ## Mend
    /// Turn the board so that it opens to a free side.
    SERVICE_ACCESS = "fit.service_access", run
}

fn run(proof: &Proof) -> Answer {
    pull::answer(
        proof,
        &PullCase {
            rule: SERVICE_ACCESS.id,
            uses: &["usb", "card", "button"],
            does: "can be reached",
            does_not: "cannot be reached",
            by_hand: true,
        },
    )
}

#[cfg(test)]
mod tests {
    use super::SERVICE_ACCESS;
    use crate::testing::{row, set};
    use crate::testing_stack::{bay_is_sound, bay_told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&bay_told(&SERVICE_ACCESS, spoil));
    }

    fn wall(craft: &mut Craft, outline: &str, z: &str) {
        let facts = [
            ("name", "wall"),
            ("material", "moulded plastic"),
            ("thickness", "12 mm, measured"),
            ("z", z),
            ("outline", outline),
        ];
        row(craft, "frame", "plate", &facts);
    }

    #[test]
    fn sockets_slots_and_buttons_that_open_to_free_sides_are_sound() {
        bay_is_sound(&SERVICE_ACCESS);
    }

    #[test]
    fn a_card_slot_that_faces_a_wall_cannot_be_reached() {
        // The slot ends at y = -16 mm; a wall at y = -22 mm leaves 6 of the 15 mm.
        check(
            |craft| wall(craft, "-20,-26; 20,-26; 20,-22; -20,-22", "2 mm, measured"),
            expect![[r#"
                broken · card slot of video transmitter · -5.75 mm · 0 %
                  card slot of video transmitter comes only 6 mm of 15 mm: plate wall of bay frame is in the way
                  > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
            "#]],
        );
    }

    #[test]
    fn walls_on_two_neighbouring_sides_of_the_way_ask_for_a_tool() {
        // The socket is 8 mm wide about x = 20 mm: its way ends at x = 24 mm, the wall begins at x = 25 mm. One wall
        // leaves room for fingers above and below; a roof from 9.5 mm up, 1 mm over the socket's 8.5 mm, takes it.
        let beside = "25,18; 27,18; 27,40; 25,40";
        check(|craft| wall(craft, beside, "2 mm, measured"), expect![[""]]);
        check(
            |craft| {
                wall(craft, beside, "2 mm, measured");
                wall(craft, "14,20.5; 27,20.5; 27,40; 14,40", "9.5 mm, measured");
            },
            expect![[r#"
                tight · USB socket of flight controller · 1 mm · 100 %
                  USB socket of flight controller needs a tool: plate wall of bay frame leaves 1 mm beside its way, fingers want 2 mm on two opposite sides
                  > Turn flight controller to 180°: there it stands clear, its plugs come out and its holes meet; and tell its settings so.
            "#]],
        );
    }

    #[test]
    fn a_stick_reaches_a_button_through_a_hole_that_the_button_would_not_pass() {
        // A shelf 2.4 mm over the button, with a hole of 2.6 mm right over it: the stick is 2 mm square, its
        // corners 2.83 mm across: it does not pass. With 3.4 mm it does.
        let shelf = |craft: &mut Craft, hole: &str| {
            let facts = [
                ("name", "shelf"),
                ("material", "carbon"),
                ("thickness", "1 mm, measured"),
                ("z", "12 mm, measured"),
                ("outline", "18,-4; 34,-4; 34,12; 18,12"),
            ];
            row(craft, "frame", "plate", &facts);
            let facts = [("plate", "shelf"), ("u", "26 mm"), ("v", "4 mm"), ("diameter", hole)];
            row(craft, "frame", "hole", &facts);
        };
        check(
            |craft| shelf(craft, "2.6 mm, measured"),
            expect![[r#"
                broken · boot button of flight controller · -3.4 mm · 0 %
                  boot button of flight controller cannot be reached: plate shelf of bay frame is in the way
                  > Turn flight controller to 180°: there it stands clear, its plugs come out and its holes meet; and tell its settings so.
            "#]],
        );
        check(|craft| shelf(craft, "3.4 mm, measured"), expect![[""]]);
    }

    #[test]
    fn a_socket_without_a_direction_is_unknown() {
        check(
            |craft| set(craft, "fc.plug[0].pull", ""),
            expect![[r#"
            unknown · plugs of flight controller
              Nobody can say yet: the pull direction of plug "USB socket" of "flight controller" is not known
              > Measure or look up the pull direction of plug "USB socket" of "flight controller".
        "#]],
        );
    }
}
