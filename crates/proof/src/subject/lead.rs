//! Every lead of the craft between its two ends, and the shortest way it can lie: camera harnesses from plug to
//! plug, pigtails from their socket to the plug or to the foot of the antenna they feed.
//!
//! A camera harness leaves its plug the way the plug is pulled; coax leaves square to that, on the side that looks
//! at the other end. A plug that says otherwise (`leaves`) is believed. What a lead begins in (its own plugs, the
//! antenna it feeds and the print that holds it) is not in its way. A harness counts as half as thick as its bundle:
//! it lies flat where it turns.
//!
//! Leads that hang on one another (`joined.rs`) lie as one: as thick and as stiff as the thickest and stiffest of them, and as
//! long as all together less what each joint takes.
//!
//! Left out: where along its row a joint comes to lie; wires cut to measure.

use super::{End, JoinedLeads, duct_between, end, joined_leads, plug_solid};
use crate::inputs::{CraftSolid, read_linear};
use crate::numbers::listed;
use crate::subject::pull_way::direction;
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, camera, place as place_schema, shape};
use craft::{Anchor, Item, Missing, PlaceId, Reading};
use fit::{
    Air, AskedRoute, BodyPoint, BodyVector, Drift, LeadEnd, LeadKind, NoRoute, PartVector, Role, Route,
    Shape, SolidIndex, StockFit, keeps_from, length_to_order, required_clearance, slack_of, stock_choice,
};
use quantity::{Linear, Millimetres};

/// A lead in its place.
#[derive(Clone, Debug)]
pub struct Lead {
    /// Number of its place in the craft.
    pub place: usize,
    /// The places of the leads that hang on it in a row, and are told with it.
    pub joined: Vec<usize>,
    /// What kind.
    pub kind: LeadKind,
    /// Where it begins and where it ends, as far as that is known.
    pub tips: [Option<LeadTip>; 2],
    /// How it lies, or why nobody can say.
    pub way: Result<LeadWay, Unlaid>,
}

/// Where one end of a lead is.
#[derive(Clone, Debug)]
pub struct LeadTip {
    /// What a person calls it: a plug, or the foot of an antenna.
    pub called: String,
    /// Number of the place it belongs to.
    pub place: usize,
    /// The plug's solid, if it is a plug.
    pub plug: Option<SolidIndex>,
    /// Where the lead leaves it.
    end: LeadEnd,
}

impl LeadTip {
    /// Where the lead leaves it.
    pub fn at(&self) -> BodyPoint {
        self.end.at
    }

    /// Where and how the lead leaves it.
    pub(crate) fn end(&self) -> &LeadEnd {
        &self.end
    }
}

/// How a lead lies.
#[derive(Clone, Debug)]
pub struct LeadWay {
    /// The shortest route.
    pub route: Route,
    /// The question it answers: both ends, thickness and bend, and what the lead may lie in.
    pub asked: AskedRoute,
    /// The least radius it may be bent to.
    pub least_bend: Millimetres,
    /// Where that radius comes from.
    pub least_bend_stated: bool,
    /// What its joints take of its length.
    pub joints: Millimetres,
    /// Its own length, less what joints take, held against the route, or the fact that is missing.
    pub own: Result<StockFit, Missing>,
    /// The lengths it is sold in held against the route.
    pub stock: Vec<StockFit>,
    /// The one of these to order.
    pub order: Option<StockFit>,
}

/// Why a lead has no way.
#[derive(Clone, Debug)]
pub enum Unlaid {
    /// Facts are missing.
    Missing(Vec<Missing>),
    /// An end is said to be where nothing is, or hangs on another lead; the end as written.
    Nowhere(String),
    /// What it goes to stands nowhere, or has no body: that is told of that part.
    Unbuilt,
    /// There is no room.
    NoRoute(NoRoute),
}

