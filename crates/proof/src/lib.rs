//! From a craft to figures and findings: the only place that turns the model into a discipline's inputs.
//!
//! [`prove`] takes a craft and judges it as a whole. `inputs` resolves where everything is and makes the
//! disciplines' own types; each file in [`rules`] asks one question of the result and answers with
//! findings and figures. A missing fact never stops the proof: the rules that need it say *unknown* and
//! name it.

mod at_hand;
mod check_facts;
pub mod classes;
mod course_seen;
mod engine;
mod finding;
mod flying;
mod history;
pub mod history_limits;
mod inputs;
mod kept;
#[cfg(test)]
mod large_tests;
mod laying;
pub mod limits;
pub mod link;
#[cfg(test)]
mod link_laws_tests;
mod link_limits;
mod names;
mod numbers;
pub mod placement;
mod plate_holes;
mod rule;
pub mod rules;
mod screws;
mod standing;
mod subject;
pub mod supply;
mod supply_figures;
pub mod supply_limits;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod testing_history;
#[cfg(test)]
mod testing_link;
#[cfg(test)]
mod testing_stack;
#[cfg(test)]
mod testing_supply;
#[cfg(test)]
mod testing_view;
#[cfg(test)]
mod testing_wiring;
mod text_table;
mod view_figures;
#[cfg(test)]
mod view_laws_tests;
pub mod view_limits;
mod weight;
pub mod wiring;
mod working;

pub use at_hand::{PartAtHand, told_apart};
pub use check_facts::check_facts;
pub use course_seen::{
    BEFORE_GATE_USUAL, Compared, CourseAsked, CourseSeen, compared, course_seen, gains_and_losses,
};
pub use engine::{
    Placed, Proof, Proved, prove, prove_again, prove_by, prove_with, prove_with_history, told_anew,
};
pub use finding::{Finding, Margin, MeasureAdvice, NoSingleFact, Verdict, Witness};
pub use flying::{
    CurveAxis, CurveLine, CurvePoint, FlyingCurve, FlyingCurves, FlyingLine, FlyingMark, flying_curves,
    flying_marks,
};
pub use history::History;
pub use inputs::{
    CraftSolid, Fills, Inputs, LensView, Material, NearPair, Outlined, OverCourse, Piece, Seat, SeenAs,
    Unbuilt, Unseen, Weights, pattern_holes,
};
pub use kept::OutlineStore;
pub use numbers::three_figures;
pub use optics::PicturePoint;
pub use optics::course::{Course, Matter, Sight, SolidInSight};
pub use plate_holes::{KnownHoles, ThroughHole, known_holes, plate_row};
pub use rule::{Answer, HEADINGS, Rule, RuleDoc};
pub use screws::{Nuts, nuts, stock_screws};
pub use subject::{
    CameraTilt, HeldTilt, Lead, LeadTip, LeadWay, LevelFlight, PlugHold, TiltSlot, TiltStopper, Unlaid,
    WhatTurns, level_flight, screws_in_holes_of,
};
pub use text_table::TableFault;
