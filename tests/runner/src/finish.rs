//! The last step of a release bundle: packed code, no inline script, a content security policy, and the list of files
//! from which the service worker fills its store. Trunk runs it (`cargo task finish-bundle`) before it moves the bundle into place.
//! Must never alter a file that carries an integrity digest, and never pass over a file of the bundle.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bundle::walk;
use crate::command::Run;
use crate::failure::{Done, Failure};
use crate::pack::{UNPACK, pack};
use crate::place::Place;
use crate::slim::{self, Divided, SHEET, divide};

/// The service worker; it cannot list itself.
const WORKER: &str = "sw.js";
const PAGE: &str = "index.html";

/// What the page may load and run: its own files; compiled WASM; style attributes, which the framework sets; pictures
/// and files that the app makes itself. No other host, no inline script, no `eval`.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    style-src-attr 'unsafe-inline'; img-src 'self' blob: data:; font-src 'self'; connect-src 'self' blob:; \
    manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'";

/// Finishes the bundle that trunk has put into `TRUNK_STAGING_DIR`; leaves a bundle for development as it is.
///
/// # Errors
/// When trunk did not say where the bundle is, or it lacks a part.
pub fn finish(place: &Place) -> Done {
    let told = |name: &str| {
        std::env::var(name).map_err(|_| {
            Failure::new(format!("{name} is not set"), "let trunk run this step: `sh tests/go build` does so")
        })
    };
    if told("TRUNK_PROFILE")? != "release" {
        return Ok(());
    }
    let bundle = PathBuf::from(told("TRUNK_STAGING_DIR")?);
    let Divided { page, first, later } = divide(&bundle, &text(&bundle.join(PAGE))?)?;
    let page = page.replace(SHEET, &kept(place, &bundle, ("style", "css"), &first)?);
    let page = pack(place, &bundle, &page, &later)?;
    let (page, script) = moved_out(&page).ok_or_else(|| {
        Failure::new("trunk's page has no inline start script", "see what trunk writes and tests/runner/src/finish.rs")
    })?;
    let name = kept(place, &bundle, ("start", "js"), &script)?;
    write(&bundle.join(PAGE), &page.replace("@START@", &name))?;
    let mut files = Vec::new();
    walk(&bundle, &mut files).map_err(|error| Failure::file(&bundle, &error))?;
    let mut names: Vec<PathBuf> =
        files.iter().filter_map(|file| Some(file.strip_prefix(&bundle).ok()?.to_owned())).collect();
    names.retain(|name| name != Path::new(WORKER));
    names.sort();
    // The build is named by its files, the page's own without the name that stands in it.
    let list = named(&names, &digests(place, &bundle, &names)?);
    let build = digest_of(place, &bundle, &list)?[..12].to_owned();
    let page = text(&bundle.join(PAGE))?;
    write(&bundle.join(PAGE), &with_head(&page, &build)?)?;
    let listed = named(&names, &digests(place, &bundle, &names)?);
    let worker = text(&bundle.join(WORKER))?;
    let unpack = text(&place.root().join(UNPACK))?;
    write(&bundle.join(WORKER), &filled(&worker, &build, &listed, &unpack)?)
}

/// The page with its inline script as a file named `@START@`, and that script.
fn moved_out(page: &str) -> Option<(String, String)> {
    let (before, rest) = page.split_once("<script type=\"module\">")?;
    let (script, after) = rest.split_once("</script>")?;
    let page = format!("{before}<script type=\"module\" src=\"./@START@\"></script>{after}");
    Some((page, script.trim().to_owned() + "\n"))
}

/// The page with policy and name of the build at the head of its head.
fn with_head(page: &str, build: &str) -> Result<String, Failure> {
    const HEAD: &str = "<meta charset=\"utf-8\" />";
    if !page.contains(HEAD) || page.contains("<script>") || page.contains("<script type=\"module\">") {
        return Err(Failure::new(
            "the page has no charset line, or more than one inline script",
            "see app/index.html and tests/runner/src/finish.rs",
        ));
    }
    let lines = format!(
        "{HEAD}\n    <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\" />\n    \
         <meta name=\"build\" content=\"{build}\" />"
    );
    Ok(page.replacen(HEAD, &lines, 1))
}

