//! The programs of this machine that we start, and what to do where one is lacking.
//!
//! A command is shown before it runs and keeps our own output and error streams, so that nothing a runner
//! says is swallowed. On Windows npm is a batch file and is called by its full name.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::step::{Outcome, Trouble};

/// The oldest Node.js that the pages build with: major and minor number.
const NODE_LEAST: (u32, u32) = (20, 19);
/// The oldest Python for which the reference packages exist in the versions we pin.
const PYTHON_LEAST: (u32, u32) = (3, 11);

/// Shows a command, runs it in the open and says how it ended.
pub fn run(command: &mut Command) -> Outcome {
    let shown = shown(command);
    println!("$ {shown}");
    let _ = std::io::stdout().flush();
    match command.stdin(Stdio::null()).status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => {
            let how = status.code().map_or("by a signal".to_owned(), |code| format!("with status {code}"));
            Err(Trouble::Failed(format!("`{shown}` ended {how}")))
        }
        Err(cause) => Err(Trouble::Failed(format!("`{shown}` did not start: {cause}"))),
    }
}

/// What a command prints when it ends well.
pub fn said(command: &mut Command) -> Option<String> {
    let output = command.stdin(Stdio::null()).stderr(Stdio::null()).output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// A command in the folder of the pages, once Node.js and npm are known to serve.
pub fn npm(web: &Path, arguments: &[&str]) -> Result<Command, Trouble> {
    node_version()?;
    let program = if cfg!(windows) { "npm.cmd" } else { "npm" };
    if said(Command::new(program).arg("--version")).is_none() {
        return Err(Trouble::Failed(
            "npm is missing: it comes with Node.js; on Debian `apt-get install npm`, elsewhere install Node.js again".into(),
        ));
    }
    let mut command = Command::new(program);
    command.args(arguments).current_dir(web);
    Ok(command)
}

/// The version of Node.js, if it is new enough.
pub fn node_version() -> Result<String, Trouble> {
    let version = said(Command::new("node").arg("--version"));
    let (major, minor) = NODE_LEAST;
    let mend =
        "install the long-term version of Node.js with this system's package manager or from its home page";
    match version {
        None => {
            Err(Trouble::Failed(format!("Node.js is missing: {major}.{minor} or newer is needed; {mend}")))
        }
        Some(version) if number(&version).is_some_and(|number| number >= NODE_LEAST) => Ok(version),
        Some(version) => {
            Err(Trouble::Failed(format!("Node.js is {version}: {major}.{minor} or newer is needed; {mend}")))
        }
    }
}

/// The command line that starts a Python that is new enough.
pub fn python() -> Result<Vec<&'static str>, Trouble> {
    let candidates: [&[&str]; 3] = [&["python3"], &["python"], &["py", "-3"]];
    let version_of = |words: &[&str]| {
        let spoken = said(Command::new(words[0]).args(&words[1..]).arg("--version"))?;
        number(spoken.trim_start_matches("Python "))
    };
    let found: Vec<_> = candidates.iter().filter_map(|words| Some((words, version_of(words)?))).collect();
    if let Some((words, _)) = found.iter().find(|(_, version)| *version >= PYTHON_LEAST) {
        return Ok(words.to_vec());
    }
    let (major, minor) = PYTHON_LEAST;
    let seen = found.first().map_or("missing".to_owned(), |(_, (major, minor))| format!("{major}.{minor}"));
    Err(Trouble::Lacking(format!(
        "Python is {seen}: {major}.{minor} or newer is needed for the reference packages; install it with this \
         system's package manager or from its home page"
    )))
}

/// The first of these programs that lies in a folder of the search path.
pub fn on_path(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let named = |name: &&str| {
        folders
            .iter()
            .map(|folder| folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX)))
            .find(|file| file.is_file())
    };
    names.iter().find_map(named)
}

/// Major and minor number of a version such as `v20.19.1` or `3.11.7`.
fn number(version: &str) -> Option<(u32, u32)> {
    let mut parts = version.trim().trim_start_matches('v').split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let name = program.file_stem().unwrap_or(program.as_os_str()).to_string_lossy();
    let mut words = vec![name.into_owned()];
    words.extend(command.get_args().map(|argument| argument.to_string_lossy().into_owned()));
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_compare_as_numbers() {
        assert_eq!(number("v20.20.2"), Some((20, 20)));
        assert_eq!(number("3.9.2"), Some((3, 9)));
        assert!(number("3.9.2") < Some(PYTHON_LEAST));
        assert!(number("v20.9.0") < Some(NODE_LEAST));
        assert_eq!(number("unknown"), None);
    }

    #[test]
    fn a_command_that_ends_badly_is_told_with_its_status() {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let outcome = run(Command::new(cargo).arg("--no-such-option").stderr(Stdio::null()));
        assert_eq!(outcome, Err(Trouble::Failed("`cargo --no-such-option` ended with status 1".into())));
    }

    #[test]
    fn a_program_that_is_not_there_is_told_by_name() {
        let Err(Trouble::Failed(words)) = run(&mut Command::new("no-program-of-this-name")) else {
            panic!("it should not have started")
        };
        assert!(words.starts_with("`no-program-of-this-name` did not start: "), "{words}");
    }
}
