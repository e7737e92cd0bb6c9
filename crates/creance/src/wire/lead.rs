//! How leads lie, what length to order, and what holds their plugs, as a page tells it.

use crate::judged::Judged;
use craft::Craft;
use fit::{LeadKind, Slack, StockFit};
use proof::{Lead, LeadWay, PlugHold, Proved};
use quantity::standard_uncertainty;
use serde::Serialize;
use ts_rs::TS;

/// One lead.
#[derive(Serialize, TS)]
pub struct LeadView {
    /// Its place.
    pub place: String,
    /// What a person calls it.
    pub name: String,
    /// What kind: camera harness or coax.
    pub kind: &'static str,
    /// Where it begins and where it ends, as far as that is known.
    pub tips: [Option<String>; 2],
    /// How it lies; nothing where there is no way, or facts are missing.
    pub way: Option<LeadWayView>,
    /// What is said of its length, its way or what is missing.
    pub says: Vec<String>,
    /// Its push-on plugs and what holds them.
    pub held: Vec<HeldView>,
}

/// The shortest way a lead can lie.
#[derive(Serialize, TS)]
pub struct LeadWayView {
    /// How long.
    pub length_mm: f64,
    /// Its standard uncertainty, where facts carry doubt.
    pub doubt_mm: Option<f64>,
    /// Its middle line in the craft's own frame, from end to end.
    pub points: Vec<[f64; 3]>,
    /// The sharpest bend; nothing where it runs straight.
    pub sharpest_mm: Option<f64>,
    /// Where that is.
    pub sharpest_at: Option<[f64; 3]>,
    /// The least radius the lead may be bent to.
    pub least_bend_mm: f64,
    /// What it leans on, hardest first.
    pub leans: Vec<String>,
    /// Its own length against the way.
    pub own: Option<StockView>,
    /// The lengths it is sold in against the way; none for coax, which is sold in any.
    pub stock: Vec<StockView>,
    /// The stock length to order.
    pub order_mm: Option<f64>,
}

/// A length held against a way.
#[derive(Serialize, TS)]
pub struct StockView {
    /// The length, plug tip to plug tip.
    pub length_mm: f64,
    /// What is left when it is plugged in.
    pub slack_mm: f64,
    /// How that suits, in words.
    pub suits: &'static str,
}

/// The lengths that can be had for one lead, held against its shortest way, as `figures --json` tells it.
#[derive(Serialize)]
pub struct LengthsTold {
    /// The place of the lead.
    pub place: String,
    /// What a person calls it.
    pub called: String,
    /// The shortest way; `null` where there is none.
    pub way_mm: Option<f64>,
    /// Why there is none.
    pub no_way: Option<String>,
    /// What both plugs take.
    pub plugs_mm: f64,
    /// Its own length, where that is known.
    pub own: Option<StockView>,
    /// The lengths it is sold in; none for coax, which is sold in any.
    pub stock: Vec<StockView>,
    /// What to order, and where what is over can be folded.
    pub mends: Vec<String>,
}

/// The lengths for every lead.
pub fn lengths(craft: &Craft, proved: &Proved) -> Vec<LengthsTold> {
    let told = |lead: &Lead| {
        let place = &craft.places[lead.place].id;
        let finding = proved.finding_at("fit.harness_length", place);
        let way = lead.way.as_ref().ok();
        let allowance = lead.kind.practice().plug_allowance;
        Some(LengthsTold {
            place: place.to_string(),
            called: craft.part_at(&craft.places[lead.place])?.name.clone(),
            way_mm: way.map(|way| way.route.length.value),
            no_way: finding.filter(|_| way.is_none()).map(|finding| finding.message.clone()),
            plugs_mm: allowance.iter().map(|end| end.get()).sum(),
            own: way.and_then(|way| way.own.as_ref().ok()).map(stock_view),
            stock: way.map_or(Vec::new(), |way| way.stock.iter().map(stock_view).collect()),
            mends: finding.map_or(Vec::new(), |finding| finding.mends.clone()),
        })
    };
    proved.leads.iter().filter_map(told).collect()
}

/// A push-on plug and what holds it.
#[derive(Serialize, TS)]
pub struct HeldView {
    /// The plug.
    pub plug: String,
    /// The nearest strain relief.
    pub relief: Option<String>,
    /// How far that is.
    pub away_mm: Option<f64>,
}

/// Every lead of a craft.
pub fn leads(judged: &Judged) -> Vec<LeadView> {
    judged.proved.leads.iter().map(|lead| lead_view(judged, lead)).collect()
}

fn lead_view(judged: &Judged, lead: &Lead) -> LeadView {
    let Judged { craft, proved, .. } = judged;
    let place = &craft.places[lead.place];
    let name = |number: usize| Some(craft.part(&craft.places[number].part)?.name.as_str());
    let own = proved.findings.iter().filter(|finding| {
        finding.rule.starts_with("fit.harness_") && finding.places.first() == Some(&place.id)
    });
    LeadView {
        place: place.id.to_string(),
        name: lead.leads().filter_map(name).collect::<Vec<_>>().join(" and "),
        kind: match lead.kind {
            LeadKind::CameraHarness => "camera harness",
            LeadKind::Coax => "coax",
        },
        tips: lead.tips.each_ref().map(|tip| tip.as_ref().map(|tip| tip.called.clone())),
        way: lead.way.as_ref().ok().map(|way| way_view(judged, way)),
        says: own
            .flat_map(|finding| std::iter::once(&finding.message).chain(&finding.mends))
            .cloned()
            .collect(),
        held: proved
            .held
            .iter()
            .filter(|held| lead.leads().any(|place| place == held.lead))
            .map(|held| held_view(judged, held))
            .collect(),
    }
}

fn name_of(judged: &Judged, solid: fit::SolidIndex) -> Option<String> {
    judged.proved.solids.get(solid.0 as usize).map(|s| s.solid.name.clone())
}

fn held_view(judged: &Judged, held: &PlugHold) -> HeldView {
    HeldView {
        plug: held.called.clone(),
        relief: held.relief.as_ref().and_then(|relief| name_of(judged, relief.solid)),
        away_mm: held.relief.as_ref().map(|relief| relief.distance.value),
    }
}

fn way_view(judged: &Judged, way: &LeadWay) -> LeadWayView {
    let route = &way.route;
    let doubt = standard_uncertainty(&route.length, &judged.proved.ledger);
    LeadWayView {
        length_mm: route.length.value,
        doubt_mm: (doubt > 0.0).then_some(doubt),
        points: route.points.iter().map(|point| point.coordinates()).collect(),
        sharpest_mm: route.sharpest.map(|bend| bend.radius.get()),
        sharpest_at: route.sharpest.map(|bend| bend.at.coordinates()),
        least_bend_mm: way.least_bend.get(),
        leans: route.leans.iter().filter_map(|lean| name_of(judged, lean.solid)).collect(),
        own: way.own.as_ref().ok().map(stock_view),
        stock: way.stock.iter().map(stock_view).collect(),
        order_mm: way.order.as_ref().map(|fit| fit.length.get()),
    }
}

fn stock_view(fit: &StockFit) -> StockView {
    StockView {
        length_mm: fit.length.get(),
        slack_mm: fit.slack.value,
        suits: match fit.suits {
            Slack::TooShort => "too short",
            Slack::Scant => "scant",
            Slack::Right => "right",
            Slack::Ample => "ample",
            Slack::MustFold => "must be folded",
        },
    }
}
