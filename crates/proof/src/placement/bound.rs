//! What a search rests on, in numbers and in words: why nothing better was overlooked.

use super::measured::UNMET;
use super::search::{Margin, Searched};
use super::{body, told};
use craft::PlaceId;
use quantity::Millimetres;
use std::fmt;

/// What the search rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct SearchBound {
    /// Partial placements looked at.
    pub nodes: u64,
    /// Placements there are in all.
    pub choices: f64,
    /// The best worst margin of all.
    pub best: Option<Millimetres>,
    /// What no placement could exceed, known before any was tried.
    pub at_most: Option<Millimetres>,
    /// The most that anything left out could have had; `None` if everything was tried.
    pub left_out: Option<Millimetres>,
    /// Whether the search came to its end.
    pub whole: bool,
    /// What was asked about and can stand in one way only, where that is all of it.
    pub fixed: Vec<PlaceId>,
    /// Whether the holes of some board meet no pattern: that alone makes each placement short by what is counted for it.
    pub unmet: bool,
}

impl SearchBound {
    /// Of what can stand in one way only: there is nothing to search.
    pub(crate) fn nothing_to_choose(fixed: Vec<PlaceId>) -> Self {
        Self {
            nodes: 0,
            choices: 1.0,
            best: None,
            at_most: None,
            left_out: None,
            whole: true,
            fixed,
            unmet: false,
        }
    }
}

impl fmt::Display for SearchBound {
    /// The proof in words.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.fixed.is_empty() {
            let fixed: Vec<&str> = self.fixed.iter().map(PlaceId::as_str).collect();
            let each = if fixed.len() == 1 { "" } else { " each" };
            return write!(
                f,
                "Nothing was searched: {} can{each} stand in one way only, since no other seat in this craft takes it",
                fixed.join(", ")
            );
        }
        let choices = counted(self.choices);
        let Some(best) = self.best.filter(|_| self.whole) else {
            return write!(
                f,
                "Stopped: of {choices} placements not all are settled, a better one may be among the rest"
            );
        };
        let spare = |mm: Millimetres| told::spare(body::micrometres(mm.get()));
        match (self.at_most, self.left_out) {
            _ if self.unmet && (best.get() - UNMET).abs() < 1e-9 => write!(
                f,
                "In none of {choices} placements do all holes meet, however far apart everything stands: no search mends that"
            ),
            (Some(most), _) if most.get() <= best.get() => write!(
                f,
                "None of {choices} placements can have better than {} at its worst pair: some unit has no more, wherever it stands",
                spare(best)
            ),
            (_, None) => write!(f, "All {choices} placements were tried, and the best has {}", spare(best)),
            (_, Some(left_out)) => write!(
                f,
                "The best of {choices} placements has {}. Not every one was tried; those left out are proved to have at most {}",
                spare(best),
                spare(left_out)
            ),
        }
    }
}

/// A count as a person writes it: `7 077 888`, beyond a billion `4.1e9`.
fn counted(count: f64) -> String {
    if count >= 1e9 {
        return format!("{count:.1e}");
    }
    let digits = format!("{count:.0}");
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    out
}

pub(crate) fn bound_of(found: &Searched, whole: bool) -> SearchBound {
    let mm = |margin: Margin| Millimetres::new(f64::from(margin) / 1000.0);
    SearchBound {
        nodes: found.nodes,
        choices: found.choices,
        best: found.best.first().map(|best| mm(best.margin)),
        at_most: found.at_most.map(mm),
        left_out: found.cut_off.map(mm),
        whole,
        fixed: Vec::new(),
        unmet: false,
    }
}
