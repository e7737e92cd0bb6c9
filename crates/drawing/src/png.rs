//! A page as a PNG of a given number of dots per inch, which the file carries too, so that it prints to scale.
//!
//! ISO/IEC 15948 (PNG): after the header the chunk `pHYs` says dots per metre, the chunk `tEXt` what made the picture; a
//! chunk is length, name, data and the CRC-32 of name and data (polynomial 0xEDB88320, reflected, all ones before
//! and after).

use crate::lettered::{DOTS_MAX, DOTS_MIN, PageFault, lettered};
use crate::paper::{MAKER, Page};
use resvg::tiny_skia::{Pixmap, Transform};

/// Bytes before the first chunk after the header: signature 8, header chunk 25.
const HEADER: usize = 33;
const MM_AN_INCH: f64 = 25.4;

/// A page as PNG; `number` is its number among its like, for the fault.
pub fn png(page: &Page, number: usize, dots_per_inch: u32) -> Result<Vec<u8>, PageFault> {
    if !(DOTS_MIN..=DOTS_MAX).contains(&dots_per_inch) {
        return Err(PageFault::Dots { dots_per_inch });
    }
    let tree = lettered(&page.svg, number)?;
    let dots = |mm: f64| (mm / MM_AN_INCH * f64::from(dots_per_inch)).round().max(1.0) as u32;
    let (width, height) = (dots(page.width_mm), dots(page.height_mm));
    let unwritten = |cause: String| PageFault::Unwritten { format: "PNG", cause };
    let mut picture = Pixmap::new(width, height)
        .ok_or_else(|| unwritten(format!("{width} by {height} dots are too many")))?;
    // By the dots an inch, not by the rounded size: a millimetre stays a millimetre.
    let times = f64::from(dots_per_inch) / MM_AN_INCH * page.width_mm / f64::from(tree.size().width());
    resvg::render(&tree, Transform::from_scale(times as f32, times as f32), &mut picture.as_mut());
    let plain = picture.encode_png().map_err(|cause| unwritten(cause.to_string()))?;
    Ok(with_dots(&plain, dots_per_inch))
}

/// The file with its dots per metre and its maker.
fn with_dots(plain: &[u8], dots_per_inch: u32) -> Vec<u8> {
    let per_metre = (f64::from(dots_per_inch) * 1000.0 / MM_AN_INCH).round() as u32;
    let (header, rest) = plain.split_at(HEADER.min(plain.len()));
    let mut out = header.to_vec();
    let dots = [&per_metre.to_be_bytes()[..], &per_metre.to_be_bytes(), &[1]].concat();
    put_chunk(&mut out, *b"pHYs", &dots);
    put_chunk(&mut out, *b"tEXt", &[b"Software\0", MAKER.as_bytes()].concat());
    out.extend(rest);
    out
}

fn put_chunk(out: &mut Vec<u8>, name: [u8; 4], data: &[u8]) {
    let body = [&name[..], data].concat();
    out.extend((data.len() as u32).to_be_bytes());
    out.extend(&body);
    out.extend(crc_32(&body).to_be_bytes());
}

fn crc_32(bytes: &[u8]) -> u32 {
    let step =
        |crc: u32, byte: &u8| {
            (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
                if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 }
            })
        };
    !bytes.iter().fold(u32::MAX, step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_the_standard() {
        // The check value that catalogues of such sums give for the nine digits (memory).
        assert_eq!(crc_32(b"123456789"), 0xcbf4_3926);
        // The empty closing chunk of every PNG.
        assert_eq!(crc_32(b"IEND"), 0xae42_6082);
    }
}
