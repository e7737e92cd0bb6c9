//! `creance lore`: fault knowledge of one's own, kept in the workshop and laid over the program's.

use super::Outcome;
use super::subject::{WorkshopArgs, text_of};
use crate::bench::now;
use crate::mending::{base, laid_over, own_words};
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use clap::Args;
use std::path::PathBuf;
use workshop::Workshop;

/// What to do with it.
#[derive(Args)]
#[command(
    after_long_help = "The manual tells how such a text is written, in its chapter on fault finding. A text with a fault in it is not taken in, and what \
was kept stays. Searches that are open go on with the new knowledge.

Exit status: 0 done, 2 bad input or usage."
)]
pub struct LoreArgs {
    #[command(flatten)]
    from: WorkshopArgs,
    /// A text of fault knowledge to keep in the place of what there is; without it, what is kept is printed
    #[arg(value_name = "FILE", conflicts_with = "forget")]
    file: Option<PathBuf>,
    /// Take out what is kept
    #[arg(long)]
    forget: bool,
}

/// Keeps, prints or forgets it.
pub fn lore(args: &LoreArgs) -> Result<Outcome, Refusal> {
    let to_write = || Ok::<_, Refusal>(Workshop::open_or_create(args.from.path()?)?.workshop);
    if let Some(path) = &args.file {
        let text = text_of(path, "knowledge")?;
        let words = own_words(&laid_over(&text, &path.display().to_string())?);
        if words.is_empty() {
            let words = format!("{} has nothing that the program does not know", path.display());
            return Err(Refusal::new(Cause::Unfit, words).hint("Nothing was changed."));
        }
        to_write()?.keep_knowledge(Some(&text), &format!("Fault knowledge taken in: {words}"), now())?;
        note(&format!("{words}: laid over the program's knowledge from now on"));
    } else if args.forget {
        to_write()?.keep_knowledge(None, "Fault knowledge taken out", now())?;
        note("the program's own knowledge stands alone");
    } else {
        match args.from.open()?.knowledge()? {
            Some(text) => say(text.trim_end())?,
            None => note(&format!(
                "none is kept; the program itself knows {} causes, {} signs, {} tests and {} repairs",
                base().causes.len(),
                base().signs.len(),
                base().tests.len(),
                base().repairs.len()
            )),
        }
    }
    Ok(Outcome::NothingBroken)
}
