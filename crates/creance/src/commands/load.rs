//! `creance load`: units, images and batches; a card is planned, written, and each unit confirmed.

use super::Outcome;
use super::load_told::{is_short, listed, planned, stands};
use super::subject::{WorkshopArgs, id_of};
use crate::bench::Bench;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use crate::staging::write_card;
use crate::wire::load::{
    ChosenSent, FitsSent, GoOnSent, ImageSent, PlanSent, RecipeSent, ReportSent, SetSent, UnitSent,
};
use crate::wire::told::as_json;
use cards::{Deed, Turn};
use clap::{Args, Subcommand};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use workshop::Workshop;

/// What to do about loading.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct LoadArgs {
    #[command(subcommand)]
    what: Option<What>,
    /// Print JSON instead of text
    #[arg(long, global = true)]
    json: bool,
    /// The file of the workshop; your own in the data folder when left out
    #[arg(long, value_name = "FILE", global = true)]
    workshop: Option<PathBuf>,
}

#[derive(Subcommand)]
enum What {
    /// Take an image in: its file is summed and stays where it lies
    Image {
        /// The file
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// Its version
        #[arg(long, value_name = "VERSION")]
        image_version: String,
        /// A kind of unit it is for, with its board revisions after a colon: "small air unit:B,C"; may be given again
        #[arg(long = "for", value_name = "KIND[:REVISIONS]", required = true)]
        made_for: Vec<String>,
        /// A step that may not be skipped: units below this version go to it first
        #[arg(long, value_name = "VERSION")]
        step: Option<String>,
        /// Which end is loaded first, where the notes say so: air or ground
        #[arg(long, value_name = "END")]
        first: Option<String>,
    },
    /// Describe a unit, or what was read off it
    Unit {
        /// What is written on it
        #[arg(value_name = "LABEL")]
        label: String,
        /// Its kind, which a recipe describes
        #[arg(long, value_name = "KIND")]
        kind: String,
        /// Its board revision
        #[arg(long, value_name = "REVISION")]
        revision: Option<String>,
        /// The version it reports
        #[arg(long, value_name = "VERSION")]
        reports: Option<String>,
        /// The craft it is in, by name or id
        #[arg(long, value_name = "CRAFT")]
        craft: Option<String>,
        /// A setting as it reads before a load; may be given again
        #[arg(long, value_name = "NAME=VALUE")]
        before: Vec<String>,
        /// The same as it reads after it; may be given again
        #[arg(long, value_name = "NAME=VALUE")]
        after: Vec<String>,
    },
    /// Take a recipe in, which says how a kind of unit is loaded
    Recipe {
        /// The recipe (a .toml file)
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// List versions that go together
    Pair {
        /// The video system, as its recipes name it
        #[arg(value_name = "SYSTEM")]
        system: String,
        /// The version in the air
        #[arg(value_name = "AIR")]
        air: String,
        /// The version on the ground
        #[arg(value_name = "GROUND")]
        ground: String,
    },
    /// Plan a batch; with --begin, begin it
    Plan {
        /// A unit and the digest of its image, or as much of it as tells it from others: LABEL=DIGEST; may be given again
        #[arg(value_name = "LABEL=DIGEST", required = true)]
        units: Vec<String>,
        /// Where a card lies; may be given again
        #[arg(long, value_name = "FOLDER", required = true)]
        card: Vec<PathBuf>,
        /// Say yes to a card that is not known to be removable; may be given again
        #[arg(long, value_name = "FOLDER")]
        yes: Vec<PathBuf>,
        /// The energy of the pack that feeds the units, in Wh; a bench supply when left out
        #[arg(long, value_name = "WH")]
        pack_energy: Option<f64>,
        /// What the batch is called
        #[arg(long, value_name = "NAME", default_value = "batch")]
        name: String,
        /// Begin it, if nothing speaks against it
        #[arg(long)]
        begin: bool,
    },
    /// Write the next card of a batch, all or nothing, and read it back
    Write {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
    },
    /// Look whether the card still carries what the next unit needs
    Look {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
    },
    /// Say what the unit reports after its turn
    Report {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
        /// The version it reports; left out if it did not come back
        #[arg(value_name = "VERSION")]
        version: Option<String>,
    },
    /// Look for the fault of an odd unit: begins a mending session with what is known of it entered
    Search {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
        /// The craft a unit is tried with that is in none, by name or id
        #[arg(long, value_name = "CRAFT")]
        craft: Option<String>,
    },
    /// Give a batch up before it is done: its cards are free for another
    GiveUp {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
    },
    /// Go on after a unit that reported something odd: left out, or tried --again
    GoOn {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: String,
        /// Try the unit again
        #[arg(long)]
        again: bool,
    },
}

const JSON: &str = "\
Without a further word it lists units, images, recipes and batches. With --json each prints one object; keys are never
renamed or dropped. Nothing is written but to the card that was named.

Exit status: 0 done, 1 something speaks against the plan or a unit is odd, 2 bad input or usage.";

/// Does it.
pub fn load(args: &LoadArgs) -> Result<Outcome, Refusal> {
    let from = WorkshopArgs { workshop: args.workshop.clone() };
    let Some(what) = &args.what else {
        let view = Bench::new(from.open()?).load_view()?;
        say(&if args.json { as_json(&view) } else { listed(&view) })?;
        return Ok(Outcome::NothingBroken);
    };
    let shop = Workshop::open_or_create(from.path()?)?.workshop;
    let craft = match what {
        What::Unit { craft: Some(craft), .. } | What::Search { craft: Some(craft), .. } => {
            Some(id_of(&shop, craft)?.to_string())
        }
        _ => None,
    };
    let mut bench = Bench::new(shop);
    let kept = match what {
        What::Image { file, image_version, made_for, step, first } => bench.take_image(ImageSent {
            file: whole(file),
            version: image_version.clone(),
            fits: made_for.iter().map(|text| fits(text)).collect(),
            notes: String::new(),
            step: step.clone(),
            first: first.clone(),
        })?,
        What::Unit { label, kind, revision, reports, before, after, .. } => {
            bench.describe_unit(UnitSent {
                label: label.clone(),
                kind: kind.clone(),
                revision: revision.clone(),
                version: reports.clone(),
                craft,
                settings_before: settings(before)?,
                settings_after: settings(after)?,
            })?
        }
        What::Recipe { file } => {
            let text = super::subject::text_of(file, "recipe")?;
            bench.take_recipe(&RecipeSent { text })?
        }
        What::Pair { system, air, ground } => {
            let (system, air, ground) = (system.clone(), air.clone(), ground.clone());
            bench.list_set(SetSent { system, air, ground, notes: String::new() })?
        }
        What::Plan { units, card, yes, pack_energy, name, begin } => {
            let paths = |paths: &[PathBuf]| paths.iter().map(|path| whole(path)).collect();
            let sent = PlanSent {
                name: name.clone(),
                units: chosen(&bench, units)?,
                cards: paths(card),
                yes: paths(yes),
                pack_watt_hours: *pack_energy,
                pack: "pack".to_owned(),
            };
            let view = bench.plan_view(&sent)?;
            if !begin || !view.against.is_empty() {
                say(&if args.json { as_json(&view) } else { planned(&view) })?;
                return Ok(if view.against.is_empty() {
                    Outcome::NothingBroken
                } else {
                    Outcome::SomethingBroken
                });
            }
            bench.begin_batch(&sent)?
        }
        What::Write { batch } => {
            let (number, card, load) = bench.to_write(batch)?;
            let mut told = 0;
            let mut watch = |deed: &Deed| {
                let per_cent = match deed {
                    Deed::Write { done, of } if *of > 0 => done * 50 / of,
                    Deed::ReadBack { done, of } if *of > 0 => 50 + done * 50 / of,
                    _ => told,
                };
                if per_cent >= told + 10 {
                    told = per_cent - per_cent % 10;
                    note(&format!("{told} %"));
                }
                Turn::GoOn
            };
            let lies = write_card(&card, &load, &mut watch)?;
            bench.card_written(batch, number, lies)?
        }
        What::Look { batch } => bench.look_again(batch)?,
        What::GiveUp { batch } => {
            let kept = bench.take_out(workshop::Drawer::Batch, batch)?;
            for words in &kept.mind {
                note(&format!("bear in mind: {words}"));
            }
            let told = format!("batch {batch} is given up; its cards are free\n");
            say(&if args.json { as_json(&kept) } else { told })?;
            return Ok(Outcome::NothingBroken);
        }
        What::Report { batch, version } => {
            let step = turn(&bench, batch)?;
            bench.reported(batch, &ReportSent { step, version: version.clone() })?
        }
        What::Search { batch, .. } => {
            let craft = bench.mend_odd(batch, craft.as_deref())?;
            let view = bench.mend(&craft)?;
            say(&if args.json { as_json(&view) } else { super::mend::text(&view) })?;
            return Ok(Outcome::NothingBroken);
        }
        What::GoOn { batch, again } => {
            let step = turn(&bench, batch)?;
            bench.go_on(batch, &GoOnSent { step, again: *again })?
        }
    };
    for words in &kept.mind {
        note(&format!("bear in mind: {words}"));
    }
    let view = bench.load_view()?;
    let batch = view.batches.iter().find(|batch| kept.ids.contains(&batch.id));
    match (batch, args.json) {
        (Some(batch), true) => say(&as_json(batch))?,
        (Some(batch), false) => say(&stands(batch))?,
        (None, true) => say(&as_json(&kept))?,
        (None, false) => say(&format!("kept: {}\n", kept.ids.join(", ")))?,
    }
    let odd = batch.is_some_and(|batch| batch.next == "look" || is_short(batch));
    Ok(if odd { Outcome::SomethingBroken } else { Outcome::NothingBroken })
}

fn whole(path: &Path) -> String {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned()).display().to_string()
}

