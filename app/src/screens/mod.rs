//! The places of the app. No screen knows another; the shell chooses by route.

pub mod gate;
pub mod joints;
pub mod photos;
pub mod plan;
pub mod shop;
pub mod unlock;
pub mod walk;
