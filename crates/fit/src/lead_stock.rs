//! Which bought lead suits a route: slack against the lengths that exist, and how sharply a lead may bend.
//!
//! slack = stock length − route − both plug allowances. A lead wants slack, because the camera tilts and
//! the board moves on soft posts; far too much must be folded where no blade and no hot face is. All
//! numbers are common practice of the trade and stand in [`LEAD_PRACTICE`].
//!
//! Left out: wires made to measure, which are as long as one cuts them.

use crate::solid::add_linear;
use quantity::{Linear, Millimetres, Source};

/// What kind of lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LeadKind {
    /// A flat bundle of hair-thin coaxial strands between camera and transmitter.
    CameraHarness,
    /// A coaxial lead with push-on plugs.
    Coax,
}

/// What the trade knows of one kind of lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadPractice {
    /// The kind.
    pub kind: LeadKind,
    /// Length lost in each plug: least and most.
    pub plug_allowance: [Millimetres; 2],
    /// Less slack than this is tight.
    pub slack_least: Millimetres,
    /// More slack than this, or than `slack_share` of the route, is more than wanted.
    pub slack_most: Millimetres,
    /// The same as a share of the route.
    pub slack_share: f64,
    /// More slack than this must be folded somewhere.
    pub fold_above: Millimetres,
    /// The least bend radius, if it does not go by the thickness.
    pub bend_radius: Option<Millimetres>,
    /// The least bend radius in diameters, laid once and not moved.
    pub bend_diameters: Option<f64>,
    /// Below this share of the least radius strands break.
    pub bend_broken_share: f64,
    /// The lengths it is sold in.
    pub stock: &'static [Millimetres],
    /// Where the numbers come from.
    pub source: Source,
}

const fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

/// The kinds of lead, one row each.
pub const LEAD_PRACTICE: &[LeadPractice] = &[
    LeadPractice {
        kind: LeadKind::CameraHarness,
        plug_allowance: [mm(3.0), mm(4.0)],
        slack_least: mm(5.0),
        slack_most: mm(12.0),
        slack_share: 0.08,
        fold_above: mm(35.0),
        bend_radius: Some(mm(5.0)),
        bend_diameters: None,
        bend_broken_share: 0.6,
        stock: &[mm(40.0), mm(60.0), mm(80.0), mm(100.0), mm(120.0), mm(140.0), mm(150.0), mm(200.0)],
        source: Source::common_practice("camera harness: lengths sold, allowances, slack and bends"),
    },
    LeadPractice {
        kind: LeadKind::Coax,
        plug_allowance: [mm(2.0), mm(2.0)],
        slack_least: mm(5.0),
        slack_most: mm(12.0),
        slack_share: 0.08,
        fold_above: mm(35.0),
        bend_radius: None,
        bend_diameters: Some(5.0),
        bend_broken_share: 0.6,
        // Sold in any length: the part's own is held against the route.
        stock: &[],
        source: Source::common_practice("thin coax: allowances, slack and bends"),
    },
];

impl LeadKind {
    /// What the trade knows of it.
    pub const fn practice(self) -> &'static LeadPractice {
        &LEAD_PRACTICE[self as usize]
    }

    /// The least bend radius of a lead of this kind and diameter.
    pub fn least_bend(self, diameter: Millimetres) -> Millimetres {
        let practice = self.practice();
        let by_size = practice.bend_diameters.map(|n| Millimetres::new(n * diameter.get()));
        practice.bend_radius.or(by_size).unwrap_or(Millimetres::new(0.0))
    }
}

/// How a bought length suits a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slack {
    /// It does not reach.
    TooShort,
    /// It reaches, with less slack than wanted.
    Scant,
    /// As wanted.
    Right,
    /// More than wanted, but it lies without folding.
    Ample,
    /// So much that it must be folded somewhere.
    MustFold,
}

/// One bought length held against a route.
#[derive(Clone, Debug, PartialEq)]
pub struct StockFit {
    /// The length bought.
    pub length: Millimetres,
    /// What is left when it is plugged in, in mm; negative by as much as it falls short.
    pub slack: Linear,
    /// How that suits.
    pub suits: Slack,
}

