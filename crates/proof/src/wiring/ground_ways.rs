//! Which wires ground comes back by from part to part, how long they are and how much copper they have.

use super::{Role, WireRow, WiringModel};

/// A wire, or one pin of a ready-made lead, that joins the ground of two parts.
#[derive(Clone, Copy, Debug)]
pub struct GroundWire<'m> {
    /// The wire.
    pub wire: &'m WireRow,
    /// The pads it joins.
    pub pads: [usize; 2],
}

impl WiringModel {
    /// The ground wires that run straight from one unit to another.
    pub fn ground_wires(&self, a: usize, b: usize) -> Vec<GroundWire<'_>> {
        let between = |pads: &[usize; 2]| {
            let units = pads.map(|pad| self.pads[pad].unit);
            pads.iter().all(|pad| self.pads[*pad].role == Some(Role::Ground))
                && (units == [a, b] || units == [b, a])
        };
        let of = |wire| move |pads: &[usize; 2]| GroundWire { wire, pads: *pads };
        let joins = |wire: &'_ WireRow| wire.joins.iter().copied().filter(between).collect::<Vec<_>>();
        self.wires.iter().flat_map(|wire| joins(wire).iter().map(of(wire)).collect::<Vec<_>>()).collect()
    }

    /// How long the way of ground is from a unit round by others to a last one, in mm: each stretch by its shortest wire; none where the
    /// length of a stretch is not known.
    pub fn ground_way(&self, first: usize, by: &[usize], last: usize) -> Option<f64> {
        let way: Vec<usize> = [first].into_iter().chain(by.iter().copied()).chain([last]).collect();
        let stretch = |pair: &[usize]| {
            let wires = self.ground_wires(pair[0], pair[1]);
            let lengths = wires.iter().filter_map(|ground| {
                let [from, to] = ground.pads;
                let placed = || Some(super::cut_length(self.pads[from].at?, self.pads[to].at?));
                ground.wire.length.or_else(placed)
            });
            lengths.min_by(f64::total_cmp)
        };
        way.windows(2).map(stretch).sum()
    }
}
