//! The work that a rule may require with an action, as a closed list of keys.
//!
//! Only the keys live here; their stage, words and cautions are the business of [`crate::operations`], which must
//! know each of them.

/// Keys that `require` accepts, in alphabetical order.
pub const WORKS: &[&str] = &[
    "adjust",
    "aluminium-heat-watch",
    "cavity-protect",
    "clean-bay",
    "clean-bay-set-up",
    "coat-protect",
    "cold-only",
    "corrosion-treat",
    "crack-check",
    "crack-check-before",
    "foam-out",
    "frame-measure",
    "geometry-measure",
    "glass-out",
    "glass-repair",
    "high-voltage-off",
    "isolate",
    "lamp-aim",
    "maker-consult",
    "measurement-report",
    "new-fasteners",
    "paintless",
    "plastic-repair",
    "polish",
    "refinish-panel",
    "replace-flow-drill-screws",
    "restraint-inspection",
    "sensor-calibrate",
    "weld-tear",
    "wheel-alignment",
];

/// The key as this list holds it, if a rule may require it.
pub fn known(work: &str) -> Option<&'static str> {
    WORKS.binary_search(&work).ok().map(|at| WORKS[at])
}
