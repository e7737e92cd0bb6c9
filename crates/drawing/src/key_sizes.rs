//! The sizes a builder asks for first, drawn on the view where they show true: motor spacing and wheelbase, blade
//! diameter, clear height between the plates, and the camera's tilt.
//!
//! Each is taken from the solids as proved, so that it agrees with what is drawn: motors by their middles, blades by
//! their discs, clear height from the top of the bottom plates to the underside of the lowest top plate above them,
//! tilt as the angle of the camera's x axis over the level. What is not there is not drawn.

use crate::dimension::{STEP, Words, across, arrow, dimension, sized, upright};
use crate::level_plates::level_plates;
use crate::projection::View;
use crate::scale::{Bounds, Scale};
use crate::silhouette::PaperPoint;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, line, number, text};
use crate::wrap::width_of;
use craft::Craft;
use fit::{BodyPoint, PartVector, Role, Shape};
use proof::{CraftSolid, Proved};
use std::fmt::Write;

/// Draws the key sizes of a view round the bounds of what is drawn.
pub(crate) fn key_sizes(
    out: &mut String,
    craft: &Craft,
    proved: &Proved,
    view: View,
    all: Bounds,
    scale: &Scale,
) -> Vec<Words> {
    let mut words = Vec::new();
    match view {
        View::Top => {
            words.extend(motor_spacing(out, proved, view, all, scale, true));
            words.extend(blade_diameter(out, proved, scale));
        }
        View::Side => {
            words.extend(clear_height(out, craft, proved, all, scale, view));
            camera_tilt(out, proved, view, scale);
        }
        View::Front => {
            words.extend(motor_spacing(out, proved, view, all, scale, false));
            words.extend(clear_height(out, craft, proved, all, scale, view));
        }
    }
    words
}

/// Bodies of a role: the middle of each.
fn middles(proved: &Proved, role: Role) -> Vec<(BodyPoint, &CraftSolid)> {
    let of_role = |solid: &&CraftSolid| solid.solid.role == role;
    proved.solids.iter().filter(of_role).map(|solid| (solid.solid.pose.origin(), solid)).collect()
}

/// Above the view the spacing across; for the top view at its right the spacing along, and the diagonal.
fn motor_spacing(
    out: &mut String,
    proved: &Proved,
    view: View,
    all: Bounds,
    scale: &Scale,
    diagonal: bool,
) -> Vec<Words> {
    let eye = view.eye();
    let at: Vec<PaperPoint> = middles(proved, Role::Motor)
        .iter()
        .map(|(p, _)| {
            let seen = eye.see(*p);
            [seen.u, seen.v]
        })
        .collect();
    let Some(spread) = Bounds::of(&at).filter(|_| at.len() > 1) else { return Vec::new() };
    let mut words = Vec::new();
    let top = scale.at(all.high)[1];
    let right = scale.at(all.high)[0];
    if spread.size()[0] > 0.05 {
        words.extend(across(out, spread, scale, top - STEP, " motor to motor"));
    }
    if !diagonal {
        return words;
    }
    if spread.size()[1] > 0.05 {
        words.extend(upright(out, spread, scale, right + STEP, " motor to motor"));
    }
    let apart = |a: &PaperPoint, b: &PaperPoint| (a[0] - b[0]).hypot(a[1] - b[1]);
    let pairs = at.iter().enumerate().flat_map(|(n, a)| at[n + 1..].iter().map(move |b| (a, b)));
    let farthest = pairs.max_by(|(a, b), (c, d)| apart(a, b).total_cmp(&apart(c, d)));
    if let Some((a, b)) = farthest
        && (a[0] - b[0]).abs() > 0.05
        && (a[1] - b[1]).abs() > 0.05
    {
        words.extend(dimension(
            out,
            scale.at(*a),
            scale.at(*b),
            &format!("{} wheelbase", sized(apart(a, b))),
        ));
    }
    words
}