impl LeadWay {
    /// The slack wanted of a lead on this way, least and most.
    pub(crate) fn slack_wanted(&self, kind: LeadKind) -> [f64; 2] {
        let practice = kind.practice();
        let by_share = practice.slack_share * self.route.length.value;
        [practice.slack_least.get(), practice.slack_most.get().max(by_share)]
    }
}

impl Lead {
    /// What it is to the table of needs.
    pub(crate) fn role(&self) -> Role {
        role_of(self.kind)
    }

    /// What a person calls it.
    pub(crate) fn called(&self, proof: &Proof) -> String {
        let all = self.leads().filter_map(|number| proof.placed_number(number));
        listed(&all.map(|placed| crate::names::called(proof, placed)).collect::<Vec<_>>())
    }

    /// The places of all leads in its row, its own first.
    pub fn leads(&self) -> impl Iterator<Item = usize> + '_ {
        [self.place].into_iter().chain(self.joined.iter().copied())
    }

    /// The places concerned: its own and those of its ends.
    pub(crate) fn places(&self, proof: &Proof) -> Vec<PlaceId> {
        let ends = self.tips.iter().flatten().map(|tip| tip.place);
        let numbers = self.leads().chain(ends);
        numbers.map(|number| proof.craft.places[number].id.clone()).collect()
    }
}

fn role_of(kind: LeadKind) -> Role {
    match kind {
        LeadKind::CameraHarness => Role::Harness,
        LeadKind::Coax => Role::Coax,
    }
}

/// Every lead of the craft, in the order of the sheet.
pub(crate) fn leads(proof: &Proof) -> Vec<Lead> {
    let begun: Vec<Begun> = all_begun(proof).collect();
    let laying = proof.unlaid(asked_of(&begun));
    laying.meanwhile(&proof.inputs().scene, || ());
    proof.know_laid(laying);
    begun.into_iter().map(|lead| laid(proof, lead)).collect()
}

/// What is asked of the ways of all leads.
pub(crate) fn questions(proof: &Proof) -> Vec<AskedRoute> {
    asked_of(&all_begun(proof).collect::<Vec<_>>())
}

fn all_begun<'a>(proof: &Proof<'a>) -> impl Iterator<Item = Begun<'a>> {
    joined_leads(proof).into_iter().filter_map(move |row| begun(proof, row))
}

fn asked_of(begun: &[Begun]) -> Vec<AskedRoute> {
    begun.iter().filter_map(|lead| lead.asked.as_ref().ok().cloned()).collect()
}

/// A lead with its ends, and what is to be asked of its way.
struct Begun<'a> {
    row: Vec<Placed<'a>>,
    place: usize,
    joined: Vec<usize>,
    kind: LeadKind,
    tips: [Option<LeadTip>; 2],
    asked: Result<AskedRoute, Unlaid>,
}

fn begun<'a>(proof: &Proof<'a>, JoinedLeads { leads: row, outer }: JoinedLeads<'a>) -> Option<Begun<'a>> {
    let (placed, last) = (*row.first()?, *row.last()?);
    let kind = match placed.part.kind {
        PartKind::CameraHarness => LeadKind::CameraHarness,
        _ => LeadKind::Coax,
    };
    let place = proof.number_of(&placed.place.id)?;
    let joined = row[1..].iter().filter_map(|lead| proof.number_of(&lead.place.id)).collect();
    let found = [ending(proof, placed, outer[0]), ending(proof, last, outer[1])];
    let (mut tips, mut missing, mut why) = ([None, None], Vec::new(), None);
    for (tip, found) in tips.iter_mut().zip(found) {
        match found {
            Ok(ending) => *tip = Some(ending),
            Err(Unlaid::Missing(facts)) => missing.extend(facts),
            Err(other) => why = why.or(Some(other)),
        }
    }
    if let [Some(from), Some(to)] = &mut tips {
        let (begins, ends) = (from.tip.end.at, to.tip.end.at);
        leave_toward(from, ends);
        leave_toward(to, begins);
    }
    let asked = match (&tips, why) {
        ([Some(from), Some(to)], None) => asked(proof, &row, kind, from, to),
        (_, Some(why)) => Err(why),
        _ => Err(Unlaid::Missing(missing)),
    };
    let tips = tips.map(|tip| tip.map(|ending| ending.tip));
    Some(Begun { row, place, joined, kind, tips, asked })
}

