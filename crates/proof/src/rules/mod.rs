//! The rules: one file each, one line each here, in the order a builder meets them.

use crate::Rule;

mod care_after_crash;
mod care_heat_drift;
mod care_hover_drift;
mod care_level_drift;
mod care_matings;
mod care_storage;
mod care_vibration;
mod craft_cg_offset;
mod craft_class_mix;
mod craft_controller_load;
mod craft_disc_to_frame;
mod craft_hover_throttle;
mod craft_landing_reserve;
mod craft_suits_class;
mod craft_thrust_to_weight;
mod feed_boost_fold;
mod feed_cap_rating;
mod feed_cell_least;
mod feed_dropout;
mod feed_fail_charge;
mod feed_flight_reserve;
mod feed_ground_return;
mod feed_inrush;
mod feed_max_voltage;
mod feed_pack_age;
mod feed_plug_load;
mod feed_rail_load;
mod feed_ripple_video;
mod feed_video_at_punch;
mod feed_wire_drop;
mod fit_adapter_heads;
mod fit_antenna_angle;
mod fit_blade_sweep;
mod fit_camera_screw_depth;
mod fit_carbon_short;
mod fit_gnss_clear;
mod fit_harness_bend;
mod fit_harness_length;
mod fit_held_by_screws;
mod fit_lens_behind_cage;
mod fit_pair_clearance;
mod fit_pattern_match;
mod fit_plate_webs;
mod fit_plug_pull;
mod fit_relief_present;
mod fit_screw_holes;
mod fit_screw_length;
mod fit_screws_apart;
mod fit_service_access;
mod fit_stack_height;
mod fit_tilt_range;
mod heat_bench_minutes;
mod heat_fold_back;
mod heat_in_flight;
mod heat_linear_rail;
mod heat_neighbours;
mod heat_start_queue;
mod heat_touch;
mod link_antenna_clear;
mod link_carbon_shadow;
mod link_cliff_band;
mod link_eirp;
mod link_feed_loss;
mod link_ground_height;
mod link_ground_mix;
mod link_hand_match;
mod link_level_least;
mod link_line_clear;
mod link_low_flight;
mod link_margin_at_plan;
mod link_mode_for_site;
mod link_null_overhead;
mod link_pattern_radiates;
mod link_restart_blind;
mod link_wall_plan;
mod load_barrier;
mod load_card;
mod load_digest;
mod load_kind;
mod load_marker_kept;
mod load_pair;
mod load_power;
mod load_settings_restored;
mod match_antenna_band;
mod match_antenna_gender;
mod match_camera_width;
mod match_harness_ends;
mod match_image_circle;
mod match_lens_thread;
mod match_one_system;
mod match_prop_hand;
mod safe_antenna_on;
mod safe_blades_off;
mod safe_exposure;
mod safe_first_power;
mod safe_limits_stated;
mod safe_pack_after_crash;
mod set_agree;
mod set_failsafe;
mod set_orientation;
#[cfg(test)]
mod spoilt_supply_tests;
mod view_aspect_chain;
mod view_blades_in_picture;
mod view_blur;
mod view_dark_corners;
mod view_focus_tolerance;
mod view_gate_pixels;
mod view_horizon_at_speed;
mod view_latency_speed;
mod view_light_stops;
mod view_sharpness_setting;
mod view_vertical;
mod wire_common_ground;
mod wire_crossing;
mod wire_gauge;
mod wire_level;
mod wire_motor_signals;
mod wire_near_motor;
mod wire_port_allotment;
mod wire_port_setting;
mod wire_standby_needs_serial;
mod wire_supply_order;
mod wire_supply_source;

pub(crate) use fit_blade_sweep::SOFT;
pub(crate) use fit_camera_screw_depth::serving as camera_screws_that_serve;
pub(crate) use fit_harness_length::order as to_order;
pub(crate) use fit_pair_clearance::SINKS;
pub(crate) use fit_screw_length::{nuts_on, serving as screws_that_serve};
pub(crate) use link_line_clear::runs_through;
pub(crate) use view_horizon_at_speed::{horizon_place, looking_up};
pub(crate) use view_latency_speed::{SLOWEST, dodge_lines, no_faster};
pub(crate) use wire_standby_needs_serial::held_low;

/// The rules that ask how leads lie. No other does: they run while leads are laid.
pub(crate) const ASK_LEADS: &[&str] = &[
    "fit.harness_length",
    "fit.harness_bend",
    "fit.blade_sweep",
    "link.antenna_clear",
    "link.feed_loss",
    "wire.near_motor",
];

