//! Prints for the demo craft: chosen from what each needs, put in as one step, proved with the rest.
#![allow(clippy::unwrap_used)]

use craft::{Craft, Edit, PlaceId, apply, read_sheet};
use drawing::print::{Finish, HeadSeat, PrintKind, Printed, Wanted, WedgeBase, print_for};
use proof::rules::rule_of;
use proof::{Finding, Verdict, prove};
use quantity::{Degrees, Millimetres};

const BRAMBLING: &str = include_str!("../../../demo/brambling.toml");
const WHINCHAT: &str = include_str!("../../../demo/whinchat.toml");
const DUNNOCK: &str = include_str!("../../../demo/dunnock.toml");

fn craft(sheet: &str) -> Craft {
    read_sheet(sheet).craft
}

fn id(text: &str) -> PlaceId {
    PlaceId::new(text).unwrap()
}

fn set(craft: &Craft, place: &str, key: &str, text: &str) -> Craft {
    apply(craft, &Edit::SetPlace { place: id(place), key: key.into(), text: Some(text.into()) }).unwrap()
}

fn refused(craft: &Craft, kind: PrintKind, wanted: &Wanted) -> String {
    print_for(craft, kind, wanted).unwrap_err().to_string()
}

fn taken(before: &Craft, printed: &Printed) -> Craft {
    apply(before, &printed.step).unwrap_or_else(|fault| panic!("{fault}"))
}

/// What the rules say of a place after a print was put in.
fn of<'a>(findings: &'a [Finding], place: &PlaceId) -> Vec<&'a Finding> {
    findings.iter().filter(|finding| finding.places.contains(place)).collect()
}

fn show(findings: &[&Finding]) -> String {
    findings.iter().map(|f| format!("{:?} {} [{}]: {}\n", f.verdict, f.rule, f.subject, f.message)).collect()
}

/// The whinchat before anybody thought of an adapter: the air unit right on the frame's rear pattern.
fn without_adapter() -> Craft {
    let mut craft = craft(WHINCHAT);
    craft.places.retain(|place| !["adapter", "adapter-posts", "adapter-screws"].contains(&place.id.as_str()));
    for place in ["vtx-posts", "vtx", "vtx-screws"] {
        let at = craft.places.iter_mut().find(|at| at.id == id(place)).unwrap();
        at.on = Some(craft::Anchor::read("frame/rear 30.5").unwrap());
    }
    let craft = set(&craft, "vtx-posts", "z", "0 mm");
    set(&craft, "vtx", "z", "2.5 mm ± 0.1, measured")
}

#[test]
fn an_adapter_is_made_for_the_board_whose_holes_do_not_meet() {
    let before = without_adapter();
    let printed = print_for(&before, PrintKind::Adapter, &Wanted::default()).unwrap();
    assert_eq!(printed.for_place, id("vtx"));
    assert_eq!(printed.part.name, "adapter 30.5 to 20");
    assert_eq!(printed.mesh.handles(), 8);
    let after = taken(&before, &printed);
    let proved = prove(&after);
    let said = of(&proved.findings, &printed.place);
    let by_rule = |rule: &str| said.iter().filter(|f| f.rule == rule).map(|f| f.verdict).collect::<Vec<_>>();
    assert!(by_rule("fit.pattern_match").iter().all(|v| *v == Verdict::Sound), "{}", show(&said));
    assert_eq!(by_rule("fit.pattern_match").len(), 2, "{}", show(&said));
    assert_eq!(by_rule("fit.adapter_heads"), [Verdict::Sound], "{}", show(&said));
    assert!(said.iter().all(|f| f.verdict != Verdict::Broken), "{}", show(&said));
    let broken: Vec<&Finding> = proved.findings.iter().filter(|f| f.verdict == Verdict::Broken).collect();
    assert!(broken.is_empty(), "{}", show(&broken));
    assert_eq!(
        after.place(&id("vtx")).unwrap().on.as_ref().unwrap().to_string(),
        format!("{}/board side", printed.place)
    );
    // Once it is there, none is needed.
    assert!(
        refused(&after, PrintKind::Adapter, &Wanted::default())
            .starts_with("no board of this craft needs an adapter")
    );
}

