//! The truck on the screen: camera, gestures, handles, and the drawing itself.
//!
//! Turns a `model::scene` into SVG elements and fingers into typed gestures. Decides nothing about damage or repair and
//! never changes a job.

mod board;
pub mod camera;
pub mod gesture;
#[cfg(test)]
mod gesture_tests;
pub mod handles;
pub mod labels;
mod overlay;
mod state_words;
mod truck;

pub use board::{Board, Viewer, pointer};
pub use overlay::{Labels, Marks, Patterns, States};
pub use state_words::state_words;
pub use truck::Truck;

use camera::Frame;
use model::geometry::Bounds;

/// Bounds of the model as a rectangle of the canvas, both in screen millimetres.
#[must_use]
pub fn frame(bounds: &Bounds) -> Frame {
    Frame { left: bounds.low.a, top: bounds.low.b, width: bounds.width(), height: bounds.height() }
}
