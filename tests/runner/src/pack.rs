//! Packing the bundle: the wasm file leaves in two parts (`split`), each an LZMA stream, which a few lines in the page
//! unpack (`app/unpack.js`). A server's own gzip looks back 32 kB only and leaves a third more, and many a shop's server
//! compresses nothing. Must never change what the app does.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bundle::walk;
use crate::command::Run;
use crate::failure::Failure;
use crate::place::Place;
use crate::slim;
use crate::split::split;
use crate::wasm::put_custom;

/// The form that `app/unpack.js` reads.
const FORM: &str = "--lzma1=preset=9e,lc=4,lp=0,pb=0,dict=8MiB,nice=273";
/// Ending of a packed file.
pub const ENDING: &str = "packed";
/// End of the name of the part that follows the first screen.
pub const REST: &str = "rest";

/// The script that unpacks.
pub const UNPACK: &str = "app/unpack.js";
/// Constants that are no business of the first screen: they come with the rest.
const BLOBS: &str = "model/data";

/// Name of the rest's section that holds the sheets of the other screens; `app/load.js` reads it.
const STYLE: &str = "style";

/// Splits and packs the wasm file of the bundle, with `style` in the rest, and returns the page made to bring the parts.
///
/// # Errors
/// When the bundle or the page is not as trunk writes it, or xz is missing.
pub fn pack(place: &Place, bundle: &Path, page: &str, style: &str) -> Result<String, Failure> {
    let wasm = wasm_file(bundle)?;
    let name = wasm.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
    let base = name.trim_end_matches("_bg.wasm");
    let bytes = fs::read(&wasm).map_err(|error| Failure::file(&name, &error))?;
    let (first, mut rest) = split(&bytes, &blobs(place)?)?;
    put_custom(&mut rest, STYLE, style.as_bytes());
    let (first_name, rest_name) = (format!("{base}.{ENDING}"), format!("{base}-{REST}.{ENDING}"));
    for (name, bytes) in [(&first_name, first), (&rest_name, rest)] {
        fs::write(bundle.join(name), packed(place, &bundle.join(name), &bytes)?)
            .map_err(|error| Failure::file(name, &error))?;
    }
    fs::remove_file(&wasm).map_err(|error| Failure::file(&name, &error))?;
    let mut script = String::new();
    for file in [UNPACK, "app/load.js"] {
        let text = fs::read_to_string(place.root().join(file)).map_err(|error| Failure::file(file, &error))?;
        script.push_str(&slim::script(&text));
    }
    let script = script.replace("@FIRST@", &format!("./{first_name}")).replace("@REST@", &format!("./{rest_name}"));
    page_with(page, &name, &first_name, &script).ok_or_else(|| {
        Failure::new("trunk's page asks for the wasm file in an unknown way", "look at tests/runner/src/pack.rs")
    })
}

/// The JSON files that the model holds as they are.
fn blobs(place: &Place) -> Result<Vec<Vec<u8>>, Failure> {
    let mut files = Vec::new();
    walk(&place.root().join(BLOBS), &mut files).map_err(|error| Failure::file(BLOBS, &error))?;
    files.retain(|file| file.extension().is_some_and(|ending| ending == "json" || ending == "csv"));
    files.sort();
    files.iter().map(|file| fs::read(file).map_err(|error| Failure::file(file, &error))).collect()
}

/// The packed form of bytes; `scratch` is a file that may be written on the way.
fn packed(place: &Place, scratch: &Path, bytes: &[u8]) -> Result<Vec<u8>, Failure> {
    let failed = || Failure::new("the wasm file could not be packed", "install xz (xz-utils), then try again");
    fs::write(scratch, bytes).map_err(|error| Failure::file(scratch, &error))?;
    let stream = Run::new(place, "xz").args(["--format=raw", FORM, "--stdout"]).args([scratch]).bytes();
    let mut out = u32::try_from(bytes.len()).map_err(|_| failed())?.to_le_bytes().to_vec();
    out.extend(stream.ok_or_else(failed)?);
    Ok(out)
}

