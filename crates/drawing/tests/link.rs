//! The link of the demo craft as charts: accounts that add up, words that agree with the numbers, cautions where power is shown.

#![allow(clippy::unwrap_used)]

mod well_formed;

use craft::read_sheet;
use drawing::chart::{Chart, Ground};
use drawing::link::{
    EXPOSURE_NOTE, LinkFault, LinkShown, POWER_NOTE, PatternShown, asked_words, budget, costs, held, lobes,
    patterns, plan_view, range, ranges,
};
use proof::link::LinkAsked;
use proof::{Proved, prove};
use quantity::{Degrees, Metres};
use well_formed::check_well_formed;

const DEMO: [(&str, &str); 4] = [
    ("Dunnock", include_str!("../../../demo/dunnock.toml")),
    ("Fieldfare", include_str!("../../../demo/fieldfare.toml")),
    ("Brambling", include_str!("../../../demo/brambling.toml")),
    ("Whinchat", include_str!("../../../demo/whinchat.toml")),
];

fn proved(sheet: &str) -> Proved {
    let reading = read_sheet(sheet);
    assert!(!reading.is_refused(), "{:?}", reading.faults);
    prove(&reading.craft)
}

fn planned(proved: &Proved) -> LinkAsked {
    LinkAsked::planned(proved.link.as_deref().unwrap()).unwrap()
}

fn fieldfare() -> Proved {
    proved(DEMO[1].1)
}

#[test]
fn every_demo_craft_has_every_chart_of_its_link() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let mut charts = vec![
            budget(&shown).unwrap().0,
            range(&shown).unwrap().0,
            held(&shown).unwrap(),
            lobes(&shown).unwrap(),
        ];
        charts.extend(patterns(&shown).unwrap().into_iter().map(|pattern| pattern.chart));
        for (n, chart) in charts.iter().enumerate() {
            let page = chart.page().unwrap();
            check_well_formed(&page.svg);
            assert!(page.svg.contains(&name.replace('\'', "&#39;")));
            for width in [80.0, 180.0] {
                check_well_formed(&chart.picture(width, Ground::Slate).unwrap());
            }
            if let Ok(folder) = std::env::var("CHARTS_TO") {
                std::fs::write(format!("{folder}/{name}-{n}.png"), drawing::png(&page, 1, 100).unwrap())
                    .unwrap();
            }
        }
        let plan = plan_view(&shown, 170.0, Ground::Paper).unwrap();
        check_well_formed(&plan.svg);
        assert!(!plan.rows.is_empty() && plan.message.contains(&plan.rows[0][2]), "{plan:?}");
        if let Ok(folder) = std::env::var("CHARTS_TO") {
            std::fs::write(format!("{folder}/{name}-plan.svg"), &plan.svg).unwrap();
        }
        let (caption, figures) = costs(&shown).unwrap();
        assert!(figures.len() >= 4 && caption.message.contains("it holds to"), "{caption:?}");
    }
}

#[test]
fn the_account_adds_up_to_what_the_link_says() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        for bank in [0.0, 45.0] {
            let asked = LinkAsked { bank: Degrees::new(bank), ..planned(&proved) };
            let shown = LinkShown::new(name, &proved, &asked).unwrap();
            let (Chart::Steps(chart), figures) = budget(&shown).unwrap() else { panic!() };
            let of = |id: &str| {
                figures.iter().find(|f| f.id.0 == format!("link.asked.{id}")).unwrap().quantity.value
            };
            assert!((chart.total() - of("received")).abs() < 0.02 * chart.terms.len() as f64, "{name}");
            let at = shown.link.at(asked.place().unwrap(), asked.attitude(), asked.level.at_socket).unwrap();
            assert_eq!(of("margin"), at.margin.get());
            let [low, high] = chart.band();
            assert!(low <= chart.total() && chart.total() <= high);
            for figure in figures {
                assert!(
                    !figure.working.formula.is_empty() && figure.quantity.value.is_finite(),
                    "{figure:?}"
                );
            }
        }
    }
}

#[test]
fn more_power_never_holds_less_far_and_doubt_lies_about_it() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let found = ranges(&LinkShown::new(name, &proved, &asked).unwrap()).unwrap();
        for pair in found.at.windows(2) {
            assert!(pair[0].holds[1] <= pair[1].holds[1] + 1e-6, "{name}: {pair:?}");
        }
        assert!(found.at.iter().all(|at| at.holds[0] <= at.holds[1] && at.holds[1] <= at.holds[2]));
        assert!(found.at.iter().all(|at| at.clean <= at.holds[1] + 1e-6));
    }
}

