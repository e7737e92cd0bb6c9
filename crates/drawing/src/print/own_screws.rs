//! The screws a print brings: those that hold it, and those that hold to it what it is for.
//!
//! They are parts in places like all others, so that they are in the list, in the mass, in the order of assembly and in the
//! proof. Their length is the one in stock that the rules of screws name where they stand; a screw that stands there
//! already stays if its length serves, and else gives way to one that does. A part of the craft that is such a screw is taken
//! before a new one is entered. Where screws of the craft pass all holes of a set already, such as the long ones of a stack, that set
//! is not brought: only one screw goes into a hole.

use super::bore::HeadSeat;
use super::printed::{fresh_ids, short};
use craft::schema::{PartKind, fixing, frame, place as place_schema};
use craft::{Craft, Edit, Part, PartId, PlaceId, Value, apply};
use fit::{HeadForm, Thread, head_of};
use proof::placement::left_over;
use proof::{Proof, screws_in_holes_of, stock_screws};
use quantity::{Basis, Fact, Grams, Millimetres};

/// Screws that are not in the craft yet.
#[derive(Clone, Debug)]
pub(super) struct NewScrews {
    /// What its place is called, such as `adapter frame screws`.
    pub word: String,
    /// What they are seated on.
    pub on: String,
    /// What else the place says, by key.
    pub says: Vec<(&'static str, String)>,
    pub thread: Thread,
    pub head: &'static str,
    /// How many.
    pub count: usize,
    /// What they do, after their name: `hold it to the frame`.
    pub why: String,
    /// How their heads lie in the print, such as `sunk 1.6 mm deep`; nothing where that is no question.
    pub heads: Option<String>,
}

/// All screws of a print.
#[derive(Clone, Debug, Default)]
pub(super) struct OwnScrews {
    pub new: Vec<NewScrews>,
    /// Screws of the craft whose length must serve once the print is in, with the head they must have, if any.
    pub there: Vec<(PlaceId, Option<&'static str>)>,
}

/// The head of a screw that lies so.
pub(super) const fn head_for(seat: HeadSeat) -> &'static str {
    match seat {
        HeadSeat::Cone => "countersunk",
        HeadSeat::OnFace | HeadSeat::Pocket => "button",
    }
}

/// What a screw is before its length is known, in mm.
const TRIED: f64 = 10.0;

/// The edits that bring these screws, after those of the print, and what is said of them. `edits` are those of the print.
pub(super) fn brought(craft: &Craft, screws: &OwnScrews, edits: &[Edit]) -> (Vec<Edit>, Vec<String>) {
    let Brought { more, mut says, places } = bring(craft, screws, edits);
    let all: Vec<Edit> = edits.iter().chain(&more).cloned().collect();
    let Ok(after) = apply(craft, &together(all)) else { return (more, says) };
    let proof = Proof::new(&after);
    let (mut needed, mut words) = (OwnScrews { new: Vec::new(), there: screws.there.clone() }, Vec::new());
    for (new, place) in screws.new.iter().zip(&places) {
        let own = |id: &PlaceId| craft.place(id).is_some();
        let passing = screws_in_holes_of(&proof, place);
        let Some((id, _)) = passing.iter().find(|(id, count)| own(id) && *count >= new.count) else {
            needed.new.push(new.clone());
            continue;
        };
        words.push(format!(
            "No screws of its own that {}: those at place \"{id}\" pass the same holes, and only one goes into each. They take their nuts there.",
            new.why
        ));
        if !needed.there.iter().any(|(known, _)| known == id) {
            needed.there.push((id.clone(), None));
        }
    }
    if words.is_empty() {
        return (more, says);
    }
    let again = bring(craft, &needed, edits);
    says = words;
    says.extend(again.says);
    (again.more, says)
}

/// Screws as they are brought.
#[derive(Default)]
struct Brought {
    more: Vec<Edit>,
    says: Vec<String>,
    /// The places of the new ones, in their order.
    places: Vec<PlaceId>,
}

/// The edits that bring these screws, whatever passes their holes already.
fn bring(craft: &Craft, screws: &OwnScrews, edits: &[Edit]) -> Brought {
    let (mut more, mut says) = (Vec::new(), Vec::new());
    let Some((now, places)) = placed(craft, edits, screws.new.iter()) else { return Brought::default() };
    let proof = Proof::new(&now);
    let lengths = |place: &PlaceId| stock_screws(&proof, place);
    let mut known = match apply(craft, &together(edits.to_vec())) {
        Ok(known) => known,
        Err(_) => return Brought::default(),
    };
    let mut take = |steps: Vec<Edit>, more: &mut Vec<Edit>| {
        if let Ok(after) = apply(&known, &together(steps.clone())) {
            known = after;
            more.extend(steps);
        }
        known.clone()
    };
    let mut after = take(Vec::new(), &mut more);
    for (place, steps, new) in &places {
        let length = lengths(place).first().map(|length| length.get());
        let (part, added) = screw(&after, new.thread, length.unwrap_or(TRIED), new.head);
        let name = name_of(&after, &part, added.as_ref());
        let mut own: Vec<Edit> = added.into_iter().collect();
        for step in steps {
            own.push(match step {
                Edit::AddPlace { id, on, .. } => {
                    Edit::AddPlace { id: id.clone(), part: part.clone(), on: on.clone() }
                }
                Edit::AddPartWhole { .. } => continue,
                other => other.clone(),
            });
        }
        after = take(own, &mut more);
        let them = if new.count == 1 { "screw" } else { "screws" };
        says.push(match length {
            Some(_) => {
                let heads = new.heads.as_ref().map_or(String::new(), |heads| format!(", heads {heads}"));
                format!("{} {name} {them} {}{heads}: they come with it into the craft.", new.count, new.why)
            }
            None => format!(
                "{} {} {them} {}: no stock length serves there, so they are entered as {} mm; see what is found of them.",
                new.count, new.thread.name, new.why, TRIED
            ),
        });
    }
    for (place, head) in &screws.there {
        let Some(part) = now.place(place).and_then(|at| now.part_at(at)) else { continue };
        let item = part.item();
        let Some(thread) = item.text(&fixing::THREAD).ok().and_then(Thread::named) else { continue };
        let length = item.read(&fixing::SCREW_LENGTH).ok().map(|length| length.value.get());
        let serve = lengths(place);
        let own_head = item.text(&fixing::HEAD).unwrap_or("button");
        let head = head.unwrap_or(own_head);
        let serves = |length: f64| serve.iter().any(|one| (one.get() - length).abs() < 1e-9);
        if head == own_head && (length.is_some_and(serves) || serve.is_empty()) {
            continue;
        }
        let Some(wanted) = length.filter(|length| serves(*length)).or(serve.first().map(|l| l.get())) else {
            continue;
        };
        let (with, added) = screw(&after, thread, wanted, head);
        let name = name_of(&after, &with, added.as_ref());
        let mut own: Vec<Edit> = added.into_iter().collect();
        own.push(Edit::SetPlace {
            place: place.clone(),
            key: "part".to_owned(),
            text: Some(with.to_string()),
        });
        after = take(own, &mut more);
        says.push(format!("The screws at place \"{place}\" become {name} in place of {}.", part.name));
    }
    let all: Vec<Edit> = edits.iter().chain(&more).cloned().collect();
    more.extend(left_over(craft, &all).into_iter().map(|part| Edit::RemovePart { part }));
    Brought { more, says, places: places.into_iter().map(|(place, ..)| place).collect() }
}

/// New screws at a place of their own: the place, the edits that put them there at a length that is only tried, and what they are.
type InPlace<'a> = (PlaceId, Vec<Edit>, &'a NewScrews);

