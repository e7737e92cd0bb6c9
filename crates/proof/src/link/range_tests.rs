//! Do ranges, least levels, costs and figures of a link agree with each other, and with a plain search?

#![allow(clippy::unwrap_used)]

use super::tests::{SHEETS, demo, figures, heading, line, linked, value};
use super::*;
use crate::testing::set;
use quantity::{Db, Dbm, Metres};

#[test]
fn every_demo_craft_tells_its_link_in_figures() {
    for number in 0..SHEETS.len() {
        let figures = figures(&demo(number));
        for id in [
            "link.radiated",
            "safe.exposure_distance",
            "link.margin_far",
            "link.held_far",
            "link.level_least",
        ] {
            assert!(value(&figures, id).is_finite(), "{number} {id}");
        }
        assert!(figures.iter().all(|figure| !figure.working.terms.is_empty()));
        let ranges: Vec<f64> = figures
            .iter()
            .filter(|figure| figure.id.0.starts_with("link.range["))
            .map(|figure| figure.quantity.value)
            .collect();
        assert!(ranges.len() > 1 && ranges.windows(2).all(|pair| pair[0] <= pair[1]), "{ranges:?}");
    }
}

#[test]
fn the_terms_of_the_budget_add_up_to_what_is_in_hand() {
    let figures = figures(&demo(1));
    let margin = figures.iter().find(|figure| figure.id.0 == "link.margin_far").unwrap();
    let term =
        |label: &str| margin.working.terms.iter().find(|term| term.label == label).unwrap().quantity.value;
    let first = margin.working.terms.iter().position(|term| term.label == "feed of the sender").unwrap();
    let sum: f64 = margin.working.terms[first..first + 13].iter().map(|term| term.quantity.value).sum();
    assert!((term("level at the socket") + sum - term("received from it")).abs() < 1e-9);
    let added = term("received from it") + term("the other antennas add") - term("needed");
    assert!((added - margin.quantity.value).abs() < 1e-9);
}

#[test]
fn radiated_power_and_its_distance_are_those_of_the_handbook() {
    // 200 mW, 1.5 dBi at the rim for 1.6 dBi stated less 0.9 dB of feed: 23.01 − 0.9 + 1.6 dBm.
    let figures = figures(&demo(1));
    let feed = value(&figures, "link.feed[right-hand omni]");
    let eirp = 200.0 * 10f64.powf((1.6 - feed) / 10.0);
    assert!((value(&figures, "link.radiated") - eirp).abs() < 1e-6);
    let near = (eirp * 1e-3 / (4.0 * std::f64::consts::PI * 10.0)).sqrt();
    assert!((value(&figures, "safe.exposure_distance") - near).abs() < 1e-9);
}

#[test]
fn four_times_the_power_is_twice_the_range_in_the_open() {
    let mut link = linked(&demo(1));
    link.scenery = radio::Scenery::default();
    let levels = [Dbm::new(0.0), Dbm::new(6.0206)];
    let far = link.farthest(Metres::new(2.5), heading(0.0), &levels, Db::new(10.0)).unwrap();
    let ratio = far[1].distance() / far[0].distance();
    assert!((ratio - 2.0).abs() < 0.1, "{ratio}");
}

/// The range by the plainest search there is: a place every two centimetres, each counted as breaking or not and as lost or not, and both summed over
/// every length in which breaks count together; where the break begins with which either is too much.
fn plainly(link: &Link, height: f64, level: Dbm, reserve: f64, (to, allowed): (f64, f64)) -> Option<f64> {
    const STEP: f64 = 0.02;
    let [gone, lost, within] = [link.blink.gone(), link.blink.lost(), link.blink.within()].map(Metres::get);
    let [gone, lost] = [gone * allowed, lost * allowed];
    let mut flown = link.flown(heading(0.0));
    let mut at = |d: f64| flown.depth(line(d, height), level).unwrap();
    let begin = height.max(3.0);
    let mut under: std::collections::VecDeque<(f64, bool)> = std::collections::VecDeque::new();
    let mut begins = begin;
    let mut holds = true;
    let mut n = 0_u32;
    loop {
        let d = begin + STEP * (f64::from(n) + 0.5);
        if d > to {
            return None;
        }
        let depth = at(d);
        if depth.actual.get() < reserve {
            begins = if holds { d } else { begins };
            under.push_back((d, depth.margin.get() < reserve));
        }
        holds = depth.actual.get() >= reserve;
        while under.front().is_some_and(|(first, _)| *first < d - within) {
            under.pop_front();
        }
        let lost_there = under.iter().filter(|(_, lost)| *lost).count();
        if under.len() as f64 * STEP > gone || lost_there as f64 * STEP > lost {
            return Some(begins);
        }
        n += 1;
    }
}