#[test]
fn a_turn_can_be_asked_for_and_the_board_turns_with_it() {
    let before = without_adapter();
    let wanted =
        Wanted { turn: Some(Degrees::new(45.0)), heads: Some(HeadSeat::OnFace), ..Wanted::default() };
    let printed = print_for(&before, PrintKind::Adapter, &wanted).unwrap();
    let after = taken(&before, &printed);
    let yaw = &after.place(&id("vtx")).unwrap().values["yaw"];
    assert_eq!(craft::write_value(yaw), "45°, measured");
    let proved = prove(&after);
    let said = of(&proved.findings, &printed.place);
    let matches: Vec<_> = said.iter().filter(|f| f.rule == "fit.pattern_match").collect();
    assert!(matches.iter().all(|f| f.verdict == Verdict::Sound), "{}", show(&said));
    assert!(
        printed.says.iter().any(|line| line.starts_with("Stand it on spacers of 1.5 mm")),
        "{:?}",
        printed.says
    );
}

/// The brambling's air unit with other holes, and as it may lie.
fn other_holes(pattern: &str, place: &str) -> Craft {
    let rest = "\nhole = \"2.2 mm, measured\"\nscrew = \"M2\"\nthread_depth";
    let drilled = format!("pitch = \"20 mm, measured\"{rest}");
    assert_eq!(BRAMBLING.matches(&drilled).count(), 1);
    let sheet = BRAMBLING.replace(&drilled, &format!("{pattern}{rest}"));
    let lies = "z = \"3 mm ± 0.1, measured\"\nyaw = \"0°\"";
    assert_eq!(sheet.matches(lies).count(), 1);
    let read = read_sheet(&sheet.replace(lies, &format!("z = \"3 mm ± 0.1, measured\"\n{place}")));
    assert!(read.faults.is_empty(), "{:?}", read.faults);
    read.craft
}

/// The holes of both meet in the proof, at board and frame.
fn meets(before: &Craft, printed: &Printed) -> Craft {
    let after = taken(before, printed);
    let said = (rule_of("fit.pattern_match").unwrap().run)(&proof::Proof::new(&after)).findings;
    let matches = of(&said, &printed.place);
    assert_eq!(matches.len(), 2, "{}", show(&matches));
    // Holes listed one by one are each off on their own, which may make it tight.
    // A sheet writes hundredths: some float is used.
    let passes = |f: &&Finding| {
        let used = f.message.split_once("uses ").and_then(|(_, after)| after.split_once(" %"));
        f.verdict != Verdict::Broken && used.is_some_and(|(used, _)| used.parse::<f64>().unwrap() < 6.0)
    };
    assert!(matches.iter().all(passes), "{}", show(&matches));
    after
}

#[test]
fn the_plate_has_the_holes_as_the_board_lies() {
    // Four holes that are not their own mirror image, drilled off the middle of the board.
    let uneven = "x = \"1.5 mm, measured\"\ny = \"-2 mm, measured\"\nholes_basis = \"measured\"\nholes = [[4, 3], [-4, 4], [-3.5, -3], [3.5, -3]]";
    for lies in
        ["yaw = \"0°\"", "flipped = true", "yaw = \"90°\"\nflipped = true", "yaw = \"30°\"\nx = \"1 mm\""]
    {
        let before = other_holes(uneven, lies);
        for turn in [None, Some(Degrees::new(20.0))] {
            let wanted = Wanted { turn, ..Wanted::default() };
            let printed = print_for(&before, PrintKind::Adapter, &wanted).unwrap();
            meets(&before, &printed);
        }
    }
    let plain = print_for(&other_holes(uneven, ""), PrintKind::Adapter, &Wanted::default()).unwrap();
    assert!(
        plain.says.iter().any(|line| line.contains("forward") && line.contains("to the right")),
        "{:?}",
        plain.says
    );
}

