//! Controls that every screen shares: large targets, words beside every sign, keyboard included.
//!
//! Takes and returns plain types (text, numbers, callbacks); knows neither the model nor the browser.

mod amount;
mod ask_first;
mod choices;
mod field;
mod given;
mod icon;
mod secret;
mod sign;
mod stepper;

pub use amount::Amount;
pub use ask_first::AskFirst;
pub use choices::{Choices, Pick};
pub use field::Field;
pub use given::{FileKey, Refused};
pub use icon::Icon;
pub use secret::Secret;
pub use sign::{Hatch, Sign, SignPatterns};
pub use stepper::Stepper;
