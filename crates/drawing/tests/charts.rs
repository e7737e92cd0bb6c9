//! Charts of invented numbers: locked pictures, their words, rooms from a phone to a sheet, and what is refused.
//!
//! To take over a picture after a look at it: `UPDATE_EXPECT=1 cargo test -p drawing`.

#![allow(clippy::unwrap_used)]

mod well_formed;

use drawing::chart::{
    Across, Axis, Caption, Chart, ChartFault, CurveChart, Cut, FieldChart, Ground, Level, Limit, Mark,
    PolarChart, PolarMark, Sample, Step, StepChart, Tone, Turning, WIDTH_LEAST, WIDTH_MOST, Zero, Zone,
};
use drawing::{is_page, pdf, png};
use expect_test::expect_file;
use proptest::prelude::*;
use quantity::{Dbi, Degrees, Unit};
use well_formed::check_well_formed;

fn range_chart() -> Chart {
    let curve = |times: f64| -> Vec<Sample> {
        [25.0, 50.0, 100.0, 200.0, 400.0, 800.0, 1000.0]
            .map(|power: f64| {
                let range = times * power.sqrt();
                Sample::doubted(power, range, range * 0.7, range * 1.3)
            })
            .to_vec()
    };
    let caption = Caption::new(
        "Pipit: range against power",
        "At 200 mW the picture is held to some 700 m with a right-handed antenna, and to half of that with a left-handed one.",
    )
    .noting("Powers and where they may be used: check your local rules.");
    let mut chart =
        CurveChart::new(caption, Axis::tens("power", Unit::Milliwatts), Axis::even("range", Unit::Metres))
            .with("same hand", curve(50.0))
            .with("other hand, as it may happen", curve(18.0))
            .with("over a wood", curve(21.0));
    chart.limits.push(Limit { lies: Across::Level, at: 600.0, words: "planned distance".to_owned() });
    chart.limits.push(Limit { lies: Across::Upright, at: 500.0, words: "stated limit".to_owned() });
    chart.marks.push(Mark { at: [200.0, 707.1], words: "as set: 200 mW, 707 m".to_owned() });
    chart.into()
}

fn held_chart() -> Chart {
    let points: Vec<Sample> = (0..=40)
        .map(|n| {
            let distance = f64::from(n) * 50.0;
            let share = 100.0 / (1.0 + ((distance - 900.0) / 160.0).exp());
            Sample::sure(distance, share)
        })
        .collect();
    let caption =
        Caption::new("Pipit: share of time held", "The picture is clean to 600 m and lost from 1200 m.");
    let mut chart = CurveChart::new(
        caption,
        Axis::even("distance", Unit::Metres),
        Axis::even("share of time held", Unit::Percent).between(0.0, 100.0),
    )
    .with("held", points);
    for (span, words, tone) in [
        ([0.0, 600.0], "clean", Tone::Bare),
        ([600.0, 1200.0], "breaking", Tone::Light),
        ([1200.0, 2000.0], "lost", Tone::Dense),
    ] {
        chart.zones.push(Zone { lies: Across::Upright, span, words: words.to_owned(), tone });
    }
    chart.into()
}

fn budget_chart() -> Chart {
    let caption = Caption::new(
        "Pipit: link budget at 600 m",
        "12.2 dB more arrives than is needed; spreading takes most.",
    )
    .noting("A sum by hand of invented parts.");
    let step = |name: &str, change, worse, better| Step { name: name.to_owned(), change, worse, better };
    StepChart {
        caption,
        level_unit: Unit::Dbm,
        change_unit: Unit::Db,
        start: Level { name: "at the sender's socket".to_owned(), value: 23.0 },
        terms: vec![
            step("feed of the sender", -0.8, 0.5, 0.2),
            step("antenna of the sender", 1.4, 0.0, 0.0),
            step("shadow at the sender", -3.1, 0.0, 0.0),
            step("spreading in free space", -103.3, 0.0, 0.0),
            step("polarisation", -0.4, 0.0, 0.0),
            step("leaves", -4.0, 2.5, 2.0),
            step("ground", 2.2, 0.0, 0.0),
            step("antenna of the receiver", 8.0, 0.0, 0.0),
            step("feed of the receiver", -1.0, 0.4, 0.2),
        ],
        left: "arrives".to_owned(),
        band: None,
        needed: Level { name: "needed".to_owned(), value: -90.2 },
    }
    .into()
}

