//! The rules: one file each, one line each here, in the order a builder meets them.

use crate::Rule;

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
    match_one_system::ONE_SYSTEM,
    match_harness_ends::HARNESS_ENDS,
    match_lens_thread::LENS_THREAD,
    match_image_circle::IMAGE_CIRCLE_COVERS,
    match_camera_width::CAMERA_WIDTH,
    match_antenna_gender::ANTENNA_GENDER,
    match_antenna_band::ANTENNA_BAND,
    match_prop_hand::PROP_HAND,
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
}
