//! What lies beside the craft of the demo: units with their images and versions, a batch that was loaded, seven weeks of journal,
//! counters. Everything is invented, and every moment is fixed, so that the demo is the same each time.
//!
//! What there is to see: both ends of each link with their versions; one unit that did not take the last load, so that its craft
//! lags behind the ground; a spare so old that a step may not be skipped on its way; a crash with its list and its repair, a pack
//! that was hit and let rest, a level that moved a little, a pigtail near the end of its life. The images have no file behind
//! them: a plan can be made with them, a card cannot be written.

use care::{Counter, CounterKind, Entry, EntryKind, ListKind, Measured, Reading, Ticked};
use firmware::{
    Batch, Cards, Digest, End, Fits, Image, Kept, Plan, Recipe, Step, StepState, Supply, Unit, Version,
    digest_of,
};
use workshop::{Keep, Moment};

const SYSTEM: &str = "Tansy";
const MEDIUM: &str = "Tansy medium air unit";
const MICRO: &str = "Tansy micro video board";
const LARGE: &str = "Tansy large air unit";
const GROUND: &str = "Tansy club receiver";
/// The version that a unit may not skip.
const STEP: &str = "2.0";

/// Everything, in the order in which it is put in.
pub fn beside() -> Vec<Keep> {
    let mut all = Vec::new();
    all.extend(recipes().into_iter().map(Keep::Recipe));
    all.extend(images().into_iter().map(Keep::Image));
    all.extend(units().into_iter().map(Keep::Unit));
    all.extend(batch().map(|batch| Keep::Batch(None, batch)));
    all.extend(counters().into_iter().map(|counter| Keep::Counter(None, counter)));
    all.extend(entries().into_iter().map(|entry| Keep::Entry(None, entry)));
    all
}

/// A day and a minute of the spring of the demo, in seconds.
fn at(day: &str, minute: &str) -> i64 {
    Moment::read(&format!("2026-{day}T{minute}:00Z")).map_or(0, Moment::unix_seconds)
}

fn version(text: &str) -> Option<Version> {
    Version::read(text).ok()
}

fn recipes() -> Vec<Recipe> {
    let one = |kind: &str, end, file_name: &str, folder: &str| Recipe {
        kind: kind.to_owned(),
        system: SYSTEM.to_owned(),
        end,
        file_name: file_name.to_owned(),
        folder: folder.to_owned(),
        keep: vec![Kept { name: "install.txt".to_owned(), text: String::new() }],
        file_systems: vec!["fat32".to_owned()],
        largest_card: Some(32_000_000_000),
        eats_image: false,
        minutes: Some(6.0),
        watts: Some(7.0),
        done_when: "the light is steady for ten seconds".to_owned(),
    };
    vec![
        one(MEDIUM, End::Air, "TANSY_AIR_M.IMG", ""),
        one(MICRO, End::Air, "TANSY_AIR_S.IMG", ""),
        one(LARGE, End::Air, "TANSY_AIR_L.IMG", ""),
        one(GROUND, End::Ground, "TANSY_GROUND.IMG", "ground"),
    ]
}

fn digest(file: &str) -> Digest {
    digest_of(format!("invented, there is no such image: {file}").as_bytes())
}

fn images() -> Vec<Image> {
    let one = |file: &str, at: &str, kind: &str, revisions: &[&str], step: Option<&str>| {
        Some(Image {
            file: file.to_owned(),
            master: format!("/masters/{file}"),
            digest: digest(file),
            size: 38_400_000,
            version: version(at)?,
            fits: vec![Fits {
                kind: kind.to_owned(),
                revisions: revisions.iter().map(|&word| word.to_owned()).collect(),
            }],
            notes: "Demo: there is no file behind it.".to_owned(),
            step: step.and_then(version),
            first: None,
        })
    };
    let all = [
        one("medium-2.0.img", "2.0", MEDIUM, &["A", "B"], Some(STEP)),
        one("medium-2.3.img", "2.3", MEDIUM, &["A", "B"], Some(STEP)),
        one("medium-2.4.img", "2.4", MEDIUM, &["A", "B"], Some(STEP)),
        one("micro-2.4.img", "2.4", MICRO, &[], None),
        one("large-2.4.img", "2.4", LARGE, &["C"], None),
        one("ground-2.4.img", "2.4", GROUND, &[], None),
    ];
    all.into_iter().flatten().collect()
}

