//! What the lens of a small invented craft sees: a locked page, its words, other shapes of picture, and craft that show none.
//!
//! To take over a picture after a look at it: `UPDATE_EXPECT=1 cargo test -p drawing`.

#![allow(clippy::unwrap_used)]

mod well_formed;

use craft::{Craft, read_sheet};
use drawing::{Page, bare_picture, is_page, pdf, view_picture};
use expect_test::expect_file;
use proof::{CourseAsked, Proved, SeenAs, prove};
use well_formed::check_well_formed;

/// The small craft of the other pages, with a wide lens on its camera.
fn sheet() -> String {
    let lens = r#"
[part.lens]
kind = "lens"
name = "wide lens"
mass = "1.1 g, measured"
thread = "M8x0.5"
proud = "7 mm, measured"
head_diameter = "10 mm, measured"
barrel = "4 mm, measured"
image_circle = "4.2 mm, data sheet"
focal_length = "1.1 mm, data sheet"
projection = "equidistant"

[place.lens]
part = "lens"
on = "cam/lens mount"
"#;
    let camera =
        "kind = \"camera\"\npixel_pitch = \"2 µm, data sheet\"\npixels_across = 1920\npixels_down = 1080\n";
    include_str!("pages/pipit.toml").replace("kind = \"camera\"\n", camera) + lens
}

fn read(sheet: &str) -> (Craft, Proved) {
    let reading = read_sheet(sheet);
    assert!(!reading.is_refused(), "{:?}", reading.faults);
    let proved = prove(&reading.craft);
    (reading.craft, proved)
}

fn pages(sheet: &str) -> Vec<Page> {
    let (craft, proved) = read(sheet);
    view_picture(&craft, &proved, &CourseAsked::default()).unwrap()
}

#[test]
fn the_page_is_as_reviewed() {
    let (craft, mut proved) = read(&sheet());
    // What other rules say is counted on the page and is no matter of this picture.
    proved.findings.retain(|finding| finding.rule.starts_with("view."));
    let pages = view_picture(&craft, &proved, &CourseAsked::default()).unwrap();
    expect_file!["pages/view.svg"].assert_eq(&pages[0].svg);
}

#[test]
fn the_page_says_what_fills_the_picture_and_what_clears_it() {
    let (craft, proved) = read(&sheet());
    let svg = &view_picture(&craft, &proved, &CourseAsked::default()).unwrap()[0].svg;
    let finding = proved.findings.iter().find(|finding| finding.rule == "view.blades_in_picture").unwrap();
    let spoken = svg.split("</desc>").next().unwrap();
    assert!(spoken.contains(&finding.message) && spoken.contains(&finding.mends[0]), "{spoken}");
    let fills = proved.views[0].as_ref().unwrap().fills();
    assert!(fills.of(SeenAs::Blades).get() > 1.0 && fills.of(SeenAs::Arms).get() >= 0.0);
    let all: f64 = fills.by_kind.iter().map(|(_, share)| share.get()).sum();
    assert!((all + fills.free.get() - 100.0).abs() < 1e-6);
    let blades = format!("{} %", (fills.of(SeenAs::Blades).get() * 10.0).round() / 10.0);
    assert!(spoken.contains(&format!("blades, as discs: {blades}")), "{spoken}");
    for words in [
        "blades, as discs",
        "dark, of the whole frame",
        "equidistant, r = f · θ",
        "16 : 9 picture, camera tilted 25°",
    ] {
        assert!(svg.contains(words), "{words}");
    }
}

#[test]
fn every_shape_of_picture_and_every_name_makes_a_well_formed_page() {
    let hostile = "<script>alert(1)</script> & \\\"x\\\" ]]> onload= 長い名前 Ωж";
    let spoilt = [
        sheet().replace("wide lens", hostile).replace("name = \"Pipit\"", &format!("name = \"{hostile}\"")),
        sheet().replace("pixels_across = 1920", "pixels_across = 1440"),
        sheet().replace("pixels_across = 1920", "pixels_across = 500"),
        sheet().replace("equidistant", "rectilinear"),
        sheet().replace("pitch = \"25°\"", "pitch = \"-80°\""),
        sheet().replace("focal_length = \"1.1 mm, data sheet\"", "focal_length = \"0.6 mm, data sheet\""),
    ];
    for sheet in spoilt {
        let pages = pages(&sheet);
        for page in &pages {
            check_well_formed(&page.svg);
            assert!(!page.svg.contains("<script") && is_page(page.svg.as_bytes()));
        }
        assert!(pdf(&pages, "what the lens sees").unwrap().starts_with(b"%PDF-"));
        let (_, proved) = read(&sheet);
        if let Ok(view) = &proved.views[0] {
            check_well_formed(&bare_picture(view, &proved.solids));
        }
    }
}

#[test]
fn a_lens_nobody_can_look_through_says_why_on_its_page() {
    let page = &pages(&sheet().replace("focal_length = \"1.1 mm, data sheet\"\n", ""))[0].svg;
    check_well_formed(page);
    assert!(page.contains("Nobody can say yet: the focal length of &quot;wide lens&quot; is not known."));
}

#[test]
fn a_craft_without_a_lens_on_a_camera_says_what_to_do() {
    let told = |sheet: &str| {
        let (craft, proved) = read(sheet);
        view_picture(&craft, &proved, &CourseAsked::default()).unwrap_err().to_string()
    };
    assert_eq!(
        told(include_str!("pages/pipit.toml")),
        "no lens of \"Pipit\" is seated on a camera, so there is no picture to show; put a lens on its camera first"
    );
}

#[test]
fn a_tilt_beyond_the_stop_is_marked_in_words_and_by_a_sign() {
    let pages = pages(include_str!("../../../demo/fieldfare.toml"));
    let svg = &pages[0].svg;
    // It is set to 15° and stops at 21.4° under the top plate: 25°, 35° and 45° cannot be had.
    let struck = svg.matches("cannot be set: stops at 21.4°").count();
    assert!(struck >= 3, "{struck}");
    assert_eq!(svg.matches(r#"r="2.6""#).count(), struck, "each has its sign");
    let texts: Vec<&str> = svg.split('>').filter_map(|piece| piece.strip_suffix("</text")).collect();
    assert!(texts.join(" ").contains("cannot be set: stops at 21.4° by top plate of"), "{texts:?}");
    // What can be set has neither.
    assert!(!self::pages(&sheet())[0].svg.contains("cannot be set"));
}

#[test]
fn a_lens_inside_a_plate_is_told_before_what_it_sees() {
    let brambling = include_str!("../../../demo/brambling.toml");
    // So high the lens stands in the top plate, its front free before it.
    let sheet = brambling.replacen("on = \"frame/nose\"", "on = \"frame/nose\"\nz = \"9 mm, measured\"", 1);
    assert_ne!(sheet, brambling);
    let page = &pages(&sheet)[0];
    let told = page.svg.find("stands inside top plate of Brambling frame");
    let seen = page.svg.find("No blade stands in the picture");
    assert!(told.is_some() && told < seen, "{told:?} {seen:?}");
    assert!(page.svg.contains(">broken</text>"));
    assert!(!pages(brambling)[0].svg.contains("stands inside"));
}