#[test]
fn a_board_stays_where_it_is_placed_over_its_adapter() {
    // Oblong, a quarter turned and drilled off the middle.
    let oblong = "x = \"2 mm, measured\"\npitch = \"9 mm, measured\"\npitch_across = \"10 mm, measured\"";
    let before = other_holes(oblong, "yaw = \"90°\"");
    let stay = Wanted { turn: Some(Degrees::new(0.0)), ..Wanted::default() };
    let printed = print_for(&before, PrintKind::Adapter, &stay).unwrap();
    assert_eq!(printed.part.name, "adapter 20 to 9 × 10");
    let after = meets(&before, &printed);
    let seat = |craft: &Craft| {
        let proof = proof::Proof::new(craft);
        let seat = proof.inputs().seats[proof.number_of(&id("vtx")).unwrap()].as_ref().unwrap();
        let origin = seat.pose.origin();
        [origin.x(), origin.y()]
    };
    let (was, is) = (seat(&before), seat(&after));
    assert!((was[0] - is[0]).hypot(was[1] - is[1]) < 0.01, "{was:?} {is:?}");
}

#[test]
fn of_the_turns_the_heads_allow_the_roomiest_is_taken() {
    // 25.5 on 20 must be turned cornerwise. Of the four ways some send a plug against a post.
    let before = other_holes("pitch = \"25.5 mm, measured\"", "yaw = \"0°\"");
    let printed = print_for(&before, PrintKind::Adapter, &Wanted::default()).unwrap();
    let best = meets(&before, &printed);
    let worst = |craft: &Craft| {
        let proved = prove(craft);
        let rules = ["fit.pair_clearance", "fit.plug_pull"];
        let broken = |f: &&Finding| f.verdict == Verdict::Broken && rules.contains(&f.rule);
        proved.findings.iter().filter(broken).count()
    };
    let counts: Vec<usize> = [45.0, 135.0, -135.0, -45.0]
        .map(|turn| {
            let wanted = Wanted { turn: Some(Degrees::new(turn)), ..Wanted::default() };
            worst(&taken(&before, &print_for(&before, PrintKind::Adapter, &wanted).unwrap()))
        })
        .to_vec();
    let least = *counts.iter().min().unwrap();
    assert_eq!(worst(&best), least, "{counts:?} {:?}", printed.says);
    assert!(counts.iter().any(|count| *count > least), "{counts:?}");
    assert!(
        printed.says.iter().any(|line| line.contains("is the best: the tightest place")),
        "{:?}",
        printed.says
    );
}

#[test]
fn a_wedge_lies_under_the_camera_at_its_tilt() {
    let before = craft(BRAMBLING);
    let printed = print_for(&before, PrintKind::Wedge, &Wanted::default()).unwrap();
    assert_eq!(printed.part.name, "wedge of 18° for Tansy nano camera");
    let after = taken(&before, &printed);
    let proved = prove(&after);
    let said = of(&proved.findings, &printed.place);
    assert!(said.iter().all(|f| f.verdict != Verdict::Broken), "{}", show(&said));
    let asked = Wanted {
        base: Some(WedgeBase::Flanges),
        thickness: Some(Millimetres::new(2.0)),
        ..Wanted::default()
    };
    assert!(print_for(&before, PrintKind::Wedge, &asked).is_ok());
    let steep = Wanted { angle: Some(Degrees::new(70.0)), ..Wanted::default() };
    assert!(refused(&before, PrintKind::Wedge, &steep).contains("70° must lie between 0° and 60°"));
    // In the small craft the camera hangs too low over its shelf; without the shelf there is nothing to stand on.
    let small = craft(DUNNOCK);
    let low = refused(&small, PrintKind::Wedge, &Wanted::default());
    assert!(low.contains("low edge of the seat over the base 0.13 mm must lie between"), "{low}");
    let part = small.place(&id("canopy")).unwrap().part.clone();
    let bare = apply(&small, &Edit::RemoveRow { part, table: "plate".into(), row: 0 }).unwrap();
    assert!(refused(&bare, PrintKind::Wedge, &Wanted::default()).starts_with("no flat plate lies under"));
}

