//! The release bundle: building it and weighing its first load.
//! Must never leave out a file that the browser loads before the first screen.

use std::fs;
use std::path::{Path, PathBuf};

use crate::command::Run;
use crate::failure::{Done, Failure};
use crate::pack;
use crate::place::Place;

/// What the first load may weigh at most, compressed, in bytes (1 kB is 1000 bytes).
const LIMIT: u64 = 350_000;
/// What counts: page, script, wasm, style, data.
const COUNTED: [&str; 8] = ["html", "js", "mjs", "wasm", pack::ENDING, "css", "json", "webmanifest"];
/// Folders of the bundle that the first load does not ask for: demo jobs are read when somebody opens them,
/// schemas are for other programs.
const LATER: [&str; 2] = ["demo", "schema"];
/// The part of the code that follows once the first screen stands; weighed, but not part of the first load.
const FOLLOWS: &str = "-rest.packed";

/// Writes the release bundle to `dist`.
///
/// # Errors
/// When trunk fails.
pub fn build(place: &Place) -> Done {
    Run::new(place, "trunk").args(["build", "--release", "--offline"]).stream("read the first error above")
}

/// Prints what each file of the first load weighs, compressed as a server would.
///
/// # Errors
/// When the bundle is missing or weighs too much.
pub fn within_limit(place: &Place) -> Done {
    let bundle = place.bundle();
    let mut files = Vec::new();
    walk(&bundle, &mut files)
        .map_err(|error| Failure::new(format!("dist cannot be read ({error})"), "run `sh tests/go build` first"))?;
    files.retain(|file| counts(file.strip_prefix(&bundle).unwrap_or(file)));
    files.sort();
    if !files.iter().any(|file| file.extension().is_some_and(|ending| ending == pack::ENDING)) {
        return Err(Failure::new("dist holds no packed wasm file", "run `sh tests/go build` first"));
    }
    println!("First load, compressed (gzip -9; the wasm file is packed by the build already):");
    let (mut total, mut following) = (0, 0);
    for file in &files {
        let size = compressed(place, file)?;
        if file.to_string_lossy().ends_with(FOLLOWS) {
            following += size;
            continue;
        }
        total += size;
        println!("  {size:>8} bytes  {}", file.strip_prefix(&bundle).unwrap_or(file).display());
    }
    println!("  {total:>8} bytes  in all: {}.{} kB; allowed {} kB", total / 1000, total % 1000 / 100, LIMIT / 1000);
    println!(
        "  {following:>8} bytes  follow when the first screen stands: {} kB for the whole app",
        (total + following) / 1000
    );
    if total <= LIMIT {
        return Ok(());
    }
    Err(Failure::new(
        format!("the first load weighs {total} bytes, {} more than allowed", total - LIMIT),
        "see which file grew (git log, the table above) and make it smaller or load it later",
    ))
}

/// Whether a file of the bundle belongs to the first load.
fn counts(file: &Path) -> bool {
    let ending = file.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    let later = file.iter().next().and_then(|first| first.to_str()).is_some_and(|first| LATER.contains(&first));
    COUNTED.contains(&ending) && !later && !file.to_string_lossy().ends_with(".schema.json")
}

/// Every file below a folder.
///
/// # Errors
/// When a folder cannot be read.
pub fn walk(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            walk(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

/// The size in bytes after `gzip -9`, without the file's name in it.
fn compressed(place: &Place, file: &Path) -> Result<u64, Failure> {
    let failed = || Failure::new(format!("{} could not be compressed", file.display()), "install gzip, then try again");
    Run::new(place, "gzip")
        .args(["-9", "--no-name", "--stdout"])
        .args([file])
        .bytes()
        .and_then(|bytes| u64::try_from(bytes.len()).ok())
        .ok_or_else(failed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_load_is_page_script_wasm_style_and_data() {
        for file in [
            "index.html",
            "app-1.js",
            "app_bg.wasm",
            "app_bg.packed",
            "style.css",
            "body.json",
            "snippets/a/inline0.js",
            "sw.js",
        ] {
            assert!(counts(Path::new(file)), "{file}");
        }
        for file in ["icon.png", "demo/hail.json", "schema/job.json", "job.schema.json"] {
            assert!(!counts(Path::new(file)), "{file}");
        }
    }
}
