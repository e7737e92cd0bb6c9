//! Does each rail carry what hangs on it?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::lacking;
use crate::supply::{NetFacts, RailFacts, SupplyModel, rail_figure, warm_board};
use crate::supply_limits::{RAIL_PEAK, RAIL_TYPICAL};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::{CONVERTER_SOURCE, Usage};
use quantity::{Celsius, FigureId, Linear, Unit, Volts};

rule! {
    /// Does each rail carry what hangs on it?
    ///
    /// ## Why
    /// A converter that is asked for more than it gives folds its voltage back: the video restarts, and so does what else hangs on it, the
    /// control receiver first of all. Printed currents hold for a cool board with wind; between other boards less is left.
    ///
    /// ## Sound when
    /// The sum of the usual loads is at most 60 % of what the converter gives at its temperature, the sum of the peaks at most 85 %. Peaks over
    /// 100 % are broken.
    ///
    /// ## Rests on
    /// What each part takes that says what feeds it, the video at its level with its swing, efficiencies of converters that feed others, the rated
    /// current, and less of it from the temperature on that its sheet names. About the converters it is 20 K warmer than the hottest air.
    ///
    /// ## Mend
    /// Move a load to a rail that has room, or give it a converter of its own.
    RAIL_CARRIES = "feed.rail_load", run
}

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    // What lacks of the video's own feed is told of the video at a punch.
    let (Ok(net), Ok(pack)) = (&model.net, &model.pack) else { return Answer::default() };
    let (Ok(full), hottest) = (pack.full(), hottest(model)) else { return Answer::default() };
    let mut answer = Answer::default();
    for (k, rail) in net.rails.iter().enumerate() {
        if loads_on(net, rail).is_empty() && !net.rails.iter().any(|other| other.from == rail.name) {
            continue;
        }
        if let Some((finding, figure)) = judge(proof, model, net, (k, rail), full, hottest) {
            answer.findings.push(finding.at([rail.place.clone()]));
            answer.figures.push(figure);
        }
    }
    if !net.uncounted.is_empty() {
        answer.findings.push(lacking(RAIL_CARRIES.id, "loads that say no feed", &net.uncounted));
    }
    answer
}

fn hottest(model: &SupplyModel) -> Celsius {
    model
        .heat
        .as_ref()
        .map(|heat| heat.hottest)
        .or(model.plan.as_ref().map(|plan| plan.hottest))
        .unwrap_or(Celsius::new(30.0))
}

fn loads_on<'n>(net: &'n NetFacts, rail: &RailFacts) -> Vec<&'n str> {
    net.loads.iter().filter(|load| load.on == rail.name).map(|load| load.called.as_str()).collect()
}

fn judge(
    proof: &Proof,
    model: &SupplyModel,
    net: &NetFacts,
    (k, rail): (usize, &RailFacts),
    full: Volts,
    hottest: Celsius,
) -> Option<(Finding, quantity::Figure)> {
    let slots = &model.slots;
    let about = warm_board(hottest);
    // The share of its limit that is drawn; at nearly full charge, where every rail stands.
    let share = |values: &[f64], usage: Usage| -> Option<f64> {
        let report = net.at(values, about).ok()?.at(full * 0.95, usage);
        let limit = report.rails[k].limit?.get();
        // A converter that is too weak for its own board's heat gives nothing: everything is too much.
        Some(100.0 * report.rails[k].amperes.get() / limit.max(1e-3))
    };
    let amperes = |usage: Usage| Some(net.at(slots.values(), about).ok()?.at(full * 0.95, usage).rails[k]);
    let peak: Linear = slots.linear(proof, &slots.sloped(|values| share(values, Usage::Peak))?);
    let typical: Linear = slots.linear(proof, &slots.sloped(|values| share(values, Usage::Typical))?);
    let (now, most) = (amperes(Usage::Typical)?, amperes(Usage::Peak)?);
    let mut standing =
        standing_of(proof, &(&-&peak + RAIL_PEAK.broken), RAIL_PEAK.broken - RAIL_PEAK.tight, Unit::Percent);
    if typical.value > RAIL_TYPICAL.tight && standing.verdict == Verdict::Sound {
        standing.verdict = Verdict::Tight;
    }
    let verdict = standing.verdict;
    let limit = rounded(most.limit.map_or(0.0, |limit| limit.get()), 2);
    let [usual, highest] = [now.amperes.get(), most.amperes.get()].map(|amperes| rounded(amperes, 2));
    let message = match verdict {
        Verdict::Broken => format!("{} carries {highest} A at its peak, and gives {limit} A", rail.called),
        Verdict::Tight => format!("{} carries {usual} A, {highest} A at its peak, of {limit} A", rail.called),
        _ => format!("{} carries {usual} A, {highest} A at its peak, of {limit} A", rail.called),
    };
    let mut finding = standing.finding(RAIL_CARRIES.id, rail.called.clone(), message);
    if verdict != Verdict::Sound {
        finding = finding.mend(mend(model, net, rail, about, full));
    }
    let id = rail_figure("feed.rail_load", &rail.name);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .given("usual current", now.amperes.get(), Unit::Amperes, "sum of what hangs on it")
        .given("peak current", most.amperes.get(), Unit::Amperes, "sum of the peaks")
        .given(
            "what it gives",
            most.limit.map_or(0.0, |limit| limit.get()),
            Unit::Amperes,
            format!("at {about} about it"),
        )
        .given("usual share", typical.value, Unit::Percent, "of what it gives")
        .facts(&peak)
        .figure(
            id,
            format!("peak load of {}", rail.called),
            (&peak, Unit::Percent),
            "100 % · sum of the peaks / what the converter gives at its temperature",
            CONVERTER_SOURCE,
        );
    Some((finding, figure))
}

/// The rail with the most room whose voltage the heaviest load of this one stands, or a converter of its own.
fn mend(model: &SupplyModel, net: &NetFacts, rail: &RailFacts, about: Celsius, full: Volts) -> String {
    let values = model.slots.values();
    let Ok(now) = net.at(values, about) else { return "Give a load a converter of its own.".to_owned() };
    let report = now.at(full * 0.95, Usage::Peak);
    let heaviest = net
        .loads
        .iter()
        .zip(&report.loads)
        .filter(|(load, _)| load.on == rail.name)
        .max_by(|a, b| a.1.amperes.get().total_cmp(&b.1.amperes.get()));
    let Some((load, at)) = heaviest else { return "Give a load a converter of its own.".to_owned() };
    let watts = (at.volts.get() * at.amperes.get()).max(0.0);
    let suits = |other: &RailFacts| {
        let out = other.out.at(values);
        let least = load.least.map_or(0.9 * rail.out.at(values), |least| least.at(values));
        let most = load.most.map_or(1.1 * rail.out.at(values), |most| most.at(values));
        (least..=most).contains(&out)
    };
    let with_room = net.rails.iter().zip(&report.rails).find(|(other, state)| {
        let more = state.amperes.get() + watts / other.out.at(values).max(0.1);
        let limit = state.limit.map_or(0.0, |limit| limit.get());
        other.name != rail.name && suits(other) && more < RAIL_PEAK.tight * 1e-2 * limit
    });
    let direct = load.most.is_some_and(|most| most.at(values) > 1.25 * full.get());
    match with_room {
        Some((other, _)) => format!("Move {} to {}, which has room.", load.called, other.called),
        None if direct => format!("Feed {} from the pack itself, with a capacitor at its pins.", load.called),
        None => format!(
            "Give {} a converter of its own, of {} W or more.",
            load.called,
            rounded((1.4 * watts).ceil(), 0)
        ),
    }
}
