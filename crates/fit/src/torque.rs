//! How tight a small screw is set, where its maker does not say.
//!
//! By thread, into aluminium or plastic; in newton metres. Custom of the trade: these screws hold soft things, and the
//! thread they go into gives way first. Left out: threads for which there is no custom; those are set by feel.

use quantity::Source;

/// How tight a thread is set, in N·m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Torque {
    /// The thread.
    pub thread: &'static str,
    /// The least that holds, in N·m.
    pub least_n_m: f64,
    /// The most that a thread in aluminium or plastic takes, in N·m.
    pub most_n_m: f64,
}

/// Where the torques come from.
pub const TORQUE_SOURCE: Source = Source::common_practice(
    "torque of small screws into aluminium or plastic; thread lock on metal in metal only",
);

/// Torques by thread.
pub const TORQUES: &[Torque] = &[
    Torque { thread: "M2", least_n_m: 0.1, most_n_m: 0.2 },
    Torque { thread: "M3", least_n_m: 0.3, most_n_m: 0.6 },
];

/// How tight a thread is set by custom; `None` where there is none.
pub fn torque(thread: &str) -> Option<Torque> {
    TORQUES.iter().copied().find(|row| row.thread == thread)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Thread;

    #[test]
    fn a_torque_belongs_to_a_known_thread_and_a_larger_one_takes_more() {
        assert!(
            TORQUES.iter().all(|row| Thread::named(row.thread).is_some() && row.least_n_m < row.most_n_m)
        );
        assert!(TORQUES.windows(2).all(|rows| rows[0].most_n_m < rows[1].least_n_m));
        assert_eq!(torque("M1.6"), None);
    }
}