#[test]
fn as_planned_the_panes_tell_the_figures_of_the_craft_itself() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let own = proved.link_figures();
        let (_, of_costs) = costs(&shown).unwrap();
        let (chart, of_ranges) = range(&shown).unwrap();
        // One for each level, and two of what a better pair brings.
        assert!(!of_costs.is_empty() && of_ranges.len() == shown.model.levels.len() + 2);
        for figure in of_costs.iter().chain(&of_ranges) {
            let same = own.iter().find(|other| other.id == figure.id);
            let same = same.unwrap_or_else(|| panic!("{name}: no {}", figure.id.0));
            assert_eq!(
                (same.quantity, same.uncertainty),
                (figure.quantity, figure.uncertainty),
                "{name} {}",
                figure.id.0
            );
            assert_eq!((&same.label, &same.working), (&figure.label, &figure.working));
        }
        // The marks on the curve stand where the figures say.
        let Chart::Curves(chart) = chart else { panic!() };
        for (mark, figure) in chart.marks.iter().zip(&of_ranges) {
            assert!(
                of_ranges.iter().any(|f| (f.quantity.value - mark.at[1]).abs() < 1e-9),
                "{name} {} {mark:?}",
                figure.id.0
            );
        }
        // What is asked for 99 % of the time is said where it is told.
        assert!(
            chart.caption.message.contains("99 % of the time")
                && chart
                    .caption
                    .notes
                    .iter()
                    .any(|note| note.contains("99 % of the time on all antennas of the station"))
        );
    }
}

/// How far two searches of one range may lie apart, as a share of it: each ends in a last step of its own.
const SEARCHED: f64 = 1e-3;

#[test]
fn the_band_of_a_range_is_drawn_and_its_ends_are_those_of_its_figure() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let (Chart::Curves(chart), figures) = range(&shown).unwrap() else { panic!() };
        let (holds, clean) = (&chart.curves[0].points, &chart.curves[1].points);
        let of_levels = || figures.iter().filter(|figure| figure.id.0.starts_with("link.range"));
        assert!(of_levels().count() == shown.model.levels.len());
        for figure in of_levels().filter(|figure| figure.quantity.value > 0.0) {
            let value = figure.quantity.value;
            let [least, most] = ["least", "most"].map(|end| {
                let label = format!("holds so far with all doubt, at {end}");
                figure.working.terms.iter().find(|term| term.label == label).unwrap().quantity.value
            });
            assert!(least < most, "{name} {}", figure.id.0);
            let level =
                shown.model.levels.iter().find(|level| figure.id.0 == format!("link.range[{}]", level.out));
            let power = level.unwrap_or_else(|| panic!("{name}: {}", figure.id.0)).out.get();
            let near = |point: &&drawing::chart::Sample| (point.at - power).abs() < 1e-9 * power;
            let point = holds.iter().find(near).unwrap_or_else(|| panic!("{name}: no point at {power} mW"));
            assert!((point.value - value).abs() < SEARCHED * value, "{name} {figure:?} {point:?}");
            assert!((point.band[0] - least).abs() < SEARCHED * value, "{name} {figure:?} {point:?}");
            assert!((point.band[1] - most).abs() < SEARCHED * most, "{name} {figure:?} {point:?}");
        }
        assert!(holds.iter().all(|point| point.band[0] <= point.value && point.value <= point.band[1]));
        // Only what is in doubt has a band, and the page draws it.
        assert!(clean.iter().all(|point| point.band == [point.value; 2]));
        let sure = |chart: &drawing::chart::CurveChart| {
            let mut chart = chart.clone();
            for point in chart.curves.iter_mut().flat_map(|curve| &mut curve.points) {
                point.band = [point.value; 2];
            }
            Chart::from(chart).page().unwrap().svg.matches("fill-opacity=\"0.75\"").count()
        };
        let drawn = Chart::from(chart.clone()).page().unwrap().svg.matches("fill-opacity=\"0.75\"").count();
        assert_eq!(drawn, sure(&chart) + 1, "{name}");
        let [low, _, high] =
            ranges(&shown).unwrap().at.iter().find(|at| at.level.out == asked.level.out).unwrap().holds;
        let metres = |value: f64| {
            if value < 10.0 {
                format!("{} m", (value * 10.0).round() / 10.0)
            } else {
                format!("{value:.0} m")
            }
        };
        let words =
            format!("between {} and {} with twice the standard uncertainty", metres(low), metres(high));
        assert!(chart.caption.message.contains(&words), "{name}: {} / {words}", chart.caption.message);
    }
}

#[test]
fn the_lobes_are_drawn_over_the_flight_and_not_over_the_county() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let Chart::Field(chart) = lobes(&shown).unwrap() else { panic!() };
        let far = *chart.columns.last().unwrap();
        assert!((far - (2.0 * asked.distance.get()).max(60.0)).abs() < 1e-6, "{name}: {far}");
        assert!(chart.marks.len() == 1 && chart.marks[0].at[0] == asked.distance.get(), "{name}");
        let near = LinkAsked { distance: Metres::new(5.0), ..asked.clone() };
        let shown = LinkShown::new(name, &proved, &near).unwrap();
        let Chart::Field(chart) = lobes(&shown).unwrap() else { panic!() };
        assert!(chart.marks.is_empty() && chart.caption.message.contains("at 5 m"), "{name}");
    }
}

