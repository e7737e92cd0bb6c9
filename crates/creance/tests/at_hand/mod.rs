//! What the tests of the program share: running it, and a server that ends with its test.

#![allow(dead_code, clippy::unwrap_used, clippy::expect_used)]

use serde_json::Value;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

/// The sheet of a small invented craft, on which nothing is broken.
pub const TERN: &str = include_str!("../sheets/tern.toml");

/// The same craft with its camera set so low that it lies in the plate.
pub fn low_tern() -> String {
    spoiled("z = \"16 mm, measured\"", "z = \"9 mm, measured\"")
}

/// The sheet with one line changed.
pub fn spoiled(line: &str, instead: &str) -> String {
    assert!(TERN.contains(line), "{line}");
    TERN.replacen(line, instead, 1)
}

/// The racer before anybody thought of an adapter: its air unit right on the frame's own pattern, which its
/// holes do not meet.
pub fn racer() -> String {
    let sheet = include_str!("../../../../demo/whinchat.toml");
    let gone = ["adapter]", "adapter-posts]", "adapter-screws]"];
    let blocks: Vec<String> = sheet
        .split("\n[place.")
        .filter(|block| !gone.iter().any(|id| block.starts_with(id)))
        .map(|block| match block.split_once(']') {
            Some(("vtx" | "vtx-posts" | "vtx-screws", _)) => block
                .replace("on = \"adapter/inner 20\"", "on = \"frame/rear 30.5\"")
                .replace("z = \"1.5 mm ± 0.05, measured\"", "z = \"0 mm\"")
                .replace("z = \"4 mm ± 0.1, measured\"", "z = \"2.5 mm ± 0.1, measured\""),
            _ => block.to_owned(),
        })
        .collect();
    assert_eq!(blocks.len() + gone.len(), sheet.split("\n[place.").count());
    blocks.join("\n[place.")
}

/// A folder of its own with the sheet in it, and no workshop yet.
pub struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    pub fn new() -> Self {
        let desk = Self { folder: tempfile::tempdir().unwrap() };
        desk.put("tern.toml", TERN);
        desk
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, text).unwrap();
        path
    }

    pub fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// The program, working on this desk, with this desk as home.
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_creance"));
        let home = self.folder.path();
        command.args(words).current_dir(home).stdin(Stdio::null());
        command.env("HOME", home).env("XDG_DATA_HOME", home.join("data")).env("APPDATA", home.join("data"));
        command
    }

    pub fn run(&self, words: &[&str]) -> Ran {
        Ran::of(self.command(words).output().unwrap())
    }

    /// A server on a free port with this desk's workshop.
    pub fn serve(&self) -> Served {
        self.serve_with(&["serve", "--no-open", "--workshop", "shop.sqlite"])
    }

    pub fn serve_with(&self, words: &[&str]) -> Served {
        let mut child = self.command(words).stdout(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let url = line.split_whitespace().find(|word| word.starts_with("http://"));
        let url = url.unwrap_or_else(|| panic!("no address in {line:?}")).trim_end_matches('/').to_owned();
        Served { child, url }
    }
}

/// What a run of the program said.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    fn of(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Self { status: output.status.code().unwrap(), out: text(output.stdout), err: text(output.stderr) }
    }

    /// Ends with this status; on 2 it says these words and nothing of a panic.
    pub fn ends(self, status: i32) -> Self {
        assert_eq!(self.status, status, "out: {}\nerr: {}", self.out, self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self
    }

    pub fn says(self, words: &str) -> Self {
        assert!(self.err.contains(words), "{words:?} is not in: {}", self.err);
        self
    }

    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap()
    }
}

/// A running server; it is ended with the test.
pub struct Served {
    child: Child,
    pub url: String,
}

/// What the server answered.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub text: String,
    pub headers: ureq::http::HeaderMap,
}

impl Answer {
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.text).unwrap_or_else(|_| panic!("no JSON: {}", self.text))
    }

    pub fn refused(&self, status: u16) -> String {
        assert_eq!(self.status, status, "{}", self.text);
        self.json()["refused"].as_str().unwrap().to_owned()
    }

    pub fn ok(self) -> Value {
        assert_eq!(self.status, 200, "{}", self.text);
        self.json()
    }
}

impl Served {
    pub fn port(&self) -> &str {
        self.url.rsplit(':').next().unwrap()
    }

    pub fn process(&self) -> u32 {
        self.child.id()
    }

    /// The status with which it ends by itself.
    pub fn ends(mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    pub fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], None)
    }

    pub fn post(&self, path: &str, json: Value) -> Answer {
        let body = json.to_string();
        self.ask("POST", path, &[("content-type", "application/json")], Some(body.as_bytes()))
    }

    pub fn edit(&self, craft: &str, edit: Value) -> Answer {
        self.post(&format!("/api/craft/{craft}/edit"), serde_json::json!({ "edit": edit }))
    }

    pub fn import(&self, sheet: impl AsRef<[u8]>) -> Answer {
        self.ask("POST", "/api/import", &[("content-type", "text/plain")], Some(sheet.as_ref()))
    }

    pub fn delete(&self, path: &str) -> Answer {
        self.ask("DELETE", path, &[], None)
    }

    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: Option<&[u8]>) -> Answer {
        let config = ureq::Agent::config_builder().http_status_as_error(false).build();
        let agent: ureq::Agent = config.into();
        let mut request = ureq::http::Request::builder().method(method).uri(format!("{}{path}", self.url));
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let response = match body {
            Some(body) => agent.run(request.body(body).unwrap()),
            None => agent.run(request.body(()).unwrap()),
        };
        let mut response = response.unwrap();
        let status = response.status().as_u16();
        let headers = response.headers().clone();
        let bytes = response.body_mut().with_config().limit(100 << 20).read_to_vec().unwrap();
        // Files that are no text are asked about by their headers.
        let text = String::from_utf8_lossy(&bytes).into_owned();
        Answer { status, text, headers }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Whether a folder holds exactly these files.
pub fn files_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