#[test]
fn cheeks_fill_a_wider_cage() {
    let before = craft(BRAMBLING);
    assert!(
        refused(&before, PrintKind::Cheeks, &Wanted::default())
            .starts_with("no camera of this craft leaves 1.2 mm")
    );
    let named = Wanted { place: Some(id("cam")), ..Wanted::default() };
    assert!(refused(&before, PrintKind::Cheeks, &named).contains("fill it with washers instead"));
    // The nano camera in the racer's cage, which is made for a wider one.
    let racer = craft(WHINCHAT);
    let narrow = Edit::SetPart {
        part: racer.place(&id("cam")).unwrap().part.clone(),
        key: "body_width".into(),
        text: Some("14 mm, measured".into()),
    };
    let before = apply(&racer, &narrow).unwrap();
    let printed = print_for(&before, PrintKind::Cheeks, &Wanted::default()).unwrap();
    assert_eq!((printed.mesh.pieces(), printed.mesh.handles()), (2, 2));
    let after = taken(&before, &printed);
    let proved = prove(&after);
    let said = of(&proved.findings, &printed.place);
    assert!(said.iter().all(|f| f.verdict != Verdict::Broken), "{}", show(&said));
    let plain = Wanted { finish: Finish::Plain, ..Wanted::default() };
    assert!(print_for(&before, PrintKind::Cheeks, &plain).unwrap().mass() < printed.mass());
}

#[test]
fn a_holder_takes_the_antenna_and_its_lead() {
    let before = craft(BRAMBLING);
    let printed = print_for(&before, PrintKind::Holder, &Wanted::default()).unwrap();
    let after = taken(&before, &printed);
    assert!(after.place(&id("holder")).is_none(), "what held it before is gone");
    for place in ["omni", "tail"] {
        let on = after.place(&id(place)).unwrap().on.as_ref().unwrap().to_string();
        assert_eq!(on, format!("{}/socket", printed.place));
    }
    let proved = prove(&after);
    let said = of(&proved.findings, &printed.place);
    assert!(said.iter().all(|f| f.verdict != Verdict::Broken), "{}", show(&said));
    // Two antennas in one holder: what held both stays.
    let racer = craft(WHINCHAT);
    let printed = print_for(&racer, PrintKind::Holder, &Wanted::default()).unwrap();
    assert!(taken(&racer, &printed).place(&id("holder")).is_some());
    assert!(printed.says.iter().any(|line| line.contains("still holds")), "{:?}", printed.says);
}

#[test]
fn slips_are_told_in_words() {
    let craft = craft(BRAMBLING);
    let at = |place: &str| Wanted { place: Some(id(place)), ..Wanted::default() };
    assert_eq!(
        refused(&craft, PrintKind::Adapter, &at("vtz")),
        "there is no place \"vtz\" in this craft; did you mean \"vtx\"?"
    );
    assert_eq!(
        refused(&craft, PrintKind::Adapter, &at("cam")),
        "at place \"cam\" stands a camera, this print is for a board; name another place"
    );
    assert_eq!(
        refused(&craft, PrintKind::Wedge, &Wanted { turn: Some(Degrees::new(45.0)), ..Wanted::default() }),
        "a print of kind \"wedge\" has no turn; leave it out"
    );
    let screw = Wanted { screw: Some("M7".into()), ..Wanted::default() };
    assert!(refused(&craft, PrintKind::Holder, &screw).starts_with("screw \"M7\" is not known"));
    assert!(
        refused(&craft, PrintKind::Adapter, &at("vtx"))
            .contains("needs no adapter: its holes meet frame/rear 20")
    );
}

#[test]
fn files_carry_the_title_and_the_same_craft_gives_the_same_bytes() {
    let craft = without_adapter();
    let make = || print_for(&craft, PrintKind::Adapter, &Wanted::default()).unwrap();
    let (one, two) = (make(), make());
    assert_eq!((one.stl(), one.three_mf().unwrap()), (two.stl(), two.three_mf().unwrap()));
    assert_eq!(one.stl().len(), 84 + 50 * one.mesh.triangles().len());
    assert_eq!(one.file_stem(&craft), "whinchat-adapter-vtx");
    let low = one.mesh.bounds().0;
    assert!(low.x().abs() + low.y().abs() + low.z().abs() < 1e-9);
}

#[test]
fn a_thickness_that_nobody_can_print_is_told_even_where_nothing_is_to_be_printed() {
    let craft = craft(BRAMBLING);
    let wanted =
        |thickness: f64| Wanted { thickness: Some(Millimetres::new(thickness)), ..Wanted::default() };
    assert!(
        refused(&craft, PrintKind::Adapter, &wanted(2.0))
            .starts_with("no board of this craft needs an adapter")
    );
    for kind in [PrintKind::Adapter, PrintKind::Wedge, PrintKind::Holder] {
        let told = refused(&craft, kind, &wanted(-3.0));
        assert!(told.contains("-3 mm must lie between") && told.contains(kind.word()), "{told}");
    }
    assert!(refused(&craft, PrintKind::Adapter, &wanted(f64::NAN)).contains("must lie between"));
}