#[test]
fn the_range_is_where_the_plainest_search_breaks_for_longer_than_a_blink() {
    for (number, height, blink) in
        [(1, 25.0, Some(12.0)), (2, 3.0, Some(8.0)), (2, 3.0, None), (3, 3.0, Some(25.0)), (3, 3.0, None)]
    {
        let mut link = linked(&demo(number));
        link.blink = Blink { cruise: blink.map(quantity::MetresPerSecond::new) };
        let level = Dbm::new(14.0);
        for reserve in [0.0, 3.0, 8.0, 14.0] {
            let found =
                link.farthest(Metres::new(height), heading(0.0), &[level], Db::new(reserve)).unwrap()[0];
            let far = found.distance().get().min(399.0);
            // Nulls are as wide as they are to a few hundredths: so much less and more allowed must lie about what is found.
            let [less, more] = [0.94, 1.06].map(|allowed| {
                plainly(&link, height, level, reserve, (400.0, allowed)).unwrap_or(f64::INFINITY)
            });
            let near = 0.3 + 0.002 * far;
            assert!(
                less.min(399.0) - near < far && far < more + near,
                "{number} {reserve}: {less} to {more}, {found:?}"
            );
        }
    }
}

#[test]
fn a_faster_craft_never_has_the_shorter_range_and_breaks_are_bounded_in_metres() {
    for number in 0..SHEETS.len() {
        let mut link = linked(&demo(number));
        let mut reached = |cruise: Option<f64>| -> Vec<f64> {
            link.blink = Blink { cruise: cruise.map(quantity::MetresPerSecond::new) };
            let levels = [-2.0, 4.0, 10.0, 14.0, 20.0].map(Dbm::new);
            let found = link.farthest(Metres::new(3.0), heading(0.0), &levels, Db::new(0.0)).unwrap();
            found.iter().map(|range| range.distance().get()).collect()
        };
        let cruises = [None, Some(0.5), Some(2.0), Some(4.0), Some(8.0), Some(10.0), Some(20.0), Some(120.0)];
        let by_speed = cruises.map(&mut reached);
        for pair in by_speed.windows(2) {
            assert!(
                pair[0].iter().zip(&pair[1]).all(|(slow, fast)| *fast >= *slow - 0.02),
                "{number}: {by_speed:?}"
            );
        }
        assert_eq!(by_speed[5], by_speed[7], "{number}: what is flown in a blink has its end");
    }
}

