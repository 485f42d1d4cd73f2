//! What each command needs on the machine, and how that is brought there. Each step is skipped when it is already done.
//! Must never install another version than the one the repository names, and never anything that is there already.

use std::fs;

use crate::command::Run;
use crate::failure::{Done, Failure};
use crate::install;
use crate::place::Place;

/// Something that a command needs.
#[derive(Clone, Copy)]
pub enum Need {
    /// Programs that come as packages of the system.
    System(&'static SystemPackage),
    /// The wasm32 target and the checking tools of the Rust toolchain.
    Toolchain,
    /// All crates of the lock file, so that later steps need no network.
    Crates,
    /// The tool that joins wasm and JavaScript, with its test runner, in the version of the lock file.
    WasmBindgen,
    /// The bundler.
    Trunk,
    /// The packages of the browser tests.
    BrowserPackages,
    /// The Python packages of the outside checks.
    PythonPackages,
}

/// A program that comes as a package of the system.
pub struct SystemPackage {
    /// For the reader.
    pub label: &'static str,
    /// Debian's names.
    pub packages: &'static [&'static str],
    /// Whether it is there.
    pub present: fn(&Place) -> bool,
    /// What to do where there is no apt-get.
    pub elsewhere: &'static str,
}

const BROWSER: Need = Need::System(&SystemPackage {
    label: "Chromium and its driver",
    packages: &["chromium", "chromium-driver"],
    present: |place| place.chromium().is_some() && place.chromedriver().is_some(),
    elsewhere: "install Chromium and ChromeDriver, and name their files in CHROMIUM and CHROMEDRIVER",
});

const SECOND_ENGINE: Need = Need::System(&SystemPackage {
    label: "WebKit with its driver, and a screen for it",
    packages: &["webkit2gtk-driver", "xvfb"],
    present: |place| place.program("WebKitWebDriver").is_some() && place.program("Xvfb").is_some(),
    elsewhere: "install WebKitGTK's WebKitWebDriver and Xvfb",
});

const NODE: Need = Need::System(&SystemPackage {
    label: "Node.js and npm",
    packages: &["nodejs", "npm"],
    present: |place| place.program("node").is_some() && place.program("npm").is_some(),
    elsewhere: "install Node.js 18.19 or newer, with npm",
});

const PYTHON: Need = Need::System(&SystemPackage {
    label: "Python with venv",
    packages: &["python3", "python3-venv"],
    present: |place| Run::new(place, "python3").args(["-c", "import venv, ensurepip"]).succeeds(),
    elsewhere: "install Python 3.11 or newer with its venv module",
});

const PACKER: Need = Need::System(&SystemPackage {
    label: "xz",
    packages: &["xz-utils"],
    present: |place| place.program("xz").is_some(),
    elsewhere: "install xz (XZ Utils 5.2 or newer)",
});

impl Need {
    /// What building and serving the bundle needs.
    pub const FOR_BUNDLE: &'static [Self] = &[PACKER, Self::Toolchain, Self::Crates, Self::WasmBindgen, Self::Trunk];
    /// What the tests need: everything.
    pub const ALL: &'static [Self] = &[
        BROWSER,
        SECOND_ENGINE,
        NODE,
        PYTHON,
        PACKER,
        Self::Toolchain,
        Self::Crates,
        Self::WasmBindgen,
        Self::Trunk,
        Self::BrowserPackages,
        Self::PythonPackages,
    ];
}

/// Brings everything that is needed; says for each whether it was there.
///
/// # Errors
/// When something cannot be brought; the failure says what to do.
pub fn ensure(place: &Place, needs: &[Need]) -> Done {
    println!("Setting up (what is there already is left alone)");
    install::system_packages(place, needs)?;
    for need in needs {
        match need {
            Need::System(_) => {}
            Need::Toolchain => toolchain(place)?,
            Need::Crates => crates(place)?,
            Need::WasmBindgen => install::wasm_bindgen(place)?,
            Need::Trunk => install::trunk(place)?,
            Need::BrowserPackages => browser_packages(place)?,
            Need::PythonPackages => python_packages(place)?,
        }
    }
    install::tidy(place);
    Ok(())
}

/// Says that a step has nothing to do.
pub fn already(label: &str) {
    println!("  {label}: already there");
}

fn toolchain(place: &Place) -> Done {
    const LABEL: &str = "Rust target wasm32 with rustfmt and clippy";
    let installed = |what: &str| Run::new(place, "rustup").args([what, "list", "--installed"]).answer();
    let targets = installed("target");
    let components = installed("component");
    let (Some(targets), Some(components)) = (targets, components) else {
        // Without rustup there is nothing to ask; the compiler says in a moment whether the target is there.
        println!("  {LABEL}: rustup does not answer, so this is not checked");
        return Ok(());
    };
    let has = |list: &str, name: &str| list.lines().any(|line| line.starts_with(name));
    if has(&targets, "wasm32-unknown-unknown") && has(&components, "rustfmt") && has(&components, "clippy") {
        already(LABEL);
        return Ok(());
    }
    println!("  {LABEL}: installing (about 1 minute)");
    let next = "check the network, then run this again; by hand: rustup target add wasm32-unknown-unknown";
    Run::new(place, "rustup").args(["target", "add", "wasm32-unknown-unknown"]).watch(LABEL, next)?;
    Run::new(place, "rustup").args(["component", "add", "rustfmt", "clippy"]).watch(LABEL, next)
}

