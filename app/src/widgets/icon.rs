//! Pictograms of our own, drawn on a 24 × 24 grid as one stroke path each.
//!
//! Always decorative: a word stands beside each or is read aloud by its button.

use leptos::prelude::*;

/// A pictogram by name; an unknown name draws nothing.
#[component]
pub fn Icon(
    /// Its name.
    name: &'static str,
) -> impl IntoView {
    view! {
        <svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
            <path d=path(name)></path>
        </svg>
    }
}

/// Damage is drawn as the section through a sheet would show it, or as it looks from the front.
fn path(name: &str) -> &'static str {
    match name {
        // A sheet in section: two strokes close together, with what happened to it.
        "scratch" => "M3 17H21M5 13L9 9M9 12L14 7M14 11L19 6",
        "dent" => {
            "M2 9H6C8 9 8.500 16 12 16S16 9 18 9H22M2 12.500H5C7 12.500 8 19.500 12 19.500S17 12.500 19 12.500H22"
        }
        "crease" => "M2 8H7L12 17L17 8H22M2 11.500H5L12 21L19 11.500H22",
        "tear" => "M2 9H9L7 12L10 14L8 17M22 9H14L16 12L13 14L15 17",
        "crack" => "M4 4H20V20H4ZM12 4L10 9L14 12L11 16L12 20",
        "kink" => "M3 6H9L12 11L9 16L12 21M9 6M14 3L17 8H21M17 8L14.500 12.500",
        "buckle" => "M2 12C4 5 6 5 8 12S12 19 14 12S18 5 20 12L22 15",
        "hail-field" => {
            "M6 5.500A1.800 1.800 0 1 0 6.010 5.500M17 5A1.800 1.800 0 1 0 17.010 5M12 11A1.800 1.800 0 1 0 12.010 11M5.500 16.500A1.800 1.800 0 1 0 5.510 16.500M18 16A1.800 1.800 0 1 0 18.010 16"
        }
        "misfit" => "M3 4H10V20H3ZM14 6L21 4V20L14 22Z",
        "corrosion" => "M2 15C5 12 6 17 9 14S13 16 16 13S20 16 22 14M6 18V18.010M11 19V19.010M16 18V18.010M4 9H20",
        "missing" => {
            "M4 4H7M10.500 4H13.500M17 4H20V7M20 10.500V13.500M20 17V20H17M13.500 20H10.500M7 20H4V17M4 13.500V10.500M4 7V4"
        }
        "earlier-repair" => "M3 5H21V19H3ZM8 9H16V15H8ZM8 12H5M16 12H19M12 9V6M12 15V18",
        "plus" => "M12 5V19M5 12H19",
        "minus" => "M5 12H19",
        "whole" => "M4 9V4H9M15 4H20V9M20 15V20H15M9 20H4V15",
        "undo" => "M8 5L4 9L8 13M4 9H14A5 5 0 0 1 14 19H9",
        "redo" => "M16 5L20 9L16 13M20 9H10A5 5 0 0 0 10 19H15",
        "close" => "M6 6L18 18M18 6L6 18",
        "delete" => "M4 7H20M9 7V4H15V7M6 7L7 20H17L18 7M10 11V16M14 11V16",
        "saved" => "M4 13L9.500 18L20 6",
        "saving" => "M12 4V8M12 16V20M4 12H8M16 12H20",
        "not-saved" => "M12 4L22 20H2ZM12 10V14M12 17V17.010",
        "back" => "M15 5L8 12L15 19",
        "open" => "M9 5L16 12L9 19",
        "above" => "M12 3V15M7 10L12 15L17 10M4 20H20",
        "below" => "M12 21V9M7 14L12 9L17 14M4 4H20",
        "caution" => "M12 3L22 20H2ZM12 9V14M12 17V17.010",
        "look-behind" => "M2 12C5 7 8 5 12 5S19 7 22 12C19 17 16 19 12 19S5 17 2 12ZM12 9A3 3 0 1 0 12.010 9",
        "cut" => "M12 2V22M3 8H9M15 8H21M3 16H9M15 16H21",
        "hold" => "M12 3V14M8 3H16M8 3L9 10L6 14H18L15 10L16 3M12 14V21",
        "search" => "M10 4A6 6 0 1 0 10.010 4M14.500 14.500L20 20",
        "camera" => "M3 7H8L10 4H14L16 7H21V20H3ZM12 9A4 4 0 1 0 12.010 9",
        "finger" => {
            "M9 12V5A1.800 1.800 0 0 1 12.600 5V11L18 12.500C19 13 19 14 19 15L18 20H10L6 14.500C5 13 7 12 9 14"
        }
        _ => "",
    }
}