fn together(edits: Vec<Edit>) -> Edit {
    Edit::Together { what: "a print".to_owned(), edits }
}

/// A craft with a print and new screws in it, their length not chosen yet; `None` where the step cannot be taken, which it tells itself.
fn placed<'a>(
    craft: &Craft,
    edits: &[Edit],
    new: impl Iterator<Item = &'a NewScrews>,
) -> Option<(Craft, Vec<InPlace<'a>>)> {
    let mut now = apply(craft, &together(edits.to_vec())).ok()?;
    let mut places = Vec::new();
    for new in new {
        let place = fresh_ids(&now, &new.word).1;
        let (part, added) = screw(&now, new.thread, TRIED, new.head);
        let mut steps: Vec<Edit> = added.into_iter().collect();
        steps.push(Edit::AddPlace { id: Some(place.clone()), part, on: Some(new.on.clone()) });
        let count = (new.count > 1).then(|| (place_schema::COUNT.def.key, new.count.to_string()));
        let set = |(key, text): (&str, String)| Edit::SetPlace {
            place: place.clone(),
            key: key.to_owned(),
            text: Some(text),
        };
        steps.extend(new.says.iter().cloned().chain(count).map(set));
        now = apply(&now, &together(steps.clone())).ok()?;
        places.push((place, steps, new));
    }
    Some((now, places))
}

