//! Which image goes into which unit, in which order, and is it the right one?
//!
//! Units, images, matching sets and recipes are plain data; [`plan`] turns them into the steps of a batch, or says by name
//! what speaks against it. An image counts by its digest (SHA-256, FIPS 180-4), never by its file name alone. The crate
//! opens no file and writes no card: what a card looks like is handed in ([`CardSeen`]), bytes are summed as they come
//! ([`Summing`]). Left out: what is inside an image; nobody but its maker knows.

mod barrier;
mod batch;
mod card;
mod digest;
mod image;
mod name;
mod pairing;
mod plan;
mod recipe;
mod recipe_text;
mod refused;
mod supply;
mod turn;
mod unit;
mod version;

pub use barrier::{Crossing, barriers, crossing};
pub use batch::{Batch, NOT_COME_BACK, Next, StepState};
pub use card::{CardSeen, FileSeen, OnCard, card_against, strays};
pub use digest::{DIGEST_SOURCE, Digest, NoDigest, Summing, digest_of};
pub use image::{Fit, Fits, IMAGE_BYTES_MAX, Image};
pub use name::{NameFault, card_folder, card_name, same_on_card};
pub use pairing::{MatchingSet, Pairing, pairing};
pub use plan::{Asked, Cards, Plan, Step, plan};
pub use recipe::{Kept, Recipe};
pub use recipe_text::{RECIPE_EXAMPLE, RecipeFault, read_recipe, write_recipe};
pub use refused::Refused;
pub use supply::{SPARE_LEAST, SUPPLY_SOURCE, Supply};
pub use unit::{End, SettingsFault, Unit, settings_fit};
pub use version::{NoVersion, Version};