#[test]
fn what_holds_and_what_breaks_of_a_way_is_the_way_and_no_dip_is_hidden() {
    for number in 0..SHEETS.len() {
        let craft = demo(number);
        let proved = crate::prove(&craft);
        let link = linked(&craft);
        let asked = LinkAsked::planned(proved.link.as_deref().unwrap()).unwrap();
        let least = proved.link.as_deref().unwrap().levels[0].at_socket;
        let mut out = link.outward_as_asked(&asked).unwrap();
        let gone = out.gone(asked.distance, least).unwrap();
        let [begin, end] = gone.way.map(Metres::get);
        assert!((gone.holds().get() + Gone::length(&gone.breaks).get() - (end - begin)).abs() < 1e-9);
        let within =
            |runs: &[[Metres; 2]], d: f64| runs.iter().any(|[from, to]| (from.get()..=to.get()).contains(&d));
        // Every place under nought lies in a break, save for what two samples hide between them.
        let mut flown = link.flown(asked.attitude());
        let (mut wrong, mut all) = (0.0, 0.0);
        for n in 0..((end - begin) / 0.05) as u32 {
            let d = begin + 0.05 * f64::from(n);
            let depth = flown.depth(line(d, asked.height.get()), least).unwrap();
            let said = within(&gone.breaks, d);
            all += 0.05;
            wrong += if (depth.actual.get() < 0.0) == said { 0.0 } else { 0.05 };
            assert!(depth.actual.get() > -1.0 || said, "{number}: {} at {d}", depth.actual);
            assert!(!within(&gone.lost, d) || said, "{number}: lost and not broken at {d}");
        }
        assert!(wrong <= 0.01 * all + 0.2, "{number}: {wrong} of {all}");
        // A range that reaches the end leaves no more than blinks before it.
        let range = out.range(least).unwrap().distance();
        let before = out.gone(range, least).unwrap();
        assert!(before.breaks.iter().all(|[from, to]| *to - *from <= link.blink.gone() + Metres::new(0.01)));
        assert!(before.lost.iter().all(|[from, to]| *to - *from <= link.blink.lost() + Metres::new(0.01)));
    }
}

#[test]
fn a_level_is_enough_exactly_where_its_range_reaches_the_farthest_planned_point() {
    // As the sheet is, and flown so low and far that a lobe breaks it before the end.
    for (number, far) in [(1, "450 m"), (1, "380 m"), (1, "700 m"), (2, "110 m"), (3, "220 m")] {
        let mut craft = demo(number);
        set(&mut craft, "craft.fly_to", far);
        let figures = figures(&craft);
        let least = value(&figures, "link.level_least");
        let far: f64 = far.trim_end_matches(" m").parse().unwrap();
        for figure in figures.iter().filter(|figure| figure.id.0.starts_with("link.range[")) {
            let power: f64 = figure.id.0["link.range[".len()..].split(' ').next().unwrap().parse().unwrap();
            let reaches = figure.quantity.value >= far;
            // Coming home, and all headings at the end, may ask for more than flying away.
            assert!(
                power < least * 0.99 || reaches,
                "{number}: {power} mW holds {far} m, range {}",
                figure.quantity.value
            );
        }
    }
}

#[test]
fn the_lowest_power_does_hold_the_whole_way() {
    let craft = demo(1);
    let (link, figures) = (linked(&craft), figures(&craft));
    let least = Dbm::from_power(quantity::Milliwatts::new(value(&figures, "link.level_least"))).unwrap();
    let poses = crate::subject::LinkPlan::of(crate::prove(&craft).link.as_deref().unwrap()).unwrap().poses();
    let ranges = |level: Dbm| {
        [0, 1, 2, 3, 4, 5].map(|n| {
            let attitude = poses[n];
            let found = link.farthest(Metres::new(25.0), attitude, &[level], Db::new(0.0)).unwrap();
            found[0].distance().get()
        })
    };
    // Enough, and no more than enough: a figure of watts where milliwatts hold would frighten a pilot into breaking the law.
    assert!(ranges(least + Db::new(0.02)).iter().all(|range| *range >= 450.0));
    assert!(ranges(least - Db::new(1.0)).iter().any(|range| *range < 450.0));
}

#[test]
fn what_one_thing_costs_is_what_the_range_changes_by_and_a_gain_is_a_gain() {
    for number in 0..SHEETS.len() {
        let craft = demo(number);
        let proved = crate::prove(&craft);
        let figures = proved.link_figures();
        let model = proved.link.as_deref().unwrap();
        let asked = LinkAsked::planned(model).unwrap();
        let set = value(&figures, &format!("link.range[{}]", asked.level.out));
        for figure in figures.iter().filter(|figure| figure.id.0.starts_with("link.change[")) {
            let term = |label: &str| {
                figure.working.terms.iter().find(|term| term.label == label).unwrap().quantity.value
            };
            assert!(
                (term("holds so far as it is") - set).abs() < 0.005 * set.max(1.0),
                "{number} {}",
                figure.id.0
            );
            let change = term("holds so far with this") - term("holds so far as it is");
            assert!((change - figure.quantity.value).abs() < 1e-9);
            assert!(figure.label.contains("change of the range"), "{}", figure.label);
            assert!(change.abs() < 0.5 || figure.uncertainty.is_some(), "{number} {}", figure.label);
        }
        let (_, costs) = model.costs(&asked, &proved.ledger).unwrap().unwrap();
        assert!(costs.iter().all(|cost| figures.contains(&cost.figure) || cost.figure.uncertainty.is_none()));
        let better = costs.iter().find(|cost| cost.what.starts_with("better antennas")).unwrap();
        assert!(better.change > Db::new(-1.0), "{number}: {better:?}");
    }
}