fn laid(proof: &Proof, lead: Begun) -> Lead {
    let Begun { row, place, joined, kind, tips, asked } = lead;
    let way = asked.and_then(|asked| way(proof, &row, kind, asked));
    Lead { place, joined, kind, tips, way }
}

/// An end with what the lead may lie in there.
struct Ending {
    tip: LeadTip,
    /// Ways it may leave, where the plug does not say one.
    sides: Vec<(BodyVector, BodyPoint)>,
    passing: Vec<SolidIndex>,
}

fn ending(proof: &Proof, lead: Placed, field: &craft::schema::Field<str>) -> Result<Ending, Unlaid> {
    match end(proof, lead.place, field) {
        End::Plug(placed, row) => at_plug(proof, lead, placed, &row),
        End::Lead(placed, _) if placed.part.kind == PartKind::Antenna => at_foot(proof, placed),
        End::Lead(placed, word) => Err(Unlaid::Nowhere(format!("{}/{word}", placed.place.id))),
        End::Nowhere(text) => Err(Unlaid::Nowhere(text.to_owned())),
        End::Unsaid(missing) => match fed_antenna(proof, lead) {
            Some(antenna) => at_foot(proof, antenna),
            None => Err(Unlaid::Missing(vec![missing])),
        },
    }
}

/// The antenna that starts at this lead.
fn fed_antenna<'a>(proof: &Proof<'a>, lead: Placed) -> Option<Placed<'a>> {
    let starts_here = |antenna: &Placed<'a>| matches!(end(proof, antenna.place, &place_schema::FROM), End::Lead(there, _) if there.place.id == lead.place.id);
    proof.places_of(PartKind::Antenna).find(starts_here)
}

fn at_plug(proof: &Proof, lead: Placed, placed: Placed, row: &Item) -> Result<Ending, Unlaid> {
    let number = proof.number_of(&placed.place.id).ok_or(Unlaid::Unbuilt)?;
    let seat = proof.inputs().seat(number).ok_or(Unlaid::Unbuilt)?;
    let Some((_, index)) = plug_solid(proof, placed, row) else {
        let sizes = [&shape::LENGTH, &shape::WIDTH, &shape::HEIGHT].map(|field| row.read(field).err());
        return Err(Unlaid::Missing(sizes.into_iter().flatten().collect()));
    };
    let plug = &proof.inputs().solids[index.0 as usize];
    let out = |word: &str| {
        let way = seat.pose.vector(direction(word));
        (way, plug.solid.pose.origin() + way * half_along(plug, way))
    };
    let pull = row.text(&shape::plug::PULL);
    let sides: Vec<(BodyVector, BodyPoint)> = match (row.text(&shape::plug::LEAVES), pull) {
        (Ok(word), _) => vec![out(word)],
        (_, Err(missing)) => return Err(Unlaid::Missing(vec![missing])),
        (_, Ok(word)) if lead.part.kind == PartKind::CameraHarness => vec![out(word)],
        (_, Ok(word)) => {
            let along = direction(word);
            let square = shape::DIRECTIONS.iter().filter(|w| direction(w).dot(along).abs() < 0.5);
            square.map(|word| out(word)).collect()
        }
    };
    let (way, at) = sides.first().copied().ok_or(Unlaid::Unbuilt)?;
    let end = LeadEnd { at, leaving: Some(way), drifts: plug.solid.drifts.clone() };
    let called = plug.solid.name.clone();
    Ok(Ending { tip: LeadTip { called, place: number, plug: Some(index), end }, sides, passing: vec![index] })
}