/// Every rule.
pub const RULES: &[Rule] = &[
    fit_pair_clearance::PAIR_CLEARANCE,
    fit_pattern_match::PATTERN_MATCH,
    fit_adapter_heads::ADAPTER_HEADS,
    fit_stack_height::STACK_HEIGHT,
    fit_tilt_range::TILT_RANGE,
    fit_lens_behind_cage::LENS_BEHIND_CAGE,
    fit_plug_pull::PLUG_PULL,
    fit_harness_length::HARNESS_LENGTH,
    fit_harness_bend::HARNESS_BEND,
    fit_relief_present::RELIEF_PRESENT,
    fit_service_access::SERVICE_ACCESS,
    fit_blade_sweep::BLADE_SWEEP,
    fit_carbon_short::CARBON_SHORT,
    fit_gnss_clear::GNSS_CLEAR,
    fit_antenna_angle::ANTENNAS_SQUARE,
    fit_plate_webs::PLATE_WEBS,
    fit_held_by_screws::HELD_BY_SCREWS,
    fit_screws_apart::SCREWS_APART,
    fit_screw_holes::SCREW_HOLES,
    fit_screw_length::SCREW_LENGTH,
    fit_camera_screw_depth::CAMERA_SCREW_DEPTH,
    match_one_system::ONE_SYSTEM,
    match_harness_ends::HARNESS_ENDS,
    match_lens_thread::LENS_THREAD,
    match_image_circle::IMAGE_CIRCLE_COVERS,
    match_camera_width::CAMERA_WIDTH,
    view_blades_in_picture::BLADES_IN_PICTURE,
    view_dark_corners::DARK_CORNERS,
    view_vertical::VERTICAL,
    view_aspect_chain::ASPECT_CHAIN,
    view_horizon_at_speed::HORIZON_AT_SPEED,
    view_gate_pixels::GATE_PIXELS,
    view_latency_speed::LATENCY_SPEED,
    view_light_stops::LIGHT_STOPS,
    view_blur::TURNS_STAY_SHARP,
    view_focus_tolerance::FOCUS_TOLERANCE,
    view_sharpness_setting::SHARPNESS_SETTING,
    match_antenna_gender::ANTENNA_GENDER,
    match_antenna_band::ANTENNA_BAND,
    link_antenna_clear::ANTENNA_CLEAR_OF_CARBON,
    link_carbon_shadow::CARBON_OUT_OF_THE_WAY,
    link_feed_loss::FEED_IS_SHORT,
    link_hand_match::HANDS_MATCH,
    link_pattern_radiates::PATTERN_RADIATES_ENOUGH,
    link_margin_at_plan::HOLDS_AT_PLAN,
    link_cliff_band::WARNS_IN_TIME,
    link_null_overhead::NO_BLIND_SPOT,
    link_low_flight::GROUND_LEAVES_IT,
    link_ground_height::RECEIVER_IS_HIGH,
    link_ground_mix::COURSE_IS_LOOKED_AT,
    link_line_clear::LINE_IS_CLEAR,
    link_wall_plan::SEEN_BEHIND_WALLS,
    link_mode_for_site::MODE_SUITS,
    link_level_least::LEVEL_IS_LEAST,
    link_eirp::WITHIN_STATED_LIMIT,
    link_restart_blind::RESTART_HAS_ROOM,
    safe_exposure::HEADS_KEEP_AWAY,
    safe_limits_stated::LIMITS_STATED,
    wire_port_allotment::PORT_FOR_EACH,
    wire_crossing::CROSSING,
    wire_common_ground::COMMON_GROUND,
    wire_level::LEVELS_SUIT,
    wire_supply_order::SUPPLY_ORDER,
    wire_supply_source::FED_AS_SAID,
    wire_motor_signals::MOTORS_HEAR,
    feed_ground_return::OWN_RETURN,
    wire_gauge::WIRE_STAYS_COOL,
    wire_near_motor::AWAY_FROM_PHASES,
    wire_port_setting::PORT_SET,
    wire_standby_needs_serial::LEVEL_RISES,
    set_agree::SETTINGS_AGREE,
    set_orientation::LIES_AS_SET,
    set_failsafe::FAILSAFE_TRIED,
    safe_antenna_on::ANTENNA_ON,
    safe_blades_off::BLADES_OFF_FIRST,
    safe_first_power::LIMITED_FIRST,
    feed_video_at_punch::VIDEO_AT_PUNCH,
    feed_fail_charge::FAIL_CHARGE_LOW,
    feed_max_voltage::STANDS_FULL_PACK,
    feed_rail_load::RAIL_CARRIES,
    feed_dropout::KEEPS_ABOVE,
    feed_cell_least::CELLS_STAND_IT,
    feed_boost_fold::STEP_UP_STANDS,
    feed_wire_drop::WIRES_LOSE_LITTLE,
    feed_plug_load::PLUG_CARRIES,
    feed_cap_rating::CAPACITOR_STANDS,
    feed_ripple_video::RIPPLE_IS_SMALL,
    feed_inrush::START_IS_CARRIED,
    feed_pack_age::PACK_IS_YOUNG,
    feed_flight_reserve::FLIGHT_HAS_RESERVE,
    heat_bench_minutes::COOL_ON_THE_BENCH,
    heat_in_flight::COOL_IN_FLIGHT,
    heat_start_queue::COOL_ON_THE_LINE,
    heat_neighbours::HOT_FACE_IS_FREE,
    heat_linear_rail::BURNS_LITTLE,
    heat_fold_back::LEVEL_HOLDS,
    heat_touch::SAFE_TO_TOUCH,
    match_prop_hand::PROP_HAND,
    craft_thrust_to_weight::THRUST_TO_WEIGHT,
    craft_hover_throttle::HOVER_BELOW_HALF,
    craft_controller_load::CONTROLLER_CARRIES,
    craft_disc_to_frame::DISCS_PASS,
    craft_cg_offset::BALANCED,
    craft_landing_reserve::TIME_IS_LEFT,
    craft_class_mix::CLASS_MIX,
    craft_suits_class::SUITS_CLASS,
    load_kind::IMAGE_IS_FOR_IT,
    load_digest::COPY_IS_THE_IMAGE,
    load_pair::ENDS_AGREE,
    load_barrier::NO_STEP_SKIPPED,
    load_card::CARD_WILL_DO,
    load_marker_kept::CARD_IS_WHOLE,
    load_power::SUPPLY_LASTS,
    load_settings_restored::SETTINGS_ARE_BACK,
    care_after_crash::LOOKED_OVER,
    care_matings::LIFE_IS_LEFT,
    care_level_drift::LEVEL_AS_NEW,
    care_hover_drift::HOVER_AS_NEW,
    care_heat_drift::COOL_AS_NEW,
    care_vibration::SMOOTH_AS_NEW,
    care_storage::PACKS_REST,
    safe_pack_after_crash::HIT_PACK_RESTS,
];

