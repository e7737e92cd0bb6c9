//! What `creance load` prints: what is there, a plan, how far a batch is.

use crate::output::folded;
use crate::wire::load::{BatchView, LoadStep, LoadView, PlanView};

/// Units, images, recipes and batches, a line each.
pub fn listed(view: &LoadView) -> String {
    let mut out = String::from("Units\n");
    for unit in &view.units {
        let revision =
            unit.revision.as_deref().map_or("revision unknown".to_owned(), |word| format!("revision {word}"));
        let version = unit.version.as_deref().unwrap_or("version unread");
        let craft = unit.craft.as_deref().map(|craft| format!(", in {craft}")).unwrap_or_default();
        out.push_str(&format!("  {}: {}, {revision}, {version}{craft}\n", unit.label, unit.kind));
        for words in &unit.mind {
            out.push_str(&format!("{}\n", folded(words, "      ")));
        }
        if !unit.settings_lost.is_empty() {
            let lost = format!("A load changed its settings: {}", unit.settings_lost.join(", "));
            out.push_str(&format!("{}\n", folded(&lost, "      ")));
        }
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
            "  {}  {}, {}, next: {}\n",
            batch.id,
            batch.name,
            counted(batch.steps.len(), "unit"),
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

/// A plan, or what speaks against it.
pub fn planned(view: &PlanView) -> String {
    if !view.against.is_empty() {
        let told: String = view.against.iter().map(|why| format!("{}\n", folded(why, "  "))).collect();
        return format!("Refused:\n{told}");
    }
    let steps: String = view.steps.iter().enumerate().map(|(number, step)| step_line(number, step)).collect();
    let mind: String = view.mind.iter().map(|words| format!("{}\n", folded(words, "  "))).collect();
    format!("{steps}{mind}")
}

/// Whether something is gone from the card that a unit still needs.
pub fn is_short(batch: &BatchView) -> bool {
    batch.next != "done" && !(batch.gone.is_empty() && batch.changed.is_empty() && batch.stray.is_empty())
}

/// How far a batch is, and what comes next.
pub fn stands(batch: &BatchView) -> String {
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
        let told = [
            ("Gone from the card", &batch.gone, "write it again"),
            ("Changed on the card", &batch.changed, "write it again"),
            ("Beside the image on the card", &batch.stray, "the unit may take the wrong one; remove it"),
        ];
        let told = told.iter().filter(|(_, files, _)| !files.is_empty());
        told.map(|(what, files, mend)| format!("{what}: {}; {mend}.\n", files.join(", "))).collect()
    };
    let search = match batch.next {
        "look" => format!("To look for its fault: creance load search {}\n", batch.id),
        _ => String::new(),
    };
    format!("Batch {} ({})\n{steps}{gone}{}\n{search}", batch.id, batch.name, folded(&next, ""))
}

/// A number of things, in words that agree with it.
fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}
