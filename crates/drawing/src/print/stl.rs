//! A mesh as binary STL, the form every printer reads.
//!
//! ```text
//! 80 bytes   a title; must not begin with "solid", by which readers know the text form
//! u32        count of triangles, little-endian as all that follows
//! each       normal, three corners: 12 × f32; two bytes that mean nothing
//! ```
//!
//! So a file has 84 + 50·n bytes. It says no unit: slicers take millimetres, and the title says so. Source: the
//! published format of 1989, from memory. Left out: the text form, colours.

use fit::Mesh;

/// Bytes before the first triangle.
pub const HEAD_BYTES: usize = 84;
/// Bytes of one triangle.
pub const TRIANGLE_BYTES: usize = 50;

/// The file's bytes.
pub fn stl(mesh: &Mesh, title: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(HEAD_BYTES + TRIANGLE_BYTES * mesh.triangles().len());
    let words = format!("unit: millimetres; {title}");
    let mut head: Vec<u8> =
        words.chars().map(|c| if c.is_ascii_graphic() { c as u8 } else { b' ' }).collect();
    head.resize(80, b' ');
    bytes.extend_from_slice(&head);
    bytes.extend_from_slice(&(mesh.triangles().len() as u32).to_le_bytes());
    for corners in mesh.triangles() {
        let [a, b, c] = corners.map(|corner| mesh.points()[corner as usize]);
        let normal = (b - a).cross(c - a).direction().map_or([0.0; 3], fit::PartVector::coordinates);
        for triple in [normal, a.coordinates(), b.coordinates(), c.coordinates()] {
            for coordinate in triple {
                bytes.extend_from_slice(&(coordinate as f32).to_le_bytes());
            }
        }
        bytes.extend_from_slice(&[0, 0]);
    }
    bytes
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::print::testing::{some_of_each, unit_cube};
    use std::collections::HashMap;

    /// The triangles of a file, corner by corner, and their normals.
    fn read(bytes: &[u8]) -> Vec<[[f32; 3]; 4]> {
        let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap()) as usize;
        assert_eq!(bytes.len(), 84 + 50 * count);
        let number = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().unwrap());
        (0..count)
            .map(|n| [0, 1, 2, 3].map(|k| [0, 1, 2].map(|axis| number(84 + 50 * n + 12 * k + 4 * axis))))
            .collect()
    }

    #[test]
    fn a_unit_cube_is_684_bytes_long() {
        let bytes = stl(&unit_cube(), "solid as a rock");
        assert_eq!(bytes.len(), 684);
        assert!(!bytes.starts_with(b"solid"));
        let triangles = read(&bytes);
        let volume: f64 = triangles
            .iter()
            .map(|[_, a, b, c]| {
                let [a, b, c] = [a, b, c].map(|p| p.map(f64::from));
                (a[0] * (b[1] * c[2] - b[2] * c[1])
                    + a[1] * (b[2] * c[0] - b[0] * c[2])
                    + a[2] * (b[0] * c[1] - b[1] * c[0]))
                    / 6.0
            })
            .sum();
        assert!((volume - 1.0).abs() < 1e-9);
        assert!(triangles.iter().all(|[n, ..]| (n.iter().map(|x| x * x).sum::<f32>() - 1.0).abs() < 1e-6));
    }

    #[test]
    fn single_precision_leaves_every_edge_met_once_each_way() {
        for (name, mesh) in some_of_each() {
            let triangles = read(&stl(&mesh, &name));
            let bits = |p: [f32; 3]| p.map(f32::to_bits);
            let mut met: HashMap<([u32; 3], [u32; 3]), i32> = HashMap::new();
            for [_, a, b, c] in triangles {
                for (from, to) in [(a, b), (b, c), (c, a)] {
                    assert_ne!(bits(from), bits(to), "{name}");
                    *met.entry((bits(from), bits(to))).or_default() += 1;
                }
            }
            assert!(met.iter().all(|((a, b), n)| *n == 1 && met.get(&(*b, *a)) == Some(&1)), "{name}");
        }
    }
}
