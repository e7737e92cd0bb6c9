//! Holes of one plate that meet, told by the patterns and rows that cut them: nobody counts holes in a sheet.

use fit::{Hole, Outline, OutlineFault, PlanePoint};
use std::fmt::Write;

/// A hole, and the pattern or row that cuts it.
#[derive(Clone, Debug)]
pub(crate) struct NamedHole {
    pub name: String,
    pub hole: Hole,
}

/// What is wrong with an outline, each pair of patterns whose holes meet told once, by name, at the holes that lie nearest;
/// `None` if nothing is.
pub(super) fn told(outer: Vec<PlanePoint>, holes: &[NamedHole], plate: &str) -> Option<String> {
    let faults = Outline::new(outer, holes.iter().map(|named| named.hole.clone()).collect()).err()?;
    let mut others: Vec<String> = Vec::new();
    let mut pairs: Vec<(usize, usize, usize)> = Vec::new();
    for fault in faults {
        let OutlineFault::HolesMeet { first, second } = fault else {
            others.push(fault.to_string());
            continue;
        };
        let names = |(a, b): (usize, usize)| (&holes[a].name, &holes[b].name);
        match pairs.iter_mut().find(|(a, b, _)| names((*a, *b)) == names((first, second))) {
            Some(pair) => {
                pair.2 += 1;
                if spare(holes, first, second) < spare(holes, pair.0, pair.1) {
                    (pair.0, pair.1) = (first, second);
                }
            }
            None => pairs.push((first, second, 1)),
        }
    }
    let meet = pairs.into_iter().map(|(first, second, count)| sentence(holes, plate, [first, second], count));
    Some(others.into_iter().chain(meet).collect::<Vec<_>>().join("; "))
}

/// How far two round holes lie apart, middle to middle, and how far they must not to meet, in mm.
fn apart(a: &Hole, b: &Hole) -> Option<[f64; 2]> {
    let (Hole::Round { centre: a, diameter: wide }, Hole::Round { centre: b, diameter: other }) = (a, b)
    else {
        return None;
    };
    Some([(a.x - b.x).hypot(a.y - b.y), (wide.get() + other.get()) / 2.0])
}

fn spare(holes: &[NamedHole], first: usize, second: usize) -> f64 {
    apart(&holes[first].hole, &holes[second].hole).map_or(f64::INFINITY, |[apart, needed]| apart - needed)
}

fn sentence(holes: &[NamedHole], plate: &str, [first, second]: [usize; 2], count: usize) -> String {
    let (a, b) = (&holes[first], &holes[second]);
    let mut said = match a.name == b.name {
        true => format!("holes of {} in {plate} meet each other", a.name),
        false => format!("holes of {} and {} in {plate} meet", a.name, b.name),
    };
    if count > 1 {
        let _ = write!(said, ", {count} pairs");
    }
    if let Some([apart, needed]) = apart(&a.hole, &b.hole) {
        let _ = write!(
            said,
            ": the nearest middles are {apart:.2} mm apart, more than {needed:.2} mm is needed, and the web that shall stay"
        );
    }
    said.push_str("; move one of them, or draw as one what is one hole");
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Millimetres;

    fn round(name: &str, x: f64) -> NamedHole {
        let hole = Hole::Round { centre: PlanePoint::new(x, 0.0), diameter: Millimetres::new(2.2) };
        NamedHole { name: name.to_owned(), hole }
    }

    fn square() -> Vec<PlanePoint> {
        [[-9.0, -9.0], [9.0, -9.0], [9.0, 9.0], [-9.0, 9.0]].map(|[x, y]| PlanePoint::new(x, y)).to_vec()
    }

    #[test]
    fn patterns_whose_holes_meet_are_told_once_by_name_with_the_nearest_pair() {
        let holes =
            [round("stack 20", -5.0), round("stack 20", 5.0), round("rear 20", -3.5), round("rear 20", 6.0)];
        assert_eq!(
            told(square(), &holes, "bottom plate").as_deref(),
            Some(
                "holes of stack 20 and rear 20 in bottom plate meet, 2 pairs: the nearest middles are 1.00 mm apart, \
                 more than 2.20 mm is needed, and the web that shall stay; move one of them, or draw as one what is one hole"
            )
        );
    }

    #[test]
    fn holes_that_keep_apart_are_nothing_wrong() {
        assert_eq!(told(square(), &[round("a", 0.0), round("b", 2.3)], "plate"), None);
    }
}