/// How far a plug's box reaches from its middle along one of its own axes.
fn half_along(plug: &CraftSolid, way: BodyVector) -> f64 {
    let Shape::Cuboid(body) = &plug.solid.shape else { return 0.0 };
    let local = plug.solid.pose.inverse().vector(way);
    let along = [local.x().abs(), local.y().abs(), local.z().abs()];
    along.iter().zip(body.size()).map(|(share, side)| share * side.get() / 2.0).sum()
}

fn at_foot(proof: &Proof, antenna: Placed) -> Result<Ending, Unlaid> {
    let number = proof.number_of(&antenna.place.id).ok_or(Unlaid::Unbuilt)?;
    let seat = proof.inputs().seat(number).ok_or(Unlaid::Unbuilt)?;
    let (at, way) = (seat.pose.origin(), -seat.pose.vector(PartVector::Z));
    let drifts: Vec<Drift> = seat.drifts.clone();
    let mut passing: Vec<SolidIndex> = proof.inputs().solids_of(number).map(|(index, _)| index).collect();
    let under = antenna.place.on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id));
    if let Some(under) = under {
        let printed = proof.part_of(under).is_some_and(|part| part.kind == PartKind::PrintedPart);
        let begins_in = |s: &CraftSolid| {
            let point = Shape::cuboid(POINT, POINT, POINT).map(|shape| fit::Solid {
                shape,
                pose: fit::Pose::at(at),
                ..s.solid.clone()
            });
            point.is_ok_and(|p| !keeps_from(&p, &s.solid, HELD_WITHIN))
        };
        let solids = proof.inputs().solids_of(under);
        passing.extend(solids.filter(|(_, s)| printed || begins_in(s)).map(|(index, _)| index));
    }
    let called = format!("foot of {}", crate::names::called(proof, antenna));
    let end = LeadEnd { at, leaving: Some(way), drifts };
    Ok(Ending { tip: LeadTip { called, place: number, plug: None, end }, sides: vec![(way, at)], passing })
}

/// The size of a point, in mm.
const POINT: Millimetres = Millimetres::new(0.02);
/// A plate nearer than this to an antenna's foot is the one it goes through.
const HELD_WITHIN: Millimetres = Millimetres::new(1.0);

/// Lets a lead leave by that of several sides that looks most at a place.
fn leave_toward(ending: &mut Ending, there: BodyPoint) {
    let looks = |(way, at): &(BodyVector, BodyPoint)| way.dot(there - *at);
    let best = ending.sides.iter().max_by(|a, b| looks(a).total_cmp(&looks(b)));
    if let Some((way, at)) = best.copied() {
        ending.tip.end.at = at;
        ending.tip.end.leaving = Some(way);
    }
}

/// Half the thickness of a lead, its least bend, and what it may lie in.
fn asked(
    proof: &Proof,
    row: &[Placed],
    kind: LeadKind,
    from: &Ending,
    to: &Ending,
) -> Result<AskedRoute, Unlaid> {
    let field = match kind {
        LeadKind::CameraHarness => &camera::BUNDLE_THICKNESS,
        LeadKind::Coax => &air::COAX_DIAMETER,
    };
    let mut thickness = Linear::default();
    let mut bend_radius = Millimetres::new(0.0);
    for placed in row {
        let own = read_linear(proof, &placed.part.item(), field)
            .map_err(|missing| Unlaid::Missing(vec![missing]))?;
        let bend = stated_bend(*placed, kind)
            .map_or_else(|| kind.least_bend(Millimetres::new(own.value)), |bend| bend.value);
        bend_radius = bend_radius.max(bend);
        if own.value > thickness.value {
            thickness = own;
        }
    }
    Ok(AskedRoute {
        from: from.tip.end.clone(),
        to: to.tip.end.clone(),
        role: role_of(kind),
        half_thickness: thickness * 0.5,
        bend_radius,
        air: Air::ByRole,
        passing: from.passing.iter().chain(&to.passing).copied().collect(),
        behind: shielded_discs(proof),
    })
}

