//! `creance pattern`: a measured antenna pattern, checked, as rows of a sheet.

use super::Outcome;
use super::subject::table_of;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use clap::Args;
use craft::PartId;
use proof::link::{hand_word, pattern_on_sheet, read_pattern};
use std::path::PathBuf;

/// Under this share of the power radiated a word is said. Common practice: a sound antenna of this size radiates half and more.
const SENSIBLE: f64 = 0.3;

/// Over this share a word is said: what is over all of it by rounding alone is not worth one.
const ALL: f64 = 1.005;

/// Which table, and of which antenna.
#[derive(Args)]
pub struct PatternArgs {
    /// The table: its first line names the columns off (degrees off mast or aim, 0 to 180), gain (dBi), unless the pattern is round also round (degrees), and, if they were measured, hand (right or left) and axial ratio (dB)
    #[arg(value_name = "TABLE")]
    table: PathBuf,
    /// The id of the antenna, or of the ground station, on the sheet
    #[arg(long, value_name = "PART")]
    part: String,
    /// Of a ground station: the name of its antenna
    #[arg(long, value_name = "NAME")]
    antenna: Option<String>,
}

/// Checks a table and writes its rows as a sheet has them.
pub fn pattern(args: &PatternArgs) -> Result<Outcome, Refusal> {
    let part = PartId::new(&args.part)
        .map_err(|fault| Refusal::new(Cause::Misread, format!("--part {:?}: {fault}", args.part)))?;
    let (rows, pattern) = table_of(&args.table, read_pattern)?;
    let sent = pattern.polarisation_at_greatest().and_then(|sent| Some((sent.hand()?, sent.axial_ratio()?)));
    let sent = sent.map_or(String::new(), |(hand, ratio)| {
        format!(", there turning {} with an axial ratio of {:.1} dB", hand_word(hand), ratio.get())
    });
    note(&format!(
        "{} directions, greatest gain {:.1} dBi{sent}, {:.1} dB over its mean, {:.0} % of the power radiated. Paste the rows \
         under [part.{part}], set its element to \"measured\", and say with measured_about = \"mast\" or \"aim\" what its angles are counted off.",
        rows.len(),
        pattern.greatest().get(),
        pattern.directivity().get(),
        100.0 * pattern.efficiency(),
    ));
    if pattern.efficiency() < SENSIBLE {
        note(&format!(
            "Only {:.0} % of the power goes anywhere: a sound antenna radiates half of it or more. Gains over their own peak look like that: add the gain of the peak in dBi to every row.",
            100.0 * pattern.efficiency()
        ));
    }
    if pattern.efficiency() > ALL {
        note(&format!(
            "No antenna sends more than it gets: the gains of this table are {:.1} dB too high together, within its doubt. Take so much off every row, or say with a doubt of the gains how sure they are; `creance check` calls it tight as it is.",
            10.0 * pattern.efficiency().log10()
        ));
    }
    say(&pattern_on_sheet(&rows, &format!("part.{part}.cut"), args.antenna.as_deref()))?;
    Ok(Outcome::NothingBroken)
}
