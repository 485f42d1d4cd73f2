//! Cutline's tablet app: shows what the model decides and collects what the appraiser taps.
//!
//! Reading order: [`shell`], [`screens`], [`canvas`], [`widgets`], then [`state`] and [`platform`]. The app decides
//! nothing about a repair, and only [`state`] changes a job.

pub mod canvas;
mod capture;
mod charges;
pub mod in_force;
pub mod joining;
pub mod planned;
pub mod platform;
pub mod route;
pub mod rule_book;
pub mod screens;
pub mod shell;
pub mod shown;
pub mod state;
mod thumb;
pub mod time_book;
pub mod vehicle;
pub mod verdict;
pub mod widgets;
pub mod words;
