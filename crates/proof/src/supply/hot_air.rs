//! What is said where the air alone is as hot as the transmitter's limit: times and shares of times say nothing there.

use super::{HeatFacts, Slots, of_unit};
use crate::numbers::rounded;
use crate::standing::standing_of;
use crate::supply_limits::IN_FLIGHT;
use crate::{Finding, Proof, Verdict};
use quantity::{Celsius, Unit};

/// The finding that names the air, what it is about and where, and that its limit may be entered wrongly.
pub(crate) fn air_too_hot(
    proof: &Proof,
    (slots, heat): (&Slots, &HeatFacts),
    (rule, subject): (&'static str, &'static str),
    (air, place): (Celsius, &str),
) -> Option<Finding> {
    let margin = slots.sloped(|values| Some(heat.limit.at(values) - air.get()))?;
    let mut judged = standing_of(proof, &slots.linear(proof, &margin), IN_FLIGHT.tight, Unit::Celsius);
    judged.verdict = Verdict::Broken;
    let [air, limit] = [air.get(), slots.of(heat.limit)].map(|degrees| rounded(degrees, 0));
    let message = format!(
        "The air {place} is at {air} °C, and its limit is {limit} °C: no level and no fan keeps it below that"
    );
    Some(of_unit(proof, judged.finding(rule, subject, message)))
}

/// The mend that doubts the limit itself.
pub(crate) fn limit_in_doubt(heat: &HeatFacts) -> String {
    format!("Or look the limit temperature of {} up again: few parts have one as low.", heat.called)
}
