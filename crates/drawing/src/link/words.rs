//! What is asked, and what lacks, in words.

use proof::link::{Lack, LinkAsked};

/// What a link lacks, a line each, every fact once.
pub fn lack_words(lack: &Lack) -> Vec<String> {
    let mut words: Vec<String> = lack.missing.iter().map(|missing| missing.label.clone()).collect();
    words.extend(lack.wrong.iter().cloned());
    let mut seen = std::collections::BTreeSet::new();
    words.retain(|line| seen.insert(line.clone()));
    words
}

/// The pose in words: `at 300 m, 10 m up, nose away, nose 20° down, level 200 mW`.
pub fn asked_words(asked: &LinkAsked) -> String {
    let mut words =
        format!("at {}, {} up, {}", metres(asked.distance.get()), metres(asked.height.get()), heading(asked));
    if asked.nose_down.get().abs() >= 0.5 {
        let way = if asked.nose_down.get() > 0.0 { "down" } else { "up" };
        words.push_str(&format!(", nose {:.0}° {way}", asked.nose_down.get().abs()));
    }
    if asked.bank.get().abs() >= 0.5 {
        let side = if asked.bank.get() > 0.0 { "right" } else { "left" };
        words.push_str(&format!(", banked {:.0}° to the {side}", asked.bank.get().abs()));
    }
    words.push_str(&format!(", level {}", asked.level.out));
    words
}

fn heading(asked: &LinkAsked) -> String {
    match asked.heading.get().rem_euclid(360.0) {
        turned if !(0.5..359.5).contains(&turned) => "nose away".to_owned(),
        turned if (turned - 180.0).abs() < 0.5 => "nose to the pilot".to_owned(),
        turned => {
            // The shorter way round.
            let (off, side) = if turned > 180.0 { (360.0 - turned, "right") } else { (turned, "left") };
            format!("nose {off:.0}° to the {side}")
        }
    }
}

/// Metres as a person says them.
pub(super) fn metres(value: f64) -> String {
    format!("{} m", shown(value))
}

/// The number of metres that is shown: under ten with a tenth.
pub(super) fn shown(value: f64) -> f64 {
    if value < 10.0 { (value * 10.0).round() / 10.0 } else { value.round() }
}

/// Decibels with their sign.
pub(super) fn decibels(value: f64) -> String {
    format!("{}{:.1} dB", if value < 0.0 { "−" } else { "" }, value.abs())
}
