//! A mending session as a page reads it, and what a page may say in it.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The page of one craft: the open session if there is one, and what came before.
#[derive(Serialize, TS)]
pub struct MendView {
    /// The craft's id.
    pub craft: String,
    /// The craft's name.
    pub name: String,
    /// The open session.
    pub session: Option<MendSession>,
    /// Complaints to begin with, in the pilot's words.
    pub complaints: Vec<MendComplaint>,
    /// Sessions of this craft that ended, newest first.
    pub past: Vec<MendPast>,
    /// How much of what is believed is lore and how much the fleet's own.
    pub learnt: MendLearnt,
    /// What must never be tried.
    pub never: Vec<String>,
}

/// A complaint.
#[derive(Serialize, TS)]
pub struct MendComplaint {
    /// Its id.
    pub id: String,
    /// The pilot's words.
    pub words: String,
    /// What it usually is.
    pub usually: String,
    /// What people do wrongly.
    pub wrongly: String,
}

/// How much is lore and how much own.
#[derive(Serialize, TS)]
pub struct MendLearnt {
    /// Ended sessions that count.
    pub sessions: u32,
    /// Faults that the lore counts for.
    pub lore: f64,
    /// Faults the fleet found itself.
    pub own: f64,
    /// The own part, from 0 to 1.
    pub share: f64,
    /// Knowledge of the owner's own that is laid over the program's, in words; empty for none.
    pub laid_over: String,
}

/// A session that ended.
#[derive(Serialize, TS)]
pub struct MendPast {
    /// Its number.
    pub number: u32,
    /// When it ended.
    pub ended: String,
    /// The complaint.
    pub complaint: String,
    /// What was found, in words.
    pub found: Vec<String>,
    /// The repair, in words.
    pub repair: Option<String>,
    /// How many answers led there.
    pub answers: u32,
    /// What was added.
    pub words: String,
}

/// An open session.
#[derive(Serialize, TS)]
pub struct MendSession {
    /// Its number.
    pub number: u32,
    /// The complaint as a sign, in words.
    pub complaint: String,
    /// When it began.
    pub begun: String,
    /// What it is about, where more is known than the complaint; else empty.
    pub about: String,
    /// Why there is no advice: evidence that cannot be.
    pub clash: Option<String>,
    /// What it may be, likeliest first.
    pub causes: Vec<MendCause>,
    /// What to look at, most telling first.
    pub looks: Vec<MendStep>,
    /// What to do next, best first.
    pub steps: Vec<MendStep>,
    /// Steps that cannot be taken now, with the reason.
    pub barred: Vec<MendBarred>,
    /// Whether no test saves a minute any more.
    pub stop_asking: bool,
    /// Whether nothing that is known and at hand can bring the picture back any more.
    pub nothing_left: bool,
    /// Whether handing the craft over costs less than going on.
    pub hand_over: bool,
    /// The step after which the complaint was gone.
    pub settled: Option<String>,
    /// The verdict that suggests itself.
    pub suggested: Option<MendVerdict>,
    /// What remains in doubt.
    pub in_doubt: Vec<String>,
    /// Whether the order of repairs is proved best, in words.
    pub order: String,
    /// The expected cost of repairing at once, in minutes.
    pub repair_minutes: f64,
    /// The share of the chance that the reckoning of steps covers.
    pub covered: f64,
    /// What was done, in order.
    pub done: Vec<MendDone>,
    /// Facts of the craft and the day.
    pub facts: Vec<MendFact>,
    /// Tools, and whether they are at hand.
    pub tools: Vec<MendTool>,
    /// Whether minutes weigh double.
    pub at_the_field: bool,
}

/// A cause with its chance.
#[derive(Serialize, TS)]
pub struct MendCause {
    /// Its id.
    pub id: String,
    /// What it is.
    pub is: String,
    /// Its chance, 0 to 1.
    pub chance: f64,
    /// The chance in words.
    pub words: String,
    /// Its chance before anything was seen.
    pub before: f64,
    /// On which side it lies.
    pub side: String,
    /// What of the craft makes it likelier, such as `recent_crash ×3`.
    pub because: Vec<String>,
    /// How often this fleet found it.
    pub found: u32,
    /// Whence its numbers.
    pub basis: String,
}