fn stated_bend(placed: Placed, kind: LeadKind) -> Option<Reading<Millimetres>> {
    let is_harness = kind == LeadKind::CameraHarness;
    is_harness.then(|| placed.part.item().read(&camera::BEND).ok()).flatten()
}

fn way(proof: &Proof, row: &[Placed], kind: LeadKind, mut asked: AskedRoute) -> Result<LeadWay, Unlaid> {
    // The wall of a duct is a barrier: its disc counts only where the lead would lie near it with no wall between.
    let route = loop {
        let route = proof.route(&asked.question()).map_err(Unlaid::NoRoute)?;
        let open = |disc: &SolidIndex| bare(proof, asked.role, &route, &asked.half_thickness, *disc);
        let (bare, rest): (Vec<_>, Vec<_>) = asked.behind.iter().partition(|disc| open(disc));
        if bare.is_empty() {
            break route;
        }
        asked.behind = rest;
    };
    // Where two leads are joined, one plug goes into the other by as much as one takes.
    let joints = kind.practice().plug_allowance[1] * (row.len() - 1) as f64;
    let mut own: Result<Linear, Missing> = Ok(Linear { value: -joints.get(), slopes: Vec::new() });
    for placed in row {
        let length = read_linear(proof, &placed.part.item(), &camera::LEAD_LENGTH);
        own = own.and_then(|own| Ok(&own + &length?));
    }
    let stock = stock_choice(&route.length, kind);
    Ok(LeadWay {
        joints,
        own: own.map(|length| slack_of(&length, &route.length, kind)),
        order: length_to_order(&stock).cloned(),
        stock,
        least_bend: asked.bend_radius,
        least_bend_stated: row.iter().any(|placed| stated_bend(*placed, kind).is_some()),
        asked,
        route,
    })
}

/// Every swept disc, if the craft has ducts.
fn shielded_discs(proof: &Proof) -> Vec<SolidIndex> {
    let solids = &proof.inputs().solids;
    if !solids.iter().any(|s| s.solid.role == Role::MouldedDuct) {
        return Vec::new();
    }
    let numbered = solids.iter().enumerate();
    let discs = numbered.filter(|(_, s)| s.solid.role == Role::BladeSweep);
    discs.map(|(number, _)| SolidIndex(number as u32)).collect()
}

/// Whether a route lies too near to a disc somewhere, with no duct between.
fn bare(proof: &Proof, role: Role, route: &Route, half: &Linear, disc: SolidIndex) -> bool {
    let solid = &proof.inputs().solids[disc.0 as usize].solid;
    let needs = required_clearance(role, solid.role).map_or(0.0, |needs| needs.distance.get());
    route.points.iter().any(|at| {
        let (apart, on_disc) = solid.nearest_to(*at);
        apart.get() < half.value + needs && duct_between(proof, *at, on_disc).is_none()
    })
}

#[cfg(test)]
mod tests {
    use crate::prove_again;
    use crate::testing::set;
    use crate::testing_stack::led_bay;
    use std::sync::Arc;

    #[test]
    fn a_route_kept_from_an_earlier_proof_is_the_one_found_anew_and_follows_every_move() {
        let (craft, kept) = (led_bay(), Arc::default());
        let first = prove_again(&craft, &kept);
        assert_eq!(prove_again(&craft, &kept).findings, first.findings);
        let mut moved = craft.clone();
        set(&mut moved, "place fc.z", "4.5 ± 0.1 mm, measured");
        let after = prove_again(&moved, &kept);
        assert_eq!(after.findings, prove_again(&moved, &Arc::default()).findings);
        assert_ne!(after.findings, first.findings);
    }
}
