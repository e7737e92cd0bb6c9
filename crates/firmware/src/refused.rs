//! What speaks against a plan, by name: the thing, the value, the limit and the mend.

use crate::{Digest, NameFault, Version};

/// One reason why something is not staged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum Refused {
    #[error("unit {unit:?} is not known; describe it first")]
    NoUnit { unit: String },
    #[error("unit {unit:?} stands twice in the batch; load it once")]
    Twice { unit: String },
    #[error("no unit is chosen; choose at least one")]
    NoUnits,
    #[error("no recipe says how a {kind:?} is loaded; write one from its maker's instructions")]
    NoRecipe { kind: String },
    #[error("no image is chosen for unit {unit:?} ({kind}); choose one that is for it")]
    NoImage { unit: String, kind: String },
    #[error("image {file:?} is for {made_for}; unit {unit:?} is {kind}. Refused: it could leave it dead")]
    OtherKind { file: String, made_for: String, unit: String, kind: String },
    #[error(
        "image {file:?} is for {made_for}; unit {unit:?} has revision {revision:?}. Refused: it could leave it dead"
    )]
    OtherRevision { file: String, made_for: String, unit: String, revision: String },
    #[error(
        "image {file:?} is for {made_for}, and the revision of unit {unit:?} is not known; read it off the board"
    )]
    RevisionUnknown { file: String, made_for: String, unit: String },
    #[error(
        "file {file:?} is not the image that was taken in: digest {found:?} instead of {wanted:?}; fetch it anew from its maker"
    )]
    Digest { file: String, wanted: Digest, found: Digest },
    #[error("file {file:?} is empty; fetch it anew")]
    Empty { file: String },
    #[error(
        "file {file:?} holds {bytes} bytes, more than the {most} an image may have; it is something else, such as a copy of a whole card"
    )]
    TooLarge { file: String, bytes: u64, most: u64 },
    #[error(
        "unit {unit:?}: from {from} go to {first} first; that step may not be skipped on the way to {to}"
    )]
    StepSkipped { unit: String, from: Version, first: Version, to: Version },
    #[error(
        "unit {unit:?}: {to} lies below {barrier}, and from {from} there is no way back below it; keep {from} or a later one"
    )]
    WayBack { unit: String, from: Version, to: Version, barrier: Version },
    #[error(
        "unit {unit:?} was never asked what it has, and {barrier} may not be skipped or recrossed; read its version first"
    )]
    VersionUnread { unit: String, barrier: Version },
    #[error(
        "{air} on {air_unit:?} would meet {ground} on the ground ({ground_units}): no picture. Load both ends to versions that go together, or list the pair as a set"
    )]
    Unmatched { air: Version, air_unit: String, ground: String, ground_units: String },
    #[error(
        "{ground} on {ground_unit:?} would meet {air} in the air ({air_units}): no picture. Load both ends to versions that go together, or list the pair as a set"
    )]
    GroundUnmatched { ground: Version, ground_unit: String, air: String, air_units: String },
    #[error("the recipe for {kind:?}: {why}")]
    Name { kind: String, why: NameFault },
    #[error("{names:?} and {other:?} would lie under one name on the card; keep one")]
    NamesClash { names: String, other: String },
    #[error("card {card:?}: {needed} bytes are needed and {free} are free; empty it or take a larger one")]
    CardTooSmall { card: String, needed: u64, free: u64 },
    #[error("card {card:?} holds {bytes} bytes; {kind:?} reads cards up to {most} only; take a smaller one")]
    CardTooLarge { card: String, bytes: u64, most: u64, kind: String },
    #[error(
        "card {card:?} is written as {found}; {kind:?} reads {wanted}; format it so on a machine you trust"
    )]
    FileSystem { card: String, found: String, wanted: String, kind: String },
    #[error("card {card:?}: {why}. Say yes to it by name if this is really the card")]
    NotRemovable { card: String, why: String },
    #[error(
        "card {card:?} holds {stray:?} beside the wanted image: the unit may take the wrong one. Remove it"
    )]
    Stray { card: String, stray: String },
    #[error(
        "card {card:?} is in use by batch {batch} ({name:?}), which is not done: its image would be overwritten. Finish that batch, give it up, or take another card"
    )]
    CardInUse { card: String, batch: String, name: String },
    #[error(
        "unit {unit:?} waits in batch {batch} ({name:?}), which is not done: two cards at once could take it where there is no way back. Finish that batch, give it up, or leave the unit out"
    )]
    UnitInUse { unit: String, batch: String, name: String },
    #[error("card {card:?}: {name:?} on it is a link that leads elsewhere; take another card")]
    Link { card: String, name: String },
    #[error(
        "{units} units want {images} images in turn, and only one card is there: it is written anew for each image. Say yes to one card, or take {images}"
    )]
    TooFewCards { units: usize, images: usize },
    #[error(
        "supply {supply:?} lasts {lasts:.0} min, and loading may take {takes:.0} min with a third in hand. Use a bench supply"
    )]
    Supply { supply: String, lasts: f64, takes: f64 },
}