/// Whether a rule asks what a craft has been through: it has nothing to say of a sheet.
pub(crate) fn asks_history(id: &str) -> bool {
    id.starts_with("load.") || id.starts_with("care.") || id == safe_pack_after_crash::HIT_PACK_RESTS.id
}

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

    /// What the rules of matching and of the whole craft say of a craft.
    #[test]
    fn only_the_rules_that_are_said_to_ask_for_leads() {
        for craft in [crate::testing_stack::led_bay(), crate::testing_link::sound_link()] {
            let proof = crate::Proof::new(&craft);
            RULES
                .iter()
                .filter(|rule| !ASK_LEADS.contains(&rule.id))
                .for_each(|rule| drop((rule.run)(&proof)));
            assert!(!proof.has_laid_leads());
            for id in ASK_LEADS {
                assert!(rule_of(id).is_some(), "{id} is no rule");
            }
        }
    }

    fn verdicts(craft: &craft::Craft) -> impl Iterator<Item = crate::Finding> {
        let proof = crate::Proof::new(craft);
        let rules = RULES.iter().filter(|rule| !rule.id.starts_with("fit."));
        rules.flat_map(|rule| (rule.run)(&proof).findings).collect::<Vec<_>>().into_iter()
    }

    /// Coordinates left out are nought: taking one away moves something, it does not leave it unsaid.
    const NOUGHT_WHEN_LEFT_OUT: [&str; 3] = ["x", "y", "z"];

    #[test]
    fn taking_a_fact_away_never_breaks_a_craft() {
        [crate::testing::sound_craft(), crate::testing_link::sound_link()].iter().for_each(without_each);
    }

    fn without_each(whole: &craft::Craft) {
        let check = |spoiled: &craft::Craft, taken: String| {
            let broken = verdicts(spoiled).find(|finding| finding.verdict == crate::Verdict::Broken);
            let told = broken.map(|finding| format!("{}: {}", finding.rule, finding.message));
            assert_eq!(told, None, "without {taken}");
        };
        for (number, part) in whole.parts.iter().enumerate() {
            for key in part.values.keys() {
                let mut spoiled = whole.clone();
                spoiled.parts[number].values.remove(key);
                check(&spoiled, format!("{key} of {}", part.name));
            }
            for (table, rows) in &part.tables {
                for row in 0..rows.len() {
                    for key in rows[row].0.keys().filter(|key| !NOUGHT_WHEN_LEFT_OUT.contains(&key.as_str()))
                    {
                        let mut spoiled = whole.clone();
                        if let Some(rows) = spoiled.parts[number].tables.get_mut(table) {
                            rows[row].0.remove(key);
                        }
                        check(&spoiled, format!("{key} in {table} {row} of {}", part.name));
                    }
                }
            }
        }
        for (number, place) in whole.places.iter().enumerate() {
            for key in place.values.keys().filter(|key| !NOUGHT_WHEN_LEFT_OUT.contains(&key.as_str())) {
                let mut spoiled = whole.clone();
                spoiled.places[number].values.remove(key);
                check(&spoiled, format!("{key} of place {}", place.id));
            }
            let mut spoiled = whole.clone();
            spoiled.places[number].on = None;
            check(&spoiled, format!("the seat of {}", place.id));
        }
    }
}
