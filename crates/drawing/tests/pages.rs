//! Exploded view, template and bench card of a small invented craft: locked pictures, well-formed XML, PDF and PNG true to
//! scale, names that try to break out, craft with nothing and with far too much.
//!
//! To take over a picture after a look at it: `UPDATE_EXPECT=1 cargo test -p drawing`.

#![allow(clippy::unwrap_used)]

mod well_formed;

use craft::{Craft, CraftId, apply, read_sheet};
use drawing::print::{PrintKind, Wanted, print_for};
use drawing::{CHECK_LINE, Page, TemplateFault, View, card, draw, exploded, is_page, pdf, png, template};
use expect_test::expect_file;
use fit::{BodyPoint, OwnerIndex, Pose, Role, Shape, Solid};
use proof::{CraftSolid, Material, Piece, Proved, prove};
use quantity::Millimetres;
use well_formed::check_well_formed;

const PIPIT: &str = include_str!("pages/pipit.toml");

fn read(sheet: &str) -> (Craft, Proved) {
    let reading = read_sheet(sheet);
    assert!(!reading.is_refused(), "{:?}", reading.faults);
    let proved = prove(&reading.craft);
    (reading.craft, proved)
}

fn pipit() -> (Craft, Proved) {
    read(PIPIT)
}

/// Every kind of page of a craft; those of a template only where there is one.
fn all_pages(craft: &Craft, proved: &Proved) -> Vec<Page> {
    let mut pages = exploded(craft, proved);
    pages.extend(card(craft, proved, Some("2031-05-04")));
    pages.extend(template(craft, proved, None).unwrap_or_default());
    pages
}

#[test]
fn the_pages_are_as_reviewed() {
    let (craft, proved) = pipit();
    let exploded = exploded(&craft, &proved);
    expect_file!["pages/exploded.svg"].assert_eq(&exploded[0].svg);
    let card = card(&craft, &proved, Some("2031-05-04"));
    expect_file!["pages/card-1.svg"].assert_eq(&card[0].svg);
    expect_file!["pages/card-2.svg"].assert_eq(&card[1].svg);
    let template = template(&craft, &proved, None).unwrap();
    expect_file!["pages/template.svg"].assert_eq(&template[0].svg);
}

#[test]
fn a_card_has_two_pages_and_says_its_day_only_if_told() {
    let (craft, proved) = pipit();
    let dated = card(&craft, &proved, Some("2031-05-04"));
    assert!(dated.len() == 2 && dated.iter().all(|page| page.svg.contains("2031-05-04")));
    let undated = card(&craft, &proved, None);
    assert!(undated.iter().all(|page| page.svg.contains("3-inch, open</text>")));
}

#[test]
fn screws_come_after_what_they_hold_and_blades_and_pack_last() {
    let (craft, proved) = pipit();
    let words = exploded(&craft, &proved).remove(0).svg;
    let words = words.split("</desc>").next().unwrap();
    let at = |what: &str| words.find(what).unwrap_or_else(|| panic!("{what} in {words}"));
    let order = [
        "Pipit frame: plates",
        "1404 motor",
        "soft mounts",
        "speed controller",
        "4 × M2×8",
        "cage plate",
        "Top plate",
        "2 × M3×6",
        "3-inch blades",
        "four-cell pack",
    ];
    assert!(order.windows(2).all(|pair| at(pair[0]) < at(pair[1])), "{words}");
}

#[test]
fn a_screw_says_size_torque_and_thread_lock() {
    let (craft, proved) = pipit();
    let told: String = exploded(&craft, &proved).iter().map(|page| page.svg.as_str()).collect();
    for words in [
        "M2 × 8 mm; 0.1 to 0.2 N·m (custom)",
        "M3 × 6 mm; 0.3 to 0.6 N·m (custom)",
        "Thread lock on metal in metal only",
    ] {
        assert!(told.contains(words), "{words}");
    }
}

#[test]
fn a_board_that_meets_no_hole_gets_its_holes_drawn_to_be_drilled() {
    let (craft, proved) = pipit();
    let sheet: String = template(&craft, &proved, None).unwrap().into_iter().map(|page| page.svg).collect();
    assert_eq!(sheet.matches("drill for video board").count(), 4);
    // Clearance hole for M2, medium series of ISO 273.
    assert!(sheet.contains(">2.40</text>") && sheet.contains(CHECK_LINE));
    // 25.5 about the middle of the rear pattern at -28, from the rear edge at -60: 32 + 12.75 and 32 - 12.75.
    assert!(sheet.contains(">44.75</text>") && sheet.contains(">19.25</text>"), "{sheet}");
    assert!(sheet.contains("measured from its rear edge (x) and its right edge (y)"), "{sheet}");
}