fn wasm_file(bundle: &Path) -> Result<PathBuf, Failure> {
    let missing = || Failure::new("dist holds no wasm file", "run `sh tests/go build` first");
    let entries = fs::read_dir(bundle).map_err(|_| missing())?;
    let mut files = entries.filter_map(Result::ok).map(|entry| entry.path());
    files.find(|path| path.extension().is_some_and(|ending| ending == "wasm")).ok_or_else(missing)
}

/// Trunk's page, made to fetch and unpack the packed file; `None` where it is not the page that is known.
fn page_with(page: &str, wasm: &str, packed: &str, script: &str) -> Option<String> {
    let asked = format!("module_or_path: './{wasm}'");
    let (before, after) = page.split_once(&asked)?;
    let (head, import) = before.rsplit_once("import ")?;
    let page = format!("{head}{script}\nimport {import}module_or_path: start(){after}");
    // The file is also asked for early; its checksum there is that of the unpacked bytes.
    let (before, after) = page.split_once(&format!("<link rel=\"preload\" href=\"./{wasm}\""))?;
    let (_, rest) = after.split_once('>')?;
    Some(format!("{before}<link rel=\"preload\" href=\"./{packed}\" crossorigin=\"anonymous\" as=\"fetch\">{rest}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<html><head><script type=\"module\">\nimport init, * as b from './a.js';\n\
        const wasm = await init({ module_or_path: './a_bg.wasm' });\n</script>\n\
        <link rel=\"preload\" href=\"./a_bg.wasm\" crossorigin=\"anonymous\" integrity=\"x\" as=\"fetch\" \
        type=\"application/wasm\"></head></html>";

    #[test]
    fn the_page_asks_for_the_packed_file_and_for_nothing_else() {
        let page = page_with(PAGE, "a_bg.wasm", "a_bg.packed", "function unpack() {}").expect("a page that is known");
        assert!(!page.contains(".wasm"), "{page}");
        assert_eq!(page.matches("a_bg.packed").count(), 1, "{page}");
        assert!(page.contains("module_or_path: start()"), "{page}");
        assert!(page.contains("function unpack() {}\nimport init"), "{page}");
        assert!(page.ends_with("as=\"fetch\"></head></html>"), "{page}");
    }

    #[test]
    fn another_page_is_not_touched() {
        assert_eq!(page_with("<html></html>", "a_bg.wasm", "a_bg.packed", ""), None);
    }

    #[test]
    fn what_is_packed_comes_out_again() {
        let place = Place::find();
        // Its own source, then bytes that repeat at many distances, then bytes of a small generator.
        let mut bytes = include_bytes!("pack.rs").to_vec();
        let mut seed = 1_u32;
        for step in 0..60_000_u32 {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let byte = (seed >> 24) as u8;
            bytes.push(if step % 7 < 4 { bytes[(step as usize * 31) % bytes.len()] } else { byte });
        }
        let folder = std::env::temp_dir().join(format!("cutline-pack-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder");
        let (plain, packed) = (folder.join("plain"), folder.join("packed"));
        let file = super::packed(&place, &plain, &bytes).expect("xz packs");
        fs::write(&packed, &file).expect("written");
        let script = fs::read_to_string(place.root().join(UNPACK)).expect("the script");
        let program = |cut: usize| {
            format!(
                "{script}; const fs = require('fs');\n\
                 const packed = new Uint8Array(fs.readFileSync({packed:?})).subarray(0, {cut});\n\
                 console.log(Buffer.compare(Buffer.from(unpack(packed)), fs.readFileSync({plain:?})))"
            )
        };
        let whole = Run::new(&place, "node").args(["-e", &program(file.len())]).answer();
        assert_eq!(whole.as_deref(), Some("0"));
        let broken_off = Run::new(&place, "node").args(["-e", &program(file.len() / 2)]).answer();
        assert_eq!(broken_off, None, "a file that breaks off is refused");
        let _ = fs::remove_dir_all(&folder);
    }
}
