//! Installing programs: packages of the system by apt-get, and the two command-line tools that cargo compiles.
//! Must never put a tool into the user's own cargo folder: they go to `target/tools`, so that versions cannot clash.

use std::fs;

use crate::command::Run;
use crate::failure::{Done, Failure};
use crate::place::Place;
use crate::setup::{Need, already};

/// The bundler's version; Trunk.toml demands the same.
const TRUNK: &str = "0.21.14";

/// Installs, in one go, all packages of the system that are missing.
///
/// # Errors
/// When apt-get is not there, may not be used, or fails.
pub fn system_packages(place: &Place, needs: &[Need]) -> Done {
    let mut missing = Vec::new();
    for need in needs {
        let Need::System(package) = need else {
            continue;
        };
        if (package.present)(place) {
            already(package.label);
        } else {
            println!("  {}: missing", package.label);
            missing.push(*package);
        }
    }
    let Some(first) = missing.first() else {
        return Ok(());
    };
    if place.program("apt-get").is_none() {
        return Err(Failure::new(
            format!("{} is missing, and there is no apt-get to install it with", first.label),
            format!("{}, then run this again", first.elsewhere),
        ));
    }
    let names: Vec<&str> = missing.iter().flat_map(|package| package.packages).copied().collect();
    println!("  {}: installing (about 2 minutes)", names.join(", "));
    as_root(place, &["apt-get", "update", "--quiet"])?
        .watch("package lists", "check the network and the package sources of this machine, then run this again")?;
    let mut command = vec!["env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "install", "--yes", "--quiet"];
    command.extend(&names);
    as_root(place, &command)?.watch("packages", "read the lines above; installing them by hand does as well")?;
    for package in missing {
        if !(package.present)(place) {
            return Err(Failure::new(
                format!("{} was installed but is still not found", package.label),
                format!("{}, then run this again", package.elsewhere),
            ));
        }
    }
    Ok(())
}

/// A command to be run as root: as it is for root, by sudo for others.
fn as_root(place: &Place, command: &[&str]) -> Result<Run, Failure> {
    let root = Run::new(place, "id").args(["-u"]).answer().is_some_and(|id| id == "0");
    match command {
        [program, arguments @ ..] if root => Ok(Run::new(place, program).args(arguments)),
        _ if place.program("sudo").is_some() => Ok(Run::new(place, "sudo").args(command)),
        _ => Err(Failure::new(
            format!("`{}` needs root, and there is no sudo", command.join(" ")),
            "run that command as root, then run this again",
        )),
    }
}

/// The tool that joins wasm and JavaScript, and its test runner. It must match the library to the last digit,
/// so the version comes from the lock file.
pub fn wasm_bindgen(place: &Place) -> Done {
    let version = place.locked_version("wasm-bindgen")?;
    cargo_tool(place, "wasm-bindgen-cli", &["wasm-bindgen", "wasm-bindgen-test-runner"], &version, 2)
}

/// The bundler.
pub fn trunk(place: &Place) -> Done {
    cargo_tool(place, "trunk", &["trunk"], TRUNK, 4)
}

/// Removes what the compilation of the tools left behind (about half a gigabyte).
pub fn tidy(place: &Place) {
    // Nothing depends on it: if it cannot be removed, the next set-up tries again.
    let _ = fs::remove_dir_all(place.tools().join("build"));
}

/// Compiles a command-line tool unless every program of it answers with the right version.
fn cargo_tool(place: &Place, package: &str, programs: &[&str], version: &str, minutes: u32) -> Done {
    let label = format!("{package} {version}");
    let right = |program: &&str| {
        let answer = Run::new(place, program).args(["--version"]).answer();
        answer.is_some_and(|text| text.split_whitespace().nth(1) == Some(version))
    };
    if programs.iter().all(right) {
        already(&label);
        return Ok(());
    }
    println!("  {label}: compiling (about {minutes} minutes on two cores)");
    let tools = place.tools();
    let exact = format!("={version}");
    Run::new(place, "cargo")
        // Without TLS and without the question for a newer version: neither tool needs the network here.
        .args(["install", "--locked", "--no-default-features", package, "--version", &exact])
        .args(["--root".as_ref(), tools.as_os_str()])
        // One folder for both tools, so that what they share is compiled once; light optimisation, which halves the
        // time to compile and still runs in a second or two on our module.
        .env("CARGO_TARGET_DIR", tools.join("build"))
        .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1")
        .env("CARGO_PROFILE_RELEASE_LTO", "off")
        .env("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16")
        .env("CARGO_PROFILE_RELEASE_DEBUG", "0")
        .env("CARGO_INCREMENTAL", "0")
        .watch(
            &label,
            &format!(
                "read the lines above; if they speak of the network, check it and run this again. \
                 A {package} {version} that stands on the PATH is used as well"
            ),
        )
}