fn fits(text: &str) -> FitsSent {
    let (kind, revisions) = text.split_once(':').unwrap_or((text, ""));
    let revisions =
        revisions.split(',').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect();
    FitsSent { kind: kind.trim().to_owned(), revisions }
}

/// Units with their images; of a digest as much is enough as tells it from others.
fn chosen(bench: &Bench, units: &[String]) -> Result<Vec<ChosenSent>, Refusal> {
    let images = bench.load_view()?.images;
    let one = |text: &String| {
        let misread = |words: String| Refusal::new(Cause::Misread, words);
        let (unit, digest) =
            text.split_once('=').ok_or_else(|| misread(format!("{text:?} is no LABEL=DIGEST")))?;
        let digest = digest.trim().to_lowercase();
        let like: Vec<&str> = images
            .iter()
            .map(|image| image.digest.as_str())
            .filter(|known| known.starts_with(&digest))
            .collect();
        match like[..] {
            [known] if digest.len() >= 6 => {
                Ok(ChosenSent { unit: unit.trim().to_owned(), digest: known.to_owned() })
            }
            [] => Err(misread(format!("no image has a digest that begins with {digest:?}"))),
            _ => Err(misread(format!(
                "{digest:?} is too short to tell one image from another; give at least 6 digits"
            ))),
        }
    };
    units.iter().map(one).collect()
}

/// Settings as they are typed; none where none was given.
fn settings(words: &[String]) -> Result<Option<BTreeMap<String, String>>, Refusal> {
    let one = |word: &String| {
        let (name, value) = word
            .split_once('=')
            .map(|(name, value)| (name.trim(), value.trim()))
            .filter(|(name, value)| !name.is_empty() && !value.is_empty())
            .ok_or_else(|| {
                let words =
                    format!("{word:?} is no setting; write its name and its value, such as level=\"25 mW\"");
                Refusal::new(Cause::Misread, words)
            })?;
        Ok((name.to_owned(), value.to_owned()))
    };
    let read: BTreeMap<String, String> = words.iter().map(one).collect::<Result<_, Refusal>>()?;
    Ok(Some(read).filter(|read| !read.is_empty()))
}

fn turn(bench: &Bench, id: &str) -> Result<u32, Refusal> {
    let batch = bench.load_view()?.batches.into_iter().find(|batch| batch.id == id);
    batch
        .and_then(|batch| batch.turn)
        .ok_or_else(|| Refusal::new(Cause::NoSuch, format!("there is no batch {id:?} under way")))
}