fn polar_chart() -> Chart {
    let cut = |name: &str, of: &dyn Fn(f64) -> f64| Cut {
        name: name.to_owned(),
        points: (0..120)
            .map(|n| f64::from(n) * 3.0)
            .map(|a| (Degrees::new(a), Dbi::new(of(a.to_radians()))))
            .collect(),
    };
    PolarChart {
        caption: Caption::new(
            "Pipit: pattern from above",
            "Toward the station the antenna gives 1.2 dBi less than at its best.",
        ),
        cuts: vec![
            cut("own hand", &|a| 1.5 - 1.2 * (a / 2.0).sin().powi(2)),
            cut("other hand", &|a| -14.0 + 6.0 * a.cos()),
        ],
        marks: vec![PolarMark {
            angle: Degrees::new(200.0),
            words: "to the station".to_owned(),
            gain: Some(Dbi::new(0.3)),
        }],
        least: Dbi::new(-25.0),
        zero: Zero::Top,
        turning: Turning::Anticlockwise,
        quarters: ["nose", "left", "tail", "right"].map(str::to_owned),
    }
    .into()
}

fn field_chart() -> Chart {
    let columns: Vec<f64> = (1..=60).map(|n| f64::from(n) * 25.0).collect();
    let rows: Vec<f64> = (0..=40).map(|n| 1.0 + f64::from(n)).collect();
    let value = |x: f64, y: f64| 40.0 - 20.0 * (x / 100.0).log10() + 6.0 * (x * y / 9000.0).sin() - 60.0 / y;
    let values = rows.iter().flat_map(|y| columns.iter().map(move |x| value(*x, *y))).collect();
    FieldChart {
        caption: Caption::new(
            "Pipit: margin by distance and height",
            "Fly over 5 m and the margin holds to the end of the field.",
        ),
        across: Axis::even("distance", Unit::Metres),
        up: Axis::even("height", Unit::Metres),
        label: "margin".to_owned(),
        unit: Unit::Db,
        columns,
        rows,
        values,
        levels: vec![0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0],
        limit: Some(Limit { lies: Across::Level, at: 10.0, words: "needed".to_owned() }),
        marks: vec![Mark { at: [600.0, 20.0], words: "planned".to_owned() }],
    }
    .into()
}

