//! The chapter on loading and care: the recipe as data, how a card is written, rated lives, pairing.

use crate::wire::manual::{KeepingDoc, LifeRow};
use care::CounterKind;
use firmware::{NOT_COME_BACK, RECIPE_EXAMPLE};

/// How a card is written, in order.
const WRITING: [&str; 6] = [
    "The image and the files that stay beside it are written under temporary names, ending in .creance-half, and forced onto the card.",
    "Each is read back and compared with its master, byte by byte and by SHA-256 (FIPS 180-4).",
    "A record, creance-record.json, is put in place by one rename: from here on the new state holds.",
    "Images of other units go, the new files get their names, the image last, and the record goes.",
    "Power gone before the record: the card is as it was. After it: the next look at the card carries the record out.",
    "Between the last two a card may for a moment carry no image. It never carries two, and never half of one.",
];

/// What pairing keeps, and what it leaves out.
const PAIRING: [&str; 5] = [
    "Without --lan the program listens on this machine only. With it, paired phones are let in, and nobody else.",
    "The code has 8 letters, is good once and for ten minutes; one is tried a second at most, and five wrong ones void it.",
    "A request must name the very address the program listens on; one that changes something must come from its own page.",
    "Cards, images, backups, imports and further pairings are done at the machine only.",
    "What crosses the network is not encrypted: whoever can listen on it can read along. Pair on a network you trust.",
];

/// The chapter.
pub fn keeping() -> KeepingDoc {
    let life =
        |kind: &CounterKind| LifeRow { words: kind.plain(), life: kind.life(), source: kind.source().line() };
    KeepingDoc {
        recipe: RECIPE_EXAMPLE,
        writing: WRITING.to_vec(),
        not_come_back: NOT_COME_BACK.to_vec(),
        lives: CounterKind::ALL.iter().map(life).collect(),
        pairing: PAIRING.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_recipe_of_the_manual_reads() {
        assert!(firmware::read_recipe(RECIPE_EXAMPLE).is_ok());
        assert_eq!(keeping().lives.len(), CounterKind::ALL.len());
    }
}