fn units() -> Vec<Unit> {
    let settings = |level: &str, channel: &str| {
        [("level", level), ("channel", channel), ("standby", "on"), ("region", "home")]
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .into()
    };
    let one = |label: &str, kind: &str, revision: &str, reads: &str, craft: Option<&str>| {
        let mut unit = Unit::new(label, kind);
        unit.revision = Some(revision.to_owned());
        unit.version = version(reads);
        unit.craft = craft.map(str::to_owned);
        unit
    };
    let loaded = |mut unit: Unit, file: &str, level: &str, channel: &str| {
        unit.digest = Some(digest(file));
        unit.settings_before = settings(level, channel);
        unit.settings_after = Some(settings(level, channel));
        unit
    };
    let mut lost =
        loaded(one("T-2 Siskin", MEDIUM, "B", "2.4", Some("siskin")), "medium-2.4.img", "200 mW", "5769 MHz");
    // The load set the level back, and nobody has put it right yet.
    lost.settings_after = Some(settings("25 mW", "5769 MHz"));
    vec![
        loaded(
            one("T-1 Brambling", MEDIUM, "A", "2.4", Some("brambling")),
            "medium-2.4.img",
            "200 mW",
            "5843 MHz",
        ),
        lost,
        // It was given 2.4 and still reports 2.3: it lags behind the ground.
        loaded(
            one("T-3 Fieldfare", MEDIUM, "A", "2.3", Some("fieldfare")),
            "medium-2.3.img",
            "200 mW",
            "5732 MHz",
        ),
        loaded(one("T-4 Dunnock", MICRO, "A", "2.4", Some("dunnock")), "micro-2.4.img", "25 mW", "5806 MHz"),
        loaded(one("T-5 Redpoll", MICRO, "A", "2.4", Some("redpoll")), "micro-2.4.img", "25 mW", "5880 MHz"),
        loaded(
            one("T-6 Whinchat", LARGE, "C", "2.4", Some("whinchat")),
            "large-2.4.img",
            "200 mW",
            "5695 MHz",
        ),
        // From 1.9 it must go to 2.0 first.
        one("T-7 spare", MEDIUM, "A", "1.9", None),
        loaded(one("G-1 club box", GROUND, "B", "2.4", None), "ground-2.4.img", "25 mW", "5843 MHz"),
    ]
}

/// The batch of the spring, all done; one unit was odd and was left out.
fn batch() -> Option<Batch> {
    let to = version("2.4")?;
    let step = |unit: &str, kind: &str, file: &str, name: &[&str]| Step {
        unit: unit.to_owned(),
        kind: kind.to_owned(),
        digest: digest(file),
        file: file.to_owned(),
        size: 38_400_000,
        from: version("2.3"),
        to: to.clone(),
        card: 0,
        writes: true,
        path: name.iter().map(|&word| word.to_owned()).collect(),
        keep: vec![("install.txt".to_owned(), String::new())],
        minutes: Some(6.0),
        done_when: "the light is steady for ten seconds".to_owned(),
    };
    let steps = vec![
        step("T-1 Brambling", MEDIUM, "medium-2.4.img", &["TANSY_AIR_M.IMG"]),
        step("G-1 club box", GROUND, "ground-2.4.img", &["ground", "TANSY_GROUND.IMG"]),
        step("T-2 Siskin", MEDIUM, "medium-2.4.img", &["TANSY_AIR_M.IMG"]),
        step("T-3 Fieldfare", MEDIUM, "medium-2.4.img", &["TANSY_AIR_M.IMG"]),
        step("T-4 Dunnock", MICRO, "micro-2.4.img", &["TANSY_AIR_S.IMG"]),
        step("T-5 Redpoll", MICRO, "micro-2.4.img", &["TANSY_AIR_S.IMG"]),
        step("T-6 Whinchat", LARGE, "large-2.4.img", &["TANSY_AIR_L.IMG"]),
    ];
    let mut batch = Batch::new(
        "spring",
        at("05-09", "18:05"),
        Plan { steps, mind: Vec::new() },
        Cards::default(),
        Supply::Bench,
    );
    let odd = |step: &Step| step.unit == "T-3 Fieldfare";
    batch.states = batch
        .plan
        .steps
        .iter()
        .map(|step| if odd(step) { StepState::LeftOut } else { StepState::Loaded })
        .collect();
    Some(batch)
}

