//! Painting solids: from the far one to the near one, then every edge once more as a hidden line.
//!
//! Swept and kept-clear space lies over everything as a dotted outline. Carbon is hatched, since it
//! conducts and a glance must tell; all else has a quiet tone of its material.

use crate::projection::View;
use crate::scale::{Bounds, Scale};
use crate::silhouette::{PaperPoint, Silhouette, silhouette};
use crate::svg::{INK, escaped, path};
use proof::{CraftSolid, Material};
use std::fmt::Write;

/// A solid as it is painted.
pub(crate) struct Layer<'a> {
    pub solid: &'a CraftSolid,
    pub seen: Silhouette,
}

/// How many solids one sheet shows at most. Craft have some hundreds; a print shows no more anyway, and a
/// sheet stays of a size that a viewer opens.
pub(crate) const SHOWN_MAX: usize = 3_000;

/// The solids as seen, the far ones first: the largest on the sheet, if there are more than it shows.
pub(crate) fn layers(solids: &[CraftSolid], view: View) -> Vec<Layer<'_>> {
    let eye = view.eye();
    let layer = |solid| Layer { solid, seen: silhouette(&solid.solid, &eye) };
    let mut layers: Vec<Layer> = solids.iter().map(layer).collect();
    if layers.len() > SHOWN_MAX {
        let extent = |layer: &Layer| {
            let [width, height] =
                Bounds::of(layer.seen.edges.iter().flatten()).map_or([0.0; 2], |b| b.size());
            width.max(height)
        };
        layers.sort_by_cached_key(|layer| std::cmp::Reverse((extent(layer) * 1000.0) as u64));
        layers.truncate(SHOWN_MAX);
    }
    let order =
        |a: &Layer, b: &Layer| a.seen.near.total_cmp(&b.seen.near).then(a.seen.far.total_cmp(&b.seen.far));
    layers.sort_by(order);
    layers
}

/// The corners of what is solid, or of what is only swept space.
pub(crate) fn corners<'a>(layers: &'a [Layer], ghost: bool) -> impl Iterator<Item = &'a PaperPoint> {
    layers
        .iter()
        .filter(move |layer| layer.solid.ghost == ghost)
        .flat_map(|layer| layer.seen.fills.iter().flatten())
}

/// The tone of a material.
pub(crate) const fn tone(material: Material) -> &'static str {
    match material {
        Material::Carbon => "url(#carbon)",
        Material::Metal => "#dfe1e0",
        Material::Plastic => "#ece3cd",
        Material::Board => "#d5e0d3",
        Material::Glass => "#d3e2ea",
        Material::Soft => "#e8d9d5",
        Material::Sweep | Material::Space => "none",
    }
}

/// The hatching that stands for carbon.
pub(crate) fn hatching(out: &mut String) {
    out.push_str(concat!(
        r##"<defs><pattern id="carbon" width="1.6" height="1.6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">"##,
        r##"<rect width="1.6" height="1.6" fill="#e2ded3"/><line x1="0" y1="0" x2="0" y2="1.6" stroke="#1f2a33" stroke-width="0.18"/>"##,
        "</pattern></defs>\n"
    ));
}

/// Paints all layers.
pub(crate) fn paint(out: &mut String, layers: &[Layer], scale: &Scale) {
    let solid = |layer: &&Layer| !layer.solid.ghost;
    let _ = writeln!(out, r#"<g stroke="{INK}" stroke-width="0.25" stroke-linejoin="round">"#);
    for layer in layers.iter().filter(solid) {
        painted(out, layer, scale);
    }
    let _ = writeln!(
        out,
        "</g>\n<g fill=\"none\" stroke=\"{INK}\" stroke-width=\"0.12\" stroke-dasharray=\"0.9 0.7\" opacity=\"0.6\">"
    );
    for layer in layers.iter().filter(solid) {
        let _ = writeln!(out, r#"<path d="{}"/>"#, edges(layer, scale));
    }
    let _ = writeln!(
        out,
        "</g>\n<g fill=\"none\" stroke=\"{INK}\" stroke-width=\"0.16\" stroke-dasharray=\"0.3 0.9\" stroke-linecap=\"round\">"
    );
    for layer in layers.iter().filter(|layer| layer.solid.ghost) {
        let name = escaped(&layer.solid.solid.name);
        let _ = writeln!(out, r#"<path d="{}"><title>{name}</title></path>"#, edges(layer, scale));
    }
    out.push_str("</g>\n");
}

fn painted(out: &mut String, layer: &Layer, scale: &Scale) {
    let name = escaped(&layer.solid.solid.name);
    let fill = tone(layer.solid.material);
    if layer.seen.fills == layer.seen.edges {
        let rule = if layer.seen.holes { r#" fill-rule="evenodd""# } else { "" };
        let d = edges(layer, scale);
        let _ = writeln!(out, r#"<path d="{d}" fill="{fill}"{rule}><title>{name}</title></path>"#);
    } else {
        let d = path(&on_paper(&layer.seen.fills, scale));
        let _ = writeln!(out, r#"<path d="{d}" fill="{fill}" stroke="none"><title>{name}</title></path>"#);
        let _ = writeln!(out, r#"<path d="{}" fill="none"/>"#, edges(layer, scale));
    }
}

fn edges(layer: &Layer, scale: &Scale) -> String {
    path(&on_paper(&layer.seen.edges, scale))
}

fn on_paper(rings: &[Vec<PaperPoint>], scale: &Scale) -> Vec<Vec<PaperPoint>> {
    rings.iter().map(|ring| ring.iter().map(|p| scale.at(*p)).collect()).collect()
}
