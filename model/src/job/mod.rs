//! A job: what people saw and chose, kept as a log of small changes that never alter.
//!
//! Reading order: [`Job`] (the value that everything else reads), [`Change`] (one step of the log), [`Fold`] (log to
//! job, with what two people wrote at once), [`Command`] and [`Session`] (edit, undo, receive), [`wire`] (the file),
//! [`store`], [`keep`] and [`recover`] (two stores whose union is the truth).
//!
//! Results are never stored here: decisions, hours and drawings are made again from the job. Time, device and
//! randomness come in as arguments; nothing here asks a clock or a die.

mod change;
mod check;
mod command;
mod fold;
mod inverse;
pub mod keep;
mod log;
mod migrate;
mod option;
mod photo;
pub mod recover;
mod revision;
mod session;
mod stamp;
mod state;
pub mod store;
pub mod wire;

pub use change::{Body, CHANGE_VERSION, Change, ChangeId, Field, MarkField, MarkFieldName, Op, Write};
pub use check::{COUNT_MAX, LINE_MAX, MARKS_MAX, NOTE_MAX, POINTS_MAX, VIN_MAX, is_date, is_name};
pub use command::Command;
pub use fold::{Conflict, Fold, Lost};
pub use log::Log;
pub use option::{CELLS_MAX, MOVE_MAX_MM, OptionHold, VALUE_MAX, VehicleValue};
pub use photo::{Original, PHOTOS_MAX, PIN_FAR, PINS_MAX, Photo, PhotoField, PhotoFieldName, Pin, Taken};
pub use revision::{Against, RevisedLine, RevisedPart, RevisedTax, Revision, mark_print};
pub use session::Session;
pub use stamp::Stamp;
pub use state::{DeviceId, Job, JobId, Vehicle};
