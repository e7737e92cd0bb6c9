//! Shades of one scale along which equal steps look equal, so that a field reads alike in colour and in grey.
//!
//! A straight line in CIELAB from a dusky blue-grey to the tone of paper: equal steps along it are equal colour differences by the plain measure of
//! that space, and lightness rises evenly. Lightness stays over 45, so that lines in ink are seen on every shade.

use quantity::{Grade, Source};

/// Where the space of the shades comes from.
pub const SHADE_SOURCE: Source = Source {
    title: "ISO/CIE 11664-4:2019, Colorimetry: CIE 1976 L*a*b* colour space; IEC 61966-2-1:1999, sRGB",
    place: "L*a*b* to XYZ with the white of D65; XYZ to sRGB and its transfer curve",
    grade: Grade::Memory,
};

const DARK: [f64; 3] = [46.0, -8.0, -16.0];
const PALE: [f64; 3] = [95.0, 0.0, 8.0];
/// White of D65 by the sRGB standard.
const WHITE: [f64; 3] = [0.950_47, 1.0, 1.088_83];
/// XYZ to linear sRGB (IEC 61966-2-1).
const TO_RGB: [[f64; 3]; 3] =
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]];

/// The shade at a share of the scale, from 0, dark, to 1, pale.
pub(super) fn shade(share: f64) -> String {
    let rgb = rgb(share).map(|part| (part * 255.0).round().clamp(0.0, 255.0) as u8);
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}

fn rgb(share: f64) -> [f64; 3] {
    let share = share.clamp(0.0, 1.0);
    let [l, a, b] = std::array::from_fn(|n| DARK[n] + (PALE[n] - DARK[n]) * share);
    let fy = (l + 16.0) / 116.0;
    let back = |f: f64| {
        let edge = 6.0 / 29.0;
        if f > edge { f.powi(3) } else { 3.0 * edge * edge * (f - 4.0 / 29.0) }
    };
    let xyz = [fy + a / 500.0, fy, fy - b / 200.0].map(back);
    let xyz: [f64; 3] = std::array::from_fn(|n| xyz[n] * WHITE[n]);
    TO_RGB.map(|row| {
        let linear: f64 = row.iter().zip(xyz).map(|(by, part)| by * part).sum();
        if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shade_can_be_shown_and_grows_paler() {
        let luminance = |share: f64| {
            let linear = rgb(share).map(|part: f64| {
                if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        };
        let shares: Vec<f64> = (0..=20).map(|n| f64::from(n) / 20.0).collect();
        assert!(shares.iter().all(|s| rgb(*s).iter().all(|part| (0.0..=1.0).contains(part))));
        // Lightness of CIE 1976 from luminance: even steps.
        let lightness: Vec<f64> = shares.iter().map(|s| 116.0 * luminance(*s).cbrt() - 16.0).collect();
        let step = (PALE[0] - DARK[0]) / 20.0;
        assert!(lightness.windows(2).all(|pair| (pair[1] - pair[0] - step).abs() < 0.05), "{lightness:?}");
    }
}