fn counters() -> Vec<Counter> {
    let one = |craft: Option<&str>, thing: &str, kind, base| Counter {
        craft: craft.map(str::to_owned),
        thing: thing.to_owned(),
        kind,
        base,
        since: at("05-01", "08:00"),
        life: None,
    };
    vec![
        one(Some("brambling"), "pigtail at the air unit", CounterKind::CoaxMatings, 9.0),
        one(Some("brambling"), "motors", CounterKind::MotorHours, 3.5),
        // Near the end of its life: the one thing that care asks for here.
        one(Some("fieldfare"), "pigtail at the air unit", CounterKind::CoaxMatings, 23.0),
        one(Some("fieldfare"), "motors", CounterKind::MotorHours, 8.0),
        one(Some("dunnock"), "craft", CounterKind::SinceInspection, 0.0),
        one(Some("whinchat"), "camera harness at the camera", CounterKind::HarnessMatings, 6.0),
        one(None, "B1", CounterKind::PackCycles, 41.0),
        one(None, "F1", CounterKind::PackCycles, 22.0),
        one(None, "D1", CounterKind::PackCycles, 63.0),
    ]
}

struct Book(Vec<Entry>);

impl Book {
    fn put(&mut self, entry: Entry) {
        self.0.push(entry);
    }

    fn note(&mut self, day: &str, minute: &str, craft: &str, kind: EntryKind, words: &str) {
        self.put(Entry::new(at(day, minute), kind, words).of(craft));
    }

    fn flown(&mut self, day: &str, minute: &str, craft: &str, minutes: f64, packs: &[&str], words: &str) {
        self.put(Entry {
            minutes: Some(minutes),
            packs: packs.iter().map(|&pack| pack.to_owned()).collect(),
            ..Entry::new(at(day, minute), EntryKind::Flown, words).of(craft)
        });
    }

    fn read(&mut self, day: &str, minute: &str, craft: &str, measured: &[(Reading, f64)], as_new: bool) {
        self.put(Entry {
            measured: measured.iter().map(|&(reading, value)| Measured { reading, value }).collect(),
            as_new,
            ..Entry::new(at(day, minute), EntryKind::Tested, "").of(craft)
        });
    }

    fn loaded(&mut self, minute: &str, craft: Option<&str>, unit: &str, words: &str) {
        let mut entry = Entry::new(at("05-09", minute), EntryKind::Loaded, words);
        entry.craft = craft.map(str::to_owned);
        entry.units = vec![unit.to_owned()];
        self.put(entry);
    }
}