fn term(figure: &quantity::Figure, label: &str) -> f64 {
    let found = figure.working.terms.iter().find(|term| term.label == label);
    found.unwrap_or_else(|| panic!("no {label} in {figure:?}")).quantity.value
}

#[test]
fn the_ends_of_a_range_are_ranges_themselves() {
    let sheets = SHEETS.iter().chain(&[include_str!("../../../../demo/linnet.toml")]);
    for sheet in sheets {
        let craft = craft::read_sheet(sheet).craft;
        let (link, figures) = (linked(&craft), figures(&craft));
        let ranges = figures.iter().filter(|figure| figure.id.0.starts_with("link.range["));
        for figure in ranges.filter(|figure| figure.quantity.value > 0.0) {
            let usual = figure.quantity.value;
            let less = term(figure, "with less at the socket it holds to");
            let [least, most] =
                ["least", "most"].map(|end| term(figure, &format!("holds so far with all doubt, at {end}")));
            assert!(0.0 <= least && least <= less && less <= usual && usual <= most, "{figure:?}");
            // Where 10 dB and more are in hand over what is kept nobody need fear that it holds nowhere.
            let asked = LinkAsked::planned(crate::prove(&craft).link.as_deref().unwrap()).unwrap();
            let level = Dbm::new(term(figure, "level at the socket") - 14.0);
            let sure =
                link.farthest(asked.height, asked.attitude(), &[level], Db::new(0.0)).unwrap()[0].distance();
            let walls = figure.working.terms.iter().any(|term| term.label.contains("walls may make it"));
            assert!(walls || least > 0.7 * sure.get(), "{figure:?}: {sure}");
            assert!(figure.uncertainty.unwrap() <= 0.75 * (most - least).max(1e-9), "{figure:?}");
        }
    }
}

#[test]
fn what_a_wall_costs_is_searched_out_on_both_ends_of_the_doubt_together() {
    let craft = craft::read_sheet(&open_linnet()).craft;
    let figures = figures(&craft);
    for key in ["wall", "bank", "tree"] {
        let figure = figures.iter().find(|figure| figure.id.0 == format!("link.change[{key}]")).unwrap();
        let range = term(figure, "holds so far as it is");
        let ends =
            ["less", "more"].map(|side| term(figure, &format!("change of both with {side} at the socket")));
        // Both ranges move together, so that what is left of their doubt is a share of the range.
        assert!(ends.iter().all(|end| (end - figure.quantity.value).abs() < 0.5 * range), "{figure:?}");
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        assert!(figure.uncertainty.unwrap() >= 0.25 * (high - low) - 1e-6, "{figure:?}");
    }
}

#[test]
fn every_lobe_is_met_four_times() {
    for number in 0..SHEETS.len() {
        let link = linked(&demo(number));
        for (far, top) in [(60.0, 6.0), (220.0, 6.0), (900.0, 50.0), (4000.0, 200.0)] {
            let [distances, heights] = link.lobe_places(Metres::new(far), Metres::new(top));
            let station = link.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
            let lobes = |d: Metres, h: f64| 2.0 * station * h / d.get() / link.carrier.wavelength().get();
            let over = |pair: &[Metres]| (lobes(pair[0], top) - lobes(pair[1], top)).abs();
            assert!(distances.windows(2).all(|pair| over(pair) <= 0.25), "{number} {far}");
            let up = |pair: &[Metres]| lobes(distances[0], pair[1].get() - pair[0].get());
            assert!(heights.windows(2).all(|pair| up(pair) <= 0.25), "{number} {far}");
            assert!(distances.last().unwrap().get() == far && distances[0].get() <= 0.9 * far);
            assert!(distances.len() * heights.len() < 25_000, "{} {}", distances.len(), heights.len());
        }
    }
}

