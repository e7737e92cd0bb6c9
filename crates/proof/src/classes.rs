//! What craft of each class usually are: mass, blades, cells, drag area. Workshop ranges, not limits.

use craft::CraftClass;
use quantity::{Grams, Millimetres, Source, SquareMetres};

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
    /// Least and greatest drag area C_dA, nose ahead.
    pub drag_area: (SquareMetres, SquareMetres),
}

/// Where the ranges come from.
pub const CLASS_SOURCE: Source =
    Source::common_practice("mass with pack, blade diameter and cells by class of craft");

/// Where the drag areas come from.
pub const DRAG_SOURCE: Source = Source::common_practice(
    "drag area by class of craft; classes without a custom of their own lie between their neighbours",
);

/// How far blades may be from their class's diameter, as a share: 5.1-inch blades are 5-inch blades.
pub const BLADE_SHARE: f64 = 0.06;

/// Every class, smallest first.
pub const CLASSES: &[ClassRow] = &[
    row(CraftClass::Ducted65, (27.0, 34.0), 31.0, (1, 1), (0.002, 0.003)),
    row(CraftClass::Ducted75, (36.0, 60.0), 40.0, (1, 2), (0.003, 0.004)),
    row(CraftClass::Ducted85, (70.0, 95.0), 51.0, (2, 2), (0.004, 0.006)),
    row(CraftClass::Ducted25, (160.0, 250.0), 63.5, (3, 4), (0.008, 0.011)),
    row(CraftClass::Ducted3, (260.0, 380.0), 76.2, (4, 4), (0.010, 0.014)),
    row(CraftClass::Ducted35, (350.0, 480.0), 88.9, (4, 6), (0.012, 0.017)),
    row(CraftClass::Open3, (110.0, 190.0), 76.2, (3, 4), (0.004, 0.006)),
    row(CraftClass::Open35, (170.0, 250.0), 88.9, (4, 4), (0.005, 0.007)),
    row(CraftClass::Open4, (190.0, 280.0), 101.6, (2, 4), (0.006, 0.009)),
    row(CraftClass::Open5, (520.0, 760.0), 127.0, (4, 6), (0.008, 0.012)),
    row(CraftClass::Open7, (850.0, 1400.0), 177.8, (6, 6), (0.012, 0.016)),
];

const fn row(
    class: CraftClass,
    mass: (f64, f64),
    blades: f64,
    cells: (u32, u32),
    drag: (f64, f64),
) -> ClassRow {
    ClassRow {
        class,
        mass: (Grams::new(mass.0), Grams::new(mass.1)),
        blades: Millimetres::new(blades),
        cells,
        drag_area: (SquareMetres::new(drag.0), SquareMetres::new(drag.1)),
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
            assert!(class_row(class).is_some_and(|row| row.drag_area.0 < row.drag_area.1));
        }
    }
}
