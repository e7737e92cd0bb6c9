//! Where a number or a formula comes from, and how far that goes.

use serde::Serialize;

/// How strong a source is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Printed in a standard, handbook, paper or data set that was read.
    PublishedValue,
    /// Computed by a general-purpose program or library outside this project.
    ReferenceProgram,
    /// Worked out by hand from a standard's or textbook's formula.
    WorkedFromTheStandard,
    /// Custom of the trade, with no standard behind it.
    CommonPractice,
    /// Recalled, not seen; confirm before relying on it.
    Memory,
}

impl Grade {
    /// Every grade, strongest first.
    pub const ALL: [Grade; 5] = [
        Grade::PublishedValue,
        Grade::ReferenceProgram,
        Grade::WorkedFromTheStandard,
        Grade::CommonPractice,
        Grade::Memory,
    ];

    /// The grade in words.
    pub const fn words(self) -> &'static str {
        match self {
            Grade::PublishedValue => "published value",
            Grade::ReferenceProgram => "reference program",
            Grade::WorkedFromTheStandard => "worked from the standard",
            Grade::CommonPractice => "common practice",
            Grade::Memory => "memory",
        }
    }
}

/// The origin of a number or formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Source {
    /// The document, with edition.
    pub title: &'static str,
    /// Where in it: table, equation, clause.
    pub place: &'static str,
    /// How far it goes.
    pub grade: Grade,
}

impl Source {
    /// A custom of the trade.
    pub const fn common_practice(place: &'static str) -> Self {
        Self { title: "common practice", place, grade: Grade::CommonPractice }
    }

    /// One line for page, print and command line.
    pub fn line(&self) -> String {
        if self.grade == Grade::CommonPractice {
            format!("common practice: {}", self.place)
        } else {
            format!("{}, {} ({})", self.title, self.place, self.grade.words())
        }
    }
}