fn name_of(craft: &Craft, part: &PartId, added: Option<&Edit>) -> String {
    match added {
        Some(Edit::AddPartWhole { part }) => part.name.clone(),
        _ => craft.part(part).map_or(String::new(), |part| part.name.clone()),
    }
}

/// The screw of a thread and length in a craft, or the edit that enters one.
fn screw(craft: &Craft, thread: Thread, length: f64, head: &str) -> (PartId, Option<Edit>) {
    let is_such = |part: &&Part| {
        let item = part.item();
        part.kind == PartKind::Screw
            && item.text(&fixing::THREAD) == Ok(thread.name)
            && item.read(&fixing::SCREW_LENGTH).is_ok_and(|own| (own.value.get() - length).abs() < 1e-9)
            && item.text(&fixing::HEAD).unwrap_or("button") == head
    };
    if let Some(part) = craft.parts.iter().find(is_such) {
        return (part.id.clone(), None);
    }
    let size = short(length, 2);
    let id = PartId::from_name(&format!("{}x{size}", thread.name.to_lowercase()));
    let id = id.unlike(|id| craft.part(id).is_some());
    let mut part = Part::new(id.clone(), PartKind::Screw, format!("{}×{size} {head}", thread.name));
    let exact = |value: f64| Value::Fact(Fact::new(Millimetres::new(value), Basis::DataSheet));
    let word = |text: &str| Value::Text(text.to_owned());
    for (key, value) in [
        (frame::MASS.def.key, Value::Fact(Fact::new(mass(thread, length), Basis::Typical))),
        (fixing::THREAD.def.key, word(thread.name)),
        (fixing::SCREW_LENGTH.def.key, exact(length)),
        (fixing::HEAD.def.key, word(head)),
        (fixing::SCREW_MATERIAL.def.key, word("steel")),
    ] {
        part.values.insert(key.to_owned(), value);
    }
    (id, Some(Edit::AddPartWhole { part }))
}

/// What a steel screw weighs: its thread as a rod of the pitch diameter and, domed, two thirds of the disc of its head. Steel has
/// 7.85 g/cm³.
fn mass(thread: Thread, length: f64) -> Grams {
    let disc = |diameter: f64| std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let head = head_of(&thread, HeadForm::Button);
    let head = head.map_or(0.0, |head| disc(head.diameter_max.get()) * head.height.get() * 2.0 / 3.0);
    let cubic_mm = disc(thread.pitch_diameter().get()) * length + head;
    Grams::new((cubic_mm * 7.85e-3 * 100.0).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_screw_weighs_what_those_on_the_bench_do() {
        // As the demo craft have them: M2×8 0.24 g, M3×8 0.68 g, M2×20 0.5 g.
        for (thread, length, weighed) in [("M2", 8.0, 0.24), ("M3", 8.0, 0.68), ("M2", 20.0, 0.5)] {
            let mass = Thread::named(thread).map(|thread| mass(thread, length).get());
            assert!(mass.is_some_and(|mass| (mass / weighed - 1.0).abs() < 0.2), "{thread} {mass:?}");
        }
    }
}
