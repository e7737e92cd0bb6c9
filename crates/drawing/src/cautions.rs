//! The usual cautions, as every print that leads to work with the hands says them. Common practice; the maker's
//! papers and the rules of the place come first.

/// Before anything is put together.
pub(crate) const ASSEMBLY: &[&str] = &[
    "Blades off and pack off until their own steps, which come last.",
    "Thread lock on metal in metal only: never on plastic or near a lens.",
    "Torques are custom; what a maker states comes first. Tighten crosswise, a little at a time.",
    "Carbon conducts and its edges cut: round them where a lead passes, keep the dust off hands and lungs.",
];

/// Before a craft is powered and flown.
pub(crate) const FLIGHT: &[(&str, &str)] = &[
    ("Blades", "off for every test on the bench. With blades on, stand clear and let nobody near."),
    (
        "Lithium packs",
        "charge in the open on what does not burn, never alone in the house; a swollen, torn or hot pack is not used again.",
    ),
    (
        "Heat",
        "a transmitter without moving air overheats within minutes: a fan on the bench, short tests, hands off.",
    ),
    (
        "Radio",
        "antenna on before power; power, band and channel as the rules of the place allow; keep off the antenna.",
    ),
    (
        "Rules",
        "where, how high and how near people one may fly is for local rules to say; ask those licensed where they say so.",
    ),
];