/// The lengths this kind is sold in, held against a route, shortest first.
pub fn stock_choice(route: &Linear, kind: LeadKind) -> Vec<StockFit> {
    let fits = kind.practice().stock.iter();
    fits.map(|length| slack_of(&Linear { value: length.get(), slopes: vec![] }, route, kind)).collect()
}

/// One lead, its length a fact, held against a route. Each plug counts in the middle of its allowance.
pub fn slack_of(length: &Linear, route: &Linear, kind: LeadKind) -> StockFit {
    let practice = kind.practice();
    let [least, most] = practice.plug_allowance;
    let mut slack = Linear::default();
    add_linear(&mut slack, length, 1.0);
    add_linear(&mut slack, route, -1.0);
    slack.value -= least.get() + most.get();
    let wanted_most = practice.slack_most.get().max(practice.slack_share * route.value);
    let suits = match slack.value {
        s if s < 0.0 => Slack::TooShort,
        s if s < practice.slack_least.get() => Slack::Scant,
        s if s <= wanted_most => Slack::Right,
        s if s <= practice.fold_above.get() => Slack::Ample,
        _ => Slack::MustFold,
    };
    StockFit { length: Millimetres::new(length.value), slack, suits }
}

/// The shortest length that leaves the slack wanted, else the shortest that reaches with more, else the
/// longest that reaches with less; `None` if none reaches.
pub fn length_to_order(fits: &[StockFit]) -> Option<&StockFit> {
    let shortest = |wanted: &[Slack]| {
        let serve = fits.iter().filter(|fit| wanted.contains(&fit.suits));
        serve.min_by(|a, b| a.length.get().total_cmp(&b.length.get()))
    };
    shortest(&[Slack::Right])
        .or_else(|| shortest(&[Slack::Ample]))
        .or_else(|| shortest(&[Slack::MustFold]))
        .or_else(|| fits.iter().rev().find(|fit| fit.suits == Slack::Scant))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use quantity::FactIndex;

    fn route(value: f64) -> Linear {
        Linear { value, slopes: vec![(FactIndex(1), 1.0)] }
    }

    #[test]
    fn slack_is_what_stock_leaves_over_route_and_plugs() {
        let fits = stock_choice(&route(66.0), LeadKind::CameraHarness);
        let suits: Vec<(f64, f64, Slack)> =
            fits.iter().map(|fit| (fit.length.get(), fit.slack.value, fit.suits)).collect();
        assert_eq!(suits[1], (60.0, -13.0, Slack::TooShort));
        assert_eq!(suits[2], (80.0, 7.0, Slack::Right));
        assert_eq!(suits[3], (100.0, 27.0, Slack::Ample));
        assert_eq!(suits[4], (120.0, 47.0, Slack::MustFold));
        assert_eq!(fits[2].slack.slopes, vec![(FactIndex(1), -1.0)]);
        assert_eq!(length_to_order(&fits).unwrap().length.get(), 80.0);
    }

    #[test]
    fn the_nearest_that_serves_is_ordered() {
        let ordered = |r: f64| {
            length_to_order(&stock_choice(&route(r), LeadKind::CameraHarness)).map(|fit| fit.length.get())
        };
        assert_eq!(ordered(30.0), Some(60.0), "40 leaves 3 mm only");
        assert_eq!(ordered(190.0), Some(200.0), "scant, but the longest there is");
        assert_eq!(ordered(194.0), None);
        // At 170 mm eight per cent is 13.6 mm.
        assert_eq!(slack_of(&route(190.6), &route(170.0), LeadKind::CameraHarness).suits, Slack::Right);
    }

    #[test]
    fn rows_stand_where_their_kind_says() {
        for kind in [LeadKind::CameraHarness, LeadKind::Coax] {
            assert_eq!(kind.practice().kind, kind);
        }
        assert_eq!(LeadKind::CameraHarness.least_bend(Millimetres::new(1.2)).get(), 5.0);
        assert!((LeadKind::Coax.least_bend(Millimetres::new(1.13)).get() - 5.65).abs() < 1e-12);
    }
}