fn all() -> [(&'static str, Chart); 5] {
    [
        ("range", range_chart()),
        ("held", held_chart()),
        ("budget", budget_chart()),
        ("polar", polar_chart()),
        ("field", field_chart()),
    ]
}

#[test]
fn the_charts_are_as_reviewed() {
    let [range, held, budget, polar, field] =
        all().map(|(_, chart)| chart.picture(110.0, Ground::Paper).unwrap());
    expect_file!["charts/range.svg"].assert_eq(&range);
    expect_file!["charts/held.svg"].assert_eq(&held);
    expect_file!["charts/budget.svg"].assert_eq(&budget);
    expect_file!["charts/polar.svg"].assert_eq(&polar);
    expect_file!["charts/field.svg"].assert_eq(&field);
    expect_file!["charts/budget-sheet.svg"].assert_eq(&budget_chart().page().unwrap().svg);
}

#[test]
fn every_chart_fits_every_room_and_reads_as_xml_pdf_and_png() {
    for (name, chart) in all() {
        for width in [WIDTH_LEAST, 92.0, 150.0, 200.0, WIDTH_MOST] {
            for ground in [Ground::Paper, Ground::Slate] {
                check_well_formed(&chart.picture(width, ground).unwrap());
            }
        }
        let page = chart.page().unwrap();
        check_well_formed(&page.svg);
        assert!(is_page(page.svg.as_bytes()));
        assert!(pdf(std::slice::from_ref(&page), name).unwrap().starts_with(b"%PDF-"));
        let picture = png(&page, 1, 100).unwrap();
        if let Ok(folder) = std::env::var("CHARTS_TO") {
            std::fs::write(format!("{folder}/{name}.png"), picture).unwrap();
            for width in [92.0, 170.0] {
                let svg =
                    chart.picture(width, if width < 100.0 { Ground::Slate } else { Ground::Paper }).unwrap();
                std::fs::write(format!("{folder}/{name}-{width}.svg"), svg).unwrap();
            }
        }
    }
}

#[test]
fn slate_has_no_ink_of_paper_left() {
    for (_, chart) in all() {
        let svg = chart.picture(110.0, Ground::Slate).unwrap();
        for ink in ["#f7f4ec", "#1f2a33", "#9c4424", "#8a8473"] {
            assert!(!svg.contains(&format!("\"{ink}\"")), "{ink}");
        }
    }
}

#[test]
fn the_words_say_what_the_picture_shows() {
    assert_eq!(
        budget_chart().told().unwrap(),
        "at the sender's socket: 23.0 dBm. feed of the sender: −0.8 dB, then 22.2 dBm. antenna of the sender: +1.4 dB, \
         then 23.6 dBm. shadow at the sender: −3.1 dB, then 20.5 dBm. spreading in free space: −103.3 dB, then −82.8 dBm. \
         polarisation: −0.4 dB, then −83.2 dBm. leaves: −4.0 dB, then −87.2 dBm. ground: +2.2 dB, then −85.0 dBm. \
         antenna of the receiver: +8.0 dB, then −77.0 dBm. feed of the receiver: −1.0 dB, then −78.0 dBm. \
         arrives: −78.0 dBm, between −81.4 dBm and −75.6 dBm. needed: −90.2 dBm; that is 12.2 dB over."
    );
    let told = range_chart().told().unwrap();
    assert!(
        told.starts_with(
            "range against power. same hand: from 250 m (between 175 m and 325 m) at 25 mW to 1581 m"
        ),
        "{told}"
    );
    assert!(
        told.contains("planned distance: range 600 m.")
            && told.contains("as set: 200 mW, 707 m: 707 m at 200 mW."),
        "{told}"
    );
    let told = held_chart().told().unwrap();
    assert!(told.contains("breaking: distance from 600 m to 1200 m."), "{told}");
    let told = polar_chart().told().unwrap();
    assert!(told.contains("own hand: greatest 1.5 dBi at 0°, least 0.3 dBi at 180°."), "{told}");
    let told = field_chart().told().unwrap();
    assert!(
        told.contains("needed: 10 dB; under it lie") && told.contains("planned: at 600 m, 20 m."),
        "{told}"
    );
    for (_, chart) in all() {
        let svg = chart.page().unwrap().svg;
        let desc = svg.split("<desc").nth(1).unwrap().split("</desc>").next().unwrap();
        assert!(desc.contains(&chart.caption().message.replace('\'', "&#39;")), "{desc}");
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_with_its_name() {
    let told = |chart: CurveChart| Chart::from(chart).page().unwrap_err().to_string();
    let axes = || {
        let caption = Caption::new("held", "");
        CurveChart::new(caption, Axis::even("distance", Unit::Metres), Axis::tens("power", Unit::Milliwatts))
    };
    let pair = |a, b| vec![Sample::sure(1.0, a), Sample::sure(2.0, b)];
    assert_eq!(told(axes()), "curves of \"held\" has 0 points; it needs at least 1");
    assert_eq!(
        told(axes().with("a", pair(1.0, f64::NAN))),
        "power of the curve \"a\" is NaN, which is no number to draw; compute it anew or leave that point out"
    );
    assert_eq!(
        told(axes().with("a", pair(1.0, -2.0))),
        "power of the curve \"a\" is -2; an axis by tens shows what is above 0; space it evenly, or leave that point out"
    );
    assert_eq!(
        told(axes().with("a", vec![Sample::doubted(1.0, 5.0, 6.0, 7.0), Sample::sure(2.0, 1.0)])),
        "the curve \"a\": the band from 6 to 7 does not hold 5; give the low end first"
    );
    let many = (0..7).fold(axes(), |chart, n| chart.with(n.to_string(), pair(1.0, 2.0)));
    assert_eq!(
        told(many),
        "curves of \"held\": 7 are more than the 6 that can be told apart; draw several charts"
    );
    assert_eq!(range_chart().picture(20.0, Ground::Paper).unwrap_err(), ChartFault::Width { width_mm: 20.0 });
    let Chart::Field(mut field) = field_chart() else { panic!() };
    field.values[7] = f64::NEG_INFINITY;
    assert!(matches!(Chart::from(field.clone()).told(), Err(ChartFault::NotANumber { .. })));
    field.values.pop();
    assert!(matches!(Chart::from(field).told(), Err(ChartFault::Uneven { .. })));
    let Chart::Steps(mut steps) = budget_chart() else { panic!() };
    steps.terms[2].change = f64::NAN;
    assert!(matches!(Chart::from(steps).told(), Err(ChartFault::NotANumber { .. })));
    let Chart::Polar(mut polar) = polar_chart() else { panic!() };
    polar.cuts[0].points[4].1 = Dbi::new(f64::NEG_INFINITY);
    check_well_formed(&Chart::from(polar.clone()).picture(90.0, Ground::Paper).unwrap());
    polar.cuts[0].points[4].1 = Dbi::new(f64::INFINITY);
    assert!(matches!(Chart::from(polar).told(), Err(ChartFault::NotANumber { .. })));
}

/// All coordinates of lines drawn through points.
fn drawn(svg: &str) -> Vec<[f64; 2]> {
    let lists = svg.split("<polyline points=\"").skip(1).map(|rest| rest.split('"').next().unwrap());
    let point = |pair: &str| {
        let (x, y) = pair.split_once(',').unwrap();
        [x.parse().unwrap(), y.parse().unwrap()]
    };
    lists.flat_map(|list| list.split(' ').map(point).collect::<Vec<_>>()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_curve_leaves_the_picture_and_no_number_is_lost(
        values in prop::collection::vec((-1e4..1e4f64, 0.0..1e3f64), 2..40),
        width in WIDTH_LEAST..WIDTH_MOST,
        ends in prop::option::of((-1e4..0.0f64, 1.0..1e4f64)),
    ) {
        let points = values.iter().enumerate().map(|(n, (value, doubt))| Sample::doubted(n as f64, *value, value - doubt, value + doubt));
        let up = Axis::even("margin", Unit::Db);
        let up = match ends { Some((from, to)) => up.between(from, to), None => up };
        let chart = CurveChart::new(Caption::new("a", "b"), Axis::even("distance", Unit::Metres), up).with("c", points.collect());
        let svg = Chart::from(chart).picture(width, Ground::Paper).unwrap();
        prop_assert!(!svg.contains("NaN") && !svg.contains("inf"));
        let high: f64 = svg.split("height=\"").nth(1).unwrap().split("mm").next().unwrap().parse().unwrap();
        for [x, y] in drawn(&svg) {
            prop_assert!((-0.01..=width + 0.01).contains(&x) && (-0.01..=high + 0.01).contains(&y), "{x} {y}");
        }
    }

    #[test]
    fn an_account_adds_up_whatever_its_terms(
        changes in prop::collection::vec((-120.0..60.0f64, 0.0..9.0f64), 1..20),
        needed in -150.0..0.0f64,
        width in WIDTH_LEAST..WIDTH_MOST,
    ) {
        let terms = changes.iter().enumerate().map(|(n, (change, doubt))| Step { name: format!("term {n}"), change: *change, worse: *doubt, better: doubt / 2.0 });
        let chart = StepChart {
            caption: Caption::new("a", "b"),
            level_unit: Unit::Dbm,
            change_unit: Unit::Db,
            start: Level { name: "start".into(), value: 20.0 },
            terms: terms.collect(),
            left: "left".into(),
            band: None,
            needed: Level { name: "needed".into(), value: needed },
        };
        let total = 20.0 + changes.iter().map(|(change, _)| change).sum::<f64>();
        prop_assert!((chart.total() - total).abs() < 1e-9 && (chart.margin() - total + needed).abs() < 1e-9);
        let svg = Chart::from(chart).picture(width, Ground::Paper).unwrap();
        prop_assert!(!svg.contains("NaN") && !svg.contains("inf\""));
        prop_assert!(drawn(&svg).iter().all(|[x, _]| (-0.01..=width + 0.01).contains(x)));
    }
}

#[test]
fn no_name_is_cut_on_a_phone() {
    let Chart::Steps(mut account) = budget_chart() else { unreachable!("an account was made") };
    let long = "antenna of the receiver, a patch that looks along the flying line and leans with the mast";
    account.terms[7].name = long.to_owned();
    for width in [90.0, 120.0, 200.0] {
        let svg = Chart::from(account.clone()).picture(width, Ground::Paper).unwrap();
        assert!(!drawn_words(&svg).contains('…'), "{width} mm: {svg}");
        for word in long.split(' ') {
            assert!(drawn_words(&svg).contains(word), "{width} mm: {word}");
        }
        assert!(drawn(&svg).iter().all(|[x, _]| (-0.01..=width + 0.01).contains(x)));
    }

    let Chart::Curves(mut held) = held_chart() else { unreachable!("curves were made") };
    let zone =
        |span, words: &str| Zone { lies: Across::Upright, span, words: words.to_owned(), tone: Tone::Bare };
    held.zones = vec![
        zone([0.0, 900.0], "clean"),
        zone([900.0, 1080.0], "breaking"),
        zone([1080.0, 1700.0], "thin"),
        zone([1700.0, 1760.0], "breaking"),
        zone([1760.0, 1820.0], "breaking"),
        zone([1820.0, 2000.0], "lost"),
    ];
    let svg = Chart::from(held).picture(90.0, Ground::Paper).unwrap();
    let words = drawn_words(&svg);
    assert!(!words.contains('…'), "{words}");
    assert!(words.contains("clean") && words.contains("breaking") && words.contains("thin"), "{words}");
}

/// What stands in a picture as text.
fn drawn_words(svg: &str) -> String {
    let texts = svg.split("<text").skip(1).filter_map(|rest| rest.split_once('>'));
    texts
        .filter_map(|(_, rest)| rest.split_once("</text>"))
        .map(|(words, _)| words)
        .collect::<Vec<_>>()
        .join("\n")
}