fn whole_template(sheet: &str) -> String {
    let (craft, proved) = read(sheet);
    template(&craft, &proved, None).unwrap().into_iter().map(|page| page.svg).collect()
}

#[test]
fn every_plate_of_the_frame_is_drawn_with_the_holes_of_what_is_screwed_to_it() {
    let told = whole_template(PIPIT);
    for plate in ["bottom plate", "top plate", "left cage plate", "right cage plate"] {
        assert!(told.contains(&format!(">{plate} of Pipit frame (frame)</text>")), "{plate}");
    }
    // Each standoff is screwed to bottom and top plate; clearance hole for M3, medium series of ISO 273.
    assert_eq!(told.matches("left standoff, M3").count(), 2, "{told}");
    assert_eq!(told.matches("right standoff, M3").count(), 2);
    assert_eq!(told.matches(">3.40</text>").count(), 4);
    // The camera does not say its side screw: its middle is marked, its diameter is not made up.
    assert_eq!(told.matches(">nose camera mount, axis</text>").count(), 2);
    assert!(told.contains(">?</text>") && told.contains("The diameter of hole 1 is not known"), "{told}");
}

#[test]
fn what_is_wanted_and_cannot_be_drawn_is_told_on_the_page() {
    let told = whole_template(PIPIT);
    assert!(told.contains("Not drawn on this template"));
    assert!(told.contains("front left motor: no plate lies under it, so its 12 mm circle is not drawn."));
    let short = whole_template(&PIPIT.replace(
        "hole = \"2.2 mm, measured\"\nscrew = \"M2\"\n\n[[part.frame.pattern]]",
        "screw = \"M2\"\n\n[[part.frame.pattern]]",
    ));
    assert!(short.contains("stack 20 pattern in bottom plate: the diameter of its holes is not entered"));
}

#[test]
fn a_motor_has_its_circle_in_the_plate_under_it_measured_from_its_middle() {
    let arm = "[[part.frame.plate]]\nname = \"left arm\"\nrole = \"arm\"\nmaterial = \"carbon\"\nthickness = \"3 mm, measured\"\n\
               z = \"-3 mm, measured\"\noutline = [[65, 50], [65, 70], [45, 70], [45, 50]]\n\n[[part.frame.hole]]";
    let told = whole_template(&PIPIT.replacen("[[part.frame.hole]]", arm, 1));
    assert_eq!(told.matches(">front left motor, ").count(), 4, "{told}");
    assert!(told.contains("measured from the middle of front left motor"));
    assert!(told.contains("No hole is entered that holds it"));
    // Four on a circle of 12 mm, in the corners of the square arm: 6 mm times the cosine of 45 degrees.
    assert!(told.contains(">4.24</text>") && told.contains(">-4.24</text>"));
}

#[test]
fn a_plate_too_large_for_paper_does_not_take_the_others_along() {
    let huge = PIPIT.replace(
        "[[60, -18], [60, 18], [-60, 18], [-60, -18]]",
        "[[900, -900], [900, 900], [-900, 900], [-900, -900]]",
    );
    let told = whole_template(&huge);
    assert!(told.contains("at most 12") && told.contains("top plate of Pipit frame"));
}