#[test]
fn what_a_holder_takes_the_place_of_leaves_the_sheet_too() {
    let before = craft(BRAMBLING);
    let printed = print_for(&before, PrintKind::Holder, &Wanted::default()).unwrap();
    let after = taken(&before, &printed);
    assert!(after.parts.iter().all(|part| part.name != "antenna holder"));
    let told = printed.says.join("; ");
    assert!(told.contains("Left over, and out of the craft: antenna holder"), "{told}");
    let unknown = |craft: &Craft| {
        let of = |finding: &Finding| finding.verdict == Verdict::Unknown;
        prove(craft).findings.into_iter().filter(of).count()
    };
    assert_eq!(unknown(&after), unknown(&before));
}

#[test]
fn screws_that_do_not_go_where_a_print_is_fixed_are_refused() {
    let screw = |text: &str| Wanted { screw: Some(text.to_owned()), ..Wanted::default() };
    let told = refused(&craft(BRAMBLING), PrintKind::Holder, &screw("M5"));
    assert!(told.starts_with("the rearmost standoffs take M3 screws, not M5"), "{told}");
    let told = refused(&without_adapter(), PrintKind::Adapter, &screw("M4"));
    assert!(told.starts_with("M4 screws do not go through the holes of frame/rear 30.5"), "{told}");
}

const FIELDFARE: &str = include_str!("../../../demo/fieldfare.toml");

/// The screws at a place: how many of what, and what the rules of screws say of them.
fn screws(after: &Craft, place: &str) -> String {
    let at = after.place(&id(place)).unwrap_or_else(|| panic!("{place} is not there"));
    let rules = ["fit.screw_length", "fit.camera_screw_depth", "fit.pair_clearance"];
    let proved = prove(after);
    let said = of(&proved.findings, &at.id);
    let mine: Vec<&&Finding> = said.iter().filter(|finding| rules.contains(&finding.rule)).collect();
    assert!(mine.iter().any(|finding| finding.rule != "fit.pair_clearance"), "{}", show(&said));
    let worst = mine.iter().map(|finding| finding.verdict).min().unwrap();
    let count = at.item().count(&craft::schema::place::COUNT).unwrap_or(1);
    format!("{count} {} on {} {worst:?}", after.part_at(at).unwrap().name, at.on.as_ref().unwrap())
}

#[test]
fn a_print_brings_the_screws_that_hold_it_and_they_are_proved() {
    let before = craft(FIELDFARE);
    let kinds = |craft: &Craft| {
        let of = |part: &craft::PartId| craft.places.iter().filter(|place| place.part == *part).count();
        craft.parts.iter().filter(|part| of(&part.id) > 0).count()
    };
    let turned = Wanted { place: Some(id("vtx")), turn: Some(Degrees::new(45.0)), ..Wanted::default() };
    let printed = print_for(&before, PrintKind::Adapter, &turned).unwrap();
    let after = taken(&before, &printed);
    assert_eq!(screws(&after, "adapter-vtx-frame-screws"), "4 M2×7 button on adapter-vtx/frame side Sound");
    assert_eq!(screws(&after, "vtx-screws"), "4 M2×8 button on adapter-vtx/board side Sound");
    assert!(kinds(&after) > kinds(&before), "a new screw is in the list");
    let told = printed.says.join("; ");
    assert!(told.contains("4 M2×7 button screws hold it to frame/rear 20 from above"), "{told}");

    let printed = print_for(&before, PrintKind::Wedge, &Wanted::default()).unwrap();
    let after = taken(&before, &printed);
    assert_eq!(screws(&after, "wedge-cam-screws"), "2 M2×5 button on wedge-cam/base Sound");

    // Where the screws that are there serve no more, others take their place.
    let racer = craft(WHINCHAT);
    let after = taken(&racer, &print_for(&racer, PrintKind::Holder, &Wanted::default()).unwrap());
    assert_eq!(screws(&after, "top-screw-1"), "1 M3×10 button on frame/rear left standoff Sound");
    assert!(after.places.iter().all(|place| after.part_at(place).is_some()));
}