fn crates(place: &Place) -> Done {
    const LABEL: &str = "Rust packages";
    if Run::new(place, "cargo").args(["fetch", "--locked", "--offline"]).succeeds() {
        already(LABEL);
        return Ok(());
    }
    println!("  {LABEL}: fetching (about 1 minute)");
    let fetch = Run::new(place, "cargo").args(["fetch"]);
    // In continuous integration a lock file that is out of date is a fault; at a desk cargo brings it up to date.
    let fetch = if std::env::var_os("CI").is_some() { fetch.args(["--locked"]) } else { fetch };
    fetch.watch(LABEL, "check the network; if Cargo.lock is out of date, run `cargo fetch` and commit it")
}

fn browser_packages(place: &Place) -> Done {
    const LABEL: &str = "npm packages of the browser tests";
    node_is_new_enough(place)?;
    let stamp = place.browser().join("node_modules/.cutline-lock");
    let lock = read(place, "tests/browser/package-lock.json")?;
    if fs::read_to_string(&stamp).is_ok_and(|made_from| made_from == lock) {
        already(LABEL);
        return Ok(());
    }
    println!("  {LABEL}: installing (a few seconds)");
    Run::new(place, "npm")
        .args(["ci", "--prefix", "tests/browser", "--no-audit", "--no-fund"])
        .watch(LABEL, "check the network and the npm registry that is set up on this machine, then run this again")?;
    write(&stamp, &lock)
}

/// The oldest Node.js that has the `--test-concurrency`: 18.19.
fn node_is_new_enough(place: &Place) -> Done {
    let version = Run::new(place, "node").args(["--version"]).answer().unwrap_or_default();
    if version_at_least(&version, 18, 19) {
        return Ok(());
    }
    Err(Failure::new(
        format!("Node.js answers with version `{version}`, but the browser tests need 18.19 or newer"),
        "install a newer Node.js and see that it stands first on the PATH",
    ))
}

/// Whether a version such as `v20.20.2` or `Python 3.11.7` is at least `major.minor`.
fn version_at_least(text: &str, major: u32, minor: u32) -> bool {
    let mut numbers = text.trim_start_matches(|c: char| !c.is_ascii_digit()).split('.').map(str::parse::<u32>);
    let (Some(Ok(first)), Some(Ok(second))) = (numbers.next(), numbers.next()) else {
        return false;
    };
    (first, second) >= (major, minor)
}

fn python_packages(place: &Place) -> Done {
    const LABEL: &str = "Python packages of the outside checks";
    let stamp = place.python_environment().join("cutline-requirements.txt");
    let wanted = read(place, "tests/requirements.txt")?;
    let works = Run::new(place, &place.python().to_string_lossy()).args(["--version"]).succeeds();
    if works && fs::read_to_string(&stamp).is_ok_and(|made_from| made_from == wanted) {
        already(LABEL);
        return Ok(());
    }
    let version = Run::new(place, "python3").args(["--version"]).answer().unwrap_or_default();
    if !version_at_least(&version, 3, 11) {
        return Err(Failure::new(
            format!("python3 answers with version `{version}`, but the outside checks need 3.11 or newer"),
            "install a newer Python and see that it stands first on the PATH as python3",
        ));
    }
    println!("  {LABEL}: installing (about 1 minute)");
    let environment = place.python_environment();
    Run::new(place, "python3")
        .args(["-m", "venv", "--clear", &environment.to_string_lossy()])
        .watch("Python environment", "install the package python3-venv, then run this again")?;
    Run::new(place, &place.python().to_string_lossy())
        .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check"])
        .args(["--requirement", "tests/requirements.txt"])
        .watch(LABEL, "check the network and the Python package index that is set up here, then run this again")?;
    write(&stamp, &wanted)
}

fn read(place: &Place, file: &str) -> Result<String, Failure> {
    fs::read_to_string(place.root().join(file))
        .map_err(|error| Failure::new(format!("{file} cannot be read ({error})"), "restore it from git"))
}

fn write(file: &std::path::Path, text: &str) -> Done {
    fs::write(file, text).map_err(|error| {
        Failure::new(
            format!("{} cannot be written ({error})", file.display()),
            "see that the disk has room and that the folder belongs to you",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::version_at_least;

    #[test]
    fn versions_compare_as_numbers() {
        assert!(version_at_least("v18.19.0", 18, 19));
        assert!(version_at_least("v20.2.0", 18, 19));
        assert!(version_at_least("Python 3.11.7", 3, 11));
        assert!(!version_at_least("Python 3.9.2", 3, 11));
        assert!(!version_at_least("v18.9.1", 18, 19));
        assert!(!version_at_least("", 18, 19));
    }
}