fn entries() -> Vec<Entry> {
    use EntryKind::{Built, Changed};
    let mut book = Book(Vec::new());
    book.note("05-02", "10:00", "brambling", Built, "New frame, old electronics. Wires soldered one by one");
    let new = [
        (Reading::LevelAt5m, -47.0),
        (Reading::HoverCurrent, 9.8),
        (Reading::BenchMinutes, 6.5),
        (Reading::FlyingMass, 289.0),
    ];
    book.read("05-02", "16:40", "brambling", &new, true);
    book.flown("05-03", "09:15", "brambling", 3.5, &["B1"], "First hover in the yard, picture clear");
    book.flown("05-03", "09:40", "brambling", 4.0, &["B2"], "Round the barn");
    book.note("05-03", "14:00", "fieldfare", Built, "For long quiet flights; the big lens for now");
    let new = [(Reading::LevelAt5m, -46.0), (Reading::HoverCurrent, 5.1), (Reading::FlyingMass, 335.0)];
    book.read("05-03", "15:10", "fieldfare", &new, true);
    book.flown("05-04", "17:30", "fieldfare", 17.0, &["F1"], "Along the limes and back");
    book.flown("05-05", "18:10", "dunnock", 5.0, &["D1", "D2"], "Hall, two packs");
    book.note("05-08", "19:20", "siskin", Built, "Fed from the rail at hand");
    for (minute, craft, unit, file) in [
        ("18:20", Some("brambling"), "T-1 Brambling", "medium-2.4.img"),
        ("18:31", None, "G-1 club box", "ground-2.4.img"),
        ("18:44", Some("siskin"), "T-2 Siskin", "medium-2.4.img"),
        ("19:14", Some("dunnock"), "T-4 Dunnock", "micro-2.4.img"),
        ("19:25", Some("redpoll"), "T-5 Redpoll", "micro-2.4.img"),
        ("19:38", Some("whinchat"), "T-6 Whinchat", "large-2.4.img"),
    ] {
        let words = format!("{unit} from 2.3 to 2.4, {file}, digest {}", digest(file));
        book.loaded(minute, craft, unit, &words);
        if unit == "T-2 Siskin" {
            let odd = "T-3 Fieldfare was given 2.4 and reports 2.3; left out, the light never went steady";
            book.loaded("19:02", Some("fieldfare"), "T-3 Fieldfare", odd);
        }
    }
    book.flown("05-10", "09:05", "brambling", 4.0, &["B1"], "After the load: picture as before");
    book.flown("05-10", "09:30", "whinchat", 3.0, &["W1"], "Training course, six gates");
    book.flown("05-10", "10:00", "siskin", 3.0, &["B2"], "Picture restarted once after a hard pull");
    book.flown("05-16", "10:20", "brambling", 7.5, &["B1", "B2"], "Orchard, low");
    crash(&mut book);
    book.flown("05-23", "17:45", "fieldfare", 16.5, &["F1"], "Dusk; grainy near the end");
    book.note("05-24", "11:00", "fieldfare", Changed, "Tried the short lens, went back to the long one");
    if let Some(tried) = book.0.last_mut() {
        tried.plugged = vec!["pigtail at the air unit".to_owned()];
        tried.parts = vec!["lens".to_owned()];
    }
    book.flown("05-30", "09:50", "dunnock", 7.0, &["D1", "D2", "D3"], "Garden, calm");
    book.flown("06-06", "16:10", "whinchat", 6.0, &["W1", "W2"], "Club day, heat 2 and 4");
    book.flown("06-07", "18:30", "fieldfare", 17.5, &["F1"], "Farthest yet, over the pond");
    book.put(Entry {
        packs: vec!["B2".to_owned()],
        measured: vec![Measured { reading: Reading::CellVolts, value: 3.82 }],
        ..Entry::new(at("06-08", "20:00"), EntryKind::Charged, "To storage")
    });
    book.flown("06-13", "10:15", "redpoll", 2.5, &["R1"], "Hall; black for a second at full throttle");
    book.0
}