/// The service worker with name and list of the build, and the script that unpacks, in place of the marks for them.
fn filled(worker: &str, build: &str, list: &str, unpack: &str) -> Result<String, Failure> {
    let (version, files, script) = ("@VERSION@", "{ \"@FILES@\": \"\" }", "\"@UNPACK@\";");
    if [version, files, script].iter().any(|mark| !worker.contains(mark)) {
        return Err(Failure::new(
            "public/sw.js lacks a mark",
            format!("keep `{version}`, `{files}` and `{script}` in it"),
        ));
    }
    let worker = worker.replace(script, unpack);
    Ok(slim::script(&worker).replace(version, build).replace(files, list))
}

/// Names and digests as the body of a JavaScript object, sorted by name.
fn named(names: &[PathBuf], digests: &[String]) -> String {
    let rows: Vec<String> = names
        .iter()
        .zip(digests)
        .map(|(name, digest)| format!("  \"{}\": \"{digest}\",", name.to_string_lossy().replace('\\', "/")))
        .collect();
    format!("{{\n{}\n}}", rows.join("\n"))
}

/// Writes a text to a file of the bundle whose name, which is returned, carries its digest.
fn kept(place: &Place, bundle: &Path, (name, ending): (&str, &str), text: &str) -> Result<String, Failure> {
    let name = format!("{name}-{}.{ending}", &digest_of(place, bundle, text)?[..16]);
    write(&bundle.join(&name), text)?;
    Ok(name)
}

/// The SHA-256 of a text.
fn digest_of(place: &Place, folder: &Path, text: &str) -> Result<String, Failure> {
    let name = PathBuf::from("to-digest");
    write(&folder.join(&name), text)?;
    let digest = digests(place, folder, std::slice::from_ref(&name))?.remove(0);
    fs::remove_file(folder.join(&name)).map_err(|error| Failure::file(&name, &error))?;
    Ok(digest)
}

/// The SHA-256 of each file, in hexadecimal digits.
fn digests(place: &Place, folder: &Path, names: &[PathBuf]) -> Result<Vec<String>, Failure> {
    let failed = || Failure::new("the digests could not be taken", "install coreutils (`sha256sum`), then try again");
    let answer =
        Run::new(place, "sha256sum").args(names.iter().map(|name| folder.join(name))).answer().ok_or_else(failed)?;
    let found: Vec<String> =
        answer.lines().filter_map(|line| line.split_whitespace().next().map(str::to_owned)).collect();
    if found.len() == names.len() && found.iter().all(|digest| digest.len() == 64) { Ok(found) } else { Err(failed()) }
}

fn text(file: &Path) -> Result<String, Failure> {
    fs::read_to_string(file).map_err(|error| Failure::file(file, &error))
}

fn write(file: &Path, text: &str) -> Done {
    fs::write(file, text).map_err(|error| Failure::file(file, &error))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str =
        "<head><meta charset=\"utf-8\" /><script type=\"module\">\nimport init;\n</script><p></p></head>";

    #[test]
    fn the_inline_script_becomes_a_file() {
        let (page, script) = moved_out(PAGE).expect("an inline script");
        assert_eq!(script, "import init;\n");
        assert!(page.contains("<script type=\"module\" src=\"./@START@\"></script><p></p>"));
        assert!(with_head(&page, "abc").is_ok_and(|page| page.contains("content=\"abc\"")));
        assert!(with_head(PAGE, "abc").is_err(), "an inline script is left");
    }

    #[test]
    fn the_worker_names_build_and_files() {
        let worker =
            "const VERSION = \"@VERSION@\"; const FILES = { \"@FILES@\": \"\" };\n// What unpacks.\n\"@UNPACK@\";";
        let list = named(&[PathBuf::from("a.js")], &["0f".to_owned()]);
        let filled = filled(worker, "v1", &list, "unpack();\n");
        let wanted = "const VERSION = \"v1\"; const FILES = {\n  \"a.js\": \"0f\",\n};\nunpack();\n";
        assert_eq!(filled.as_deref(), Ok(wanted));
        assert!(super::filled("const A = 1;", "v1", &list, "").is_err());
    }
}
