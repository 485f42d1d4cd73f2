//! Where things are: the repository, the tools that were installed for it, the search path of programs.
//! Must never write anything.

use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use crate::failure::Failure;

/// The repository and what belongs to it.
pub struct Place {
    root: PathBuf,
}

impl Place {
    /// The repository that this program was compiled in.
    pub fn find() -> Self {
        let crate_folder = Path::new(env!("CARGO_MANIFEST_DIR"));
        // tests/runner stands two folders below the root.
        Self { root: crate_folder.ancestors().nth(2).unwrap_or(crate_folder).to_owned() }
    }

    /// The top folder of the repository.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Where pinned command-line tools are installed: `target/tools`, or what `CUTLINE_TOOLS` names.
    pub fn tools(&self) -> PathBuf {
        env::var_os("CUTLINE_TOOLS").map_or_else(|| self.root.join("target/tools"), PathBuf::from)
    }

    /// The Python environment of the outside checks.
    pub fn python_environment(&self) -> PathBuf {
        self.root.join("target/venv")
    }

    /// The Python program of that environment.
    pub fn python(&self) -> PathBuf {
        self.python_environment().join("bin/python")
    }

    /// The bundle that trunk writes.
    pub fn bundle(&self) -> PathBuf {
        self.root.join("dist")
    }

    /// The browser tests, an npm project.
    pub fn browser(&self) -> PathBuf {
        self.root.join("tests/browser")
    }

    /// The files of the browser tests whose name ends so, sorted, as paths from the root.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub fn browser_files(&self, ending: &str) -> Result<Vec<String>, Failure> {
        let folder = self.browser();
        let entries = fs::read_dir(&folder).map_err(|error| {
            Failure::new(format!("tests/browser cannot be read ({error})"), "restore that folder from git")
        })?;
        let mut names: Vec<String> = entries
            .filter_map(Result::ok)
            .filter_map(|entry| entry.file_name().into_string().ok())
            .filter(|name| name.ends_with(ending))
            .map(|name| format!("tests/browser/{name}"))
            .collect();
        names.sort();
        Ok(names)
    }

    /// The search path with the installed tools in front.
    pub fn search_path(&self) -> OsString {
        let mut folders = vec![self.tools().join("bin")];
        if let Some(path) = env::var_os("PATH") {
            folders.extend(env::split_paths(&path));
        }
        env::join_paths(folders).unwrap_or_default()
    }

    /// The full path of a program on the search path, if there is one.
    pub fn program(&self, name: &str) -> Option<PathBuf> {
        env::split_paths(&self.search_path()).map(|folder| folder.join(name)).find(|file| file.is_file())
    }

    /// The browser: what `CHROMIUM` names, or `chromium` on the search path.
    pub fn chromium(&self) -> Option<PathBuf> {
        env::var_os("CHROMIUM").map(PathBuf::from).or_else(|| self.program("chromium"))
    }

    /// The driver for the wasm tests: what `CHROMEDRIVER` names, or `chromedriver` on the search path.
    pub fn chromedriver(&self) -> Option<PathBuf> {
        env::var_os("CHROMEDRIVER").map(PathBuf::from).or_else(|| self.program("chromedriver"))
    }

    /// The version of a package in `Cargo.lock`: the lock file is the one place that pins wasm-bindgen.
    ///
    /// # Errors
    /// When there is no lock file, or the package is not in it.
    pub fn locked_version(&self, package: &str) -> Result<String, Failure> {
        let text = fs::read_to_string(self.root.join("Cargo.lock")).map_err(|error| {
            Failure::new(format!("Cargo.lock cannot be read ({error})"), "restore it from git, or run `cargo fetch`")
        })?;
        locked_version(&text, package).ok_or_else(|| {
            Failure::new(format!("Cargo.lock does not hold the package {package}"), "restore Cargo.lock from git")
        })
    }
}

/// The version of a package in the text of a lock file. Cargo writes name and version on lines next to each other.
fn locked_version(lock: &str, package: &str) -> Option<String> {
    let name = format!("name = \"{package}\"");
    let mut lines = lock.lines();
    lines.find(|line| *line == name)?;
    let version = lines.next()?.strip_prefix("version = \"")?.strip_suffix('"')?;
    Some(version.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOCK: &str = "[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"9.9.9\"\n\n\
                        [[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.118\"\nsource = \"x\"\n";

    #[test]
    fn version_is_that_of_the_whole_name() {
        assert_eq!(locked_version(LOCK, "wasm-bindgen").as_deref(), Some("0.2.118"));
        assert_eq!(locked_version(LOCK, "wasm"), None);
    }

    #[test]
    fn the_repository_is_the_one_with_the_workspace() {
        let text = fs::read_to_string(Place::find().root().join("Cargo.toml")).expect("workspace manifest");
        assert!(text.contains("[workspace]"));
    }
}
