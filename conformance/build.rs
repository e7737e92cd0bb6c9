//! Gathers the vector files (`conformance/*/*.toml`) into the binary, so that the table of checks travels
//! with the program and needs no source tree where it is shown.
//!
//! Writes `vectors.rs` into the build folder: a slice of (name, text), sorted by name, the name with
//! forward slashes on every system. A file that goes away or comes is noticed by the folder's time.

use std::fs;
use std::path::{Path, PathBuf};

fn main() -> Result<(), String> {
    let root = PathBuf::from(variable("CARGO_MANIFEST_DIR")?);
    println!("cargo::rerun-if-changed=.");

    let mut names = Vec::new();
    for folder in children(&root)? {
        let name = file_name(&folder);
        if folder.is_dir() && name != "src" && name != "target" {
            gather(&folder, &name, &mut names)?;
        }
    }
    names.sort();

    let mut code = String::from("&[\n");
    for name in &names {
        let path = root.join(name);
        code.push_str(&format!("    ({name:?}, include_str!({:?})),\n", path.display().to_string()));
    }
    code.push_str("]\n");
    let out = Path::new(&variable("OUT_DIR")?).join("vectors.rs");
    fs::write(&out, code).map_err(|cause| format!("{}: {cause}", out.display()))
}

fn gather(folder: &Path, name: &str, names: &mut Vec<String>) -> Result<(), String> {
    for path in children(folder)? {
        let below = format!("{name}/{}", file_name(&path));
        if path.is_dir() {
            gather(&path, &below, names)?;
        } else if path.extension().is_some_and(|extension| extension == "toml") {
            names.push(below);
        }
    }
    Ok(())
}

fn children(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let entries = fs::read_dir(folder).map_err(|cause| format!("{}: {cause}", folder.display()))?;
    Ok(entries.filter_map(Result::ok).map(|entry| entry.path()).collect())
}

fn file_name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

fn variable(name: &str) -> Result<String, String> {
    std::env::var(name).map_err(|cause| format!("{name}: {cause}"))
}
