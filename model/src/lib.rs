//! Cutline's model: marks on a truck go in, the permitted plan comes out, with its reasons.
//!
//! One-way flow, each arrow a pure function: marks → [`damage`] findings → [`decide`] options → [`operations`] →
//! [`plan`] and [`scene`] for the screens. Reading order: [`terms`], [`catalogue`], [`damage`], [`rules`], [`decide`],
//! [`operations`], [`plan`]. No browser, no clock, no randomness, no disk.
//!
//! Limits of judgement: the built-in books describe a generic, invented body and general practice. The vehicle maker's
//! procedure, local codes and licensed practice come first.

pub mod backup;
pub mod catalogue;
pub mod damage;
pub mod decide;
pub mod error;
pub mod estimate;
pub mod generate;
pub mod geometry;
pub mod ids;
pub mod job;
pub mod joints;
pub mod money;
pub mod operations;
pub mod optimise;
pub mod photo;
pub mod plan;
pub mod prices;
pub mod rates;
pub mod revision;
pub mod rules;
pub mod scene;
pub mod seal;
pub mod shop;
pub mod stock;
pub mod terms;
pub mod times;
pub mod vin;
pub mod words;

pub use error::{Error, Result};