#[test]
fn a_template_is_chosen_by_place_and_name() {
    let (craft, proved) = pipit();
    let titles = |of: &str| template(&craft, &proved, Some(of)).map(|pages| pages[0].svg.clone());
    assert!(titles("frame/top plate").unwrap().contains("top plate of Pipit frame (frame)"));
    assert!(titles("frame/stack 20").unwrap().contains("Pattern stack 20 of Pipit frame"));
    assert!(titles("frame").unwrap().contains("left cage plate"));
    let told = |of: &str| titles(of).unwrap_err().to_string();
    assert_eq!(told("fram"), r#"there is no place "fram" in "Pipit"; did you mean "frame"?"#);
    assert!(
        told("frame/middle")
            .starts_with(r#""Pipit frame" at "frame" has no plate or pattern "middle"; it has bottom plate"#)
    );
    assert!(told("pack").contains("has no plate and no hole pattern"));
    assert!(told("../frame").contains("no place"));
}

#[test]
fn a_plate_that_cannot_be_built_says_why() {
    let crossed = PIPIT.replace(
        "[[40, -18], [40, 18], [-60, 18], [-60, -18]]",
        "[[40, -18], [-60, 18], [40, 18], [-60, -18]]",
    );
    let (craft, proved) = read(&crossed);
    let fault = template(&craft, &proved, Some("frame/top plate")).unwrap_err();
    assert!(
        matches!(&fault, TemplateFault::Unbuilt { .. }) && fault.to_string().contains("cross"),
        "{fault}"
    );
}

#[test]
fn a_plate_larger_than_the_paper_is_tiled_with_crosses_to_join_it_by() {
    let large = PIPIT.replace(
        "[[60, -18], [60, 18], [-60, 18], [-60, -18]]",
        "[[160, -118], [160, 118], [-160, 118], [-160, -118]]",
    );
    let (craft, proved) = read(&large);
    let pages = template(&craft, &proved, Some("frame/bottom plate")).unwrap();
    assert!(pages.len() >= 4, "{}", pages.len());
    let tiles: Vec<&Page> = pages.iter().filter(|page| page.svg.contains("clipPath")).collect();
    assert_eq!(tiles.len(), 4);
    for tile in tiles {
        check_well_formed(&tile.svg);
        assert!(tile.svg.contains(">1a</text>") && tile.svg.contains(">1d</text>"));
    }
    let huge = PIPIT.replace(
        "[[60, -18], [60, 18], [-60, 18], [-60, -18]]",
        "[[900, -900], [900, 900], [-900, 900], [-900, -900]]",
    );
    let (craft, proved) = read(&huge);
    let fault = template(&craft, &proved, Some("frame/bottom plate")).unwrap_err().to_string();
    assert!(fault.contains("1800 × 1800 mm") && fault.contains("at most 12"), "{fault}");
}

#[test]
fn every_page_is_well_formed_whatever_things_are_called() {
    let hostile = "<script>alert(1)</script> & \\\"x\\\" ]]> onload= 長い名前 Ωж";
    let sheet =
        PIPIT.replace("Pipit frame", hostile).replace("video board, 25.5", hostile).replace("M2×8", hostile);
    let sheet = sheet.replace("name = \"Pipit\"", &format!("name = \"{hostile}\""));
    let (craft, proved) = read(&sheet);
    let pages = all_pages(&craft, &proved);
    assert!(pages.len() > 3);
    for page in &pages {
        check_well_formed(&page.svg);
        assert!(!page.svg.contains("<script"));
    }
    assert!(pdf(&pages, hostile).unwrap().starts_with(b"%PDF-"));
}

#[test]
fn a_craft_with_nothing_has_its_pages_and_no_template() {
    let craft = Craft::new(CraftId::from_name("bare"), "Bare");
    let proved = prove(&craft);
    let pages = all_pages(&craft, &proved);
    assert_eq!(pages.len(), 3);
    for page in &pages {
        check_well_formed(&page.svg);
    }
    assert!(pages[0].svg.contains("Nothing has a size and a place yet."));
    assert_eq!(template(&craft, &proved, None).unwrap_err(), TemplateFault::Nothing { craft: "Bare".into() });
    assert!(pdf(&pages, "Bare").is_ok());
}

#[test]
fn a_craft_of_ten_thousand_solids_is_drawn_in_part_and_says_so() {
    let (craft, _) = pipit();
    let solid = |n: usize| {
        let (x, y) = ((n % 100) as f64, (n / 100) as f64);
        let size = 1.0 + (n % 7) as f64 / 10.0;
        let shape = Shape::cuboid(mm(size), mm(size), mm(size)).unwrap();
        let pose = Pose::at(BodyPoint::new(2.0 * x, 2.0 * y, 0.0));
        let solid = Solid {
            name: format!("cube {n}"),
            owner: OwnerIndex(2),
            role: Role::Other,
            shape,
            pose,
            drifts: vec![],
        };
        CraftSolid { solid, place: 2, material: Material::Plastic, ghost: false, piece: Piece::OneOf(n) }
    };
    let proved = Proved {
        solids: (0..10_000).map(solid).collect(),
        anchors: vec![None; craft.places.len()],
        ..Proved::default()
    };
    let top = draw(&craft, &proved, View::Top);
    assert!(top.contains("Simplified: the 7000 smallest of 10000 solids are not drawn."));
    let apart = exploded(&craft, &proved).remove(0).svg;
    assert!(apart.contains("solids are not drawn."), "the exploded view says that it is simplified");
    assert!(top.len() < 3_000_000 && apart.len() < 3_000_000, "{} and {} bytes", top.len(), apart.len());
}

fn mm(size: f64) -> Millimetres {
    Millimetres::new(size)
}

#[test]
fn a_pdf_has_a_sheet_of_a4_for_each_page() {
    let (craft, proved) = pipit();
    let upright = pdf(&card(&craft, &proved, None), "Pipit").unwrap();
    assert_eq!(media_boxes(&upright), vec![[595.28, 841.89]; 2]);
    let across = pdf(&exploded(&craft, &proved)[..1], "Pipit").unwrap();
    assert_eq!(media_boxes(&across), vec![[841.89, 595.28]]);
    assert!(is_page(&upright) && !is_page(b"%PDF-1.7 of somebody else"));
    assert_eq!(
        upright,
        pdf(&card(&craft, &proved, None), "Pipit").unwrap(),
        "the same pages give the same bytes"
    );
}

/// Width and height of every page, to a hundredth of a point.
fn media_boxes(pdf: &[u8]) -> Vec<[f64; 2]> {
    let text = String::from_utf8_lossy(pdf);
    let size = |part: &str| {
        let inside = part.split(']').next().unwrap().trim_start_matches([' ', '[']);
        let numbers: Vec<f64> = inside.split_whitespace().map(|n| n.parse().unwrap()).collect();
        [numbers[2] - numbers[0], numbers[3] - numbers[1]].map(|n| (n * 100.0).round() / 100.0)
    };
    text.split("/MediaBox").skip(1).map(size).collect()
}

#[test]
fn a_template_filled_in_at_300_dots_an_inch_measures_as_it_should() {
    const DOTS: u32 = 300;
    let (craft, proved) = pipit();
    let page = &template(&craft, &proved, Some("frame/stack 20")).unwrap()[0];
    let bytes = png(page, 1, DOTS).unwrap();
    assert!(is_page(&bytes) && bytes.windows(4).any(|name| name == b"pHYs"));
    let picture = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    let a_mm = f64::from(DOTS) / 25.4;
    assert_eq!([picture.width(), picture.height()], [2480, 3508]);
    // How dark a dot is, from 0 to 1.
    let ink = |x: usize, y: usize| {
        let dot = picture.pixel(x as u32, y as u32).unwrap();
        1.0 - (f64::from(dot.red()) + f64::from(dot.green()) + f64::from(dot.blue())) / 765.0
    };
    // The bar stands at the foot: the longest run of a row is its line; its ends are the middles of the long ticks.
    let (row, _) = (2480..3480)
        .map(|y| (y, (0..2480).map(|x| ink(x, y)).sum::<f64>()))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap();
    let above = row - (1.9 * a_mm) as usize;
    let ticks = middles((0..2480).map(|x| ink(x, above)));
    assert_eq!(ticks.len(), 2, "{ticks:?}");
    assert!(((ticks[1] - ticks[0]) / a_mm - 100.0).abs() < 0.05, "{ticks:?}");
    // The crosses of the four holes: the square's sides are 20 mm.
    let spots: Vec<[f64; 2]> = circles(&page.svg);
    assert_eq!(spots.len(), 4);
    let measured: Vec<[f64; 2]> = spots.iter().map(|spot| centroid(&ink, *spot, 1.4, a_mm)).collect();
    for (a, b) in [(0, 1), (1, 2), (2, 3), (3, 0)] {
        let side = (measured[a][0] - measured[b][0]).hypot(measured[a][1] - measured[b][1]);
        assert!((side - 20.0).abs() < 0.05, "{side} mm between holes {} and {}", a + 1, b + 1);
    }
}

/// The middles of the dark runs of a row, in dots.
fn middles(row: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut all = Vec::new();
    let (mut sum, mut weight) = (0.0, 0.0);
    for (x, ink) in row.enumerate() {
        if ink > 0.05 {
            sum += (x as f64 + 0.5) * ink;
            weight += ink;
        } else if weight > 0.0 {
            all.push(sum / weight);
            (sum, weight) = (0.0, 0.0);
        }
    }
    all
}

/// Where the circles of a page stand, in mm.
fn circles(svg: &str) -> Vec<[f64; 2]> {
    let number = |part: &str, name: &str| -> f64 {
        part.split(&format!("{name}=\"")).nth(1).unwrap().split('"').next().unwrap().parse().unwrap()
    };
    svg.split("<circle ").skip(1).map(|part| [number(part, "cx"), number(part, "cy")]).collect()
}

/// The middle of the ink within a radius of a spot, in mm.
fn centroid(ink: &dyn Fn(usize, usize) -> f64, spot: [f64; 2], radius: f64, a_mm: f64) -> [f64; 2] {
    let [cx, cy] = spot.map(|at| at * a_mm);
    let reach = radius * a_mm;
    let (mut sum, mut weight) = ([0.0; 2], 0.0);
    for y in (cy - reach) as usize..=(cy + reach) as usize {
        for x in (cx - reach) as usize..=(cx + reach) as usize {
            let at = [x as f64 + 0.5, y as f64 + 0.5];
            if (at[0] - cx).hypot(at[1] - cy) <= reach {
                let ink = ink(x, y);
                sum = [sum[0] + ink * at[0], sum[1] + ink * at[1]];
                weight += ink;
            }
        }
    }
    sum.map(|s| s / weight / a_mm)
}

#[test]
fn a_wedge_is_drilled_for_in_the_plate_it_stands_on_and_measures_true() {
    const DOTS: u32 = 300;
    let (before, proved) = read(include_str!("../../../demo/brambling.toml"));
    let drilled = |craft: &Craft, proved: &Proved, of: Option<&str>| -> Vec<Page> {
        let pages = template(craft, proved, of).unwrap_or_default();
        pages.into_iter().filter(|page| page.svg.contains("drill for wedge")).collect()
    };
    assert_eq!(drilled(&before, &proved, None), []);
    let printed = print_for(&before, PrintKind::Wedge, &Wanted::default()).unwrap();
    let after = apply(&before, &printed.step).unwrap();
    let proved = prove(&after);
    assert_eq!(drilled(&after, &proved, None).len(), 1, "the next work at the bench");
    assert_eq!(drilled(&after, &proved, Some("frame/top plate")), []);
    let page = &drilled(&after, &proved, Some("frame/bottom plate"))[0];
    assert_eq!(page.svg.matches("drill for wedge-cam, M2").count(), 2);

    let picture = resvg::tiny_skia::Pixmap::decode_png(&png(page, 1, DOTS).unwrap()).unwrap();
    let ink = |x: usize, y: usize| {
        let dot = picture.pixel(x as u32, y as u32).unwrap();
        1.0 - (f64::from(dot.red()) + f64::from(dot.green()) + f64::from(dot.blue())) / 765.0
    };
    let a_mm = f64::from(DOTS) / 25.4;
    let spots = circles(&page.svg);
    let measured: Vec<[f64; 2]> = spots.iter().map(|spot| centroid(&ink, *spot, 1.4, a_mm)).collect();
    let middle =
        |of: &[[f64; 2]]| [0, 1].map(|axis| of.iter().map(|spot| spot[axis]).sum::<f64>() / of.len() as f64);
    // The sheet's pattern "stack 20" comes first, its middle at x 14; up the paper is x.
    let (stack, [one, other]) = (middle(&measured[..4]), [0, 1].map(|n| measured[measured.len() - 2 + n]));
    let x = |at: [f64; 2]| 14.0 + stack[1] - at[1];
    let apart = (one[0] - other[0]).hypot(one[1] - other[1]);
    // What the solid says of its holes: its least corners lie at nought, its corners on the underside are the base and the holes.
    let (low, high) = printed.mesh.bounds();
    let rims: Vec<[f64; 2]> = printed
        .mesh
        .points()
        .iter()
        .map(|p| [p.x(), p.y(), p.z()])
        .filter(|[x, y, z]| *z < 1e-9 && *x > 0.5 && *x < high.x() - 0.5 && *y > 0.5 && *y < high.y() - 0.5)
        .map(|[x, y, _]| [x, y])
        .collect();
    let half = (low.y() + high.y()) / 2.0;
    let hole =
        |left: bool| middle(&rims.iter().copied().filter(|p| (p[1] > half) == left).collect::<Vec<_>>());
    let (left, right) = (hole(true), hole(false));
    assert!((apart - (left[1] - right[1])).abs() < 0.05, "{apart} {left:?} {right:?}");
    let place = after.place(&printed.place).unwrap().item();
    let stands_at = place.read(&craft::schema::place::X).unwrap().value.get();
    for at in [one, other] {
        let wanted = stands_at + left[0] - high.x() / 2.0;
        assert!((x(at) - wanted).abs() < 0.05, "{} on paper, {wanted} of the solid", x(at));
    }

    // Once it is drilled and entered, there is nothing left to drill.
    let pattern = "name = \"wedge\"\nplate = \"bottom plate\"\nhole = \"2.3 mm, measured\"\n";
    let sheet = include_str!("../../../demo/brambling.toml").replacen(
        "[[part.frame.pattern]]",
        &format!("[[part.frame.pattern]]\n{pattern}x = \"{stands_at} mm, measured\"\nholes = [[0, 3.75], [0, -3.75]]\n\n[[part.frame.pattern]]"),
        1,
    );
    let (before, _) = read(&sheet);
    let after =
        apply(&before, &print_for(&before, PrintKind::Wedge, &Wanted::default()).unwrap().step).unwrap();
    assert_eq!(drilled(&after, &prove(&after), Some("frame/bottom plate")), []);
}
