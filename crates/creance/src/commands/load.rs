//! `creance load`: units, images and batches; a card is planned, written, and each unit confirmed.

use super::Outcome;
use super::subject::{WorkshopArgs, id_of};
use crate::bench::Bench;
use crate::loading::write_card;
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::load::{
    BatchView, ChosenSent, FitsSent, GoOnSent, ImageSent, LoadStep, LoadView, PlanSent, PlanView, RecipeSent,
    ReportSent, SetSent, UnitSent,
};
use crate::wire::told::as_json;
use cards::{Deed, Turn};
use clap::{Args, Subcommand};
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
        What::Unit { craft: Some(craft), .. } => Some(id_of(&shop, craft)?.to_string()),
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
        What::Unit { label, kind, revision, reports, .. } => bench.describe_unit(UnitSent {
            label: label.clone(),
            kind: kind.clone(),
            revision: revision.clone(),
            version: reports.clone(),
            craft,
            settings_before: None,
            settings_after: None,
        })?,
        What::Recipe { file } => {
            let bytes = super::subject::bytes_of(file)?;
            bench.take_recipe(&RecipeSent { text: String::from_utf8_lossy(&bytes).into_owned() })?
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
        What::Report { batch, version } => {
            let step = turn(&bench, batch)?;
            bench.reported(batch, &ReportSent { step, version: version.clone() })?
        }
        What::GoOn { batch, again } => {
            let step = turn(&bench, batch)?;
            bench.go_on(batch, &GoOnSent { step, again: *again })?
        }
    };
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

fn turn(bench: &Bench, id: &str) -> Result<u32, Refusal> {
    let batch = bench.load_view()?.batches.into_iter().find(|batch| batch.id == id);
    batch
        .and_then(|batch| batch.turn)
        .ok_or_else(|| Refusal::new(Cause::NoSuch, format!("there is no batch {id:?} under way")))
}

fn listed(view: &LoadView) -> String {
    let mut out = String::from("Units\n");
    for unit in &view.units {
        let revision =
            unit.revision.as_deref().map_or("revision unknown".to_owned(), |word| format!("revision {word}"));
        let version = unit.version.as_deref().unwrap_or("version unread");
        let craft = unit.craft.as_deref().map(|craft| format!(", in {craft}")).unwrap_or_default();
        out.push_str(&format!("  {}: {}, {revision}, {version}{craft}\n", unit.label, unit.kind));
    }
    out.push_str("Images\n");
    for image in &view.images {
        let digest: String = image.digest.chars().take(12).collect();
        out.push_str(&format!("  {digest}  {} {} for {}\n", image.file, image.version, image.made_for));
    }
    out.push_str("Recipes\n");
    for recipe in &view.recipes {
        out.push_str(&format!("  {} ({}, {})\n", recipe.kind, recipe.system, recipe.end));
    }
    out.push_str("Batches\n");
    for batch in &view.batches {
        out.push_str(&format!(
            "  {}  {}, {} units, next: {}\n",
            batch.id,
            batch.name,
            batch.steps.len(),
            batch.next
        ));
    }
    out
}

fn step_line(number: usize, step: &LoadStep) -> String {
    let from = step.from.as_deref().unwrap_or("unread");
    format!(
        "  {}. {}: {from} → {}, {} as {}, card {}: {}\n",
        number + 1,
        step.unit,
        step.to,
        step.file,
        step.path,
        step.card + 1,
        step.state
    )
}

fn planned(view: &PlanView) -> String {
    if !view.against.is_empty() {
        let told: String = view.against.iter().map(|why| format!("{}\n", folded(why, "  "))).collect();
        return format!("Refused:\n{told}");
    }
    let steps: String = view.steps.iter().enumerate().map(|(number, step)| step_line(number, step)).collect();
    let mind: String = view.mind.iter().map(|words| format!("{}\n", folded(words, "  "))).collect();
    format!("{steps}{mind}")
}

/// Whether something is gone from the card that a unit still needs.
fn is_short(batch: &BatchView) -> bool {
    batch.next != "done" && !batch.gone.is_empty()
}

fn stands(batch: &BatchView) -> String {
    let steps: String =
        batch.steps.iter().enumerate().map(|(number, step)| step_line(number, step)).collect();
    let turn = batch.turn.and_then(|turn| batch.steps.get(turn as usize));
    let next = match (batch.next, turn) {
        ("write", Some(step)) => {
            format!("Next: write the card for {}: creance load write {}", step.unit, batch.id)
        }
        ("load", Some(step)) => format!(
            "Next: blades off, antenna on, fan on; card into {}, wait{}; never cut its power. Then: creance load report {} VERSION",
            step.unit,
            if step.done_when.is_empty() { String::new() } else { format!(" until {}", step.done_when) },
            batch.id
        ),
        ("look", Some(step)) => format!(
            "Stop: {} was given {} and reports {}. Look at it before anything else is loaded.",
            step.unit,
            step.to,
            step.reported.as_deref().unwrap_or("nothing")
        ),
        _ => "All units had their turn.".to_owned(),
    };
    let gone = if !is_short(batch) {
        String::new()
    } else {
        format!("Gone from the card: {}; write it again.\n", batch.gone.join(", "))
    };
    format!("Batch {} ({})\n{steps}{gone}{}\n", batch.id, batch.name, folded(&next, ""))
}
