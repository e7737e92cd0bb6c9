//! The picture over the course of a small invented craft: bare for a screen, and two side by side on a page.

#![allow(clippy::unwrap_used)]

mod well_formed;

use craft::{Craft, read_sheet};
use drawing::chart::{Chart, Ground};
use drawing::{Beside, Page, beside_picture, course_picture, horizon_chart, is_page, pdf};
use proof::{CourseAsked, CourseSeen, LensView, OverCourse, course_seen, prove};
use quantity::{Degrees, Metres, MetresPerSecond};
use std::sync::Arc;
use well_formed::check_well_formed;

/// The small craft of the other pages, with a lens of a focal length and projection on its camera.
fn craft(focal_length: &str, projection: &str, circle: &str) -> Craft {
    let lens = format!(
        r#"
[part.lens]
kind = "lens"
name = "wide lens"
mass = "1.1 g, measured"
thread = "M8x0.5"
proud = "7 mm, measured"
head_diameter = "10 mm, measured"
barrel = "4 mm, measured"
image_circle = "{circle}, data sheet"
focal_length = "{focal_length}, data sheet"
projection = "{projection}"

[place.lens]
part = "lens"
on = "cam/lens mount"
"#
    );
    let camera =
        "kind = \"camera\"\npixel_pitch = \"2 µm, data sheet\"\npixels_across = 1920\npixels_down = 1080\n";
    let sheet = include_str!("pages/pipit.toml").replace("kind = \"camera\"\n", camera) + &lens;
    let reading = read_sheet(&sheet);
    assert!(!reading.is_refused(), "{:?}", reading.faults);
    reading.craft
}

fn seen(craft: &Craft) -> (CourseSeen, LensView) {
    let asked = CourseAsked { speed: Some(MetresPerSecond::new(9.0)), ..CourseAsked::default() };
    let seen = course_seen(craft, &Arc::default(), &asked);
    let view = seen.views[0].clone().unwrap();
    (seen, view)
}

fn page(one: &Craft, other: &Craft) -> Page {
    let (first, second) = (seen(one), seen(other));
    let beside = |(seen, view): &'static (CourseSeen, LensView), called: &'static str| Beside {
        seen,
        view,
        lens: "lens",
        called,
    };
    let pair = [Box::leak(Box::new(first)) as &_, Box::leak(Box::new(second)) as &_];
    beside_picture(one, &prove(one), [beside(pair[0], "as built"), beside(pair[1], "through <another>")])
}

#[test]
fn every_lens_turned_any_way_makes_a_well_formed_picture_without_letters() {
    for (focal_length, projection, circle) in [
        ("1.1 mm", "equidistant", "4.2 mm"),
        ("2.1 mm", "rectilinear", "6 mm"),
        ("0.8 mm", "equisolid", "9 mm"),
        ("1.6 mm", "stereographic", "6 mm"),
        ("0.7 mm", "equidistant", "9 mm"),
    ] {
        let (_, view) = seen(&craft(focal_length, projection, circle));
        for (left, nose_down) in [(0.0, 0.0), (180.0, 60.0), (-75.0, -30.0), (20.0, 85.0)] {
            let flight = OverCourse {
                before_gate: Metres::new(3.0),
                left: Degrees::new(left),
                nose_down: Degrees::new(nose_down),
            };
            let svg = course_picture(&view, &flight);
            check_well_formed(&svg);
            assert!(!svg.contains("<text") && !svg.contains("NaN") && !svg.contains("inf"), "{projection}");
        }
    }
}

#[test]
fn two_pictures_stand_side_by_side_with_what_the_second_gains_and_gives_up() {
    let page = page(&craft("1.1 mm", "equidistant", "9 mm"), &craft("1.5 mm", "equidistant", "9 mm"));
    check_well_formed(&page.svg);
    assert!(is_page(page.svg.as_bytes()));
    for words in [
        "First: as built, 16 : 9 picture",
        "Second: through &lt;another&gt;",
        "The second gains 36 % of the detail in the middle",
        "The second gives up",
        "view from bottom to top",
        "second more by",
        "8 m before the first gate, at 9 m/s",
    ] {
        assert!(page.svg.contains(words), "{words}");
    }
    // Neither cuts the other's light.
    assert!(!page.svg.contains("lit-0") && !page.svg.contains("lit-1"));
    assert!(pdf(&[page], "over the course").unwrap().starts_with(b"%PDF-"));
}

#[test]
fn the_dark_beyond_each_circle_is_its_own_and_like_pictures_say_so() {
    let one = craft("1.1 mm", "equidistant", "4.2 mm");
    let page = page(&one, &one);
    check_well_formed(&page.svg);
    assert!(page.svg.contains("lit-0") && page.svg.contains("lit-1"));
    assert!(page.svg.contains("Both show alike."));
    // Where both are dark there is nothing to compare.
    assert!(!page.svg.contains("corner to corner"));
    let lit = craft("1.1 mm", "equidistant", "9 mm");
    let page = self::page(&one, &lit);
    assert!(page.svg.contains("dark there") && page.svg.contains("corner to corner"));
}

#[test]
fn the_chart_says_at_which_speed_the_lens_looks_level() {
    let (mut seen, view) = seen(&craft("1.1 mm", "equidistant", "9 mm"));
    // Nothing is known of this craft's mass.
    assert!(horizon_chart(&view, &seen).is_none());
    seen.leaning = (0..=30).map(f64::from).map(|speed| [speed, 1.5 * speed, 1.0]).collect();
    let chart = horizon_chart(&view, &seen).unwrap();
    let told = chart.told().unwrap();
    assert!(told.contains("horizon in the lower half"), "{told}");
    let Chart::Curves(curves) = &chart else { panic!("these are curves") };
    assert!(curves.caption.message.starts_with("At 17 m/s the lens looks level"), "{:?}", curves.caption);
    check_well_formed(&chart.picture(120.0, Ground::Paper).unwrap());
}
