//! What craft of each class usually are: mass, blades, cells. Workshop ranges, not limits.

use craft::CraftClass;
use quantity::{Grams, Millimetres, Source};

/// What craft of one class usually are.
#[derive(Clone, Copy, Debug)]
pub struct ClassRow {
    /// The class.
    pub class: CraftClass,
    /// Least and greatest mass with pack.
    pub mass: (Grams, Grams),
    /// Blade diameter.
    pub blades: Millimetres,
    /// Fewest and most cells.
    pub cells: (u32, u32),
}

/// Where the ranges come from.
pub const CLASS_SOURCE: Source =
    Source::common_practice("mass with pack, blade diameter and cells by class of craft");

/// How far blades may be from their class's diameter, as a share: 5.1-inch blades are 5-inch blades.
pub const BLADE_SHARE: f64 = 0.06;

/// Every class, smallest first.
pub const CLASSES: &[ClassRow] = &[
    row(CraftClass::Ducted65, (27.0, 34.0), 31.0, (1, 1)),
    row(CraftClass::Ducted75, (36.0, 60.0), 40.0, (1, 2)),
    row(CraftClass::Ducted85, (70.0, 95.0), 51.0, (2, 2)),
    row(CraftClass::Ducted25, (160.0, 250.0), 63.5, (3, 4)),
    row(CraftClass::Ducted3, (260.0, 380.0), 76.2, (4, 4)),
    row(CraftClass::Ducted35, (350.0, 480.0), 88.9, (4, 6)),
    row(CraftClass::Open3, (110.0, 190.0), 76.2, (3, 4)),
    row(CraftClass::Open35, (170.0, 250.0), 88.9, (4, 4)),
    row(CraftClass::Open4, (190.0, 280.0), 101.6, (2, 4)),
    row(CraftClass::Open5, (520.0, 760.0), 127.0, (4, 6)),
    row(CraftClass::Open7, (850.0, 1400.0), 177.8, (6, 6)),
];

const fn row(class: CraftClass, mass: (f64, f64), blades: f64, cells: (u32, u32)) -> ClassRow {
    ClassRow {
        class,
        mass: (Grams::new(mass.0), Grams::new(mass.1)),
        blades: Millimetres::new(blades),
        cells,
    }
}

/// What craft of a class usually are.
pub fn class_row(class: CraftClass) -> Option<&'static ClassRow> {
    CLASSES.iter().find(|row| row.class == class)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_has_its_row() {
        for class in CraftClass::ALL {
            assert!(
                class_row(class).is_some_and(|row| row.mass.0 < row.mass.1 && row.cells.0 <= row.cells.1)
            );
        }
    }
}