/// A step that can be taken.
#[derive(Serialize, TS)]
pub struct MendStep {
    /// `look`, `test` or `repair`.
    pub kind: &'static str,
    /// Its id.
    pub id: String,
    /// What to do.
    pub does: String,
    /// Why.
    pub why: String,
    /// That the fleet's own verdicts brought it forward, and which; none where they did not.
    pub sooner: Option<String>,
    /// Its outcomes by word, each with its chance.
    pub outcomes: Vec<MendOutcome>,
    /// How long it takes, in minutes.
    pub minutes: f64,
    /// What it costs in all, in minutes.
    pub cost: f64,
    /// The information, in bits for a minute of cost.
    pub bits_a_minute: f64,
    /// The expected cost to a picture when it comes first, in minutes.
    pub expected_minutes: f64,
    /// The risk, 0 to 3.
    pub risk: u8,
    /// Tools it wants.
    pub tools: Vec<String>,
    /// Cautions that come first.
    pub cautions: Vec<String>,
    /// How a repair is proved.
    pub prove: String,
    /// Whence its numbers.
    pub basis: String,
}

/// One outcome of a step.
#[derive(Serialize, TS)]
pub struct MendOutcome {
    /// The word.
    pub word: String,
    /// Its chance.
    pub chance: f64,
}

/// A test that cannot be made now.
#[derive(Serialize, TS)]
pub struct MendBarred {
    /// Its id.
    pub id: String,
    /// What it would be.
    pub does: String,
    /// Why not.
    pub why: String,
}

/// One answer on record.
#[derive(Serialize, TS)]
pub struct MendDone {
    /// Its number, from 1.
    pub number: u32,
    /// When.
    pub at: String,
    /// What was done.
    pub does: String,
    /// What came of it.
    pub outcome: String,
    /// What else could have come of it, and did not.
    pub others: Vec<String>,
    /// When it was taken back, if it was.
    pub taken_back: Option<String>,
}

/// A fact.
#[derive(Serialize, TS)]
pub struct MendFact {
    /// Its id.
    pub id: String,
    /// What it means.
    pub is: String,
    /// Whether it holds.
    pub holds: bool,
    /// Whence: parts, journal, session, at hand.
    pub from: String,
    /// What of the craft or its journal says so; empty where nothing does and it is as usual.
    pub because: String,
    /// Whether it was said in this session.
    pub said: bool,
}

/// A tool.
#[derive(Serialize, TS)]
pub struct MendTool {
    /// Its name.
    pub name: String,
    /// Whether it is at hand.
    pub at_hand: bool,
}

/// A verdict as it is suggested.
#[derive(Serialize, TS)]
pub struct MendVerdict {
    /// The causes by id.
    pub causes: Vec<String>,
    /// The same in words.
    pub found: Vec<String>,
    /// The repair by id.
    pub repair: Option<String>,
    /// The same in words.
    pub repaired: Option<String>,
}

/// What a page says in a session.
#[derive(Deserialize, TS)]
#[serde(tag = "say", rename_all = "snake_case")]
pub enum MendSaid {
    /// A session begins.
    Begin {
        /// A complaint or a sign.
        complaint: String,
    },
    /// A sign was looked for.
    Sign {
        /// Its id.
        id: String,
        /// How likely one says so when it is there: 1 seen, 0 not seen; between: perhaps.
        seen: f64,
    },
    /// A test was made.
    Test {
        /// Its id.
        id: String,
        /// The word of the outcome.
        outcome: String,
        /// How sure of it, 1 for certain.
        sure: f64,
    },
    /// A repair was made.
    Repair {
        /// Its id.
        id: String,
        /// Whether the complaint is gone.
        gone: bool,
    },
    /// An answer is taken back.
    TakeBack {
        /// Its number.
        number: u32,
    },
    /// A fact holds or not.
    Fact {
        /// Its id.
        id: String,
        /// Whether it holds.
        holds: bool,
    },
    /// A tool is at hand or not.
    Tool {
        /// Its name.
        name: String,
        /// Whether it is at hand.
        at_hand: bool,
    },
    /// A test is struck out, or stands again.
    Strike {
        /// Its id.
        id: String,
        /// Whether it is out.
        out: bool,
    },
    /// At the field, or at the bench.
    Field {
        /// Whether at the field.
        at_the_field: bool,
    },
    /// The session ends.
    End {
        /// The causes found.
        causes: Vec<String>,
        /// The repair made.
        repair: Option<String>,
        /// What to add.
        words: String,
    },
    /// What the fleet learnt is set aside; sessions stay on record.
    Forget {},
}