#[test]
fn range_share_of_the_time_and_picture_are_told_of_one_link() {
    let sheets = SHEETS.iter().chain(&[include_str!("../../../../demo/linnet.toml")]);
    for sheet in sheets {
        let craft = craft::read_sheet(sheet).craft;
        let (link, proved) = (linked(&craft), crate::prove(&craft));
        let asked = LinkAsked::planned(proved.link.as_deref().unwrap()).unwrap();
        let level = asked.level.at_socket;
        let far = link.farthest(asked.height, asked.attitude(), &[level], Db::new(0.0)).unwrap()[0];
        let Farthest::To(far) = far else { continue };
        // The mean over half a metre about the end holds just so long; short of it, it holds longer.
        let at = |d: f64| link.at(line(d, asked.height.get()), asked.attitude(), level).unwrap();
        let about: Vec<f64> = (-10..=10).map(|n| at(far.get() + 0.025 * f64::from(n)).held.get()).collect();
        let [least, most] = about.iter().fold([1.0_f64, 0.0], |[a, b], held| [a.min(*held), b.max(*held)]);
        assert!(least <= 0.9901 && most >= 0.9899, "{}: {least} {most} at {far}", craft.name);
        let blinks = link.outward_as_asked(&asked).unwrap().gone(far, level).unwrap().breaks;
        let before = (10..60).map(|n| far.get() * f64::from(n) / 60.0).filter(|d| *d > asked.height.get());
        for d in before {
            let held = at(d).held.get();
            let blink = blinks.iter().any(|[from, to]| (from.get()..=to.get()).contains(&d));
            assert!(held > 0.985 || blink, "{}: {held} at {d}", craft.name);
        }
        // The words follow from what is left and from the mean, and from nothing else.
        for n in 1..40 {
            let at = at(far.get() * f64::from(n) / 20.0);
            let margins: Vec<Db> = at.inputs.iter().map(|input| input.margin).collect();
            assert_eq!(at.picture, link.picture(&margins));
            assert_eq!(
                at.lasting.get() >= 0.0,
                at.held.get() >= 0.99 - 1e-5,
                "{} {}",
                at.lasting,
                at.held.get()
            );
            let clean = link.threshold.cliff.clean_from();
            assert_eq!(at.picture == radio::Picture::Clean, at.lasting >= clean);
            assert_eq!(at.picture == radio::Picture::Lost, at.margin < Db::new(0.0));
        }
    }
}

#[test]
fn a_tree_half_way_to_the_craft_takes_as_much_as_its_leaves() {
    let craft = craft::read_sheet(&open_linnet()).craft;
    let figures = figures(&craft);
    let change = |key: &str| {
        let figure = figures.iter().find(|figure| figure.id.0 == format!("link.change[{key}]")).unwrap();
        (term(figure, "holds so far as it is"), figure.quantity.value, figure.uncertainty.unwrap())
    };
    // Six metres of leaves take 11 to 12 dB: half of the range and more where the ground takes the square of the distance.
    let (range, lost, doubt) = change("tree");
    assert!((0.2..0.7).contains(&(-lost / range)), "{range} {lost}");
    assert!(doubt < 0.3 * range, "{doubt}");
    let (range, _, doubt) = change("bank");
    assert!(2.0 * doubt < 0.3 * range, "{range} +- {doubt}");
}

fn open_linnet() -> String {
    let sheet = include_str!("../../../../demo/linnet.toml");
    let (before, after) = sheet.split_once("[[part.station.obstacle]]").unwrap();
    format!("{before}{}", &after[after.find("[part.").unwrap()..])
}