#[test]
fn a_better_pair_and_its_metres_are_named_beside_budget_and_range() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let own = proved.link_figures();
        let own = ["link.change[better pair]", "link.change_on_way[better pair]"]
            .map(|id| own.iter().find(|figure| figure.id.0 == id).unwrap());
        for (chart, figures) in [budget(&shown).unwrap(), range(&shown).unwrap()] {
            let note = &chart.caption().notes[0];
            assert!(
                note.starts_with("With better antennas, ") && note.contains("a patch of 11 dBi"),
                "{note}"
            );
            assert!(
                note.contains(" m more; of the way to ") || note.contains("as it does now; of the way to "),
                "{note}"
            );
            for own in &own {
                let brings = figures.iter().find(|figure| figure.id == own.id).unwrap();
                assert_eq!((brings.quantity, &brings.working), (own.quantity, &own.working), "{name}");
            }
        }
    }
}

#[test]
fn no_picture_holds_for_certain() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = LinkAsked { distance: Metres::new(10.0), ..planned(&proved) };
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let (chart, figures) = budget(&shown).unwrap();
        assert!(!chart.caption().message.contains("100 %"), "{}", chart.caption().message);
        assert!(!held(&shown).unwrap().caption().message.contains("100 %"));
        let held = figures.iter().find(|figure| figure.id.0 == "link.asked.held").unwrap();
        assert!(held.quantity.value <= 99.9 + 1e-9, "{held:?}");
    }
}

#[test]
fn cautions_stand_where_power_and_antennas_are_shown() {
    let proved = fieldfare();
    let asked = planned(&proved);
    let shown = LinkShown::new("Fieldfare", &proved, &asked).unwrap();
    for chart in [budget(&shown).unwrap().0, range(&shown).unwrap().0] {
        assert!(chart.caption().notes.iter().any(|note| note.contains(POWER_NOTE)));
        assert!(chart.page().unwrap().svg.contains("check your local rules"));
    }
    for PatternShown { chart, .. } in patterns(&shown).unwrap() {
        assert!(chart.caption().notes.iter().any(|note| note.contains(EXPOSURE_NOTE)));
    }
    assert!(POWER_NOTE.contains("check your local rules"));
}

#[test]
fn every_cut_has_a_table_with_hand_and_axial_ratio_and_a_figure_that_opens() {
    for (name, sheet) in DEMO {
        let proved = proved(sheet);
        let asked = planned(&proved);
        let shown = LinkShown::new(name, &proved, &asked).unwrap();
        let cuts = patterns(&shown).unwrap();
        let mut ids: Vec<&str> =
            cuts.iter().flat_map(|cut| &cut.figures).map(|figure| &*figure.id.0).collect();
        assert_eq!(ids.len(), cuts.len(), "{name}");
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), cuts.len(), "{name}");
        for cut in &cuts {
            assert_eq!(cut.rows.len(), 24);
            assert!(cut.rows[0].direction.starts_with("0°, away"), "{:?}", cut.rows[0]);
            for row in &cut.rows {
                assert!(row.gain.ends_with(" dBi") || row.gain == "nothing", "{row:?}");
                assert!(
                    ["right-hand", "left-hand", "linear", "nothing sent"].contains(&&*row.hand),
                    "{row:?}"
                );
                assert!(row.axial_ratio.ends_with(" dB") || row.axial_ratio == "none", "{row:?}");
            }
            assert!(cut.chart.caption().message.contains("axial ratio"), "{}", cut.chart.caption().message);
        }
    }
}

#[test]
fn a_pose_is_told_in_words() {
    let proved = fieldfare();
    let asked = LinkAsked {
        distance: Metres::new(300.0),
        height: Metres::new(2.5),
        heading: Degrees::new(-90.0),
        nose_down: Degrees::new(20.0),
        bank: Degrees::new(45.0),
        ..planned(&proved)
    };
    let words = asked_words(&asked);
    assert!(
        words.starts_with(
            "at 300 m, 2.5 m up, nose 90° to the right, nose 20° down, banked 45° to the right, level "
        ),
        "{words}"
    );
}

#[test]
fn a_link_that_lacks_something_says_what() {
    let sheet = include_str!("pages/pipit.toml");
    let proved = proved(sheet);
    let other = fieldfare();
    let asked = planned(&other);
    let told = LinkShown::new("Pipit", &proved, &asked).map(|_| ()).unwrap_err();
    assert!(matches!(told, LinkFault::NoTransmitter { .. } | LinkFault::Lacks { .. }), "{told}");
    assert!(told.to_string().contains("first"), "{told}");
}
