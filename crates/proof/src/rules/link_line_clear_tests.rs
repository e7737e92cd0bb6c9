//! Is a line through, beside and over what stands about told as it is?

use super::LINE_IS_CLEAR;
use crate::testing::{row, set};
use crate::testing_link::{link_is_sound, link_names_missing, link_told};
use craft::Craft;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&link_told(&LINE_IS_CLEAR, spoil));
}

#[test]
fn a_shed_aside_is_sound() {
    link_is_sound(&LINE_IS_CLEAR);
}

#[test]
fn a_line_through_a_shed_is_broken_and_says_how_to_pass_it() {
    check(
        |craft| {
            set(craft, "field.obstacle[0].aside", "-1 m");
            set(craft, "craft.fly_height", "3 m");
        },
        expect![[r#"
            broken · flying line and shed · -2 m · 0 %
              The flying line runs through shed from 47 m to 53 m: 3 m high, under its top at 5 m
              > Fly 6 m high and more over shed: enter that as the height flown at.
              > Or fly past it: with the line 4 m further to the left its middle lies -5 m aside; stand so, and enter that.
              > Or end the line before it: enter 46 m as the farthest planned.
              > If shed does not stand there, correct where its middle is, ahead and aside, and how large it is.
        "#]],
    );
}

#[test]
fn a_line_that_begins_or_ends_in_one_is_broken() {
    let inside = |ahead: &'static str| {
        move |craft: &mut Craft| {
            set(craft, "field.obstacle[0].aside", "6 m");
            set(craft, "field.obstacle[0].width", "14 m");
            set(craft, "field.obstacle[0].ahead", ahead);
            set(craft, "craft.fly_height", "3 m");
        }
    };
    check(
        inside("2 m"),
        expect![[r#"
        broken · station
          omni stands inside shed, and nobody could say what arrives there
          > Say where each stands, ahead and aside.
        broken · station
          patch stands inside shed, and nobody could say what arrives there
          > Say where each stands, ahead and aside.
        broken · flying line and shed · -1 m · 0 %
          The flying line begins inside shed and leaves it 5 m out: 3 m high, under its top at 5 m
          > Fly 6 m high and more over shed: enter that as the height flown at.
          > Or fly past it: with the line 2 m further to the right its middle lies 8 m aside; stand so, and enter that.
          > If shed does not stand there, correct where its middle is, ahead and aside, and how large it is.
    "#]],
    );
    check(
        inside("119 m"),
        expect![[r#"
        broken · flying line and shed · -1 m · 0 %
          The flying line ends inside shed, which it enters 116 m out: 3 m high, under its top at 5 m
          > Fly 6 m high and more over shed: enter that as the height flown at.
          > Or fly past it: with the line 2 m further to the right its middle lies 8 m aside; stand so, and enter that.
          > Or end the line before it: enter 115 m as the farthest planned.
          > If shed does not stand there, correct where its middle is, ahead and aside, and how large it is.
    "#]],
    );
}

#[test]
fn close_by_and_close_over_are_tight_and_a_turned_wall_counts_as_it_stands() {
    check(
        |craft| {
            set(craft, "field.obstacle[0].aside", "-4.4 m");
            set(craft, "craft.fly_height", "3 m");
        },
        expect![[r#"
            tight · flying line and shed · 0.4 m · 100 %
              The flying line passes shed by 0.4 m, 47 m out, closer than a craft is held by hand
              > Fly 6 m high and more over shed: enter that as the height flown at.
              > Or fly past it: with the line 1 m further to the left its middle lies -5 m aside; stand so, and enter that.
              > If shed does not stand there, correct where its middle is, ahead and aside, and how large it is.
        "#]],
    );
    check(
        |craft| {
            set(craft, "field.obstacle[0].aside", "0 m");
            set(craft, "craft.fly_height", "5.5 m");
        },
        expect![[r#"
            tight · flying line and shed · 0.5 m · 100 %
              The flying line passes 0.5 m over shed, closer than a craft is held by hand
              > Fly 6 m high and more over shed: enter that as the height flown at.
              > Or fly past it: with the line 5 m further to the left its middle lies -5 m aside; stand so, and enter that.
              > Or end the line before it: enter 46 m as the farthest planned.
              > If shed does not stand there, correct where its middle is, ahead and aside, and how large it is.
        "#]],
    );
    check(
        |craft| {
            set(craft, "field.obstacle[0].form", "wall");
            set(craft, "field.obstacle[0].aside", "3 m");
            set(craft, "field.obstacle[0].turn", "60°");
            set(craft, "craft.fly_height", "3 m");
        },
        expect![[r#"
            sound · flying line and shed · 1 m · 100 %
              The flying line passes shed by 1 m, 53 m out
        "#]],
    );
}

#[test]
fn a_station_under_a_roof_is_broken() {
    let told = link_told(&LINE_IS_CLEAR, |craft| {
        set(craft, "field.obstacle[0].ahead", "-2.5 m");
        set(craft, "field.obstacle[0].aside", "0.1 m");
    });
    assert!(told.contains("broken · station"), "{told}");
    assert!(told.contains("> Say where each stands, ahead and aside."), "{told}");
}

#[test]
fn what_stands_about_is_needed_unless_it_is_an_open_field() {
    let bare = |surroundings: &'static str| {
        move |craft: &mut Craft| {
            let field = craft.parts.iter_mut().find(|part| part.id.as_str() == "field");
            field.map(|field| field.tables.remove("obstacle"));
            set(craft, "field.surroundings", surroundings);
        }
    };
    check(
        bare("yard"),
        expect![[r#"
        unknown · flying line
          Nobody can say yet: nothing is entered that stands about "club field", and it is no open field
          > Enter every wall, building and row of trees as an obstacle of the station; or, if there is none, that its surroundings are an open field.
    "#]],
    );
    check(
        bare("open field"),
        expect![[r#"
        sound · flying line
          It is an open field, and nothing is entered that stands in it
    "#]],
    );
    let wooded = |surroundings: &'static str| {
        move |craft: &mut Craft| {
            bare(surroundings)(craft);
            let trees = [
                ("name", "limes"),
                ("form", "trees"),
                ("ahead", "50 m"),
                ("width", "20 m"),
                ("depth", "8 m"),
                ("height", "9 m"),
            ];
            row(craft, "field", "obstacle", &trees);
        }
    };
    check(
        wooded("yard"),
        expect![[r#"
            unknown · flying line
              Nobody can say yet: a yard lies between walls, and nothing but trees is entered about "club field"
              > Enter every wall and building as an obstacle of the station; or, if there is none, what its surroundings are: an open field, a park, woodland.
        "#]],
    );
    check(
        wooded("park"),
        expect![[r#"
            sound · flying line
              Of all that is entered about the station nothing is a wall or a building
        "#]],
    );
    link_names_missing(
        &LINE_IS_CLEAR,
        "field.obstacle[0].depth",
        r#"depth of obstacle "shed" of "club field""#,
    );
}
