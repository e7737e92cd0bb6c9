//! A mesh as 3MF: a package that says its unit, so that no slicer has to guess.
//!
//! 3MF Core Specification 1.3: a ZIP package (Open Packaging Conventions) of three entries: which kinds of entry
//! there are, which of them is the model, and the model in XML with `unit="millimeter"`, points once each and triangles
//! counter-clockwise seen from outside. The addresses in it are names that the standards fix; nothing is
//! fetched from them. The package is written without a clock: the same mesh gives the same bytes.
//!
//! Left out: colours, materials, pictures.

use super::fault::PrintFault;
use fit::Mesh;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const KINDS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
"#;
const ENTRY: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
"#;
const MODEL_NAMES: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";

/// The file's bytes.
pub fn three_mf(mesh: &Mesh, title: &str) -> Result<Vec<u8>, PrintFault> {
    packed(&model(mesh, title)).map_err(|cause| PrintFault::NotPacked(cause.to_string()))
}

fn packed(model: &str) -> zip::result::ZipResult<Vec<u8>> {
    let mut package = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, text) in [("[Content_Types].xml", KINDS), ("_rels/.rels", ENTRY), ("3D/3dmodel.model", model)]
    {
        package.start_file(name, options)?;
        package.write_all(text.as_bytes())?;
    }
    Ok(package.finish()?.into_inner())
}

fn model(mesh: &Mesh, title: &str) -> String {
    let title = escaped(title);
    let mut text = String::with_capacity(64 * (mesh.points().len() + mesh.triangles().len()));
    let _ = write!(
        text,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en-GB\" xmlns=\"{MODEL_NAMES}\">\
         <metadata name=\"Title\">{title}</metadata><resources><object id=\"1\" type=\"model\" name=\"{title}\"><mesh>\n<vertices>\n"
    );
    for point in mesh.points() {
        let [x, y, z] = point.coordinates().map(coordinate);
        let _ = writeln!(text, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    text.push_str("</vertices>\n<triangles>\n");
    for [a, b, c] in mesh.triangles() {
        let _ = writeln!(text, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    text.push_str(
        "</triangles>\n</mesh></object></resources><build><item objectid=\"1\"/></build></model>\n",
    );
    text
}

/// A coordinate to a millionth of a millimetre, without trailing noughts.
fn coordinate(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn escaped(text: &str) -> String {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let text: String = text.chars().map(plain).collect();
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::print::testing::{some_of_each, unit_cube};
    use fit::{Mesh, PartPoint};
    use std::io::Read;
    use zip::ZipArchive;

    fn entry(bytes: &[u8], name: &str) -> String {
        let mut package = ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        package.by_name(name).unwrap().read_to_string(&mut text).unwrap();
        text
    }

    /// The mesh of a model, read back.
    fn read(bytes: &[u8]) -> Mesh {
        let text = entry(bytes, "3D/3dmodel.model");
        let values = |line: &str| -> Vec<f64> {
            line.split('"').skip(1).step_by(2).map(|number| number.parse().unwrap()).collect()
        };
        let of =
            |tag: &str| text.lines().filter(|line| line.starts_with(tag)).map(values).collect::<Vec<_>>();
        let points = of("<vertex ").into_iter().map(|p| PartPoint::new(p[0], p[1], p[2])).collect();
        let triangles =
            of("<triangle ").into_iter().map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
        Mesh::new(points, triangles).unwrap()
    }

    #[test]
    fn what_is_written_is_read_back_as_the_same_solid() {
        for (name, mesh) in some_of_each() {
            let back = read(&three_mf(&mesh, &name).unwrap());
            assert!((back.volume_mm3() - mesh.volume_mm3()).abs() < 1e-3, "{name}");
            assert_eq!(back.euler_characteristic(), mesh.euler_characteristic());
        }
    }

    #[test]
    fn the_package_names_its_model_and_its_unit() {
        let bytes = three_mf(&unit_cube(), "plate \"20 < 30\" & more").unwrap();
        assert!(bytes.starts_with(b"PK"));
        assert!(entry(&bytes, "[Content_Types].xml").contains("Extension=\"model\""));
        assert!(entry(&bytes, "_rels/.rels").contains("Target=\"/3D/3dmodel.model\""));
        let model = entry(&bytes, "3D/3dmodel.model");
        assert!(model.contains("unit=\"millimeter\""));
        assert!(model.contains("plate &quot;20 &lt; 30&quot; &amp; more"), "{}", &model[..400]);
        assert_eq!(bytes, three_mf(&unit_cube(), "plate \"20 < 30\" & more").unwrap());
    }
}