#[test]
fn a_board_without_screws_gets_them_with_its_adapter() {
    let mut before = craft(FIELDFARE);
    before.places.retain(|place| place.id.as_str() != "vtx-screws");
    let turned = Wanted { place: Some(id("vtx")), turn: Some(Degrees::new(45.0)), ..Wanted::default() };
    let unheld = |craft: &Craft| {
        let of = |f: &&Finding| f.rule == "fit.held_by_screws" && f.verdict == Verdict::Unknown;
        prove(craft).findings.iter().filter(of).count()
    };
    assert_eq!(unheld(&before), 1);
    let after = taken(&before, &print_for(&before, PrintKind::Adapter, &turned).unwrap());
    assert_eq!(screws(&after, "adapter-vtx-board-screws"), "4 M2×8 button on adapter-vtx/board side Sound");
    assert_eq!(unheld(&after), 0);
}

#[test]
fn screws_that_pass_its_holes_already_are_not_brought_again() {
    for sheet in [FIELDFARE, BRAMBLING, WHINCHAT] {
        let before = craft(sheet);
        let turned = Wanted { place: Some(id("esc")), turn: Some(Degrees::new(45.0)), ..Wanted::default() };
        let printed = print_for(&before, PrintKind::Adapter, &turned).unwrap();
        let told = printed.says.join("; ");
        let words = "those at place \"stack-screws\" pass the same holes, and only one goes into each";
        assert!(told.contains(words), "{}: {told}", before.name);
        let after = taken(&before, &printed);
        assert!(after.place(&id("adapter-esc-board-screws")).is_none());
        let findings = prove(&after).findings;
        let apart: Vec<&Finding> = findings.iter().filter(|f| f.rule == "fit.screws_apart").collect();
        assert_eq!(apart[0].verdict, Verdict::Sound, "{}: {}", before.name, show(&apart));
        // What it is printed with round its holes is what is wanted there.
        let is_thin = |f: &&Finding| {
            f.rule == "fit.plate_webs" && f.verdict != Verdict::Sound && f.places.contains(&printed.place)
        };
        let thin: Vec<&Finding> = findings.iter().filter(is_thin).collect();
        assert!(thin.is_empty(), "{}: {}", before.name, show(&thin));
    }
}

#[test]
fn a_wedge_is_no_stop_of_the_tilt_it_holds() {
    for sheet in [FIELDFARE, WHINCHAT, BRAMBLING] {
        let before = craft(sheet);
        let after = taken(&before, &print_for(&before, PrintKind::Wedge, &Wanted::default()).unwrap());
        let tilt = |craft: &Craft| {
            let findings = prove(craft).findings;
            findings.into_iter().find(|f| f.rule == "fit.tilt_range").unwrap()
        };
        let (was, is) = (tilt(&before), tilt(&after));
        assert_eq!(was.verdict, is.verdict, "{} {}", before.name, is.message);
        assert!(is.message.contains("holds it there"), "{}", is.message);
        let tight = |craft: &Craft| {
            let of = |f: &&Finding| f.rule == "fit.pair_clearance" && f.verdict != Verdict::Sound;
            prove(craft).findings.iter().filter(of).count()
        };
        assert!(tight(&after) <= tight(&before), "{}", before.name);
        // Tilted otherwise, the wedge is in the way, or holds nothing.
        let other = set(&after, "cam", "pitch", "-5°");
        assert_eq!(tilt(&other).verdict, Verdict::Broken, "{}", tilt(&other).message);
    }
}

#[test]
fn a_wedge_of_another_slope_than_the_camera_is_told() {
    let flat = Wanted { angle: Some(Degrees::new(5.0)), ..Wanted::default() };
    let told = print_for(&craft(FIELDFARE), PrintKind::Wedge, &flat).unwrap().says.join("; ");
    assert!(told.contains("Mind: it slopes 5° and the camera is tilted 15°"), "{told}");
}

#[test]
fn an_adapter_between_two_boards_is_refused() {
    let turned = Wanted { place: Some(id("fc")), turn: Some(Degrees::new(45.0)), ..Wanted::default() };
    let told = refused(&craft(FIELDFARE), PrintKind::Adapter, &turned);
    assert!(told.contains("a board: an adapter lies on a plate"), "{told}");
}