/// A crash with all that follows it: the list, the repair, the level before the next flight.
fn crash(book: &mut Book) {
    book.put(Entry {
        packs: vec!["B1".to_owned()],
        pack_hit: true,
        ..Entry::new(at("05-16", "10:41"), EntryKind::Crashed, "Clipped a branch, fell on the right side")
            .of("brambling")
    });
    let ticked = [
        "disarm",
        "pack",
        "blades_off",
        "arms",
        "motors",
        "lens",
        "lead_1",
        "lead_2",
        "antenna_1",
        "push_on_1",
        "push_on_2",
        "push_on_3",
        "capacitor",
        "screws",
        "bench_power",
        "picture",
        "arm",
        "level",
    ];
    book.put(Entry {
        ticked: Some(Ticked {
            list: ListKind::AfterCrash,
            ticked: ticked.map(str::to_owned).into(),
            left: Vec::new(),
        }),
        ..Entry::new(at("05-16", "11:05"), EntryKind::Checked, "Rear right blades chipped, antenna bent")
            .of("brambling")
    });
    book.put(Entry {
        parts: vec!["right-hand omni".to_owned(), "set of blades".to_owned()],
        plugged: vec!["pigtail at the air unit".to_owned()],
        minutes: Some(25.0),
        ..Entry::new(
            at("05-16", "18:30"),
            EntryKind::Repaired,
            "New antenna and blades; the harness sat well",
        )
        .of("brambling")
    });
    book.read(
        "05-16",
        "18:58",
        "brambling",
        &[(Reading::LevelAt5m, -48.5), (Reading::HoverCurrent, 10.1)],
        false,
    );
    book.flown("05-17", "09:20", "brambling", 4.0, &["B2"], "As before the branch");
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::bench::Bench;
    use workshop::Workshop;

    #[test]
    fn everything_reads_stands_in_order_and_is_the_same_each_time() {
        assert_eq!(beside(), beside());
        let entries = entries();
        assert!(entries.iter().all(|entry| entry.faults().is_empty() && entry.at > 0), "{entries:?}");
        assert!(entries.is_sorted_by_key(|entry| entry.at), "entered in the order of the days");
        assert_eq!(images().len(), 6);
        assert!(units().iter().all(|unit| unit.version.is_some()));
        assert!(batch().unwrap().is_done());
    }

    #[test]
    fn the_fleet_shows_one_lagging_unit_one_old_spare_and_one_worn_plug() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Workshop::open_or_create(folder.path().join("shop.creance")).unwrap().workshop;
        let mut bench = Bench::new(shop);
        let fleet = bench.load_demo().unwrap();
        let due = |name: &str| -> Vec<String> {
            let craft = fleet.craft.iter().find(|craft| craft.name == name).unwrap();
            craft.due.iter().map(|due| format!("{}: {}", due.rule, due.message)).collect()
        };
        let fieldfare = due("Fieldfare");
        assert!(
            fieldfare.iter().any(|one| one.contains("2.3 on T-3 Fieldfare with 2.4 on G-1 club box")),
            "{fieldfare:?}"
        );
        assert!(
            fieldfare.iter().any(|one| one.contains("Pigtail at the air unit: 24 of 30")),
            "{fieldfare:?}"
        );
        let siskin = due("Siskin");
        assert!(siskin.iter().any(|one| one.contains("level 200 mW → 25 mW")), "{siskin:?}");
        for name in ["Dunnock", "Whinchat", "Redpoll", "Brambling"] {
            assert_eq!(due(name), Vec::<String>::new(), "{name}");
        }
        let care = bench.care_view(&craft::CraftId::new("brambling").unwrap()).unwrap();
        let list = care.lists.iter().find(|list| list.last.is_some()).unwrap();
        let ids: Vec<&str> = list.items.iter().map(|item| item.id.as_str()).collect();
        assert!(!list.last.as_ref().unwrap().contains("new since"), "{:?}: {ids:?}", list.last);
        assert!(bench.has_demo().unwrap());
        let gone = bench.remove_demo().unwrap();
        assert!(gone.craft.is_empty() && !gone.demo_loaded);
        assert!(bench.kept::<Entry>().unwrap().is_empty() && bench.kept::<Unit>().unwrap().is_empty());
    }
}