/// Across one disc, the foremost on the right.
fn blade_diameter(out: &mut String, proved: &Proved, scale: &Scale) -> Option<Words> {
    let discs = middles(proved, Role::BladeSweep);
    let foremost = |a: &BodyPoint, b: &BodyPoint| (a.x() - a.y()).total_cmp(&(b.x() - b.y()));
    let (at, disc) = discs.into_iter().max_by(|(a, _), (b, _)| foremost(a, b))?;
    let Shape::Cylinder(cylinder) = &disc.solid.shape else { return None };
    let radius = cylinder.radius().get();
    let eye = View::Top.eye();
    let seen = eye.see(at);
    // Askew, so that the line crosses neither arms nor other sizes.
    let (sin, cos) = 20f64.to_radians().sin_cos();
    let end = |side: f64| scale.at([seen.u + side * radius * cos, seen.v + side * radius * sin]);
    dimension(out, end(-1.0), end(1.0), &format!("Ø {}", sized(2.0 * radius)))
}

/// Between the plates: at the right of the front view; from the side at the left, since the nose is at the right.
fn clear_height(
    out: &mut String,
    craft: &Craft,
    proved: &Proved,
    all: Bounds,
    scale: &Scale,
    view: View,
) -> Option<Words> {
    let floor = level_plates(craft, proved, "bottom").iter().map(|[_, top]| *top).reduce(f64::max)?;
    let ceiling =
        level_plates(craft, proved, "top").into_iter().map(|[under, _]| under).find(|z| *z > floor)?;
    let between = Bounds { low: [all.low[0], floor], high: [all.high[0], ceiling] };
    let x = match view {
        View::Side => scale.at(all.low)[0] - 2.0 * STEP,
        _ => scale.at(all.high)[0] + STEP,
    };
    upright(out, between, scale, x, " clear")
}

/// The angle of the camera over the level, at the camera.
fn camera_tilt(out: &mut String, proved: &Proved, view: View, scale: &Scale) {
    let eye = view.eye();
    let bodies = proved.solids.iter().filter(|solid| solid.solid.role == Role::CameraBody);
    let ahead = |solid: &CraftSolid| solid.solid.pose.vector(PartVector::X);
    let Some(camera) = bodies.into_iter().find(|solid| ahead(solid).x() > 0.05) else { return };
    let looks = ahead(camera);
    let tilt = looks.z().atan2(looks.x().hypot(looks.y()));
    let seen = eye.see(camera.solid.pose.origin());
    let from = scale.at([seen.u, seen.v]);
    let reach = 24.0;
    let end = |angle: f64, r: f64| [from[0] + r * angle.cos(), from[1] - r * angle.sin()];
    let at = end(tilt / 2.0, reach + 1.5);
    let words = format!("{}° tilt", sized(tilt.to_degrees()));
    clearing(out, at, &words);
    line(out, from, end(0.0, reach + 2.0), HAIRLINE, 0.13);
    line(out, from, end(tilt, reach + 2.0), INK, 0.18);
    if tilt.abs() > 0.02 {
        let (a, b) = (end(0.0, reach), end(tilt, reach));
        let sweep = i32::from(tilt < 0.0);
        let _ = writeln!(
            out,
            r#"<path d="M{} {}A{reach} {reach} 0 0 {sweep} {} {}" fill="none" stroke="{INK}" stroke-width="0.18"/>"#,
            number(a[0]),
            number(a[1]),
            number(b[0]),
            number(b[1]),
        );
        // The arrow lies along the arc, back from its end.
        let back = tilt.signum();
        arrow(out, b, [tilt.sin() * back, tilt.cos() * back]);
    }
    text(out, [at[0], at[1] + 1.2], Lettering::plain(ANGLE), &words);
}

/// Height of the words of an angle.
const ANGLE: f64 = 3.4;

/// Bare paper under the words of an angle: they may stand where blades sweep.
fn clearing(out: &mut String, at: PaperPoint, words: &str) {
    let [x, y, width] = [at[0] - 0.4, at[1] - 1.7, width_of(words, ANGLE) + 0.8].map(number);
    let _ = writeln!(out, r#"<rect x="{x}" y="{y}" width="{width}" height="{ANGLE}" fill="{PAPER}"/>"#);
}
