//! The rules: one file each, one line each here, in the order a builder meets them.

use crate::Rule;

mod craft_cg_offset;
mod craft_class_mix;
mod craft_disc_to_frame;
mod craft_hover_throttle;
mod craft_suits_class;
mod craft_thrust_to_weight;
mod fit_adapter_heads;
mod fit_blade_sweep;
mod fit_camera_screw_depth;
mod fit_carbon_short;
mod fit_lens_behind_cage;
mod fit_pair_clearance;
mod fit_pattern_match;
mod fit_plug_pull;
mod fit_screw_length;
mod fit_service_access;
mod fit_stack_height;
mod match_antenna_band;
mod match_antenna_gender;
mod match_camera_width;
mod match_harness_ends;
mod match_image_circle;
mod match_lens_thread;
mod match_one_system;
mod match_prop_hand;

/// Every rule.
pub const RULES: &[Rule] = &[
    fit_pair_clearance::PAIR_CLEARANCE,
    fit_pattern_match::PATTERN_MATCH,
    fit_adapter_heads::ADAPTER_HEADS,
    fit_stack_height::STACK_HEIGHT,
    fit_lens_behind_cage::LENS_BEHIND_CAGE,
    fit_plug_pull::PLUG_PULL,
    fit_service_access::SERVICE_ACCESS,
    fit_blade_sweep::BLADE_SWEEP,
    fit_carbon_short::CARBON_SHORT,
    fit_screw_length::SCREW_LENGTH,
    fit_camera_screw_depth::CAMERA_SCREW_DEPTH,
    match_one_system::ONE_SYSTEM,
    match_harness_ends::HARNESS_ENDS,
    match_lens_thread::LENS_THREAD,
    match_image_circle::IMAGE_CIRCLE_COVERS,
    match_camera_width::CAMERA_WIDTH,
    match_antenna_gender::ANTENNA_GENDER,
    match_antenna_band::ANTENNA_BAND,
    match_prop_hand::PROP_HAND,
    craft_thrust_to_weight::THRUST_TO_WEIGHT,
    craft_hover_throttle::HOVER_BELOW_HALF,
    craft_disc_to_frame::DISCS_PASS,
    craft_cg_offset::BALANCED,
    craft_class_mix::CLASS_MIX,
    craft_suits_class::SUITS_CLASS,
];

/// The rule of an id.
pub fn rule_of(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::HEADINGS;

    #[test]
    fn every_rule_asks_a_question_and_has_every_heading() {
        for rule in RULES {
            let doc = rule.explained();
            assert!(doc.asks.ends_with('?'), "{}: {:?}", rule.id, doc.asks);
            let headings: Vec<&str> = doc.sections.iter().map(|(heading, _)| heading.as_str()).collect();
            assert_eq!(headings, HEADINGS, "{}", rule.id);
            assert!(doc.sections.iter().all(|(_, text)| !text.is_empty()), "{}", rule.id);
        }
    }

    #[test]
    fn every_rule_has_an_id_of_its_own() {
        let mut ids: Vec<&str> = RULES.iter().map(|rule| rule.id).collect();
        ids.sort_unstable();
        assert!(ids.is_sorted_by(|a, b| a < b), "{ids:?}");
    }

    #[test]
    fn every_limit_belongs_to_a_rule_that_exists() {
        for limit in crate::limits::LIMITS {
            assert!(rule_of(limit.rule).is_some(), "{}", limit.rule);
        }
    }
}
