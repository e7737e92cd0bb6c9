//! The TypeScript beside the pages is what these types generate.

use super::{
    bench, care, course, edit, fleet, flying, in_picture, journal, lead, link, load, manual, mend, part,
    placed, print, refused, schema, spares, supply, tilt, wiring,
};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use ts_rs::{Config, TS};

fn write_all(folder: &Path) {
    let config = Config::new().with_out_dir(folder);
    let written = [
        schema::SchemaView::export_all(&config),
        bench::BenchView::export_all(&config),
        bench::SizeView::export_all(&config),
        fleet::FleetView::export_all(&config),
        fleet::Made::export_all(&config),
        fleet::JournalLine::export_all(&config),
        fleet::BackupView::export_all(&config),
        fleet::Health::export_all(&config),
        part::PartView::export_all(&config),
        manual::ManualView::export_all(&config),
        mend::MendView::export_all(&config),
        mend::MendSaid::export_all(&config),
        placed::SearchView::export_all(&config),
        placed::PlaceAsked::export_all(&config),
        placed::PlacementTaken::export_all(&config),
        print::PrintView::export_all(&config),
        print::PrintAsked::export_all(&config),
        print::PrintForm::export_all(&config),
        in_picture::InPictureView::export_all(&config),
        course::CourseView::export_all(&config),
        flying::FlyingView::export_all(&config),
        tilt::TiltView::export_all(&config),
        lead::LeadView::export_all(&config),
        journal::JournalView::export_all(&config),
        care::CareView::export_all(&config),
        journal::KeptView::export_all(&config),
        load::LoadView::export_all(&config),
        load::PlanView::export_all(&config),
        load::WritingView::export_all(&config),
        load::PairingView::export_all(&config),
        link::LinkView::export_all(&config),
        wiring::WiringView::export_all(&config),
        supply::SupplyView::export_all(&config),
        spares::SparesView::export_all(&config),
        refused::Refused::export_all(&config),
        edit::shape::EditShape::export_all(&config),
    ];
    for outcome in written {
        outcome.expect("the types can be written");
    }
}

fn files(folder: &Path) -> BTreeMap<String, String> {
    let Ok(entries) = fs::read_dir(folder) else { return BTreeMap::new() };
    let read = |entry: fs::DirEntry| {
        let name = entry.file_name().into_string().ok()?;
        // A checkout may end lines its own way.
        let text = fs::read_to_string(entry.path()).ok()?.replace("\r\n", "\n");
        name.ends_with(".ts").then_some((name, text))
    };
    entries.flatten().filter_map(read).collect()
}

#[test]
fn the_types_beside_the_pages_are_the_generated_ones() {
    let committed = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../web/src/lib/api/types");
    if std::env::var_os("UPDATE_TYPES").is_some() {
        for name in files(&committed).keys() {
            fs::remove_file(committed.join(name)).expect("an old file can be removed");
        }
        write_all(&committed);
    }
    let fresh = tempfile::tempdir().expect("a folder for the fresh files");
    write_all(fresh.path());
    let (fresh, committed) = (files(fresh.path()), files(&committed));
    assert!(fresh.len() > 20, "only {} types were generated", fresh.len());
    let lag: Vec<&String> = fresh
        .iter()
        .filter(|(name, text)| committed.get(*name) != Some(text))
        .map(|(name, _)| name)
        .collect();
    assert!(lag.is_empty(), "{lag:?} lag behind; run UPDATE_TYPES=1 cargo test -p creance types");
    let extra: Vec<&String> = committed.keys().filter(|name| !fresh.contains_key(*name)).collect();
    assert!(
        extra.is_empty(),
        "{extra:?} are generated no more; run UPDATE_TYPES=1 cargo test -p creance types"
    );
}
